//! Tests of the laws of resistance.

use std::f64::consts::PI;

use units::Amperes;

use super::*;

mod published {
    use super::*;
    use crate::close::{assert_close, assert_near};

    const FOOT: f64 = 0.3048;

    /// ASTM B258: 0.005 in at gauge 36, ratio 92 in 39 steps.
    fn gauge_area(gauge: i32) -> SquareMetres {
        let diameter = 0.127e-3 * 92_f64.powf(f64::from(36 - gauge) / 39.0);
        SquareMetres(PI / 4.0 * diameter * diameter)
    }

    /// Annealed copper wire table of the NBS Handbook 100 kind, Ω per 1000 ft at 20 °C.
    #[test]
    fn copper_wire_from_4_0_to_24_gauge_agrees_with_the_wire_table() {
        let printed = [
            0.04901, 0.06180, 0.07793, 0.09827, 0.1239, 0.1563, 0.1970, 0.2485, 0.3133, 0.3951,
            0.4982, 0.6282, 0.7921, 0.9989, 1.260, 1.588, 2.003, 2.525, 3.184, 4.016, 5.064, 6.385,
            8.051, 10.15, 12.8, 16.14, 20.36, 25.67,
        ];
        for (gauge, ohms) in (-3..=24).zip(printed) {
            let found = resistance(ANNEALED_COPPER, Metres(1000.0 * FOOT), gauge_area(gauge));
            assert_close(found.unwrap().0, ohms, 0.001);
        }
    }

    /// IEC 60028: 10.371 Ω·cmil/ft is the same resistivity.
    #[test]
    fn a_circular_mil_foot_of_copper_is_10_371_ohms() {
        let mil = SquareMetres(PI / 4.0 * 25.4e-6 * 25.4e-6);
        assert_close(resistance(ANNEALED_COPPER, Metres(FOOT), mil).unwrap().0, 10.371, 1e-4);
    }

    /// Arithmetic of α = 0.00393 /K (IEC 60028).
    #[test]
    fn copper_at_100_celsius_has_1_3144_times_its_resistance_at_20() {
        let factor = temperature_factor(ANNEALED_COPPER_COEFFICIENT, Kelvin::from_celsius(100.0));
        assert_near(factor.0, 1.3144, 1e-4);
    }

    /// IEC 60228 correction to 20 °C, which uses the rounded coefficient 0.004.
    #[test]
    fn correction_to_20_celsius_agrees_with_iec_60228() {
        for (celsius, printed) in [(5.0, 1.064), (30.0, 0.962), (50.0, 0.893), (90.0, 0.781)] {
            let factor = temperature_factor(PerKelvin(0.004), Kelvin::from_celsius(celsius));
            assert_close(1.0 / factor.0, printed, 0.002);
        }
    }

    /// FAA AC 43.13-1B p. 11-22, Tables 11-7 and 11-8, 20 A (exact product where print is rounded).
    #[test]
    fn aircraft_wire_drops_agree_with_ac_43_13() {
        for (feet, ohms_per_1000_ft, printed, tolerance) in [
            (107.0, 0.44, 0.942, 0.015),
            (90.0, 0.28, 0.504, 0.015),
            (88.0, 2.02, 3.60, 0.015),
            (100.0, 3.06, 6.12, 0.015),
            (39.0, 1.26, 0.98, 0.005),
            (156.0, 1.26, 3.93, 0.005),
            (273.0, 1.26, 6.88, 0.005),
        ] {
            let area = SquareMetres(ANNEALED_COPPER.0 * 1000.0 * FOOT / ohms_per_1000_ft);
            let ohms = resistance(ANNEALED_COPPER, Metres(feet * FOOT), area).unwrap();
            assert_close((ohms * Amperes(20.0)).0, printed, tolerance);
        }
    }

    /// FAA AC 43.13-1B p. 11-22: L2 = 254.5 · L1 / (234.5 + T2); 15.5 ft at 181.6 °C.
    #[test]
    fn a_wire_at_181_6_celsius_may_be_9_48_feet_where_15_5_would_do_cold() {
        let coefficient = PerKelvin(1.0 / 254.5);
        let factor = temperature_factor(coefficient, Kelvin::from_celsius(181.6));
        assert_close(15.5 / factor.0, 9.48, 0.002);
    }

    /// Arithmetic on sheet steel of 1.43e-7 Ω·m.
    #[test]
    fn sheet_steel_of_0_8_mm_has_0_17875_milliohms_a_square() {
        let sheet = sheet_resistance(OhmMetres(1.43e-7), Metres::from_mm(0.8)).unwrap();
        assert_close(sheet.0, 0.178_75e-3, 1e-9);
    }
}

mod laws {
    use super::*;
    use crate::close::assert_close;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn resistance_scales_with_length_and_falls_with_area(
            length in 0.01..100.0, area in 1e-8..1e-3, factor in 0.1..10.0,
        ) {
            let of = |length, area| {
                resistance(ANNEALED_COPPER, Metres(length), SquareMetres(area)).unwrap().0
            };
            assert_close(of(length * factor, area), factor * of(length, area), 1e-12);
            assert_close(of(length, area * factor), of(length, area) / factor, 1e-12);
        }
    }
}

mod refusals {
    use super::*;

    #[test]
    fn zero_area_is_refused_with_its_value() {
        let refused = resistance(ANNEALED_COPPER, Metres(1.0), SquareMetres(0.0)).unwrap_err();
        assert_eq!(refused.to_string(), "expected a metal area above 0 m², found 0 m²");
    }
}
