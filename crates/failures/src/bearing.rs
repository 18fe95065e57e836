//! What a conductor bears in a state, and for how long it bears more.

use catalogue::Catalogue;
use model::{ConductorId, StateId, Vehicle};
use network::OperatingPoint;
use network::duty;
use network::heating::{conductor_surroundings, conductor_thermal};
use physics::adiabatic::AdiabaticMetal;
use physics::heat::{
    ConductorThermal, Heating, Surroundings, steady_current, temperature_after, time_to_melting,
    time_to_temperature,
};
use physics::quantity::JoulesPerCubicMetreKelvin;
use units::{Amperes, Kelvin, OhmMetres, Ratio, Seconds, SquareMetres};

/// Bare metal where there is a risk of fire: IEC 60364-5-54 table A.54.6, 150 °C.
pub const BARE_LIMIT: Kelvin = Kelvin::from_celsius(150.0);

/// What the limit belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LimitOf {
    /// The insulation's class.
    Insulation,
    /// Bare metal beside things that burn.
    BareMetal,
}

/// A conductor in a state: its heat balance and where it stands before anything fails.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bearing {
    /// The conductor's heat balance.
    pub thermal: ConductorThermal,
    /// What surrounds it.
    pub surroundings: Surroundings,
    /// Temperature that must not be passed.
    pub limit: Kelvin,
    /// What bears no more than that.
    pub limit_of: LimitOf,
    /// Current that holds it there for ever.
    pub steady: Amperes,
    /// Temperature from which the failure warms it.
    pub start: Kelvin,
    /// How long the state usually lasts; nothing for hours.
    pub lasts: Option<Seconds>,
    metal: AdiabaticMetal,
    area: SquareMetres,
    melting: Kelvin,
}

/// What a current does to a conductor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Endurance {
    /// The current.
    pub amps: Amperes,
    /// Time until its limit; nothing when it settles below.
    pub limit_after: Option<Seconds>,
    /// Time until it begins to melt; nothing when it never does.
    pub melts_after: Option<Seconds>,
    /// Temperature at the end of the state's usual duration, at most that of melting.
    pub at_end: Kelvin,
    /// How long the state usually lasts; nothing for hours.
    pub lasts: Option<Seconds>,
}

impl Endurance {
    fn within(&self, time: Option<Seconds>) -> bool {
        time.is_some_and(|time| self.lasts.is_none_or(|lasts| time <= lasts))
    }

    /// True when the limit is passed within the state's usual duration.
    #[must_use]
    pub fn passes_limit(&self) -> bool {
        self.within(self.limit_after)
    }

    /// True when it melts within the state's usual duration.
    #[must_use]
    pub fn melts(&self) -> bool {
        self.within(self.melts_after)
    }
}

impl Bearing {
    /// What a conductor bears; nothing where the file gives no size or length.
    ///
    /// A state with a duration begins with the failure already there, at the temperature of the air;
    /// in a state of hours the failure finds the conductor as warm as it was.
    #[must_use]
    pub fn new(vehicle: &Vehicle, id: ConductorId, point: &OperatingPoint) -> Option<Self> {
        let conductor = vehicle.conductor(id);
        let thermal = conductor_thermal(vehicle, id)?;
        let surroundings = conductor_surroundings(vehicle, id, point.state);
        let (limit, limit_of) = match conductor.insulation_limit {
            Some(limit) => (limit, LimitOf::Insulation),
            None => (BARE_LIMIT, LimitOf::BareMetal),
        };
        let lasts = vehicle.state(point.state).duration;
        let warm = point.pieces[id.index()].temperature;
        let start = match lasts {
            Some(_) => surroundings.air,
            None => warm.unwrap_or(surroundings.air),
        };
        let area = conductor.area?;
        Some(Self {
            steady: steady_current(&thermal, limit, &surroundings).ok()?,
            metal: metal(vehicle, id, &thermal, area),
            melting: conductor.melting,
            thermal,
            surroundings,
            limit,
            limit_of,
            start,
            lasts,
            area,
        })
    }

    /// What a constant current does to it from the start on; `times` its resistance when it is worn.
    #[must_use]
    pub fn endurance(&self, amps: Amperes, times: Ratio) -> Endurance {
        let worn = self.worn(times);
        let (start, around) = (self.start, &self.surroundings);
        // The numbers were checked when the vehicle was read; what the laws still refuse lasts.
        let limit_after =
            time_to_temperature(&worn, amps, start, around, self.limit).ok().flatten();
        let area = SquareMetres(self.area.0 / times.0);
        let melts_after = limit_after.and_then(|_| {
            time_to_melting(&worn, amps, start, around, self.limit, &self.metal, area, self.melting)
                .ok()
                .flatten()
        });
        let lasts = self.lasts.unwrap_or(Seconds(f64::INFINITY));
        let at_end = match temperature_after(&worn, amps, lasts, start, around, self.melting) {
            Ok(Heating::Reaches(temperature)) => temperature,
            Ok(Heating::Exceeds { limit, .. }) => limit,
            Err(_) => start,
        };
        let at_end = match melts_after {
            Some(time) if time <= lasts => self.melting,
            _ => at_end,
        };
        Endurance { amps, limit_after, melts_after, at_end, lasts: self.lasts }
    }

    /// The same held to what a ground has to bear: three cranks from warm where a starter turns.
    #[must_use]
    pub fn for_duty(&self, vehicle: &Vehicle, id: ConductorId, state: StateId) -> Self {
        let mut other = *self;
        if duty::cranks(vehicle, state) {
            other.surroundings.air = duty::conductor_air(vehicle, id, state);
            other.start = other.surroundings.air;
            other.lasts = duty::lasts(vehicle, state);
            other.steady = steady_current(&other.thermal, other.limit, &other.surroundings)
                .unwrap_or(Amperes::ZERO);
        }
        other
    }

    /// Temperature at which its metal melts.
    #[must_use]
    pub fn melting(&self) -> Kelvin {
        self.melting
    }

    /// Its metal, for heating with nothing lost.
    pub(crate) fn metal(&self) -> &AdiabaticMetal {
        &self.metal
    }

    /// True when a current may pass the limit at all; quick.
    #[must_use]
    pub fn may_pass(&self, amps: Amperes, times: Ratio) -> bool {
        amps.abs() > self.steady * (1.0 / times.0.sqrt())
    }

    /// The conductor with `share` of its section in place of one: thinner or thicker.
    #[must_use]
    pub fn resized(&self, share: Ratio) -> Self {
        let root = share.0.sqrt();
        let mut other = *self;
        other.thermal.metal_diameter = self.thermal.metal_diameter * root;
        // The wall of the insulation stays as it is.
        other.thermal.outer_diameter =
            self.thermal.outer_diameter + self.thermal.metal_diameter * (root - 1.0);
        other.thermal.resistance_per_metre_at_20.0 /= share.0;
        other.thermal.heat_capacity_per_metre.0 *= share.0;
        other.area = self.area * share.0;
        other.steady =
            steady_current(&other.thermal, self.limit, &self.surroundings).unwrap_or(self.steady);
        other
    }

    fn worn(&self, times: Ratio) -> ConductorThermal {
        let mut worn = self.thermal;
        worn.resistance_per_metre_at_20.0 *= times.0;
        worn
    }
}

/// The conductor's metal for heating with nothing lost.
fn metal(
    vehicle: &Vehicle,
    id: ConductorId,
    thermal: &ConductorThermal,
    area: SquareMetres,
) -> AdiabaticMetal {
    let conductor = vehicle.conductor(id);
    let known = Catalogue::standard().materials.find(&conductor.material);
    // Density times specific heat; copper's where the material is not known.
    let heat =
        known.map_or(3.45e6, |metal| metal.density_kg_per_m3 * metal.specific_heat_j_per_kg_k);
    AdiabaticMetal {
        zero_resistance: Kelvin(293.15 - 1.0 / conductor.temperature_coefficient.0.max(1e-3)),
        heat_capacity: JoulesPerCubicMetreKelvin(heat),
        resistivity: OhmMetres(thermal.resistance_per_metre_at_20.0 * area.0),
    }
}
