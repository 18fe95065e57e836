//! Tests of the laws of batteries.

use super::*;
use crate::close::{assert_close, assert_near};

const BCI: [(f64, f64, f64); 5] = [
    (1.00, 12.65, 1.265),
    (0.75, 12.45, 1.225),
    (0.50, 12.24, 1.190),
    (0.25, 12.06, 1.155),
    (0.00, 11.89, 1.120),
];

fn branch(volts: f64, milliohms: f64) -> Branch {
    Branch { at_rest: Volts(volts), resistance: Ohms(milliohms * 1e-3) }
}

mod published {
    use super::*;

    /// Battery Council International table of charge, six cells.
    #[test]
    fn rest_voltages_agree_with_the_bci_table() {
        for (charge, volts, gravity) in BCI {
            let by_gravity = voltage_from_specific_gravity(Ratio(gravity), 6).unwrap();
            assert_near(by_gravity.0, volts, 0.02);
            let by_charge = voltage_from_charge(Ratio(charge), 6).unwrap();
            assert_near(by_charge.0, volts, 0.018);
        }
    }

    /// Worked row of a workshop manual: 1.245 at 100 °F is 1.253.
    #[test]
    fn acid_of_1_245_at_100_fahrenheit_is_1_253() {
        let warm = Kelvin::from_celsius((100.0 - 32.0) / 1.8);
        assert_near(corrected_specific_gravity(Ratio(1.245), warm).0, 1.253, 0.0005);
    }

    /// Bode 1977, evaluated half-cell by half-cell.
    #[test]
    fn cell_voltages_agree_with_bode() {
        for (molality, volts) in [
            (1.0, 1.92200),
            (2.0, 1.97456),
            (3.0, 2.01675),
            (4.0, 2.05456),
            (5.0, 2.08961),
            (6.0, 2.12265),
            (7.0, 2.15407),
        ] {
            let cell = cell_voltage_from_molality(MolesPerKilogram(molality)).unwrap();
            assert_near(cell.0, volts, 2e-5);
        }
    }

    /// Jackey, SAE 2007-01-0778, 50 Ah example: 0.8 charge, 25 °C.
    #[test]
    fn the_circuit_model_at_0_8_charge_has_2_14424_volts() {
        let (warm, charge) = (Kelvin::from_celsius(25.0), Ratio(0.8));
        let cell = circuit_model_voltage(Volts(2.18), VoltsPerKelvin(0.0006), warm, charge);
        assert_near(cell.unwrap().0, 2.14424, 1e-5);
    }

    /// Afshar et al. 2017.
    #[test]
    fn iron_phosphate_half_full_of_lithium_has_3_3976_volts() {
        for (x, volts) in [(0.05, 3.4070), (0.5, 3.3976), (0.9, 3.3446), (0.95, 3.1876)] {
            assert_near(iron_phosphate_potential(Ratio(x)).unwrap().0, volts, 1e-4);
        }
    }

    /// SAE J537: 7.2 V at the cold-cranking current; half of it and 9.6 V in the load test.
    #[test]
    fn a_600_ampere_battery_has_at_most_9_milliohms_at_minus_18() {
        for (cranking, cold, load_test) in
            [(400.0, 13.50, 15.0), (600.0, 9.0, 10.0), (800.0, 6.75, 7.5), (1000.0, 5.4, 6.0)]
        {
            let (rest, full) = (Volts(12.6), Amperes(cranking));
            let bound = resistance_bound(rest, Volts(7.2), full).unwrap();
            assert_close(bound.0, cold * 1e-3, 1e-9);
            let bound = resistance_bound(rest, Volts(9.6), full * 0.5).unwrap();
            assert_close(bound.0, load_test * 1e-3, 1e-9);
        }
    }

    /// Load-test table in testers' manuals, °C.
    #[test]
    fn load_test_limits_agree_with_the_table_in_use() {
        for (celsius, volts) in [
            (21.1, 9.6),
            (15.6, 9.5),
            (10.0, 9.4),
            (4.4, 9.3),
            (-1.1, 9.1),
            (-6.7, 8.9),
            (-12.2, 8.7),
            (-17.8, 8.5),
        ] {
            let limit = load_test_limit(Kelvin::from_celsius(celsius)).unwrap();
            assert_near(limit.0, volts, 0.04);
        }
        assert_near(load_test_limit(Kelvin::from_celsius(10.0)).unwrap().0, 9.4, 0.001);
    }

    /// Arithmetic of two branches: one more milliohm, and unequal charge without load.
    #[test]
    fn one_milliohm_more_cable_moves_36_amperes_to_the_other_battery() {
        let shared = sharing(&[branch(12.6, 5.0), branch(12.6, 6.0)], Amperes(400.0)).unwrap();
        assert_near(shared.bus.0, 11.509_091, 1e-6);
        assert_near(shared.currents[0].0, 218.1818, 1e-4);
        assert_near(shared.currents[1].0, 181.8182, 1e-4);
        let idle = sharing(&[branch(12.7, 5.0), branch(12.5, 5.0)], Amperes(0.0)).unwrap();
        assert_near(idle.bus.0, 12.6, 1e-6);
        assert_near(idle.currents[0].0, 20.0, 1e-6);
        assert_near(idle.currents[1].0, -20.0, 1e-6);
    }

    /// Float voltage 2.30 V at 25 °C, 2.27 at 35 °C, 2.33 at 15 °C for −3 mV/K.
    #[test]
    fn float_voltage_falls_3_millivolts_for_each_kelvin() {
        for (celsius, volts) in [(15.0, 2.33), (25.0, 2.30), (35.0, 2.27)] {
            let cell = charging_voltage(
                Volts(2.30),
                VoltsPerKelvin(-0.003),
                Kelvin::from_celsius(celsius),
            );
            assert_near(cell.0, volts, 1e-9);
        }
    }
}

mod laws {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn shared_currents_sum_to_the_load(
            rest in proptest::collection::vec((11.0..13.5, 1.0..50.0), 1..6), load in -100.0..800.0,
        ) {
            let branches = rest.iter().map(|&(e, r)| branch(e, r)).collect::<Vec<_>>();
            let shared = sharing(&branches, Amperes(load)).unwrap();
            let sum: Amperes = shared.currents.iter().copied().sum();
            assert_near(sum.0, load, 1e-7);
            for (branch, current) in branches.iter().zip(&shared.currents) {
                let bus = branch.at_rest - branch.resistance * *current;
                assert_near(bus.0, shared.bus.0, 1e-9);
            }
        }

        #[test]
        fn a_battery_never_takes_more_amperes_than_it_lacks_ampere_hours(
            charging in 12.0..15.0, charge in 0.0..1.0,
        ) {
            let capacity = Coulombs::from_ampere_hours(70.0);
            let battery = branch(12.6, 8.0);
            let taken =
                charge_acceptance(Volts(charging), battery, capacity, Ratio(charge)).unwrap();
            prop_assert!(taken.0 >= 0.0 && taken.0 <= 70.0 * (1.0 - charge) + 1e-9);
            prop_assert!(charging > 12.6 || taken.0 <= 0.0);
        }
    }
}

mod refusals {
    use super::*;

    #[test]
    fn no_source_at_all_is_refused() {
        assert!(sharing(&[], Amperes(1.0)).is_err());
    }

    #[test]
    fn a_load_voltage_above_the_rest_voltage_is_refused() {
        assert!(resistance_bound(Volts(12.0), Volts(12.5), Amperes(100.0)).is_err());
    }
}
