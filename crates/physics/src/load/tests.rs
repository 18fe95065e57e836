//! Tests of the laws of loads.

use super::*;
use crate::close::assert_close;
use proptest::prelude::*;

mod published {
    use super::*;

    /// Standard Handbook for Electrical Engineers, 11th ed., p. 22-8, for a lamp of 26.5 W at the
    /// 13.5 V of UN R37, run at 11.5 V: 0.9156 times its current.
    #[test]
    fn two_volts_less_take_8_percent_of_the_current_of_a_signal_lamp() {
        let rated = Volts(13.5);
        let amps = Amperes(26.5 / 13.5);
        let lamp = LoadLaw::Power { amps, rated, exponent: 0.55, knee: Volts(0.7) };
        assert_close(lamp.at(Volts(11.5)).current / amps, 0.9156, 1e-4);
    }

    /// Arithmetic of the law: 24 A cold, 8 A settled at 12 V, so 0.5 Ω and 1.5 Ω.
    #[test]
    fn a_plug_of_24_amperes_cold_and_8_settled_has_half_an_ohm_and_three_times_that() {
        let plug =
            LoadLaw::Preheat { cold: Amperes(24.0), settled: Amperes(8.0), rated: Volts(12.0) };
        assert_close(plug.at(Volts(12.0)).current.0, 8.0, 1e-12);
        assert_close(plug.at(Volts(1e-3)).current.0, 2e-3, 1e-4);
    }

    /// Lambert's W: the omega constant 0.567143, W(e) = 1, W(1000) = 5.249603 (Corless et al. 1996, and
    /// tables of the function).
    #[test]
    fn the_product_logarithm_is_that_of_the_tables() {
        for (number, printed) in
            [(0.0, 0.0), (1.0, 0.567_143_290), (std::f64::consts::E, 1.0), (1000.0, 5.249_602_852)]
        {
            assert!((product_logarithm(number) - printed).abs() < 1e-9, "{number}");
        }
    }

    /// What is said of every such thermistor: cold it is a plain resistor, its current has one largest
    /// value, and beyond that a rising voltage lowers it.
    #[test]
    fn the_current_of_a_steep_heater_rises_to_a_tip_and_falls_beyond_it() {
        let (cold, settled) = (Amperes(100.0), Amperes(10.0));
        let heater = LoadLaw::SelfRegulating { cold, settled, rated: Volts(12.0) };
        assert_close(heater.at(Volts(1e-3)).current.0, 100.0 / 12.0 * 1e-3, 1e-6);
        // The tip: β θ = 1, so V² = V_r² e / (β e^β).
        let steepness = 10.0_f64.ln();
        let tip = 12.0 * (1.0_f64.exp() / (steepness * steepness.exp())).sqrt();
        assert!(heater.at(Volts(tip)).slope.0.abs() < 1e-9);
        let largest = heater.at(Volts(tip)).current;
        assert!(heater.at(Volts(0.9 * tip)).current < largest);
        assert!(heater.at(Volts(1.1 * tip)).current < largest);
        assert!(largest > heater.at(Volts(12.0)).current);
    }

    /// A motor with magnets, worked through: 0.02 V·s, 12 mΩ, 1 V of brushes, against 2 N·m and
    /// 0.005 N·m·s. `I = [c (V − V_b) + kΦ T] / (c R + kΦ²)`, a straight line in the voltage.
    #[test]
    fn a_starter_draws_what_the_balance_of_torque_asks_for() {
        let (field, ohms, brush, torque, viscous) = (0.02, 0.012, 1.0, 2.0, 0.005);
        let by_torque =
            |v: f64| (viscous * (v - brush) + field * torque) / (viscous * ohms + field * field);
        let amps = by_torque(10.0);
        let follows = 10.0 * viscous / (viscous * ohms + field * field) / amps;
        let starter = LoadLaw::Starter {
            amps: Amperes(amps),
            rated: Volts(10.0),
            follows: Ratio(follows),
            stall: Ohms(ohms),
        };
        for volts in [7.0, 9.0, 12.0] {
            assert_close(starter.at(Volts(volts)).current.0, by_torque(volts), 1e-12);
        }
        assert_close(starter.at(Volts(0.5)).current.0, 0.5 / ohms, 1e-12);
    }
}

mod laws {
    use super::*;

    const LAWS: [LoadLaw; 6] = [
        LoadLaw::SelfRegulating {
            cold: Amperes(150.0),
            settled: Amperes(75.0),
            rated: Volts(13.5),
        },
        LoadLaw::Power { amps: Amperes(5.0), rated: Volts(13.5), exponent: 0.55, knee: Volts(1.0) },
        LoadLaw::Power {
            amps: Amperes(20.0),
            rated: Volts(12.0),
            exponent: -1.0,
            knee: Volts(6.0),
        },
        LoadLaw::Power { amps: Amperes(20.0), rated: Volts(12.0), exponent: 0.0, knee: Volts(6.0) },
        LoadLaw::Starter {
            amps: Amperes(450.0),
            rated: Volts(10.0),
            follows: Ratio(0.4),
            stall: Ohms(0.005),
        },
        LoadLaw::Preheat { cold: Amperes(25.0), settled: Amperes(9.0), rated: Volts(12.0) },
    ];

    proptest! {
        #[test]
        fn the_slope_is_how_the_current_changes(v in -2.0_f64..16.0) {
            for law in LAWS {
                let at = |v| law.at(Volts(v));
                let step = 1e-6;
                let secant = (at(v + step).current.0 - at(v - step).current.0) / (2.0 * step);
                let slopes = [at(v - step).slope.0, at(v + step).slope.0];
                let corner = (slopes[0] - slopes[1]).abs() > 0.01 * (1.0 + secant.abs());
                let off = (secant - at(v).slope.0).abs();
                prop_assert!(corner || off < 1e-3 * (1.0 + secant.abs()), "{law:?} {v}");
            }
        }

        /// Also at rest and below the knee: gradients take it for granted.
        #[test]
        fn a_factor_on_a_load_multiplies_its_current_at_every_voltage(
            v in 0.0_f64..16.0, factor in 0.1_f64..5.0,
        ) {
            for law in LAWS {
                let (before, after) = (law.at(Volts(v)).current, law.scaled(factor).at(Volts(v)).current);
                prop_assert!((after - before * factor).0.abs() < 1e-6, "{law:?} {v}");
            }
        }

        /// The heat balance: as warm as the power makes it, and the resistance that belongs to that.
        #[test]
        fn a_self_regulating_heater_is_as_warm_as_its_power_makes_it(
            volts in 0.1..30.0, factor in 1.01_f64..20.0,
        ) {
            let (settled, rated) = (Amperes(40.0), Volts(13.5));
            let heater = LoadLaw::SelfRegulating { cold: settled * factor, settled, rated };
            let current = heater.at(Volts(volts)).current;
            let rise = (Volts(volts) * current) / (rated * settled);
            let ohms = rated.0 / (settled.0 * factor) * factor.powf(rise);
            assert_close(volts / current.0, ohms, 1e-9);
        }

        #[test]
        fn the_settled_resistance_carries_its_own_power(volts in 0.1..30.0) {
            let (cold, settled, rated) = (Amperes(24.0), Amperes(9.0), Volts(12.0));
            let plug = LoadLaw::Preheat { cold, settled, rated };
            let current = plug.at(Volts(volts)).current.0;
            let (at_first, at_last) = ((rated / cold).0, (rated / settled).0);
            let each_watt = (at_last - at_first) / (rated * settled).0;
            assert_close(volts / current, at_first + each_watt * volts * current, 1e-9);
        }
    }

    #[test]
    fn the_power_of_a_self_regulating_heater_follows_the_voltage_less_than_that_of_a_resistance() {
        let heater = LAWS[0];
        let power = |volts: f64| volts * heater.at(Volts(volts)).current.0;
        let by_resistance = (11.0_f64 / 13.5).powi(2);
        assert!(power(11.0) / power(13.5) > by_resistance + 0.1);
    }

    #[test]
    fn every_load_draws_its_rated_current_at_its_rated_voltage() {
        for law in LAWS {
            assert_close(law.at(law.rated_volts()).current.0, law.rated_amps().0, 1e-12);
        }
    }
}
