//! Lines as statements, each with its place, against a vehicle file.

use proptest::prelude::*;

use super::super::read as file_of;
use super::super::tests::vehicle;
use super::*;

fn told(line: &str) -> Vec<(String, Kind)> {
    let vehicle = vehicle();
    let all = statements(line, &vehicle, &Vocabulary::of(&vehicle), 1);
    all.into_iter().map(|own| (line[own.span.clone()].to_owned(), own.kind())).collect()
}

fn check(line: &str, expected: &[(&str, Kind)]) {
    let own = told(line);
    let own: Vec<(&str, Kind)> = own.iter().map(|(text, kind)| (text.as_str(), *kind)).collect();
    assert_eq!(own, expected, "{line}");
}

#[test]
fn every_kind_of_statement_is_told_from_the_others() {
    check(
        "battery plus to starter stud 0.3 V cranking",
        &[("battery plus to starter stud 0.3 V cranking", Kind::Reading)],
    );
    check(
        "the body strap gets hot while cranking",
        &[("the body strap gets hot while cranking", Kind::Observation)],
    );
    check("new starter, no change", &[("new starter, no change", Kind::Trial)]);
    check(
        "jump lead from block/front to main/-: starter better",
        &[("jump lead from block/front to main/-: starter better", Kind::Trial)],
    );
    check("only when wet", &[("only when wet", Kind::Symptom)]);
    check("block/front to main/- 0.2 ohm", &[("block/front to main/- 0.2 ohm", Kind::Nothing)]);
    check("battery 102 V cranking", &[("battery 102 V cranking", Kind::Question)]);
    check("three blue ducks", &[("three blue ducks", Kind::Remark)]);
}

#[test]
fn each_of_several_statements_is_found_where_it_stands() {
    check(
        "cranking: main 10.2 V, block/front to main/- 0.4 V; three 9.9 V ducks",
        &[
            ("cranking: main 10.2 V", Kind::Reading),
            ("block/front to main/- 0.4 V", Kind::Reading),
            ("three 9.9 V ducks", Kind::Question),
        ],
    );
}

#[test]
fn a_line_of_a_file_may_tell_several_things_in_plain_words() {
    let text = "# said on the phone\ncranking: battery 10.2 V, starter case to battery minus 0.4 V\nthe cable gets hot\n";
    let own = file_of(text.as_bytes(), &vehicle());
    let numbers: Vec<u32> = own.readings.iter().map(|own| own.number).collect();
    assert_eq!(numbers, [1, 2]);
    assert_eq!(own.kept.len(), 1);
    assert_eq!(own.kept[0].number, 3);
    assert_eq!(text.get(own.problems[0].place.clone()), Some("cable"));
}

#[test]
fn a_slipped_decimal_point_is_asked_back_with_both_values() {
    let vehicle = vehicle();
    let words = Vocabulary::of(&vehicle);
    for (line, meant) in [
        ("battery 102 V cranking", "10.20 V"),
        ("battery 9.6 mV cranking", "9.60 V"),
        ("cranking: main 98 V", "9.80 V"),
    ] {
        let own = statement(line, &vehicle, &words, 1);
        let What::Question(own) = own.what else { panic!("{line}: {:?}", own.what) };
        assert_eq!(own.meanings.len(), 2, "{line}");
        assert!(own.meanings[0].contains(meant), "{:?}", own.meanings);
        let first = statement(&own.meanings[0], &vehicle, &words, 1);
        assert_eq!(first.kind(), Kind::Reading, "{:?}", own.meanings);
    }
    for line in ["battery 10.2 V cranking", "battery 24.6 V at rest", "battery 3 V cranking"] {
        assert_eq!(statement(line, &vehicle, &words, 1).kind(), Kind::Reading, "{line}");
    }
}

#[test]
fn a_cable_of_either_side_is_asked_back_with_both_sides() {
    let vehicle = vehicle();
    let own = statement(
        "the battery cable gets hot while cranking",
        &vehicle,
        &Vocabulary::of(&vehicle),
        1,
    );
    let What::Question(own) = own.what else { panic!("{:?}", own.what) };
    assert_eq!(
        own.meanings,
        [
            "the plus battery cable gets hot while cranking",
            "the minus battery cable gets hot while cranking",
        ]
    );
}

proptest! {
    /// Every statement stands in its line, and none before the one before it.
    #[test]
    fn statements_stand_in_their_line_in_order(line in "(main |battery |plus |0.4 V|, |; |cranking|: |the |hot |é|\\. ){0,14}") {
        let vehicle = vehicle();
        let mut at = 0;
        for own in statements(&line, &vehicle, &Vocabulary::of(&vehicle), 1) {
            prop_assert!(own.span.start >= at && line.get(own.span.clone()).is_some());
            at = own.span.end;
            if let Some(problem) = own.problem() {
                prop_assert!(line.get(problem.place.clone()).is_some(), "{problem:?}");
            }
        }
    }
}
