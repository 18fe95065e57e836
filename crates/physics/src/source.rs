//! Sources, and the input of a converter: how their current follows the voltage across them.

use units::{Amperes, Ohms, Ratio, Siemens, Volts, Watts};

use crate::element::CurrentAndSlope;

/// A battery: a voltage behind a resistance and the polarisation of its plates, and behind another
/// resistance while it is being charged.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Battery {
    /// Voltage at rest.
    pub at_rest: Volts,
    /// Resistance while it delivers.
    pub discharging: Ohms,
    /// How much its plates polarise while it delivers; zero where the resistance is the whole.
    pub polarisation: Volts,
    /// Exchange current of its plates: far below it polarisation is like a resistance, far above it
    /// hardly grows any more.
    pub exchange: Amperes,
    /// Apparent resistance while it is being charged.
    pub charging: Ohms,
}

impl Battery {
    /// A battery that is a voltage behind a resistance and nothing else.
    #[must_use]
    pub fn ohmic(at_rest: Volts, discharging: Ohms, charging: Ohms) -> Self {
        let (polarisation, exchange) = (Volts::ZERO, Amperes::ZERO);
        Self { at_rest, discharging, polarisation, exchange, charging }
    }

    /// What it does at a voltage between its posts.
    ///
    /// ```text
    /// V = E − R I − u asinh(I / I₀)   while it delivers I,   V = E + R_c I   while it takes I
    /// ```
    ///
    /// # Source
    ///
    /// Thévenin's equivalent of a source, with the activation overpotential of Butler's and Volmer's equation
    /// for equal transfer coefficients, η = (2 R T / F) asinh(i / 2 i₀); two resistances, since a battery takes
    /// far less than it gives.
    #[inline]
    #[must_use]
    pub fn at(self, volts: Volts) -> CurrentAndSlope {
        if volts >= self.at_rest {
            return CurrentAndSlope::ohmic(volts - self.at_rest, self.charging);
        }
        if self.polarisation <= Volts::ZERO {
            return CurrentAndSlope::ohmic(volts - self.at_rest, self.discharging);
        }
        let (ohms, swing, knee) = (self.discharging.0, self.polarisation.0, self.exchange.0);
        let share = divided((self.at_rest - volts).0, ohms * knee, swing);
        let slope = 1.0 / (ohms + swing / (knee * share.cosh()));
        CurrentAndSlope { current: Amperes(-knee * share.sinh()), slope: Siemens(slope) }
    }
}

/// The share y of which `ohmic sinh y + swing y` is this fall of a battery's voltage.
///
/// Newton's steps from above, where the sum is convex: each comes nearer and none passes it.
#[inline]
fn divided(fall: f64, ohmic: f64, swing: f64) -> f64 {
    let mut y = (fall / ohmic).asinh().min(fall / swing);
    for _ in 0..40 {
        let (sinh, cosh) = (y.sinh(), y.cosh());
        let step = (ohmic * sinh + swing * y - fall) / (ohmic * cosh + swing);
        y -= step;
        // Each step leaves the square of its own share: this one's is below what a number holds.
        if step <= 1e-8 * y {
            break;
        }
    }
    y
}

/// What is known of a battery's plates, for the voltage of one battery.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plates {
    /// How much they polarise.
    pub polarisation: Volts,
    /// Volts lost in the warm resistance at the warm exchange current: the same for large batteries and
    /// small ones, since both follow the area of the plates.
    pub knee: Volts,
}

/// What the cold leaves of a battery.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cold {
    /// Its resistance over that of 20 °C.
    pub resistance: Ratio,
    /// Its exchange current over that of 20 °C.
    pub exchange: Ratio,
}

impl Plates {
    /// The warm resistance of a battery that falls by so many volts at a current in the cold.
    ///
    /// # Source
    ///
    /// The law of [`Battery::at`], solved for R where `R I₀` is known: `c R I + u asinh(R I / (a k)) = fall`.
    #[must_use]
    pub fn resistance(self, current: Amperes, fall: Volts, cold: Cold) -> Ohms {
        let knee = self.knee.0 * cold.exchange.0;
        if self.polarisation <= Volts::ZERO {
            return fall / current / cold.resistance.0;
        }
        let share = divided(fall.0, cold.resistance.0 * knee, self.polarisation.0);
        Volts(knee * share.sinh()) / current
    }

    /// The exchange current of a battery of some warm resistance, as the cold leaves it.
    #[must_use]
    pub fn exchange(self, resistance: Ohms, cold: Cold) -> Amperes {
        self.knee / resistance * cold.exchange.0
    }
}

/// Share of the held voltage below which a limit of power says nothing any more.
const LEAST_OUTPUT: f64 = 1e-3;

/// A source that holds a voltage, less a droop, up to a limit of current or power; it takes nothing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Regulated {
    /// Voltage that it holds without load.
    pub held: Volts,
    /// Fall of that voltage for each ampere delivered.
    pub droop: Ohms,
    /// The most current.
    pub limit: Amperes,
    /// The most power; endless where only the current is limited.
    pub power: Watts,
}

impl Regulated {
    /// The most that it delivers at a voltage: its limit, or what its power allows.
    #[inline]
    #[must_use]
    pub fn most_current(self, volts: Volts) -> Amperes {
        let least = LEAST_OUTPUT * self.held.0;
        Amperes(self.limit.0.min(self.power.0 / volts.0.max(least)))
    }

    /// What it does at a voltage across its terminals.
    ///
    /// ```text
    /// −I = (U − V) / r,   at least 0, at most I_max and P_max / V
    /// ```
    ///
    /// # Source
    ///
    /// A regulator's characteristic as data sheets draw it: constant voltage, then constant current
    /// or constant power.
    #[inline]
    #[must_use]
    pub fn at(self, volts: Volts) -> CurrentAndSlope {
        let wanted = (self.held - volts) / self.droop;
        let most = self.most_current(volts);
        if wanted <= Amperes::ZERO {
            CurrentAndSlope::NOTHING
        } else if wanted < most {
            CurrentAndSlope { current: -wanted, slope: Siemens(1.0 / self.droop.0) }
        } else if most < self.limit && volts.0 > LEAST_OUTPUT * self.held.0 {
            CurrentAndSlope { current: -most, slope: Siemens(most.0 / volts.0) }
        } else {
            CurrentAndSlope { current: -most, slope: Siemens(0.0) }
        }
    }
}

/// The input of a converter that takes a power, but does not pull its feed below a voltage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ConverterInput {
    /// The power that it wants.
    pub power: Watts,
    /// The voltage below which it takes nothing.
    pub floor: Volts,
    /// How sharply it holds its feed there: volts above the floor for each ampere taken.
    pub resistance: Ohms,
}

impl ConverterInput {
    /// What it does at a voltage across its input.
    ///
    /// ```text
    /// I = min((V − V_min) / r, P / V),   0 below V_min
    /// ```
    ///
    /// # Source
    ///
    /// A power that does not depend on the voltage, and an undervoltage limit as data sheets of
    /// converters give it.
    #[inline]
    #[must_use]
    pub fn at(self, volts: Volts) -> CurrentAndSlope {
        let held = (volts - self.floor) / self.resistance;
        if held <= Amperes::ZERO {
            CurrentAndSlope::NOTHING
        } else if held.0 * volts.0 < self.power.0 {
            CurrentAndSlope { current: held, slope: Siemens(1.0 / self.resistance.0) }
        } else {
            let slope = -self.power.0 / (volts.0 * volts.0);
            CurrentAndSlope { current: self.power / volts, slope: Siemens(slope) }
        }
    }

    /// The voltage from which it gets all the power it wants: the root of `(V − V_min) V = P r`.
    #[inline]
    #[must_use]
    pub fn full_voltage(self) -> Volts {
        let floor = self.floor.0;
        let root = (floor * floor + 4.0 * self.power.0 * self.resistance.0).sqrt();
        Volts(f64::midpoint(floor, root))
    }
}

#[cfg(test)]
mod published {
    use super::*;
    use crate::close::assert_close;

    /// SAE J537: 7.2 V at the cold-cranking current; from 12.6 V that is 9 mΩ for 600 A.
    #[test]
    fn a_battery_of_9_milliohms_gives_600_amperes_at_7_2_volts() {
        let battery = Battery::ohmic(Volts(12.6), Ohms(9e-3), Ohms(0.1));
        assert_close(battery.at(Volts(7.2)).current.0, -600.0, 1e-12);
        assert_close(battery.at(Volts(14.4)).current.0, 18.0, 1e-12);
    }

    /// The law itself: 3 mΩ and 200 A are 0.6 V, asinh(200 / 8) = 3.9124, of 0.3 V each.
    #[test]
    fn a_battery_that_polarises_falls_by_its_resistance_and_its_plates() {
        let polarisation = Volts(0.3);
        let own = Battery::ohmic(Volts(12.6), Ohms(3e-3), Ohms(0.1));
        let own = Battery { polarisation, exchange: Amperes(8.0), ..own };
        let fall = 0.6 + 0.3 * (200.0_f64 / 8.0).asinh();
        let found = own.at(Volts(12.6 - fall));
        assert_close(found.current.0, -200.0, 1e-9);
        let step = 1e-6;
        let [less, more] = [-step, step].map(|step| own.at(Volts(12.6 - fall + step)).current.0);
        assert!(((more - less) / (2.0 * step) - found.slope.0).abs() < 1e-3 * found.slope.0);
        for milli in 1..12_000 {
            let found = own.at(Volts(12.6 - f64::from(milli) * 1e-3)).current.0;
            let back = 3e-3 * found.abs() + 0.3 * (found.abs() / 8.0).asinh();
            assert!((back - f64::from(milli) * 1e-3).abs() < 1e-9, "{milli}");
        }
    }

    /// SAE J537: what a rating promises is what the battery that is made of it gives.
    #[test]
    fn the_resistance_of_a_rating_gives_the_fall_that_it_was_made_of() {
        let plates = Plates { polarisation: Volts(0.3), knee: Volts(0.033) };
        let cold = Cold { resistance: Ratio(1.8), exchange: Ratio(0.4) };
        let warm = plates.resistance(Amperes(640.0), Volts(5.1), cold);
        let own = Battery {
            at_rest: Volts(12.6),
            discharging: warm * cold.resistance.0,
            polarisation: plates.polarisation,
            exchange: plates.exchange(warm, cold),
            charging: Ohms(0.1),
        };
        assert_close(own.at(Volts(7.5)).current.0, -640.0, 1e-9);
    }

    /// Arithmetic: 14.4 V less 1 mΩ, then 180 A, then 1200 W over 12 V.
    #[test]
    fn a_regulated_source_holds_its_voltage_then_its_current_then_its_power() {
        let source = Regulated {
            held: Volts(14.4),
            droop: Ohms(1e-3),
            limit: Amperes(180.0),
            power: Watts(f64::INFINITY),
        };
        assert_close(source.at(Volts(14.3)).current.0, -100.0, 1e-9);
        assert_close(source.at(Volts(12.0)).current.0, -180.0, 1e-12);
        assert_eq!(source.at(Volts(14.5)), CurrentAndSlope::NOTHING);
        let weak = Regulated { power: Watts(1200.0), ..source };
        assert_close(weak.at(Volts(12.0)).current.0, -100.0, 1e-12);
    }

    /// Arithmetic: 240 W at 12 V are 20 A; below 9 V nothing.
    #[test]
    fn a_converter_takes_its_power_above_its_floor_and_nothing_below() {
        let input =
            ConverterInput { power: Watts(240.0), floor: Volts(9.0), resistance: Ohms(5e-3) };
        assert_close(input.at(Volts(12.0)).current.0, 20.0, 1e-12);
        assert_eq!(input.at(Volts(8.9)), CurrentAndSlope::NOTHING);
        let full = input.full_voltage();
        assert_close((input.at(full).current * full).0, 240.0, 1e-9);
    }
}
