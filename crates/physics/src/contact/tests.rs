//! Tests of the laws of contact.

use super::*;
use crate::close::assert_close;

const COPPER: OhmMetres = OhmMetres(1.72e-8);
const ROOM: Kelvin = Kelvin(293.0);

mod published {
    use super::*;

    /// Holm: ρ / 2a; a copper spot of 10 µm and, of 0.5 mm, the same law at 1.724e-8 Ω·m.
    #[test]
    fn one_copper_spot_of_10_micrometres_has_0_860_milliohms() {
        let ohms = spot_resistance(COPPER, COPPER, Metres(10e-6)).unwrap();
        assert_close(ohms.0, 0.860e-3, 1e-9);
        let iacs = OhmMetres(1.7241e-8);
        assert_close(spot_resistance(iacs, iacs, Metres(0.5e-3)).unwrap().0, 17.24e-6, 1e-3);
    }

    /// Electrical Contacts: Principles and Applications, pp. 13–15: R = (ρ/2)·√(πH/F).
    #[test]
    fn clean_copper_under_100_newtons_has_35_7_microohms() {
        let of = |force| {
            let radius = spot_radius(Newtons(force), Pascals(5.5e8)).unwrap();
            (radius, spot_resistance(COPPER, COPPER, radius).unwrap())
        };
        let (radius, ohms) = of(100.0);
        let whole = clean_resistance(COPPER, COPPER, Pascals(5.5e8), Newtons(100.0)).unwrap();
        assert_close(whole.0, ohms.0, 1e-12);
        assert_close(radius.0, 241e-6, 0.003);
        assert_close(ohms.0, 35.7e-6, 0.002);
        assert_close(of(10_000.0).1.0, 3.57e-6, 0.002);
        // Contact data book: 9000 · 0.0172 · √(550 / 10 000 cN) µΩ, in units read from its size.
        assert_close(9000.0 * 0.0172 * (550.0_f64 / 10_000.0).sqrt() * 1e-6, ohms.0, 0.02);
    }

    /// Holm: σ / π a².
    #[test]
    fn a_thin_oxide_over_100_micrometres_adds_31_8_microohms() {
        let ohms = film_resistance(OhmSquareMetres(1e-12), Metres(100e-6)).unwrap();
        assert_close(ohms.0, 31.8e-6, 0.002);
    }

    /// Holm's melting voltages (from memory: Cu 0.43, Sn 0.13, Ag 0.37) against the law.
    #[test]
    fn melting_voltages_agree_with_holm() {
        for (melting, by_law, by_holm) in
            [(1358.0, 0.414, 0.43), (505.0, 0.129, 0.13), (1235.0, 0.375, 0.37)]
        {
            let volts = voltage_for_temperature(Kelvin(melting), ROOM).unwrap();
            assert_close(volts.0, by_law, 0.005);
            assert_close(volts.0, by_holm, 0.05);
        }
    }

    /// Arithmetic of the law: 0.12 V, 10 mV and 30 mV from 293 K.
    #[test]
    fn twelve_hundredths_of_a_volt_heat_a_contact_to_483_kelvin() {
        let rise = |volts| hottest_temperature(Volts(volts), ROOM).unwrap() - ROOM;
        assert_close(rise(0.12).0 + ROOM.0, 483.0, 0.005);
        assert_close(rise(0.010).0, 1.7, 0.03);
        assert_close(rise(0.030).0, 15.5, 0.03);
    }

    /// Arithmetic of the rough-face law, σ/m 7 µm, H/P 100.
    #[test]
    fn rough_copper_faces_at_a_hundredth_of_hardness_have_7_65_microohm_mm2() {
        let specific =
            specific_contact_resistance(COPPER, Metres(7e-6), Pascals(5.5e8), Pascals(5.5e6));
        assert_close(specific.unwrap().0, 7.65e-12, 0.005);
    }

    /// Two-dimensional Laplace solution, finite volumes extrapolated.
    #[test]
    fn streamline_ratios_agree_with_a_field_solution() {
        for (x, solved) in [
            (1.0, 1.207),
            (2.0, 0.768),
            (3.0, 0.669),
            (4.0, 0.625),
            (5.0, 0.600),
            (7.0, 0.571),
            (10.0, 0.550),
            (15.0, 0.533),
        ] {
            assert_close(streamline_ratio(Ratio(x)).unwrap().0, solved, 0.015);
        }
    }

    /// Bars 25 × 3 mm, overlap 30 mm, perfect interface.
    #[test]
    fn overlapping_copper_bars_of_25_by_3_mm_have_3_78_microohms() {
        let mm = Metres::from_mm;
        let none = OhmSquareMetres(0.0);
        let ohms = overlap_resistance(COPPER, mm(25.0), mm(3.0), mm(30.0), none).unwrap();
        assert_close(ohms.0, 3.78e-6, 0.015);
    }
}

mod laws {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn voltage_and_temperature_are_each_others_inverse(volts in 0.01..1.0, bodies in 200.0..500.0) {
            let hottest = hottest_temperature(Volts(volts), Kelvin(bodies)).unwrap();
            let back = voltage_for_temperature(hottest, Kelvin(bodies)).unwrap();
            assert_close(back.0, volts, 1e-6);
        }

        #[test]
        fn a_hundredfold_force_is_a_tenth_of_the_resistance_of_clean_faces(force in 1.0..1000.0) {
            let (force, more) = (Newtons(force), Newtons(100.0 * force));
            let by_law = resistance_under_force(Ohms(1.0), force, more, Ratio(0.5)).unwrap();
            assert_close(by_law.0, 0.1, 1e-12);
            let of = |force| {
                let radius = spot_radius(force, Pascals(5e8)).unwrap();
                spot_resistance(COPPER, COPPER, radius).unwrap()
            };
            assert_close(of(more) / of(force), 0.1, 1e-12);
        }

        #[test]
        fn many_spots_cannot_beat_the_circle_that_holds_them(spots in 1_u32..1000) {
            let cluster = Metres(1e-3);
            let ohms = cluster_resistance(COPPER, spots, Metres(1e-5), cluster).unwrap();
            prop_assert!(ohms > spot_resistance(COPPER, COPPER, cluster).unwrap());
        }

        #[test]
        fn the_streamline_ratio_falls_with_overlap_to_one_half(x in 1.0..100.0) {
            let at = |x| streamline_ratio(Ratio(x)).unwrap().0;
            prop_assert!(at(x * 1.01) < at(x) && at(x) > 0.5);
        }
    }

    #[test]
    fn a_tin_contact_passes_from_sound_through_soft_to_molten() {
        let state =
            |volts| contact_state(Volts(volts), ROOM, Kelvin(373.0), Kelvin(505.0)).unwrap();
        assert!(matches!(state(0.02), ContactState::Sound { .. }));
        assert!(matches!(state(0.10), ContactState::Softens { .. }));
        assert_eq!(state(0.15), ContactState::Melts);
    }
}

mod refusals {
    use super::*;

    #[test]
    fn an_overlap_shorter_than_the_thickness_is_refused() {
        let refused = streamline_ratio(Ratio(0.5)).unwrap_err();
        assert_eq!(
            refused.to_string(),
            "expected an overlap over a thickness of 1 or more, found 0.5"
        );
    }
}
