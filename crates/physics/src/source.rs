//! Sources, and the input of a converter: how their current follows the voltage across them.

use units::{Amperes, Ohms, Siemens, Volts, Watts};

use crate::element::CurrentAndSlope;

/// A battery: a voltage behind a resistance, which is another one while it is being charged.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Battery {
    /// Voltage at rest.
    pub at_rest: Volts,
    /// Resistance while it delivers.
    pub discharging: Ohms,
    /// Apparent resistance while it is being charged.
    pub charging: Ohms,
}

impl Battery {
    /// What it does at a voltage between its posts.
    ///
    /// ```text
    /// I = (V − E) / R,   R that of discharging below E, that of charging from E up
    /// ```
    ///
    /// # Source
    ///
    /// Thévenin's equivalent of a source; two resistances, since a battery takes far less than it gives.
    #[inline]
    #[must_use]
    pub fn at(self, volts: Volts) -> CurrentAndSlope {
        let charged = volts >= self.at_rest;
        let resistance = if charged { self.charging } else { self.discharging };
        CurrentAndSlope::ohmic(volts - self.at_rest, resistance)
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
        let battery =
            Battery { at_rest: Volts(12.6), discharging: Ohms(9e-3), charging: Ohms(0.1) };
        assert_close(battery.at(Volts(7.2)).current.0, -600.0, 1e-12);
        assert_close(battery.at(Volts(14.4)).current.0, 18.0, 1e-12);
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
