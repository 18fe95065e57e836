//! Checks of limits against the published ones and by hand.

use units::UnitSystem;

use super::*;
use crate::refusal::Refusal;
use crate::room::shape_of;
use crate::told::{Block, Line, Span};

fn asked(current: &str) -> Asked {
    Asked { current: current.to_owned(), ..Asked::default() }
}

/// 200 A through 1.2 m of 35 mm² between two lugs.
fn cable() -> Asked {
    Asked {
        length: Some("1.2 m".to_owned()),
        size: Some("35 mm²".to_owned()),
        joints: Some(2),
        ..asked("200 A")
    }
}

fn answer(asked: &Asked) -> Limits {
    shape_of(asked, ()).expect("an answer")
}

fn row<'l>(answer: &'l Limits, key: &str) -> &'l LimitBeside {
    answer.limits.iter().find(|row| row.key == key).expect(key)
}

fn assert_near(found: f64, expected: f64) {
    assert!((found - expected).abs() < 1e-9, "{found} {expected}");
}

/// All that is said, in one line.
fn words(asked: &Asked) -> String {
    fn line(own: &Line) -> String {
        own.iter().map(span).collect()
    }
    fn span(own: &Span) -> String {
        match own {
            Span::Words(words) | Span::Name(words) => words.clone(),
            Span::Quantity(own) => own.written(UnitSystem::Metric),
            Span::Toned { line: own, .. }
            | Span::Padded { line: own, .. }
            | Span::Unbroken { line: own } => line(own),
            Span::Attention => String::new(),
        }
    }
    let found = Found::of((), asked, &mut |_| true).expect("limits");
    let each = told::of(&found, asked).blocks.into_iter().map(|block| match block {
        Block::Paragraph(own) => line(&own.lead) + &line(&own.text),
        Block::Table(own) => {
            own.rows.iter().flatten().map(|cell| line(cell) + " ").collect::<String>()
        }
        Block::Bars(_) | Block::Part(_) | Block::Gap => String::new(),
    });
    each.collect::<Vec<_>>().join(" ")
}

fn refusals(asked: &Asked) -> Vec<Refusal> {
    Found::of((), asked, &mut |_| true).expect_err("wrong").0
}

mod published {
    use super::*;

    /// SAE J541: 0.20 V for each 100 A on light and medium duty, 12 V.
    #[test]
    fn j541_allows_four_tenths_of_a_volt_at_200_amperes() {
        let answer = answer(&asked("200 A"));
        let row = row(&answer, "J541 light and medium duty, 12 V");
        assert_near(row.allowed_volts, 0.40);
        assert!(row.follows_current);
    }

    /// SAE J3053: 1.2 mΩ on medium duty, 12 V.
    #[test]
    fn a_limit_in_milliohms_grows_with_the_current() {
        let key = "J3053 medium duty, 12 V";
        assert_near(row(&answer(&asked("500 A")), key).allowed_volts, 0.60);
        assert_near(row(&answer(&asked("250 A")), key).allowed_volts, 0.30);
    }

    /// NAVEDTRA 14050: 0.4 V from post to starter terminal, whatever flows.
    #[test]
    fn a_fixed_limit_does_not_grow_with_the_current() {
        let key = "NAVEDTRA 14050 view A, 12 V";
        for current in ["100 A", "800 A"] {
            assert_near(row(&answer(&asked(current)), key).allowed_volts, 0.4);
        }
    }

    /// IEC 60228 class 5: 0.554 mΩ/m for 35 mm².
    #[test]
    fn expected_comes_from_length_size_and_joints() {
        let expected = answer(&cable()).expected.expect("expected");
        let conductor = 0.554e-3 * 1.2 * 200.0;
        assert_near(expected.conductor.expect("a conductor").drop_volts, conductor);
        // Two lugs of 0.1 mΩ, 0.05 to 0.5 mΩ.
        assert_near(expected.whole.typical_volts, conductor + 0.04);
        assert_near(expected.whole.low_volts, conductor + 0.02);
        assert_near(expected.whole.high_volts, conductor + 0.20);
    }
}

mod laws {
    use super::*;

    #[test]
    fn what_to_expect_is_told_before_any_limit() {
        let text = words(&cable());
        let expected = text.find("To expect at 200 A: 173 mV").expect("expected");
        let limit = text.find("SAE J541").expect("a limit");
        assert!(expected < limit, "{text}");
    }

    #[test]
    fn a_part_is_held_against_what_it_is_for() {
        let answer = answer(&cable());
        let whole = answer.expected.as_ref().expect("expected").whole.typical_volts;
        let cable = row(&answer, "NAVEDTRA 14050 each cable, 12 V");
        assert_near(cable.expected_less_allowed_volts.expect("a distance"), whole - 0.2);
        let connection = row(&answer, "NAVEDTRA 14050 each connection, 12 V");
        assert_eq!(connection.measured_across, Some("one joint"));
        assert_near(connection.expected_volts.expect("volts"), 0.1e-3 * 200.0);
        let switch = row(&answer, "NAVEDTRA 14050 each switch, 12 V");
        assert_eq!((switch.measured_across, switch.expected_volts), (None, None));
    }

    #[test]
    fn a_limit_of_zero_is_called_no_measurable_drop() {
        let asked = Asked {
            circuit: Some("starter".to_owned()),
            part: Some("connection".to_owned()),
            ..cable()
        };
        let key = "TM 5-3820-256-24-4 each connection";
        assert!(row(&answer(&asked), key).asks_for_no_measurable_drop);
        let words = words(&asked);
        assert!(words.contains("no measurable drop"), "{words}");
    }

    #[test]
    fn only_limits_of_the_nominal_voltage_and_circuit_are_shown() {
        let asked =
            Asked { nominal: "24 V".to_owned(), circuit: Some("starter".to_owned()), ..cable() };
        let rows = answer(&asked).limits;
        assert!(rows.iter().any(|row| row.key == "J541 heavy duty, 24 V"));
        for row in rows {
            assert_eq!(row.circuit, "starter", "{row:?}");
            assert!(!row.key.ends_with("12 V"), "{row:?}");
        }
    }

    #[test]
    fn common_practice_is_never_told_as_published() {
        for row in answer(&cable()).limits {
            assert_eq!(
                row.rule_set == "common practice",
                row.sourced.confidence == "common practice",
                "{row:?}"
            );
        }
        let words = words(&cable());
        assert!(words.contains("common practice: commonly taught"), "{words}");
        assert!(words.contains("none of them is a law for vehicles"), "{words}");
    }

    #[test]
    fn without_a_conductor_the_limits_stand_alone() {
        let answer = answer(&asked("200 A"));
        assert_eq!(answer.expected, None);
        assert_eq!(row(&answer, "J541 heavy duty, 12 V").expected_less_allowed_volts, None);
    }
}

mod refused {
    use super::*;

    #[test]
    fn every_wrong_argument_is_told_at_once() {
        let wrong = Asked {
            size: Some("35".to_owned()),
            circuit: Some("lighting".to_owned()),
            nominal: "12".to_owned(),
            ..cable()
        };
        let refusals = refusals(&wrong);
        let places = refusals.iter().filter_map(|own| own.place.as_ref());
        let places: Vec<(&str, &str)> =
            places.map(|place| (place.key, place.text.as_str())).collect();
        assert_eq!(places, [("size", "35"), ("nominal", "12"), ("circuit", "lighting")]);
    }

    #[test]
    fn a_gauge_that_no_list_holds_is_refused() {
        let wrong = Asked { size: Some("SAE 11".to_owned()), ..cable() };
        let place = refusals(&wrong).pop().and_then(|own| own.place).expect("a place");
        assert!(place.text.contains("SAE 11"), "{place:?}");
    }

    #[test]
    fn a_length_without_a_size_is_refused_as_is_air_beyond_the_law() {
        let wrong = Asked { size: None, ambient: "300 °C".to_owned(), ..cable() };
        let refusals = refusals(&wrong);
        let keys = refusals.iter().filter_map(|own| Some(own.place.as_ref()?.key));
        assert_eq!(keys.collect::<Vec<_>>(), ["length", "ambient"]);
    }
}
