//! Checks of `groundloom limits` against the published limits and by hand.

use super::*;
use units::UnitSystem;

fn asked() -> Asked {
    Asked { units: UnitSystem::Metric, width: 80, json: false }
}

fn arguments(current: &str) -> Arguments {
    Arguments {
        current: current.to_owned(),
        length: None,
        size: None,
        joints: None,
        joint: "bolted lug".to_owned(),
        material: "copper".to_owned(),
        ambient: "20 °C".to_owned(),
        nominal: "12 V".to_owned(),
        circuit: None,
        part: None,
    }
}

/// 200 A through 1.2 m of 35 mm² between two lugs.
fn cable() -> Arguments {
    Arguments {
        length: Some("1.2 m".to_owned()),
        size: Some("35 mm²".to_owned()),
        joints: Some(2),
        ..arguments("200 A")
    }
}

fn answer(arguments: &Arguments) -> Answer {
    run(arguments, &asked()).unwrap_or_else(|failure| panic!("{}", failure.0))
}

fn row(answer: &Answer, key: &str) -> Value {
    let rows = answer.json["limits"].as_array().expect("limits");
    rows.iter().find(|row| row["key"] == key).expect(key).clone()
}

fn volts(value: &Value) -> f64 {
    value.as_f64().expect("volts")
}

fn assert_near(found: f64, expected: f64) {
    assert!((found - expected).abs() < 1e-9, "{found} {expected}");
}

mod published {
    use super::*;

    /// SAE J541: 0.20 V for each 100 A on light and medium duty, 12 V.
    #[test]
    fn j541_allows_four_tenths_of_a_volt_at_200_amperes() {
        let answer = answer(&arguments("200 A"));
        let row = row(&answer, "J541 light and medium duty, 12 V");
        assert_near(volts(&row["allowed_volts"]), 0.40);
        assert_eq!(row["follows_current"], true);
    }

    /// SAE J3053: 1.2 mΩ on medium duty, 12 V.
    #[test]
    fn a_limit_in_milliohms_grows_with_the_current() {
        let key = "J3053 medium duty, 12 V";
        assert_near(volts(&row(&answer(&arguments("500 A")), key)["allowed_volts"]), 0.60);
        assert_near(volts(&row(&answer(&arguments("250 A")), key)["allowed_volts"]), 0.30);
    }

    /// NAVEDTRA 14050: 0.4 V from post to starter terminal, whatever flows.
    #[test]
    fn a_fixed_limit_does_not_grow_with_the_current() {
        let key = "NAVEDTRA 14050 view A, 12 V";
        for current in ["100 A", "800 A"] {
            assert_near(volts(&row(&answer(&arguments(current)), key)["allowed_volts"]), 0.4);
        }
    }

    /// IEC 60228 class 5: 0.554 mΩ/m for 35 mm².
    #[test]
    fn expected_comes_from_length_size_and_joints() {
        let answer = answer(&cable());
        let expected = &answer.json["expected"];
        let conductor = 0.554e-3 * 1.2 * 200.0;
        assert_near(volts(&expected["conductor"]["drop_volts"]), conductor);
        // Two lugs of 0.1 mΩ, 0.05 to 0.5 mΩ.
        assert_near(volts(&expected["whole"]["typical_volts"]), conductor + 0.04);
        assert_near(volts(&expected["whole"]["low_volts"]), conductor + 0.02);
        assert_near(volts(&expected["whole"]["high_volts"]), conductor + 0.20);
    }
}

mod laws {
    use super::*;

    #[test]
    fn what_to_expect_is_told_before_any_limit() {
        let text = answer(&cable()).text;
        let expected = text.find("To expect at 200 A: 173 mV").expect("expected");
        let limit = text.find("SAE J541").expect("a limit");
        assert!(expected < limit, "{text}");
    }

    #[test]
    fn a_part_is_held_against_what_it_is_for() {
        let answer = answer(&cable());
        let whole = volts(&answer.json["expected"]["whole"]["typical_volts"]);
        let cable = row(&answer, "NAVEDTRA 14050 each cable, 12 V");
        assert_near(volts(&cable["expected_less_allowed_volts"]), whole - 0.2);
        let connection = row(&answer, "NAVEDTRA 14050 each connection, 12 V");
        assert_eq!(connection["measured_across"], "one joint");
        assert_near(volts(&connection["expected_volts"]), 0.1e-3 * 200.0);
        let switch = row(&answer, "NAVEDTRA 14050 each switch, 12 V");
        assert!(switch["measured_across"].is_null() && switch["expected_volts"].is_null());
    }

    #[test]
    fn a_limit_of_zero_is_called_no_measurable_drop() {
        let asked_for = Arguments {
            circuit: Some("starter".to_owned()),
            part: Some("connection".to_owned()),
            ..cable()
        };
        let answer = answer(&asked_for);
        let key = "TM 5-3820-256-24-4 each connection";
        assert_eq!(row(&answer, key)["asks_for_no_measurable_drop"], true);
        let words = answer.text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(words.contains("measurable"), "{words}");
    }

    #[test]
    fn only_limits_of_the_nominal_voltage_and_circuit_are_shown() {
        let asked_for = Arguments {
            nominal: "24 V".to_owned(),
            circuit: Some("starter".to_owned()),
            ..cable()
        };
        let answer = answer(&asked_for);
        let rows = answer.json["limits"].as_array().expect("limits");
        assert!(rows.iter().any(|row| row["key"] == "J541 heavy duty, 24 V"));
        for row in rows {
            assert_eq!(row["circuit"], "starter", "{row}");
            assert!(!row["key"].as_str().expect("a key").ends_with("12 V"), "{row}");
        }
    }

    #[test]
    fn common_practice_is_never_told_as_published() {
        let answer = answer(&cable());
        for row in answer.json["limits"].as_array().expect("limits") {
            assert_eq!(
                row["rule_set"] == "common practice",
                row["confidence"] == "common practice",
                "{row}"
            );
        }
        let words = answer.text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(words.contains("common practice: commonly taught"), "{words}");
        assert!(words.contains("none of them is a law for vehicles"), "{words}");
    }

    #[test]
    fn without_a_conductor_the_limits_stand_alone() {
        let answer = answer(&arguments("200 A"));
        assert!(answer.json["expected"].is_null());
        let whole = row(&answer, "J541 heavy duty, 12 V");
        assert!(whole["expected_less_allowed_volts"].is_null());
    }

    #[test]
    fn no_line_is_wider_than_the_terminal() {
        let text = answer(&cable()).text;
        for line in crate::style::bare(&text).lines() {
            assert!(line.chars().count() <= 80, "{line}");
        }
    }
}

mod refusals {
    use super::*;

    #[test]
    fn every_wrong_option_is_told_in_one_run() {
        let wrong = Arguments {
            size: Some("35".to_owned()),
            circuit: Some("lighting".to_owned()),
            nominal: "12".to_owned(),
            ..cable()
        };
        let refused = run(&wrong, &asked()).expect_err("wrong").0;
        for option in ["--size 35", "--circuit lighting", "--nominal 12"] {
            assert!(refused.contains(option), "{option}: {refused}");
        }
    }

    #[test]
    fn a_gauge_that_no_list_holds_is_refused() {
        let wrong = Arguments { size: Some("SAE 11".to_owned()), ..cable() };
        assert!(run(&wrong, &asked()).expect_err("wrong").0.contains("SAE 11"));
    }
}
