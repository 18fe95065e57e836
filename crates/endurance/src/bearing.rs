//! What a conductor bears in a state, and for how long it bears more.

use model::{ConductorId, StateId, Vehicle};
use network::OperatingPoint;
use network::duty;
use physics::heat::{Heating, temperature_after, time_to_melting, time_to_temperature};
use units::{Amperes, Kelvin, Ratio, Seconds, SquareMetres};

use crate::limits::Rule;
use crate::thermal::Thermal;

/// A conductor in a state, and where it stands before anything fails.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bearing {
    /// The conductor.
    pub conductor: Thermal,
    /// Temperature from which the failure warms it.
    pub start: Kelvin,
    /// How long the state usually lasts; nothing for hours.
    pub lasts: Option<Seconds>,
}

/// What a current does to a conductor in a state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Endurance {
    /// The current.
    pub amps: Amperes,
    /// Temperature that must not be passed.
    pub limit: Kelvin,
    /// Time until that; nothing when it settles below.
    pub limit_after: Option<Seconds>,
    /// Time until it begins to melt; nothing when it never does.
    pub melts_after: Option<Seconds>,
    /// Temperature at the end of the state's usual duration, at most that of melting.
    pub at_end: Kelvin,
    /// How long the state usually lasts; nothing for hours.
    pub lasts: Option<Seconds>,
}

impl Endurance {
    /// By which temperature it is judged: what the conductor bears for ever is not to be passed
    /// while the state lasts.
    pub const RULE: Rule = Rule::Lasting;

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
        let conductor = Thermal::of(vehicle, id, point.state)?;
        let lasts = vehicle.state(point.state).duration;
        let air = conductor.surroundings.air;
        let warm = point.pieces[id.index()].temperature;
        let start = if lasts.is_some() { air } else { warm.unwrap_or(air) };
        Some(Self { conductor, start, lasts })
    }

    /// Temperature that must not be passed while the state lasts.
    #[must_use]
    pub fn limit(&self) -> Kelvin {
        self.conductor.limits.lasting
    }

    /// What a constant current does to it from the start on; `times` its resistance when it is worn.
    #[must_use]
    pub fn endurance(&self, amps: Amperes, times: Ratio) -> Endurance {
        let own = &self.conductor;
        let (worn, limit) = (own.worn(times), self.limit());
        let (start, around) = (self.start, &own.surroundings);
        // The numbers were checked when the vehicle was read; what the laws still refuse lasts.
        let limit_after = time_to_temperature(&worn, amps, start, around, limit).ok().flatten();
        let area = SquareMetres(own.area.0 / times.0);
        let melts_after = limit_after.and_then(|_| {
            time_to_melting(&worn, amps, start, around, limit, &own.metal, area, own.melting)
                .ok()
                .flatten()
        });
        let lasts = self.lasts.unwrap_or(Seconds(f64::INFINITY));
        let at_end = match temperature_after(&worn, amps, lasts, start, around, own.melting) {
            Ok(Heating::Reaches(temperature)) => temperature,
            Ok(Heating::Exceeds { limit, .. }) => limit,
            Err(_) => start,
        };
        let at_end = match melts_after {
            Some(time) if time <= lasts => own.melting,
            _ => at_end,
        };
        Endurance { amps, limit, limit_after, melts_after, at_end, lasts: self.lasts }
    }

    /// The same held to what a ground has to bear: three cranks from warm where a starter turns.
    #[must_use]
    pub fn for_duty(&self, vehicle: &Vehicle, id: ConductorId, state: StateId) -> Self {
        if !duty::cranks(vehicle, state) {
            return *self;
        }
        let air = duty::conductor_air(vehicle, id, state);
        let lasts = duty::lasts(vehicle, state);
        Self { conductor: self.conductor.in_air(air), start: air, lasts }
    }

    /// True when a current may pass the limit at all; quick.
    #[must_use]
    pub fn may_pass(&self, amps: Amperes, times: Ratio) -> bool {
        amps.abs() > self.conductor.lasting * (1.0 / times.0.sqrt())
    }

    /// The conductor with `share` of its section in place of one: thinner or thicker.
    #[must_use]
    pub fn resized(&self, share: Ratio) -> Self {
        Self { conductor: self.conductor.resized(share), ..*self }
    }
}
