//! Tests of the laws of threaded fasteners.

use super::*;
use crate::close::{assert_close, assert_near};

const INCH: f64 = 0.0254;
const POUND: f64 = 4.448_22;
const KSI: f64 = 6.894_76e6;

fn metric(diameter: f64, pitch: f64) -> Thread {
    Thread::new(Metres::from_mm(diameter), Metres::from_mm(pitch)).unwrap()
}

fn unified(inches: f64, per_inch: f64) -> Thread {
    Thread::new(Metres(inches * INCH), Metres(INCH / per_inch)).unwrap()
}

/// Stress area of a unified bolt, π/4 · (D − 0.9743 P)² (NASA TM-106943 eq. 4).
fn unified_stress_area(thread: &Thread) -> SquareMetres {
    SquareMetres(PI / 4.0 * (thread.diameter - 0.9743 * thread.pitch).0.powi(2))
}

mod published {
    use super::*;

    /// Speck, Mechanical Fastening, Joining, and Assembly, p. 85: 0.190 in, 1275 lbf.
    #[test]
    fn torques_of_a_number_10_screw_agree_with_speck() {
        for (k, printed) in [(0.30, 72.7), (0.25, 60.6), (0.20, 48.5), (0.15, 36.3), (0.10, 24.2)] {
            let torque = tightening_torque(Newtons(1275.0 * POUND), Ratio(k), Metres(0.190 * INCH));
            assert_close(torque.0 / (POUND * INCH), printed, 0.002);
        }
    }

    /// SAE J429 grade 2 clamp table: 75 % of proof, K 0.20; printed torques are rounded.
    #[test]
    fn grade_2_clamp_loads_agree_with_the_j429_table() {
        for (size, per_inch, clamp, pound_feet, tolerance) in
            [(0.25, 20.0, 1312.0, 5.4, 0.015), (0.3125, 18.0, 2162.0, 11.3, 0.025)]
        {
            let thread = unified(size, per_inch);
            let force = Pascals(0.75 * 55.0 * KSI) * unified_stress_area(&thread);
            assert_close(force.0 / POUND, clamp, 0.001);
            let torque = tightening_torque(force, Ratio(0.20), thread.diameter());
            assert_close(torque.0 / (12.0 * POUND * INCH), pound_feet, tolerance);
        }
    }

    /// NASA TM-106943 Table I: A-286, 0.65 · 85 ksi, scatter 25 %, embedment 5 %.
    #[test]
    fn preloads_of_a286_bolts_agree_with_nasa_tm_106943() {
        for (size, per_inch, nominal, low, high, tolerance) in [
            (0.25, 28.0, 2011.0, 1436.0, 2514.0, 0.002),
            (0.190, 32.0, 1105.0, 789.0, 1381.0, 0.002),
            (0.375, 24.0, 4851.0, 3465.0, 6064.0, 0.001),
        ] {
            let thread = unified(size, per_inch);
            let force = Pascals(0.65 * 85.0 * KSI) * unified_stress_area(&thread);
            let torque = tightening_torque(force, Ratio(0.2), thread.diameter());
            let range =
                clamp_range(torque, Ratio(0.2), thread.diameter(), Ratio(0.25), Ratio(0.05));
            let range = range.unwrap();
            assert_close(range.nominal.0 / POUND, nominal, tolerance);
            assert_close(range.low.0 / POUND, low, tolerance);
            assert_close(range.high.0 / POUND, high, tolerance);
        }
    }

    /// NASA TM-106943 eq. 14–16.
    #[test]
    fn scatter_of_a_quarter_and_5_percent_embedment_span_0_714_to_1_25() {
        let one = Metres(1.0);
        let range = clamp_range(NewtonMetres(1.0), Ratio(1.0), one, Ratio(0.25), Ratio(0.05));
        let range = range.unwrap();
        assert_close(range.low.0, 0.7143, 0.001);
        assert_close(range.high.0, 1.25, 0.001);
    }

    /// ISO 898-1: nominal stress areas, proof stresses and the proof loads printed beside them.
    #[test]
    fn the_iso_898_1_proof_load_is_one_whole_share() {
        for (area, proof_mpa, newtons) in
            [(36.6, 580.0, 21_200.0), (58.0, 830.0, 48_100.0), (20.1, 380.0, 7640.0)]
        {
            let area = SquareMetres::from_mm2(area);
            let share = proof_share(Newtons(newtons), area, Pascals(proof_mpa * 1e6)).unwrap();
            assert_close(share.0, 1.0, 0.007);
        }
    }

    /// VDI 2230 (2001) fine-thread table, class 8.8 (640 N/mm²), 90 % of yield: the torque printed
    /// beside each clamp force. Printed torques are whole numbers, so that of M10 may be out by one half.
    #[test]
    fn assembly_values_agree_with_the_vdi_2230_fine_thread_table() {
        for (d, p, dw, dh, mu, kilonewtons, torque, tolerance) in [
            (8.0, 1.0, 11.63, 9.0, 0.12, 20.2, 26.1, 0.005),
            (10.0, 1.25, 14.63, 11.0, 0.10, 32.4, 44.0, 0.01),
            (10.0, 1.25, 14.63, 11.0, 0.14, 30.8, 57.0, 0.01),
            (16.0, 1.5, 22.49, 17.5, 0.12, 87.6, 218.0, 0.005),
        ] {
            let thread = metric(d, p);
            let (force, mu) = (Newtons(kilonewtons * 1e3), Ratio(mu));
            let bearing = Metres::from_mm((dw + dh) / 2.0);
            let shares = torque_shares(force, &thread, mu, mu, bearing).unwrap();
            assert_close(shares.total().0, torque, tolerance);
        }
    }

    /// NASA TM-106943 eq. 2 with μ 0.15: "about 0.2 whatever the size".
    #[test]
    fn nut_factor_at_friction_0_15_is_about_0_2_whatever_the_size() {
        let friction = Ratio(0.15);
        for (thread, printed) in [
            (unified(0.25, 20.0), 0.202),
            (metric(8.0, 1.25), 0.197),
            (unified(0.375, 16.0), 0.199),
            (unified(0.5, 13.0), 0.197),
        ] {
            assert_close(nut_factor(&thread, friction, friction).unwrap().0, printed, 0.01);
        }
    }

    /// Arithmetic of the VDI form, M10 at μ 0.12.
    #[test]
    fn torque_of_an_m10_bolt_goes_15_38_and_47_percent() {
        let friction = Ratio(0.12);
        let bearing = Metres::from_mm((14.63 + 11.0) / 2.0);
        let thread = metric(10.0, 1.5);
        let shares = torque_shares(Newtons(1.0), &thread, friction, friction, bearing).unwrap();
        let total = shares.total();
        assert_near(shares.pitch / total, 0.146, 0.0015);
        assert_near(shares.thread / total, 0.383, 0.004);
        assert_near(shares.head / total, 0.471, 0.005);
    }

    /// Arithmetic of T = K d F.
    #[test]
    fn twenty_newton_metres_clamp_an_m8_with_12_5_kilonewtons() {
        let d = Metres::from_mm(8.0);
        let range =
            clamp_range(NewtonMetres(20.0), Ratio(0.20), d, Ratio(0.25), Ratio(0.0)).unwrap();
        assert_close(range.nominal.0, 12_500.0, 1e-12);
        assert_close(range.low.0, 9375.0, 1e-12);
        assert_close(range.high.0, 15_625.0, 1e-12);
        let share =
            proof_share(range.nominal, SquareMetres::from_mm2(36.6), Pascals(580e6)).unwrap();
        assert_near(share.0, 0.59, 0.005);
    }
}

mod laws {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn torque_to_clamp_and_back(torque in 0.1..500.0, k in 0.08..0.5, mm in 3.0..30.0) {
            let (k, d) = (Ratio(k), Metres::from_mm(mm));
            let force = clamp_force(NewtonMetres(torque), k, d).unwrap();
            assert_close(tightening_torque(force, k, d).0, torque, 1e-12);
        }

        #[test]
        fn friction_of_a_test_is_the_friction_that_made_it(
            mu in 0.01..0.5, force in 100.0..1e5, mm in 4.0..20.0,
        ) {
            let thread = metric(mm, 0.15 * mm);
            let bearing = Metres::from_mm(1.3 * mm);
            let torque = torque_shares(Newtons(force), &thread, Ratio(mu), Ratio(mu), bearing)
                .unwrap()
                .total();
            let found = friction_of_test(torque, Newtons(force), &thread, bearing).unwrap();
            assert_close(found.0, mu, 1e-9);
        }

        #[test]
        fn the_angle_form_and_the_torque_form_agree_within_2_percent(mu in 0.05..0.25) {
            let thread = metric(10.0, 1.5);
            let k = nut_factor(&thread, Ratio(mu), Ratio(mu)).unwrap();
            let bearing = Metres::from_mm(12.5);
            let shares =
                torque_shares(Newtons(1000.0), &thread, Ratio(mu), Ratio(mu), bearing).unwrap();
            let short = tightening_torque(Newtons(1000.0), k, thread.diameter());
            assert_close(short.0, shares.total().0, 0.02);
        }

        #[test]
        fn pressure_times_area_is_the_force(
            force in 0.0_f64..1e5, hole in 1.0_f64..20.0, wide in 1.0_f64..30.0,
        ) {
            let outer = Metres::from_mm(hole + wide);
            let p = ring_pressure(Newtons(force), outer, Metres::from_mm(hole)).unwrap();
            let area = std::f64::consts::PI / 4.0 * 1e-6 * ((hole + wide).powi(2) - hole * hole);
            prop_assert!((p.0 * area - force).abs() < 1e-9 * force.max(1.0));
        }
    }
}

mod refusals {
    use super::*;

    #[test]
    fn a_ring_without_metal_bears_nothing() {
        let d = Metres::from_mm(9.0);
        assert!(ring_pressure(Newtons(1.0), d, d).is_err());
        assert!(ring_pressure(Newtons(-1.0), d, Metres::ZERO).is_err());
    }

    #[test]
    fn a_pitch_of_half_the_diameter_is_refused() {
        assert!(Thread::new(Metres::from_mm(2.0), Metres::from_mm(1.0)).is_err());
    }
}
