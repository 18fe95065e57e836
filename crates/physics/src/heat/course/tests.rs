//! Times to temperatures and rounds of duty, against closed forms and SciPy's integrator.

use super::*;
use crate::adiabatic::COPPER;
use crate::close::{assert_close, assert_near};
use crate::heat::steady::cables::cable;
use crate::heat::wall::shape_factor;
use crate::heat::{Outcome, steady_temperature, time_constant};

const ROOM: Surroundings = Surroundings::alone(Kelvin(300.0));
const MELTING: Kelvin = Kelvin(1356.0);

fn settled(conductor: &ConductorThermal, current: Amperes) -> Kelvin {
    match steady_temperature(conductor, current, &ROOM, MELTING).unwrap() {
        Outcome::Settles(temperature) => temperature,
        Outcome::Exceeds(_) => panic!("it settles"),
    }
}

mod published {
    use super::*;
    use crate::heat::heat_capacity_per_metre;
    use crate::quantity::{
        JoulesPerCubicMetreKelvin, JoulesPerMetreKelvin, OhmsPerMetre, PerKelvin,
        WattsPerMetreKelvin,
    };
    use serde_json::Value;
    use units::{Metres, Ratio};

    fn number(value: &Value, key: &str) -> f64 {
        value[key].as_f64().unwrap_or_else(|| panic!("{key} of {value}"))
    }

    fn conductor(case: &Value) -> ConductorThermal {
        ConductorThermal {
            metal_diameter: Metres(number(case, "metal_metres")),
            outer_diameter: Metres(number(case, "outer_metres")),
            resistance_per_metre_at_20: OhmsPerMetre(number(case, "ohms_per_metre")),
            temperature_coefficient: PerKelvin(number(case, "per_kelvin")),
            insulation_conductivity: WattsPerMetreKelvin(number(case, "conductivity")),
            emissivity: Ratio(number(case, "emissivity")),
            heat_capacity_per_metre: JoulesPerMetreKelvin(number(case, "joules_per_metre_kelvin")),
        }
    }

    /// Against a line source with multipoles and the images of all, fitted in Python so that the
    /// cylinder's face has one temperature (`checks/transient_heating.py`).
    #[test]
    fn shape_factors_agree_with_a_field_solution() {
        let recorded: Value = serde_json::from_str(include_str!(
            "../../../../../checks/vectors/transient_heating.json"
        ))
        .expect("JSON");
        let cases = recorded["cases"].as_array().expect("cases");
        let beside: Vec<&Value> =
            cases.iter().filter(|case| case["metal_gap_metres"].is_f64()).collect();
        assert!(beside.len() >= 8);
        for case in beside {
            let gap = Metres(number(case, "metal_gap_metres"));
            let found = shape_factor(Metres(number(case, "outer_metres")), gap).unwrap();
            assert_close(found.0, number(case, "shape_factor"), 1e-9);
        }
    }

    /// `scipy.integrate.solve_ivp` on the same balance with the exact Prandtl number
    /// (`checks/transient_heating.py`). Ours takes the Prandtl term as a straight line, two
    /// thousandths of the convection, and follows the course to a thousandth.
    #[test]
    fn temperatures_and_times_agree_with_scipy() {
        let recorded: Value = serde_json::from_str(include_str!(
            "../../../../../checks/vectors/transient_heating.json"
        ))
        .expect("JSON");
        let cases = recorded["cases"].as_array().expect("cases");
        assert!(cases.len() >= 20);
        let (mut settling, mut timed) = (0, 0);
        for case in cases {
            let (thermal, name) = (conductor(case), &case["name"]);
            let current = Amperes(number(case, "amps"));
            let air = Kelvin(number(case, "air_kelvin"));
            let alone = Surroundings::alone(air);
            let derating = Ratio(number(case, "derating"));
            let metal_gap = case["metal_gap_metres"].as_f64().map(Metres);
            let room = Surroundings { derating, metal_gap, ..alone };
            let limit = Kelvin(number(case, "limit_kelvin"));
            for point in case["course"].as_array().expect("a course") {
                let after = Seconds(number(point, "seconds"));
                let expected = number(point, "kelvin");
                let found =
                    temperature_after(&thermal, current, after, air, &room, MELTING).unwrap();
                let Heating::Reaches(found) = found else { panic!("{name}: melts") };
                let near = 0.03 + 3e-3 * (expected - air.0);
                assert!(
                    (found.0 - expected).abs() < near,
                    "{name} {after:?}: {found:?} {expected}"
                );
            }
            let found = time_to_temperature(&thermal, current, air, &room, limit).unwrap();
            match case["limit_after_seconds"].as_f64() {
                Some(expected) => {
                    timed += 1;
                    // Close to where it settles a small error of heat is a large one of time.
                    let share = number(case, "time_tolerance");
                    let found = found.unwrap_or_else(|| panic!("{name}: never")).0;
                    assert!((found / expected - 1.0).abs() < share, "{name}: {found} {expected}");
                }
                None => {
                    settling += 1;
                    assert_eq!(found, None, "{name}");
                }
            }
        }
        assert!(settling >= 4 && timed >= 8, "{settling} {timed}");
    }

    /// The linear equation's closed form, T∞ − (T∞ − T₀) e^(−t/τ), within a kelvin of where it settles.
    #[test]
    fn near_where_it_settles_a_temperature_follows_the_exponential() {
        for (mm2, amps) in [(2.5, 25.0), (16.0, 90.0), (70.0, 240.0)] {
            let cable = cable(mm2, 18.2 / mm2, 1.6 * mm2.sqrt() + 0.8);
            let end = settled(&cable, Amperes(amps));
            let tau = time_constant(&cable, Amperes(amps), &ROOM, MELTING).unwrap().unwrap();
            for share in [0.2_f64, 0.5, 1.0, 2.0] {
                let (start, time) = (Kelvin(end.0 - 1.0), tau * share);
                let found =
                    temperature_after(&cable, Amperes(amps), time, start, &ROOM, MELTING).unwrap();
                let Heating::Reaches(found) = found else { panic!("it settles") };
                assert_near(found.0, end.0 - (-share).exp(), 0.02);
            }
        }
    }

    /// Where nothing has time to be lost, the closed form of IEC 60949.
    #[test]
    fn a_violent_current_takes_the_adiabatic_time_to_insulation_and_to_melting() {
        let area = SquareMetres::from_mm2(10.0);
        let mut bare = cable(10.0, 1.7241, 4.2);
        bare.outer_diameter = bare.metal_diameter;
        bare.heat_capacity_per_metre =
            heat_capacity_per_metre(&[(JoulesPerCubicMetreKelvin(3.45e6), area)]);
        bare.temperature_coefficient = PerKelvin(1.0 / 254.5);
        let current = Amperes(8000.0);
        for hot in [Kelvin::from_celsius(105.0), Kelvin::from_celsius(250.0), MELTING] {
            let found = time_to_temperature(&bare, current, ROOM.air, &ROOM, hot).unwrap().unwrap();
            let law = duration_to_temperature(&COPPER, current, area, ROOM.air, hot).unwrap();
            assert_close(found.0, law.0, 0.003);
        }
        let limit = Kelvin::from_celsius(105.0);
        let melts = time_to_melting(&bare, current, ROOM.air, &ROOM, limit, &COPPER, area, MELTING);
        let law = duration_to_temperature(&COPPER, current, area, ROOM.air, MELTING).unwrap();
        assert_close(melts.unwrap().unwrap().0, law.0, 0.003);
    }
}

mod laws {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn the_time_to_a_temperature_is_the_time_after_which_it_is_there(
            mm2 in 0.5..95.0, density in 1.0..30.0, rise in 5.0..400.0,
        ) {
            let cable = cable(mm2, 19.0 / mm2, 1.6 * mm2.sqrt() + 0.8);
            let (current, hot) = (Amperes(density * mm2), Kelvin(300.0 + rise));
            let time = time_to_temperature(&cable, current, ROOM.air, &ROOM, hot).unwrap();
            if let Some(time) = time {
                let there = temperature_after(&cable, current, time, ROOM.air, &ROOM, MELTING);
                if let Heating::Reaches(there) = there.unwrap() {
                    // Two ways of following the course, each with a dozen steps good to a hundredth of a
                    // kelvin and a thousandth of the rise.
                    assert_near(there.0, hot.0, 0.1 + 2e-2 * rise);
                }
            } else {
                prop_assert!(settled(&cable, current) <= hot);
            }
        }

        #[test]
        fn melting_comes_after_the_insulation_and_sooner_with_more_current(
            mm2 in 0.5..50.0, density in 30.0..200.0,
        ) {
            let cable = cable(mm2, 17.3 / mm2, 1.6 * mm2.sqrt() + 0.8);
            let (area, limit) = (SquareMetres::from_mm2(mm2), Kelvin::from_celsius(105.0));
            let melts = |amps: f64| -> Option<Seconds> {
                time_to_melting(&cable, Amperes(amps), ROOM.air, &ROOM, limit, &COPPER, area, MELTING)
                    .unwrap()
            };
            let current = density * mm2;
            let insulation: Option<Seconds> =
                time_to_temperature(&cable, Amperes(current), ROOM.air, &ROOM, limit).unwrap();
            if let Some(time) = melts(current) {
                prop_assert!(insulation.unwrap() < time);
                prop_assert!(melts(1.2 * current).unwrap() < time);
            }
        }

        #[test]
        fn a_round_of_duty_lies_about_its_root_mean_square(
            mm2 in 1.0..70.0, density in 1.0..8.0, share in 0.1_f64..0.9, decades in -2.0_f64..0.5,
        ) {
            let cable = cable(mm2, 19.0 / mm2, 1.6 * mm2.sqrt() + 0.8);
            let current = Amperes(density * mm2.powf(0.75));
            let mean = settled(&cable, current * share.sqrt());
            let tau = time_constant(&cable, current, &ROOM, MELTING).unwrap().unwrap();
            let period = tau * 10_f64.powf(decades);
            let round = cycle(&cable, current, period * share, period * (1.0 - share), &ROOM, MELTING);
            let Cycle { warmest, coolest } = round.unwrap().unwrap();
            let slack = 0.05 + 0.01 * (mean.0 - 300.0);
            prop_assert!(coolest.0 - slack < mean.0 && mean.0 < warmest.0 + slack);
            prop_assert!(warmest.0 < settled(&cable, current).0 + slack);
            prop_assert!(coolest.0 > 300.0 - slack);
        }
    }
}
