//! Checks of bolts and their joints against printed torques and by hand.

use serde_json::Value;
use units::UnitSystem;

use super::*;
use crate::refusal::Refused;
use crate::room::Question as _;
use crate::told::{Block, Line};

const POUND_FORCE: f64 = 4.448_221_615_260_5;
const AMBULANCE: &str = include_str!("../../../../examples/rescue-ambulance.toml");
const BOAT: &str = include_str!("../../../../examples/harbour-workboat.toml");

/// An answer in each of its forms.
#[derive(Debug)]
struct Answer {
    json: Value,
    text: String,
    attention: bool,
}

fn run(asked: &Asked, vehicle: Option<&Vehicle>) -> Result<Answer, Refused> {
    let found = asked.find(vehicle, &mut |_| true)?.expect("nobody stops it");
    let mut text = String::new();
    for block in asked.told(&found).blocks {
        match block {
            Block::Paragraph(own) => text.push_str(&written(&own.text)),
            Block::Table(own) => {
                own.rows.iter().flatten().for_each(|cell| text.push_str(&written(cell)));
            }
            Block::Bars(_) | Block::Part(_) | Block::Gap => {}
        }
        text.push(' ');
    }
    let json = serde_json::to_value(asked.shape(&found)).expect("JSON");
    Ok(Answer { json, text, attention: asked.wants_attention(&found) })
}

fn written(line: &Line) -> String {
    crate::told::written(line, UnitSystem::Metric)
}

fn arguments(thread: &str) -> Asked {
    Asked { thread: Some(thread.to_owned()), ..Asked::default() }
}

fn with_torque(thread: &str, torque: &str) -> Asked {
    Asked { torque: Some(torque.to_owned()), ..arguments(thread) }
}

fn vehicle(text: &str) -> Vehicle {
    file::read(text.as_bytes()).vehicle.expect("no errors")
}

fn number(answer: &Answer, path: &str) -> f64 {
    answer.json.pointer(path).and_then(Value::as_f64).expect(path)
}

fn assert_close(found: f64, expected: f64, share: f64) {
    assert!((found / expected - 1.0).abs() <= share, "{found} {expected}");
}

mod sheets;

mod published {
    use super::*;

    /// Common practice, nut factor 0.20: 89 lbf·in on M6 is about 1900 lbf, 18 lbf·ft on M10 about
    /// 2750 lbf, 35 lbf·ft on M12 about 4400 lbf.
    #[test]
    fn trade_torques_give_the_clamp_forces_taught_with_them() {
        for (thread, torque, pounds) in
            [("M6", "10.06 N·m", 1900.0), ("M10", "24.4 N·m", 2750.0), ("M12", "47.5 N·m", 4400.0)]
        {
            let answer = run(&with_torque(thread, torque), None).expect(thread);
            let force = number(&answer, "/clamp_newtons/nominal");
            assert_close(force / POUND_FORCE, pounds, 0.02);
        }
    }

    /// SAE J429 clamp table as printed: 1/4-20 grade 2 at 75 % of proof, nut factor 0.20, is
    /// 1312 lbf and 5.4 lbf·ft.
    #[test]
    fn the_usual_torque_of_a_quarter_inch_grade_2_bolt_is_that_of_the_j429_table() {
        let asked_for = Asked {
            class: Some("grade 2".to_owned()),
            clamp: Some("1312 lbf".to_owned()),
            ..arguments("1/4-20")
        };
        let answer = run(&asked_for, None).expect("an answer");
        assert_close(number(&answer, "/usual_torque_newton_metres") / 1.355_818, 5.4, 0.015);
        assert_close(number(&answer, "/proof_share/nominal"), 0.75, 0.005);
    }

    /// NASA TM-106943 Table I: 1/4-28 lubricated, nominal 2011 lbf, least 1436, most 2514.
    #[test]
    fn the_spread_of_a_lubricated_bolt_is_that_of_nasa_tm_106943() {
        let asked_for = Asked {
            clamp: Some("2011 lbf".to_owned()),
            // One nut factor without a range leaves the scatter of the method alone.
            finish: "anti-seize".to_owned(),
            method: "torque wrench, lubricated".to_owned(),
            ..arguments("1/4-28")
        };
        let answer = run(&asked_for, None).expect("an answer");
        assert_close(number(&answer, "/clamp_newtons/low") / POUND_FORCE, 1436.0, 0.001);
        assert_close(number(&answer, "/clamp_newtons/high") / POUND_FORCE, 2514.0, 0.001);
    }
}

mod laws {
    use super::*;

    #[test]
    fn the_slope_of_the_thread_takes_its_share_of_the_torque_and_friction_the_rest() {
        let answer = run(&with_torque("M10", "40 N·m"), None).expect("an answer");
        let parts = ["pitch", "thread", "head"]
            .map(|part| number(&answer, &format!("/long_form/{part}_newton_metres")));
        assert_close(parts.iter().sum(), 40.0, 1e-9);
        // P/2π, 0.2387 mm, over K·d, 2.0 mm.
        assert_close(parts[0] / 40.0, 0.238_73 / 2.0, 1e-4);
    }

    #[test]
    fn torque_to_clamp_force_and_back_is_the_same_torque() {
        let there = run(&with_torque("M8", "20 N·m"), None).expect("there");
        let clamp = number(&there, "/clamp_newtons/nominal");
        assert_close(clamp, 12_500.0, 1e-9);
        let back = Asked { clamp: Some(format!("{clamp} N")), ..arguments("M8") };
        let back = run(&back, None).expect("back");
        assert_close(number(&back, "/torque_newton_metres"), 20.0, 1e-9);
    }

    #[test]
    fn running_torque_clamps_nothing() {
        let running =
            Asked { running_torque: Some("3 N·m".to_owned()), ..with_torque("M8", "23 N·m") };
        let running = run(&running, None).expect("an answer");
        assert_close(number(&running, "/clamp_newtons/nominal"), 12_500.0, 1e-9);
        let plain = run(&with_torque("M8", "20 N·m"), None).expect("an answer");
        for key in ["/usual_torque_newton_metres", "/torque_at_proof_newton_metres"] {
            assert_close(number(&running, key), number(&plain, key) + 3.0, 1e-9);
        }
    }

    #[test]
    fn at_the_torque_where_the_worst_case_meets_proof_it_does() {
        let first = run(&with_torque("M8", "20 N·m"), None).expect("an answer");
        assert!(!first.attention);
        let torque = number(&first, "/torque_at_proof_newton_metres");
        let at = run(&with_torque("M8", &format!("{torque} N·m")), None).expect("an answer");
        assert_close(number(&at, "/proof_share/high"), 1.0, 1e-9);
        let beyond = format!("{} N·m", torque * 1.01);
        let beyond = run(&with_torque("M8", &beyond), None).expect("an answer");
        assert!(beyond.attention);
        assert!(beyond.text.contains("stretches the bolt for good"), "{}", beyond.text);
    }

    #[test]
    fn stainless_galls_and_clamps_less_under_the_same_torque() {
        let zinc = Asked { finish: "zinc".to_owned(), ..with_torque("M8", "20 N·m") };
        let stainless = Asked { finish: "stainless".to_owned(), ..with_torque("M8", "20 N·m") };
        let force = |arguments: &Asked| {
            number(&run(arguments, None).expect("an answer"), "/clamp_newtons/nominal")
        };
        assert_close(force(&stainless) / force(&zinc), 0.20 / 0.36, 1e-9);
    }

    #[test]
    fn every_number_has_a_source_in_text_and_json() {
        let answer = run(&with_torque("M8", "20 N·m"), None).expect("an answer");
        let told = answer.text.split_whitespace().collect::<Vec<_>>().join(" ");
        for row in answer.json["basis"].as_array().expect("a basis") {
            let source = row["source"].as_str().expect("a source");
            assert!(told.contains(source), "{source}: {told}");
        }
        assert!(told.contains("The vehicle maker's torque overrides"), "{told}");
    }
}

mod refusals {
    use super::*;

    /// What was wrong, by its argument where it is one.
    fn refused(asked: &Asked) -> Vec<(Option<&'static str>, String)> {
        let refused = run(asked, None).expect_err("wrong").0.into_iter();
        refused.map(|own| (own.place.map(|place| place.key), own.expected)).collect()
    }

    #[test]
    fn every_wrong_option_is_told_in_one_run() {
        let wrong = Asked {
            finish: "zink".to_owned(),
            method: "by eye".to_owned(),
            ..with_torque("M9", "20")
        };
        let keys: Vec<_> = refused(&wrong).into_iter().filter_map(|own| own.0).collect();
        assert_eq!(keys, ["thread", "finish", "method", "torque"]);
    }

    #[test]
    fn a_running_torque_above_the_torque_is_refused() {
        let wrong =
            Asked { running_torque: Some("25 N·m".to_owned()), ..with_torque("M8", "20 N·m") };
        assert_eq!(refused(&wrong), [(None, "a running torque below 20 N·m".to_owned())]);
    }

    #[test]
    fn a_class_that_is_not_made_so_thin_is_refused() {
        let wrong =
            Asked { class: Some("8.8 above M16".to_owned()), ..with_torque("M8", "20 N·m") };
        assert!(run(&wrong, None).is_err());
    }

    /// The command line refuses these before it asks; a request comes as it is.
    #[test]
    fn a_request_that_says_too_little_or_too_much_is_refused() {
        let both = Asked { clamp: Some("12 kN".to_owned()), ..with_torque("M8", "20 N·m") };
        let without_vehicle = Asked::of_joint("main-negative.to");
        for asked in [Asked::default(), arguments("M8"), both, without_vehicle] {
            assert!(run(&asked, None).is_err(), "{asked:?}");
        }
        let boat = vehicle(BOAT);
        assert!(run(&with_torque("M8", "20 N·m"), Some(&boat)).is_err());
    }
}
