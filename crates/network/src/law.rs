//! How the current of a two-terminal device depends on the voltage across it, and its slope there.
//!
//! Current counts from the plus terminal through the device to the minus terminal, so that a
//! source delivers a negative current. Volts, amperes and ohms throughout.

use physics::element::{CurrentAndSlope, Diode};
use physics::load::LoadLaw;
use physics::source::{Battery, ConverterInput, Regulated};
use units::Volts;

/// Every device conducts at least this much, so that nothing floats freely: a gigaohm.
pub(crate) const LEAK_SIEMENS: f64 = 1e-9;

/// Share of a heater's rated voltage within which it may change its sign.
const NEAR_ZERO: f64 = 1e-3;

/// The law of one device, its formula that of `physics`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Law {
    /// Not connected.
    Off,
    /// A battery.
    Battery(Battery),
    /// An alternator, a charger, or the output of a converter.
    Regulated(Regulated),
    /// The input of a converter.
    Input(ConverterInput),
    /// A diode.
    Diode(Diode),
    /// A load.
    Load(LoadLaw),
}

/// `i = slope · v + rest` near the voltage asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Tangent {
    pub slope: f64,
    pub rest: f64,
}

impl Law {
    /// Current at `v` volts.
    pub(crate) fn amperes(self, v: f64) -> f64 {
        self.at(v).0
    }

    /// The straight line that touches the law at `v` volts.
    pub(crate) fn tangent(self, v: f64) -> Tangent {
        let (amperes, slope) = self.at(v);
        Tangent { slope, rest: amperes - slope * v }
    }

    /// Current and slope at `v` volts.
    fn at(self, v: f64) -> (f64, f64) {
        let volts = Volts(v);
        let CurrentAndSlope { current, slope } = match self {
            Self::Off => return (0.0, 0.0),
            // A battery holds its part of the network in place by itself.
            Self::Battery(battery) => {
                let CurrentAndSlope { current, slope } = battery.at(volts);
                return (current.0, slope.0);
            }
            Self::Regulated(source) => source.at(volts),
            Self::Input(input) => input.at(volts),
            Self::Diode(diode) => diode.at(volts),
            Self::Load(load) => load.at(volts),
        };
        (current.0 + LEAK_SIEMENS * v, slope.0 + LEAK_SIEMENS)
    }

    /// The voltage at which to look first: what the device would like to see; nothing when off.
    pub(crate) fn first_look(self) -> Option<f64> {
        match self {
            Self::Off => None,
            Self::Battery(battery) => Some(battery.at_rest.0 - 1e-3),
            Self::Regulated(source) => Some(source.held.0 - source.droop.0 * source.limit.0 / 2.0),
            Self::Input(input) => Some(input.full_voltage().0),
            Self::Diode(diode) => Some(diode.drop.0 + 0.05),
            Self::Load(load) => Some(load.rated_volts().0),
        }
    }

    /// Where to look next when the law was taken at `from` volts and the network answered `to`.
    ///
    /// Away from its narrow regulating band a regulated source is flat, and the network's answer then
    /// leaps over the band to and fro; so the next look is taken inside it. Likewise for an input that
    /// takes all or nothing on either side of the band in which it holds its feed up. A heater whose current
    /// falls as the voltage rises would be sent from one side of zero to the other; it is looked at half
    /// way to zero.
    pub(crate) fn next_look(self, from: f64, to: f64) -> f64 {
        let (lowest, highest) = match self {
            Self::Regulated(Regulated { held, droop, limit, .. }) => {
                (held.0 - droop.0 * limit.0, held.0)
            }
            Self::Input(input) => (input.floor.0, input.full_voltage().0),
            Self::Load(LoadLaw::SelfRegulating { rated, .. }) => {
                let leaps = from * to < 0.0 && from.abs() > NEAR_ZERO * rated.0;
                return if leaps { 0.5 * from } else { to };
            }
            _ => return to,
        };
        if (from < lowest && to > highest) || (from > highest && to < lowest) {
            f64::midpoint(lowest, highest)
        } else {
            to
        }
    }

    /// What it conducts besides its formula: the leak, or nothing for a battery and for what is off.
    #[must_use]
    pub fn leak(self) -> f64 {
        if matches!(self, Self::Off | Self::Battery(_)) { 0.0 } else { LEAK_SIEMENS }
    }

    /// True when it could hold a part of the network in place.
    pub(crate) fn connects(self) -> bool {
        !matches!(self, Self::Off)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use units::{Amperes, Ohms, Ratio, Watts};

    const LAWS: [Law; 9] = [
        Law::Battery(Battery {
            at_rest: Volts(12.6),
            discharging: Ohms(0.004),
            polarisation: Volts(0.3),
            exchange: Amperes(8.0),
            charging: Ohms(0.1),
        }),
        Law::Regulated(Regulated {
            held: Volts(14.4),
            droop: Ohms(0.001),
            limit: Amperes(180.0),
            power: Watts(f64::INFINITY),
        }),
        Law::Regulated(Regulated {
            held: Volts(14.4),
            droop: Ohms(0.001),
            limit: Amperes(30.0),
            power: Watts(120.0),
        }),
        Law::Input(ConverterInput {
            power: Watts(300.0),
            floor: Volts(9.0),
            resistance: Ohms(0.005),
        }),
        Law::Diode(Diode { drop: Volts(0.6), resistance: Ohms(0.01) }),
        Law::Load(LoadLaw::Power {
            amps: Amperes(20.0),
            rated: Volts(12.0),
            exponent: -1.0,
            knee: Volts(6.0),
        }),
        Law::Load(LoadLaw::Starter {
            amps: Amperes(450.0),
            rated: Volts(10.0),
            follows: Ratio(0.4),
            stall: Ohms(0.005),
        }),
        Law::Load(LoadLaw::SelfRegulating {
            cold: Amperes(150.0),
            settled: Amperes(75.0),
            rated: Volts(13.5),
        }),
        Law::Load(LoadLaw::Preheat {
            cold: Amperes(25.0),
            settled: Amperes(9.0),
            rated: Volts(12.0),
        }),
    ];

    proptest! {
        #[test]
        fn the_tangent_touches_the_law_and_has_its_slope(v in -2.0_f64..16.0) {
            for law in LAWS {
                let tangent = law.tangent(v);
                prop_assert!((tangent.slope * v + tangent.rest - law.amperes(v)).abs() < 1e-9);
                let step = 1e-6;
                let secant = (law.amperes(v + step) - law.amperes(v - step)) / (2.0 * step);
                let corner = (law.tangent(v - step).slope - law.tangent(v + step).slope).abs() > 0.01 * (1.0 + secant.abs());
                prop_assert!(corner || (secant - tangent.slope).abs() < 1e-3 * (1.0 + secant.abs()), "{law:?} {v}");
            }
        }
    }
}
