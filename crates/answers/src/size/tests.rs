//! Checks of `size` against a worked example and by hand.

use serde_json::Value;
use units::{Amperes, Metres, SquareMetres, UnitSystem};

use super::Asked;
use super::families::Family;
use crate::refusal::Refused;
use crate::room::Question;
use crate::told::{Block, written};

struct Answer {
    json: Value,
    wants_attention: bool,
    /// Every paragraph.
    text: String,
}

fn arguments(current: &str, length: &str, drop: &str) -> Asked {
    Asked {
        current: Some(current.to_owned()),
        length: length.to_owned(),
        drop: Some(drop.to_owned()),
        ambient: Some("20 °C".to_owned()),
        joints: Some(0),
        ..Asked::default()
    }
}

/// The worked example: 10 A, 11 ft out and 10 ft back, a share of 12 V, no joints.
fn example(percent: &str) -> Asked {
    Asked {
        return_length: Some("10 ft".to_owned()),
        drop: None,
        percent: Some(percent.to_owned()),
        nominal: Some("12 V".to_owned()),
        ..arguments("10 A", "11 ft", "")
    }
}

fn answer(asked: &Asked) -> Answer {
    let found = asked.find(None, &mut |_| true).expect("nothing is wrong");
    let found = found.expect("nobody stopped it");
    let paragraphs = asked.told(&found).blocks.into_iter().filter_map(|block| match block {
        Block::Paragraph(own) => Some(written(&own.text, UnitSystem::Metric)),
        _ => None,
    });
    Answer {
        json: serde_json::to_value(asked.shape(&found)).expect("JSON"),
        wants_attention: asked.wants_attention(&found),
        text: paragraphs.collect::<Vec<_>>().join("\n"),
    }
}

/// All that is wrong, each as its argument, its value and what is wrong with it.
fn refused(asked: &Asked) -> Vec<String> {
    let Refused(all) = asked.find(None, &mut |_| true).expect_err("something is wrong");
    let said = |own: &crate::Refusal| match &own.place {
        Some(place) => format!("{} {} {}", place.key, place.text, own.what),
        None => own.what.clone(),
    };
    all.iter().map(said).collect()
}

/// A member of one family, `chosen`, `smaller` or `larger`.
fn member(answer: &Answer, family: Family, which: &str) -> Value {
    let families = answer.json["families"].as_array().expect("families");
    let found = families.iter().find(|found| found["family"] == family.name()).expect("a family");
    found[which].clone()
}

fn chosen(answer: &Answer, family: Family) -> String {
    member(answer, family, "chosen")["size"].as_str().expect("a size").to_owned()
}

fn assert_close(found: f64, expected: f64, share: f64) {
    assert!((found / expected - 1.0).abs() <= share, "{found} {expected}");
}

mod published {
    use super::*;
    use physics::conductor::resistance;
    use units::OhmMetres;
    use units::size::SQUARE_METRES_PER_CIRCULAR_MIL;

    /// ABYC E-11 worked example with K = 10.75 Ω·cmil/ft: 6270.8 circular mils at 3 %, so AWG 12,
    /// while SAE 12 of 5833 is too small and SAE 10 is taken.
    #[test]
    fn three_percent_of_12_volts_at_10_amperes_over_21_feet_takes_awg_12_or_sae_10() {
        let answer = answer(&example("3 %"));
        assert_eq!(chosen(&answer, Family::Awg), "12 AWG");
        assert_eq!(chosen(&answer, Family::Sae), "SAE 10");
        assert_eq!(member(&answer, Family::Sae, "smaller")["size"], "SAE 12");
        assert_eq!(member(&answer, Family::Sae, "smaller")["keeps_the_drop"], false);
    }

    /// The same example by the law that this command rests on: such an area loses 3 %.
    #[test]
    fn the_worked_example_needs_6270_8_circular_mils() {
        let k = OhmMetres(10.75 * SQUARE_METRES_PER_CIRCULAR_MIL / 0.3048);
        let path = Metres(21.0 * 0.3048);
        let area = SquareMetres(6270.8 * SQUARE_METRES_PER_CIRCULAR_MIL);
        let ohms = resistance(k, path, area).expect("an area");
        assert_close((ohms * Amperes(10.0)).0, 0.36, 1e-4);
    }

    /// The same example at 10 %: 1881 circular mils, so AWG 16.
    #[test]
    fn ten_percent_takes_awg_16() {
        assert_eq!(chosen(&answer(&example("10 %")), Family::Awg), "16 AWG");
    }

    /// IEC 60228 class 5: 0.554 mΩ/m for 35 mm², so 120 A over 3.2 m lose 212.7 mV; 25 mm² lose
    /// 299.5 mV.
    #[test]
    fn a_class_5_conductor_loses_its_iec_resistance_times_the_current() {
        let answer = answer(&arguments("120 A", "3.2 m", "0.25 V"));
        let chosen = member(&answer, Family::Flexible, "chosen");
        assert_eq!(chosen["size"], "35 mm²");
        assert_close(chosen["drop_volts"].as_f64().expect("volts"), 0.212_7, 1e-3);
        let smaller = member(&answer, Family::Flexible, "smaller");
        assert_close(smaller["drop_volts"].as_f64().expect("volts"), 0.299_5, 1e-3);
        assert_eq!(member(&answer, Family::Flexible, "larger")["size"], "50 mm²");
    }
}

mod laws {
    use super::*;

    #[test]
    fn joints_take_their_part_of_the_drop() {
        // Four lugs of 0.1 mΩ at 120 A lose 48 mV: 25 mm² with 299.5 mV no longer keeps 0.3 V.
        let without = arguments("120 A", "3.2 m", "0.3 V");
        assert_eq!(chosen(&answer(&without), Family::Flexible), "25 mm²");
        let with = answer(&Asked { joints: Some(4), ..without });
        assert_eq!(chosen(&with, Family::Flexible), "35 mm²");
        assert_close(with.json["joints"]["drop_volts"].as_f64().expect("volts"), 0.048, 1e-9);
    }

    #[test]
    fn each_conductor_has_two_joints_where_their_number_is_not_given() {
        let one = Asked { joints: None, ..arguments("120 A", "3.2 m", "0.3 V") };
        assert_eq!(answer(&one).json["joints"]["count"], 2);
        let both = Asked { return_length: Some("1 m".to_owned()), ..one };
        assert_eq!(answer(&both).json["joints"]["count"], 4);
    }

    #[test]
    fn a_warm_place_asks_for_more_metal() {
        // Copper has 1.236 times its resistance at 80 °C: 212.7 mV become 262.8 mV.
        let warm =
            Asked { ambient: Some("80 °C".to_owned()), ..arguments("120 A", "3.2 m", "0.25 V") };
        assert_eq!(chosen(&answer(&warm), Family::Flexible), "50 mm²");
    }

    #[test]
    fn the_chosen_size_keeps_the_drop_and_the_next_smaller_does_not() {
        for (current, length, drop) in
            [("5 A", "2 m", "0.1 V"), ("60 A", "5 m", "0.5 V"), ("300 A", "1.5 m", "0.2 V")]
        {
            let answer = answer(&arguments(current, length, drop));
            for family in [Family::Flexible, Family::RoadVehicle, Family::Awg, Family::Sae] {
                assert_eq!(member(&answer, family, "chosen")["keeps_the_drop"], true);
                assert_eq!(member(&answer, family, "smaller")["keeps_the_drop"], false);
            }
        }
    }

    #[test]
    fn a_current_that_warms_a_conductor_makes_it_lose_more() {
        let answer = answer(&arguments("120 A", "3.2 m", "0.3 V"));
        let chosen = member(&answer, Family::Flexible, "chosen");
        let (cold, warm) = (chosen["drop_volts"].as_f64(), chosen["warm_drop_volts"].as_f64());
        assert!(cold < warm, "{chosen}");
        let kelvin = chosen["settled_kelvin"].as_f64().expect("it settles");
        let factor = 1.0 + 0.003_93 * (kelvin - 293.15);
        assert_close(warm.expect("volts") / cold.expect("volts"), factor, 1e-9);
    }

    #[test]
    fn a_generous_drop_over_a_short_way_is_a_finding_of_heat() {
        let hot = Asked {
            insulation: Some("PVC 105".to_owned()),
            ..arguments("120 A", "0.3 m", "0.3 V")
        };
        let answer = answer(&hot);
        assert!(answer.wants_attention);
        assert!(answer.text.contains("PVC 105") || answer.text.contains("melts"));
    }

    #[test]
    fn no_size_is_invented_where_the_joints_take_all() {
        let answer = answer(&Asked { joints: Some(10), ..arguments("300 A", "1 m", "0.3 V") });
        assert!(answer.wants_attention);
        assert!(member(&answer, Family::Flexible, "chosen").is_null());
        assert!(answer.text.contains("The joints alone lose"), "{}", answer.text);
    }
}

mod refusals {
    use super::*;

    #[test]
    fn every_wrong_option_is_told_in_one_run() {
        let wrong = Asked {
            material: "unobtainium".to_owned(),
            ambient: Some("900 °C".to_owned()),
            ..arguments("120", "-3 m", "0.3")
        };
        let refused = refused(&wrong);
        let starts = ["current 120 ", "length -3 m ", "drop 0.3 ", "material ", "ambient 900 °C "];
        assert_eq!(refused.len(), starts.len(), "{refused:?}");
        for (own, start) in refused.iter().zip(starts) {
            assert!(own.starts_with(start), "{start}: {own}");
        }
    }

    #[test]
    fn three_without_a_sign_is_not_taken_for_three_percent() {
        assert_eq!(refused(&example("3")), ["percent 3 is 300 %"]);
    }

    #[test]
    fn a_size_without_a_drop_is_not_guessed() {
        let wrong = Asked { drop: None, ..arguments("120 A", "3 m", "") };
        assert_eq!(refused(&wrong), ["no drop is given"]);
    }

    /// A request has no parser of options that would refuse it before.
    #[test]
    fn what_only_a_vehicle_can_answer_is_refused_without_one() {
        let wrong = Asked {
            current: None,
            percent: Some("3 %".to_owned()),
            from: Some("block/front".to_owned()),
            price: vec!["35 mm²=9".to_owned()],
            recalled_curves: true,
            least: Some("11 V".to_owned()),
            fuse_kind: "breaker".to_owned(),
            ..arguments("", "3 m", "0.3 V")
        };
        let in_vehicle = "is asked of a conductor in a vehicle";
        assert_eq!(
            refused(&wrong),
            [
                format!("from block/front {in_vehicle}"),
                format!("recalled_curves true {in_vehicle}"),
                format!("price 35 mm²=9 {in_vehicle}"),
                "`--current` is not given".to_owned(),
                "percent 3 % stands beside `--drop`".to_owned(),
                "least 11 V is that of no load".to_owned(),
                "fuse_kind breaker is that of no fuse".to_owned(),
            ]
        );
    }

    #[test]
    fn a_request_that_names_only_what_it_asks_is_what_the_terminal_takes_it_for() {
        let request = r#"{"current": "60 A", "length": "2 m", "drop": "0.2 V", "joints": 0}"#;
        let read: Asked = serde_json::from_str(request).expect("a request");
        let same = Asked { ambient: None, ..arguments("60 A", "2 m", "0.2 V") };
        assert_eq!(read, same);
        assert!(serde_json::from_str::<Asked>(r#"{"lenght": "2 m"}"#).is_err());
    }
}
