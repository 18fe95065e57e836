//! Tests of the laws of resistance.

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

    /// Electrical aluminium is 61 % of annealed copper; Agrawal, Industrial Power Engineering
    /// handbook, p. 970: 55 % alloy has 0.00363 /K.
    #[test]
    fn aluminium_follows_the_rule_of_proportional_coefficients() {
        assert_close(ANNEALED_COPPER.0 / 0.61, 2.8264e-8, 1e-4);
        let alloy = proportional_coefficient(PerKelvin(0.00403), Ratio(0.61), Ratio(0.55));
        assert_close(alloy.0, 0.00363, 0.005);
    }

    /// Braid 48-32-30 is sold as equivalent to 3/0: 154 374 circular mils of 0.0100 in strand.
    #[test]
    fn braid_48_32_30_has_154_thousand_circular_mils() {
        let strand = Metres((gauge_area(30).0 * 4.0 / PI).sqrt());
        assert_close(braid_area(48, 32, strand).mm2() / 5.067_075e-4, 154_374.0, 0.002);
    }

    /// Marine installation guide: CM = K·I·L/E with K 10.75 Ω·cmil/ft, 10 A, 21 ft.
    #[test]
    fn ten_amperes_over_21_feet_need_6271_circular_mils_for_a_drop_of_0_36_volts() {
        let rho = OhmMetres(10.75 * 5.067_075e-10 / FOOT);
        for (drop, cmil, tolerance) in [(0.36, 6270.8, 1e-4), (1.2, 1881.0, 1e-3)] {
            let area = area_for_drop(rho, Amperes(10.0), Metres(21.0 * FOOT), Volts(drop));
            assert_close(area.unwrap().0 / 5.067_075e-10, cmil, tolerance);
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

    /// Exact two-disc formula in its other form, Rs/2π · ln(b + √(b² − 1)), b = D²/2a² − 1.
    #[test]
    fn two_discs_agree_with_the_logarithmic_form() {
        for (ratio, printed) in [(4.0, 0.41920), (10.0, 0.72970), (100.0, 1.46584)] {
            let ohms = two_discs_on_sheet(Ohms(1.0), Metres(1.0), Metres(ratio)).unwrap();
            assert_near(ohms.0, printed, 1e-5);
        }
    }

    /// The same with ln(D/a) in place of the exact form.
    #[test]
    fn small_discs_agree_with_the_approximation() {
        for (ratio, printed) in [(10.0, 0.73294), (100.0, 1.46587)] {
            let one = Metres(1.0);
            let ohms = unequal_discs_on_sheet(Ohms(1.0), one, one, Metres(ratio)).unwrap();
            assert_near(ohms.0, printed, 1e-5);
        }
    }

    /// ln(10) / 2π.
    #[test]
    fn a_ring_ten_times_wider_adds_0_36647_of_a_square() {
        let ohms = ring_constriction(Ohms(1.0), Metres(1.0), Metres(10.0)).unwrap();
        assert_near(ohms.0, 0.36647, 1e-5);
    }

    /// Holm, Electric Contacts, ch. 1: ρ/4a one side, and ρ/2πa for a half ball.
    #[test]
    fn a_5_mm_contact_on_a_steel_block_has_7_15_microohms() {
        let (steel, radius) = (OhmMetres(1.43e-7), Metres(0.005));
        assert_close(disc_on_half_space(steel, radius).unwrap().0, 7.15e-6, 1e-3);
        assert_close(hemisphere_in_half_space(steel, radius).unwrap().0, 4.55e-6, 1e-3);
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

        #[test]
        fn the_area_for_a_drop_has_that_drop(
            current in 0.1..1000.0, length in 0.01..100.0, drop in 0.001..10.0,
        ) {
            let (current, length) = (Amperes(current), Metres(length));
            let area = area_for_drop(ANNEALED_COPPER, current, length, Volts(drop)).unwrap();
            let ohms = resistance(ANNEALED_COPPER, length, area).unwrap();
            assert_close((ohms * current).0, drop, 1e-12);
        }

        #[test]
        fn a_far_edge_changes_nothing_and_a_near_edge_doubles(spacing in 50.0..5000.0) {
            let near = |edge| {
                two_discs_near_edge(Ohms(1.0), Metres(1.0), Metres(spacing), Metres(edge))
                    .unwrap().0
            };
            let open = two_discs_on_sheet(Ohms(1.0), Metres(1.0), Metres(spacing)).unwrap().0;
            assert_close(near(1e7), open, 0.001);
            prop_assert!(near(1.0) > 1.8 * open && near(1.0) < 2.0 * open);
        }

        #[test]
        fn a_braid_is_never_better_than_a_straight_conductor(angle in 0.0..1.4) {
            prop_assert!(braid_factor(Radians(angle)).unwrap().0 >= 1.0);
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

    #[test]
    fn overlapping_discs_are_refused() {
        assert!(two_discs_on_sheet(Ohms(1.0), Metres(1.0), Metres(1.9)).is_err());
    }
}
