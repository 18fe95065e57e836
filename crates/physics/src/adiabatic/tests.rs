//! Tests of the adiabatic and fusing laws.

use super::*;
use crate::close::{assert_close, assert_near};

fn celsius(degrees: f64) -> Kelvin {
    Kelvin::from_celsius(degrees)
}

mod published {
    use super::*;

    fn check_table(metal: &AdiabaticMetal, rows: &[(f64, f64, f64)]) {
        for &(initial, last, printed) in rows {
            let k = k_factor(metal, celsius(initial), celsius(last)).unwrap();
            // Tables print whole numbers, some rounded down.
            assert_near(k.per_mm2(), printed, 0.62);
        }
    }

    /// NEN 1010 clause 543; BS 7671 Tables 43.1, 54.2 to 54.5.
    #[test]
    fn k_of_copper_agrees_with_iec_60364() {
        check_table(
            &COPPER,
            &[
                (70.0, 160.0, 115.0),
                (70.0, 140.0, 103.0),
                (90.0, 160.0, 100.0),
                (90.0, 140.0, 86.0),
                (60.0, 200.0, 141.0),
                (85.0, 220.0, 134.0),
                (90.0, 250.0, 143.0),
                (30.0, 160.0, 143.0),
                (30.0, 140.0, 133.0),
                (30.0, 220.0, 166.0),
                (30.0, 250.0, 176.0),
                (30.0, 150.0, 138.0),
                (30.0, 200.0, 159.0),
                (30.0, 500.0, 228.0),
            ],
        );
    }

    /// NEN 1010 clause 543; BS 7671 Tables 54.2 to 54.4.
    #[test]
    fn k_of_aluminium_agrees_with_iec_60364() {
        check_table(
            &ALUMINIUM,
            &[
                (70.0, 160.0, 76.0),
                (85.0, 220.0, 89.0),
                (90.0, 250.0, 94.0),
                (30.0, 160.0, 95.0),
                (30.0, 140.0, 88.0),
                (30.0, 220.0, 110.0),
                (30.0, 250.0, 116.0),
                (30.0, 150.0, 91.0),
                (30.0, 200.0, 105.0),
                (30.0, 300.0, 125.0),
                (60.0, 200.0, 93.0),
                (80.0, 200.0, 85.0),
            ],
        );
    }

    /// NEN 1010 clause 543; BS 7671 Tables 54.4 and 54.5.
    #[test]
    fn k_of_steel_and_lead_agrees_with_iec_60364() {
        check_table(
            &STEEL,
            &[
                (30.0, 160.0, 52.0),
                (30.0, 220.0, 60.0),
                (30.0, 250.0, 64.0),
                (30.0, 150.0, 50.0),
                (30.0, 200.0, 58.0),
                (30.0, 500.0, 82.0),
                (50.0, 160.0, 47.0),
                (60.0, 200.0, 51.0),
                (80.0, 200.0, 46.0),
            ],
        );
        check_table(&LEAD, &[(60.0, 200.0, 26.0), (80.0, 200.0, 23.0)]);
    }

    /// IEC 60364-5-54 clause 543.1: 12 kA for 0.02 s with k 143.
    #[test]
    fn twelve_kiloamperes_for_20_milliseconds_need_11_87_mm2() {
        let integral = heating_integral(Amperes(12_000.0), Seconds(0.02));
        let k = AmpereRootSecondsPerSquareMetre::from_per_mm2(143.0);
        assert_close(minimum_section(integral, k).unwrap().mm2(), 11.87, 0.001);
    }

    /// Onderdonk's form with the right sign, 234 + Ta.
    #[test]
    fn onderdonk_melts_2581_circular_mils_in_5_seconds_at_168_9_amperes() {
        let area = SquareMetres(2581.0 * CIRCULAR_MIL);
        let current = onderdonk_current(area, Seconds(5.0), celsius(25.0)).unwrap();
        assert_close(current.0, 168.9, 0.001);
        let area = SquareMetres(4110.0 * CIRCULAR_MIL);
        let time = onderdonk_duration(area, Amperes(400.0), celsius(25.0)).unwrap();
        assert_close(time.0, 2.26, 0.002);
    }

    /// The two independent forms for copper from 25 °C to melting: 288.7 and 287.6 A·√s/mm².
    #[test]
    fn onderdonk_agrees_with_the_iec_factor() {
        let one = SquareMetres::from_mm2(1.0);
        let current = onderdonk_current(one, Seconds(1.0), celsius(25.0)).unwrap();
        assert_close(current.0, 288.7, 0.005);
        let k = k_factor(&COPPER, celsius(25.0), COPPER_MELTING).unwrap();
        assert_close(k.per_mm2(), 287.6, 0.005);
    }

    /// ICEA P-32-382, copper from 90 to 250 °C.
    #[test]
    fn the_icea_form_gives_142_0_from_90_to_250_celsius() {
        let k = icea_copper_factor(celsius(90.0), celsius(250.0)).unwrap();
        assert_close(k.per_mm2(), 142.0, 0.001);
    }

    /// Printed fusing tables after Preece, d in inches.
    #[test]
    fn preece_diameters_agree_with_printed_fusing_tables() {
        let inch = 0.0254;
        let current = preece_current(PREECE_COPPER, Metres(0.0524 * inch)).unwrap();
        assert_close(current.0, 122.9, 0.005);
        for (factor, amperes, printed, tolerance) in [
            (PREECE_COPPER, 100.0, 0.0457, 0.003),
            (PREECE_ALUMINIUM, 100.0, 0.0558, 0.003),
            (PREECE_IRON, 100.0, 0.1003, 0.003),
            (PREECE_IRON, 10.0, 0.0216, 0.005),
            (PREECE_TIN, 10.0, 0.0334, 0.005),
            (PREECE_TIN_LEAD, 10.0, 0.0386, 0.005),
            (PREECE_LEAD, 10.0, 0.0375, 0.005),
        ] {
            let diameter = preece_diameter(factor, Amperes(amperes)).unwrap();
            assert_close(diameter.0 / inch, printed, tolerance);
        }
    }

    /// The same factors as printed for millimetres.
    #[test]
    fn preece_factors_agree_with_their_millimetre_form() {
        for (factor, printed) in [
            (PREECE_COPPER, 80.0),
            (PREECE_ALUMINIUM, 59.2),
            (PREECE_IRON, 24.6),
            (PREECE_TIN, 12.8),
            (PREECE_LEAD, 10.8),
        ] {
            let one = preece_current(factor, Metres::from_mm(1.0)).unwrap();
            assert_close(one.0, printed, 0.005);
        }
    }
}

mod laws {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn the_final_temperature_of_the_time_to_a_temperature_is_that_temperature(
            current in 10.0..1e5, mm2 in 0.1..200.0, start in 230.0..400.0, rise in 0.1..900.0,
        ) {
            let (current, area) = (Amperes(current), SquareMetres::from_mm2(mm2));
            for metal in [COPPER, ALUMINIUM, STEEL, LEAD] {
                let (start, end) = (Kelvin(start), Kelvin(start + rise));
                let time = duration_to_temperature(&metal, current, area, start, end).unwrap();
                let integral = heating_integral(current, time);
                let found = final_temperature(&metal, integral, area, start).unwrap();
                assert_close(found.0, end.0, 1e-9);
            }
        }

        #[test]
        fn the_minimum_section_goes_with_the_current(current in 1.0..1e5, factor in 0.1..10.0) {
            let k = AmpereRootSecondsPerSquareMetre::from_per_mm2(115.0);
            let section = |current| {
                minimum_section(heating_integral(Amperes(current), Seconds(0.1)), k).unwrap().0
            };
            assert_close(section(current * factor), factor * section(current), 1e-12);
        }

        #[test]
        fn preece_round_trip(current in 0.1..500.0) {
            let diameter = preece_diameter(PREECE_COPPER, Amperes(current)).unwrap();
            let found = preece_current(PREECE_COPPER, diameter).unwrap();
            assert_close(found.0, current, 1e-12);
        }
    }
}

mod refusals {
    use super::*;

    #[test]
    fn a_final_temperature_below_the_first_is_refused() {
        assert!(k_factor(&COPPER, celsius(90.0), celsius(70.0)).is_err());
    }
}
