//! What a conductor bears: lasting current, and whether a fault current cleared in time harms it.

use catalogue::Catalogue;
use model::{ConductorId, StateId, Vehicle};
use network::heating::{conductor_surroundings, conductor_thermal};
use physics::heat::{
    ConductorThermal, Heating, Outcome, Surroundings, steady_current, steady_temperature,
    temperature_after,
};
use physics::quantity::JoulesPerMetreKelvin;
use units::{Amperes, Kelvin, Seconds};

/// Longest fault for which the short-circuit temperature of an insulation holds, and no heat is
/// taken to reach it (IEC 60364-4-43).
pub const SHORT: Seconds = Seconds(5.0);

/// Longest overload above the lasting temperature that is not counted as harm, and the rise allowed
/// for it: the thermal overload test of ISO 6722-1 holds 50 K above the class for 6 h (from memory);
/// a sixth of its time is taken.
pub const OVERLOAD: Seconds = Seconds(3600.0);
const OVERLOAD_RISE: Kelvin = Kelvin(50.0);

/// An excess over the lasting temperature that says nothing: the heat balance agrees with published
/// current ratings within about 12 %, which is far more than this.
const NOTICEABLE: Kelvin = Kelvin(5.0);

/// Bare metal where fire must be feared: 150 °C (IEC 60364-5-54 table for bare conductors).
const BARE_CELSIUS: f64 = 150.0;

/// What a fault does to a conductor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Harm {
    /// Nothing: it stays within what its insulation bears.
    None,
    /// It is held above its lasting limit for more than an hour, and ages fast.
    Ages {
        /// Where it settles, or is when the fault is cleared.
        hottest: Kelvin,
    },
    /// It passes the temperature at which the insulation is lost.
    Burns {
        /// The temperature at which that is.
        limit: Kelvin,
        /// How long after the fault began.
        after: Seconds,
    },
}

/// Temperatures that a conductor may have.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// For ever.
    pub lasting: Kelvin,
    /// For an hour at most.
    pub overload: Kelvin,
    /// For five seconds at most.
    pub short: Kelvin,
    /// At the beginning of a fault: what an insulated conductor may be as warm as for ever; for bare
    /// metal the air, as the tables of factors k have it.
    pub start: Kelvin,
    /// True when the insulation has no published short-circuit temperature.
    pub short_assumed: bool,
}

/// A conductor with size and length, in the air of a state.
#[derive(Debug, Clone)]
pub struct Endurance {
    thermal: ConductorThermal,
    /// The same with the heat of its metal alone: in seconds a thick insulation lags behind.
    metal: ConductorThermal,
    surroundings: Surroundings,
    limits: Limits,
    melting: Kelvin,
    lasting: Amperes,
}

impl Endurance {
    /// What a conductor bears in a state; nothing where its size or length is not known.
    #[must_use]
    pub fn of(vehicle: &Vehicle, id: ConductorId, state: StateId) -> Option<Self> {
        let conductor = vehicle.conductor(id);
        let thermal = conductor_thermal(vehicle, id)?;
        let surroundings = conductor_surroundings(vehicle, id, state);
        let row = conductor
            .insulation
            .as_deref()
            .and_then(|word| Catalogue::standard().insulation.find(word));
        let bare = Kelvin::from_celsius(BARE_CELSIUS);
        let limits = match (row, conductor.insulation_limit) {
            (Some(row), _) => {
                let overload = row.limit + OVERLOAD_RISE;
                Limits {
                    lasting: row.limit,
                    overload: row.short_circuit.map_or(overload, |short| overload.min(short)),
                    short: row.short_circuit.unwrap_or(overload),
                    start: row.limit.max(surroundings.air),
                    short_assumed: row.short_circuit.is_none(),
                }
            }
            (None, Some(limit)) => Limits {
                lasting: limit,
                overload: limit + OVERLOAD_RISE,
                short: limit + OVERLOAD_RISE,
                start: limit.max(surroundings.air),
                short_assumed: true,
            },
            (None, None) => {
                let start = surroundings.air;
                Limits { lasting: bare, overload: bare, short: bare, start, short_assumed: false }
            }
        };
        let lasting = steady_current(&thermal, limits.lasting, &surroundings).ok()?;
        let material = Catalogue::standard().materials.find(&conductor.material)?;
        let heat = material.density_kg_per_m3 * material.specific_heat_j_per_kg_k;
        let metal = ConductorThermal {
            heat_capacity_per_metre: JoulesPerMetreKelvin(heat * conductor.area?.0),
            ..thermal
        };
        Some(Self { thermal, metal, surroundings, limits, melting: conductor.melting, lasting })
    }

    /// The current that it bears for ever.
    #[must_use]
    pub fn lasting(&self) -> Amperes {
        self.lasting
    }

    /// Its temperatures.
    #[must_use]
    pub fn limits(&self) -> Limits {
        self.limits
    }

    /// What a current does that flows until it is cleared, or for ever.
    ///
    /// An insulated conductor begins at its lasting temperature, as the factors k of IEC 60364-4-43
    /// do; a bare one as warm as the air, as those of IEC 60364-5-54.
    #[must_use]
    pub fn harm(&self, current: Amperes, clears: Option<Seconds>) -> Harm {
        let amps = current.abs();
        if amps <= self.lasting {
            return Harm::None;
        }
        let reach = |thermal: &ConductorThermal, duration: Seconds, limit: Kelvin| {
            let start = self.limits.start;
            temperature_after(thermal, amps, duration, start, &self.surroundings, limit)
                .unwrap_or(Heating::Exceeds { limit, after: Seconds::ZERO })
        };
        let duration = clears.unwrap_or(Seconds(f64::INFINITY));
        let in_short = reach(&self.metal, duration.min(SHORT), self.limits.short);
        if let Heating::Exceeds { limit, after } = in_short {
            return Harm::Burns { limit, after };
        }
        if duration <= SHORT {
            return Harm::None;
        }
        match reach(&self.thermal, duration, self.limits.overload) {
            Heating::Exceeds { limit, after } => Harm::Burns { limit, after: after.max(SHORT) },
            Heating::Reaches(hottest)
                if duration > OVERLOAD && hottest > self.limits.lasting + NOTICEABLE =>
            {
                Harm::Ages { hottest }
            }
            Heating::Reaches(_) => Harm::None,
        }
    }

    /// Where a lasting current settles; nothing when it melts first.
    #[must_use]
    pub fn settles(&self, current: Amperes) -> Option<Kelvin> {
        match steady_temperature(&self.thermal, current, &self.surroundings, self.melting) {
            Ok(Outcome::Settles(temperature)) => Some(temperature),
            Ok(Outcome::Exceeds(_)) | Err(_) => None,
        }
    }
}
