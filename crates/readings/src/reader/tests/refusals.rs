//! What wrong lines are told, and where the caret stands.

use super::*;

#[test]
fn a_name_that_nothing_has_is_told_with_its_place_and_the_nearest_one() {
    let v = vehicle();
    for (text, at, code, hint) in [
        ("cranking: blok/front to main/- 0.41 V", "blok/front", "unknown-point", "`block/front`"),
        ("crankin: block/front to main/- 0.41 V", "crankin", "unknown-name", "`cranking`"),
        ("preheat main-negativ 38 A", "main-negativ", "unknown-name", "`main-negative`"),
        (
            "cured by pushing on main-negative.too",
            "main-negative.too",
            "unknown-name",
            "`main-negative.to`",
        ),
        ("cranking: block to main/- 0.41 V", "block", "which-terminal", "`block/front`"),
        ("cranking: starter to main/- 8.9 V", "starter", "which-terminal", "`starter/-`"),
        ("cranking: main-negative 0.41 V", "main-negative", "which-terminal", "`main-negative.to`"),
        (
            "cured by pushing on main-negative",
            "main-negative",
            "which-joint",
            "`main-negative.from`",
        ),
    ] {
        let (place, found, what) = problem(text, &v);
        assert_eq!((place, found), (at, code), "{text}: {what}");
        assert!(what.contains(hint), "{text}: {what}");
    }
}

#[test]
fn a_value_that_cannot_be_read_is_told_with_its_place() {
    let v = vehicle();
    for (value, at, code) in [
        ("1,200 V", "1,200 V", "value-unreadable"),
        ("0.41 W", "0.41 W", "value-unreadable"),
        ("0.41X", "0.41X", "value-unreadable"),
        ("5 %", "5 %", "value-unreadable"),
        ("1e400 V", "1e400 V", "value-unreadable"),
        ("1e V", "1e", "value-unreadable"),
        ("9999999999999999999 V", "9999999999999999999 V", "value-unreadable"),
        ("> 5 V", "> 5 V", "value-unreadable"),
        ("0.3 V to 2 A", "0.3 V to 2 A", "value-unreadable"),
        ("0.41 V 300 A", "300", "two-values"),
        ("better", "better", "value-unreadable"),
    ] {
        let text = format!("cranking: block/front main/- {value}");
        let (place, found, what) = problem(&text, &v);
        assert_eq!((place, found), (at, code), "{text}: {what}");
    }
}

#[test]
fn what_is_missing_or_too_much_is_named() {
    let v = vehicle();
    for (text, code) in [
        ("cranking: block/front to main/-", "value-missing"),
        ("block/front to main/- OL", "value-missing"),
        ("preheat main-negative 38", "unit-missing"),
        ("cranking running block/front main/- 1 V", "two-states"),
        ("cranking block/front main/- body/left 1 V", "too-many-places"),
        ("better with a jump lead from block/front to main/-", "load-missing"),
        ("better with a jump lead from block/front: starter", "two-points-wanted"),
        ("cured by pushing", "joint-missing"),
        ("38 A through block/front, preheat", "unknown-conductor"),
    ] {
        let (_, found, what) = problem(text, &v);
        assert_eq!(found, code, "{text}: {what}");
    }
}

#[test]
fn what_would_rule_or_fill_a_terminal_is_refused_and_kept() {
    let v = vehicle();
    let escape = "cranking: block/front to main/- 0.41 V \u{1b}[2J";
    let (place, code, _) = problem(escape, &v);
    assert_eq!((place, code), ("\u{1b}", "text-unprintable"));
    let long = format!("cranking: {} to main/- 0.41 V", "x".repeat(5000));
    for text in [escape, &long] {
        for file in
            [format!("# two\n{text}\n"), format!("state,note,value\ncranking,\"{text}\",1 V\n")]
        {
            let readings = read(file.as_bytes(), &v);
            assert_eq!(readings.kept.len(), 1, "{:?}", readings.problems);
            assert!(readings.kept[0].text.contains(text));
            assert!(readings.problems[0].what.len() < 100);
            assert!(file.get(readings.problems[0].place.clone()).is_some());
        }
    }
}

#[test]
fn no_error_is_lost_behind_warnings() {
    let odd = "resting: block/front main/- 0.41 V\n".repeat(1500);
    let readings = read(format!("{odd}cranking blok/front main/- 0.41 V\n").as_bytes(), &vehicle());
    assert_eq!(readings.problems.len(), 1000);
    assert_eq!(readings.problems.last().map(|problem| problem.code.word()), Some("unknown-point"));
}
