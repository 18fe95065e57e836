//! How the current of a two-terminal device depends on the voltage across it, and its slope there.
//!
//! Current counts from the plus terminal through the device to the minus terminal, so that a
//! source delivers a negative current. Volts, amperes and ohms throughout.

/// Every device conducts at least this much, so that nothing floats freely: a gigaohm.
pub(crate) const LEAK_SIEMENS: f64 = 1e-9;

#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Law {
    /// Not connected.
    Off,
    /// A voltage behind a resistance, another one when charged.
    Battery { emf: f64, discharge: f64, charge: f64 },
    /// Holds `set` volts, less `droop` volts per ampere, between nothing and `limit` amperes or what
    /// `watts` allow.
    Regulated { set: f64, droop: f64, limit: f64, watts: f64 },
    /// Takes `watts`, but only so much that `floor` volts are left, and the drop over `ohms`.
    Input { watts: f64, floor: f64, ohms: f64 },
    /// Conducts above `drop` volts.
    Diode { drop: f64, ohms: f64 },
    /// `amps · (v / rated)^exponent` from the knee up, straight to zero below it.
    Power { amps: f64, rated: f64, exponent: f64, knee: f64 },
    /// A straight line of torque and speed, limited by the resistance at rest.
    Starter { amps: f64, rated: f64, follows: f64, stall: f64 },
    /// A settled preheat plug: resistance rises with the power it takes.
    Preheat { cold: f64, settled: f64, rated: f64 },
}

/// `i = slope · v + rest` near the voltage asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Tangent {
    pub slope: f64,
    pub rest: f64,
}

impl Law {
    /// The same law with its current multiplied, for a load that draws more or less than the file says.
    pub(crate) fn scaled(self, factor: f64) -> Self {
        match self {
            Self::Power { amps, rated, exponent, knee } => {
                Self::Power { amps: amps * factor, rated, exponent, knee }
            }
            Self::Starter { amps, rated, follows, stall } => {
                Self::Starter { amps: amps * factor, rated, follows, stall: stall / factor }
            }
            Self::Preheat { cold, settled, rated } => {
                Self::Preheat { cold: cold * factor, settled: settled * factor, rated }
            }
            other => other,
        }
    }

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
        let (amperes, slope) = match self {
            Self::Off => return (0.0, 0.0),
            Self::Battery { emf, discharge, charge } => {
                let ohms = if v < emf { discharge } else { charge };
                return ((v - emf) / ohms, 1.0 / ohms);
            }
            Self::Regulated { set, droop, limit, watts } => {
                let wanted = (set - v) / droop;
                let most = most_amperes(v, set, limit, watts);
                if wanted <= 0.0 {
                    (0.0, 0.0)
                } else if wanted < most {
                    (-wanted, 1.0 / droop)
                } else if most < limit && v > LEAST_OUTPUT * set {
                    (-most, most / v)
                } else {
                    (-most, 0.0)
                }
            }
            Self::Input { watts, floor, ohms } => {
                let held = (v - floor) / ohms;
                if held <= 0.0 {
                    (0.0, 0.0)
                } else if held * v < watts {
                    (held, 1.0 / ohms)
                } else {
                    (watts / v, -watts / (v * v))
                }
            }
            Self::Diode { drop, ohms } => {
                if v > drop {
                    ((v - drop) / ohms, 1.0 / ohms)
                } else {
                    (0.0, 0.0)
                }
            }
            Self::Power { amps, rated, exponent, knee } => {
                if v >= knee {
                    let amperes = amps * (v / rated).powf(exponent);
                    (amperes, exponent * amperes / v)
                } else {
                    let slope = amps * (knee / rated).powf(exponent) / knee;
                    (slope * v, slope)
                }
            }
            Self::Starter { amps, rated, follows, stall } => {
                let (line, slope) =
                    (amps * (1.0 - follows + follows * v / rated), amps * follows / rated);
                if v / stall < line { (v / stall, 1.0 / stall) } else { (line, slope) }
            }
            Self::Preheat { cold, settled, rated } => {
                let (cold, hot) = (rated / cold, rated / settled);
                let rise = (hot - cold) / (rated * settled);
                let root = (cold * cold + 4.0 * rise * v * v).sqrt();
                let ohms = (cold + root) / 2.0;
                let ohms_per_volt = 2.0 * rise * v / root;
                (v / ohms, (ohms - v * ohms_per_volt) / (ohms * ohms))
            }
        };
        (amperes + LEAK_SIEMENS * v, slope + LEAK_SIEMENS)
    }

    /// The voltage at which to look first: what the device would like to see; nothing when off.
    pub(crate) fn first_look(self) -> Option<f64> {
        match self {
            Self::Off => None,
            Self::Battery { emf, .. } => Some(emf - 1e-3),
            Self::Regulated { set, droop, limit, .. } => Some(set - droop * limit / 2.0),
            Self::Input { watts, floor, ohms } => Some(full_input(watts, floor, ohms)),
            Self::Diode { drop, .. } => Some(drop + 0.05),
            Self::Power { rated, .. }
            | Self::Starter { rated, .. }
            | Self::Preheat { rated, .. } => Some(rated),
        }
    }

    /// Where to look next when the law was taken at `from` volts and the network answered `to`.
    ///
    /// Away from its narrow regulating band a regulated source is flat, and the network's answer then
    /// leaps over the band to and fro; so the next look is taken inside it. Likewise for an input that
    /// takes all or nothing on either side of the band in which it holds its feed up.
    pub(crate) fn next_look(self, from: f64, to: f64) -> f64 {
        let (lowest, set) = match self {
            Self::Regulated { set, droop, limit, .. } => (set - droop * limit, set),
            Self::Input { watts, floor, ohms } => (floor, full_input(watts, floor, ohms)),
            _ => return to,
        };
        if (from < lowest && to > set) || (from > set && to < lowest) {
            f64::midpoint(lowest, set)
        } else {
            to
        }
    }

    /// True when it could hold a part of the network in place.
    pub(crate) fn connects(self) -> bool {
        !matches!(self, Self::Off)
    }
}

/// Share of the held voltage below which a limit of power says nothing any more.
const LEAST_OUTPUT: f64 = 1e-3;

/// The most that a regulated source delivers at `v` volts.
pub(crate) fn most_amperes(v: f64, set: f64, limit: f64, watts: f64) -> f64 {
    limit.min(watts / v.max(LEAST_OUTPUT * set))
}

/// The voltage from which an input gets all the power it wants: `(v − floor) v = watts · ohms`.
fn full_input(watts: f64, floor: f64, ohms: f64) -> f64 {
    f64::midpoint(floor, (floor * floor + 4.0 * watts * ohms).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const LAWS: [Law; 10] = [
        Law::Battery { emf: 12.6, discharge: 0.004, charge: 0.1 },
        Law::Regulated { set: 14.4, droop: 0.001, limit: 180.0, watts: f64::INFINITY },
        Law::Regulated { set: 14.4, droop: 0.001, limit: 30.0, watts: 120.0 },
        Law::Input { watts: 300.0, floor: 9.0, ohms: 0.005 },
        Law::Diode { drop: 0.6, ohms: 0.01 },
        Law::Power { amps: 5.0, rated: 13.5, exponent: 0.55, knee: 1.0 },
        Law::Power { amps: 20.0, rated: 12.0, exponent: -1.0, knee: 6.0 },
        Law::Power { amps: 20.0, rated: 12.0, exponent: 0.0, knee: 6.0 },
        Law::Starter { amps: 450.0, rated: 10.0, follows: 0.4, stall: 0.005 },
        Law::Preheat { cold: 25.0, settled: 9.0, rated: 12.0 },
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

    proptest! {
        /// Also at rest and below the knee: gradients take it for granted.
        #[test]
        fn a_factor_on_a_load_multiplies_its_current_at_every_voltage(v in 0.0_f64..16.0, factor in 0.1_f64..5.0) {
            for law in LAWS {
                if matches!(law, Law::Power { .. } | Law::Starter { .. } | Law::Preheat { .. }) {
                    let (before, after) = (law.amperes(v), law.scaled(factor).amperes(v));
                    prop_assert!((after - factor * before).abs() < 1e-6, "{law:?} {v}: {before} {after}");
                }
            }
        }
    }

    #[test]
    fn a_preheat_plug_draws_its_settled_current_at_its_rated_voltage() {
        let law = Law::Preheat { cold: 25.0, settled: 9.0, rated: 12.0 };
        assert!((law.amperes(12.0) - 9.0).abs() < 1e-6);
    }
}
