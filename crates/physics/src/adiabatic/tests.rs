//! Tests of the adiabatic and fusing laws.

use super::*;
use crate::close::assert_near;

fn celsius(degrees: f64) -> Kelvin {
    Kelvin::from_celsius(degrees)
}

mod published {
    use super::*;

    fn check_table(metal: &AdiabaticMetal, rows: &[(f64, f64, f64)]) {
        for &(initial, last, printed) in rows {
            let k = k_factor(metal, celsius(initial), celsius(last)).unwrap();
            // Tables print whole numbers, some rounded down.
            assert_near(k.0 * 1e-6, printed, 0.62);
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
}

mod laws {
    use super::*;
    use crate::close::assert_close;
    use proptest::prelude::*;

    proptest! {
        /// IEC 60949 solved for the last temperature: `β + θf = (β + θi) exp(I²t / (K² S²))`.
        #[test]
        fn in_the_time_to_a_temperature_the_heat_reaches_it(
            current in 10.0..1e5, mm2 in 0.1..200.0, start in 230.0..400.0, rise in 0.1..900.0,
        ) {
            let (current, area) = (Amperes(current), SquareMetres::from_mm2(mm2));
            for metal in [COPPER, ALUMINIUM, STEEL, LEAD] {
                let (start, end) = (Kelvin(start), Kelvin(start + rise));
                let time = duration_to_temperature(&metal, current, area, start, end).unwrap();
                let zero = metal.zero_resistance.0;
                let constant = metal.heat_capacity.0 * (293.15 - zero) / metal.resistivity.0;
                let heat = heating_integral(current, time).0 / (constant * area.0 * area.0);
                assert_close(zero + (start.0 - zero) * heat.exp(), end.0, 1e-9);
            }
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
