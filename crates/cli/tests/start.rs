//! `groundloom start`: realistic stories, what is written, and answers from a pipe.

use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};

use serde_json::Value;

fn run(folder: &Path, arguments: &[&str], typed: Option<&str>) -> (i32, String, String) {
    let mut child = Command::new(env!("CARGO_BIN_EXE_groundloom"))
        .args(arguments)
        .current_dir(folder)
        .stdin(if typed.is_some() { Stdio::piped() } else { Stdio::null() })
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program runs");
    if let (Some(typed), Some(mut input)) = (typed, child.stdin.take()) {
        input.write_all(typed.as_bytes()).expect("it listens");
    }
    let run = child.wait_with_output().expect("it ends");
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("answers are UTF-8");
    (run.status.code().expect("no signal ends it"), text(run.stdout), text(run.stderr))
}

fn here() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The sides in the order of the answer, each with its standing.
fn sides(arguments: &[&str], readings: &[&str]) -> Vec<(String, String)> {
    let answer = answer(arguments, readings);
    let sides = answer["sides"].as_array().expect("a list").iter();
    let word = |own: &Value, key: &str| own[key].as_str().expect("text").to_owned();
    sides.map(|own| (word(own, "side"), word(own, "standing"))).collect()
}

/// None of these is cleared while something keeps it from being called so: in a rough vehicle nobody has seen every
/// way home. But of a `feed` no more is left than of one that is, unlike of a `feed?`.
fn check(arguments: &[&str], readings: &[&str], first: &str, unlikely: &[&str]) {
    let answer = answer(arguments, readings);
    let sides = answer["sides"].as_array().expect("a list");
    assert_eq!(sides[0]["side"], first, "{readings:?}: {sides:?}");
    assert_eq!(sides[0]["standing"], "suspect", "{readings:?}: {sides:?}");
    for name in unlikely {
        let side = name.trim_end_matches('?');
        let own = sides.iter().find(|own| own["side"] == side).expect("one of five");
        let mut keeps = answer["not_cleared"].as_array().expect("a list").iter();
        let kept = keeps.any(|own| own["why"] != "above-taught-limit");
        let standing = if kept { "unlikely-so-far" } else { "cleared" };
        assert_eq!(own["standing"], standing, "{side} by {readings:?}: {sides:?}");
        let left = own["probability"].as_f64().expect("a number");
        assert!(name.ends_with('?') || left < 0.02, "{side} by {readings:?}: {sides:?}");
    }
}

/// What an answer says of the return: its probability, the same before any reading, its standing.
fn of_the_return(answer: &Value) -> (f64, f64, String) {
    let own = answer["sides"].as_array().expect("a list").iter();
    let own = own.into_iter().find(|own| own["side"] == "return").expect("one of five");
    let number = |key: &str| own[key].as_f64().expect("a number");
    (number("probability"), number("before"), own["standing"].as_str().expect("text").to_owned())
}

const SLOW: [&str; 2] = ["--symptom", "slow-crank"];
const NO_CRANK: [&str; 2] = ["--symptom", "no-crank"];

#[test]
fn volts_lost_between_engine_and_battery_convict_the_return() {
    let readings = [
        "battery 11.2 V while cranking",
        "cranking: engine block to battery minus 1.4 V",
        "cranking: battery plus to starter stud 0.25 V",
    ];
    check(&SLOW, &readings, "return", &["source", "feed"]);
}

#[test]
fn a_battery_that_collapses_while_both_cables_are_well_is_the_source() {
    let readings = [
        "battery 12.4 V at rest",
        "battery 8.3 V while cranking",
        "cranking: engine to battery minus 0.15 V",
        "cranking: battery plus to starter stud 0.2 V",
    ];
    check(&SLOW, &readings, "source", &["feed", "return?"]);
}

#[test]
fn volts_lost_along_the_positive_cable_convict_the_feed() {
    let readings = [
        "battery 11.3 V while cranking",
        "cranking: battery plus to starter stud 1.9 V",
        "cranking: starter case to battery minus 0.1 V",
    ];
    check(&SLOW, &readings, "feed", &["source", "return?", "load"]);
}

#[test]
fn a_clamp_that_shows_far_too_much_convicts_the_starter() {
    let readings = [
        "battery 9.3 V while cranking",
        "cranking: starter-cable 520 A",
        "cranking: battery plus to starter stud 0.45 V",
        "cranking: starter case to battery minus 0.4 V",
    ];
    check(&SLOW, &readings, "load", &["source", "feed?", "return?"]);
}

#[test]
fn a_small_drop_on_the_way_home_makes_the_return_unlikely_whatever_else_is_wrong() {
    let readings = ["battery 11.4 V cranking", "cranking: starter case to battery minus 0.08 V"];
    let found = sides(&SLOW, &readings);
    assert!(found.contains(&("return".to_owned(), "unlikely-so-far".to_owned())), "{found:?}");
    assert_ne!(found[0].0, "return");
}

#[test]
fn good_volts_at_a_starter_that_stands_leave_its_control_and_itself() {
    let readings = ["battery 12.5 V cranking", "cranking: starter 12.4 V"];
    check(&NO_CRANK, &readings, "control", &["source", "feed", "return?"]);
    let dead = [&readings[..], &["cranking: trigger wire to engine 0.1 V"]].concat();
    check(&NO_CRANK, &dead, "control", &["load", "source", "feed", "return?"]);
    let live = [&readings[..], &["cranking: trigger wire to engine 11.9 V"]].concat();
    check(&NO_CRANK, &live, "load", &["source", "feed", "return?"]);
}

#[test]
fn volts_lost_behind_a_dim_lamp_convict_its_return() {
    let readings = [
        "key on: battery 12.5 V",
        "key on: lamp earth to battery minus 1.7 V",
        "key on: lamp 10.4 V",
    ];
    check(&["--symptom", "weak"], &readings, "return", &["source", "feed"]);
}

#[test]
fn a_24_volt_machine_is_judged_by_its_own_voltage() {
    let readings = ["battery 22.6 V while cranking", "cranking: engine to battery minus 2.9 V"];
    check(
        &["--symptom", "slow-crank", "--layout", "plant"],
        &readings,
        "return",
        &["source", "load"],
    );
}

#[test]
fn with_positive_earth_a_value_without_a_sign_is_taken_as_the_current_flows() {
    let readings = ["battery 5.6 V while cranking", "cranking: starter case to battery plus 0.9 V"];
    let vehicle = ["--symptom", "slow-crank", "--earth", "positive", "--voltage", "6"];
    check(&vehicle, &readings, "return", &["source"]);
}

#[test]
fn an_alternator_that_has_no_more_than_the_battery_is_the_source_of_no_charge() {
    let readings = ["battery 12.5 V running", "running: alternator 12.6 V"];
    check(&["--symptom", "not-charging"], &readings, "source", &["feed", "return?"]);
    let readings = ["battery 12.5 V running", "running: alternator stud to battery plus 1.8 V"];
    check(&["--symptom", "not-charging"], &readings, "feed", &["return?"]);
}

#[test]
fn seven_volts_between_engine_and_battery_are_a_main_ground_bad_and_its_strap_gone() {
    for volts in ["3 V", "5 V", "7 V"] {
        let lost = format!("cranking: engine to battery minus {volts}");
        for symptom in [SLOW, NO_CRANK] {
            let found = answer(&symptom, &[&lost]);
            let (probability, _, standing) = of_the_return(&found);
            assert!(probability > 0.9 && standing == "suspect", "{volts}: {found}");
            let again = found["take_again"][0]["probability"].as_f64().expect("a number");
            assert!(again < 0.3, "{volts}: the reading is doubted with {again}");
            let suspects = found["suspects"].as_array().expect("a list");
            let named = |begin: &str| {
                let own = suspects.iter().filter(|own| {
                    own["id"].as_str().is_some_and(|id| id == begin || id.starts_with(begin))
                });
                own.map(|own| own["probability"].as_f64().expect("a number")).sum::<f64>()
            };
            assert!(
                named("main-earth") > 0.8 && named("engine-strap") > 0.8,
                "{volts}: {suspects:?}"
            );
        }
    }
}

#[test]
fn a_reading_above_what_is_taught_neither_clears_its_side_nor_speaks_for_it() {
    let disturbed = ["--symptom", "disturbed"];
    let rear = ["--symptom", "slow-crank", "--layout", "rear-battery"];
    let boat = ["--symptom", "slow-crank", "--layout", "small-boat"];
    for (symptom, reading) in [
        (&SLOW[..], "cranking: starter case to battery minus 0.3 V"),
        (&SLOW[..], "cranking: starter case to battery minus 0.22 V"),
        (&SLOW[..], "cranking: engine to battery minus 0.45 V"),
        (&rear[..], "cranking: starter case to battery minus 0.3 V"),
        (&boat[..], "cranking: starter case to battery minus 0.3 V"),
        (&disturbed[..], "running: module earth to battery minus 0.14 V"),
        (&disturbed[..], "key on: module earth to battery minus 0.14 V"),
    ] {
        let found = answer(symptom, &[reading]);
        let (now, before, standing) = of_the_return(&found);
        assert!(now > before - 1e-6, "{reading}: {before} became {now}");
        assert!(standing != "cleared" && standing != "unlikely", "{reading}: {standing}");
        assert_eq!(found["not_cleared"][0]["why"], "above-taught-limit", "{reading}");
        assert_eq!(found["not_cleared"][0]["reading"], 1, "{reading}");
    }
}

#[test]
fn nothing_is_cleared_while_a_reading_is_to_be_taken_again() {
    // No battery has so little between its posts and so much at what it feeds.
    let readings = [
        "battery 11.2 V while cranking",
        "cranking: starter 10.6 V",
        "cranking: engine to battery minus 0.05 V",
        "cranking: battery plus to starter stud 5.1 V",
    ];
    let found = answer(&SLOW, &readings);
    let again = found["take_again"].as_array().expect("a list").iter();
    let doubted = again.filter(|own| own["probability"].as_f64().is_some_and(|own| own > 0.3));
    assert!(doubted.count() > 0, "{found}");
    let standings = found["sides"].as_array().expect("a list").iter();
    assert!(standings.into_iter().all(|own| own["standing"] != "cleared"), "{found}");
    let why = found["not_cleared"].as_array().expect("a list").iter();
    assert!(why.into_iter().any(|own| own["why"] == "take-again"), "{found}");
}

#[test]
fn a_strap_that_nobody_saw_keeps_the_return_from_being_cleared_in_the_same_words_everywhere() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = folder.path();
    let told = "cranking: starter case to battery minus 0.08 V";
    let begin = ["start", "--symptom", "slow-crank", "--reading", told, "--output", "van.toml"];
    let (_, text, _) = run(at, &begin, None);
    let one_line = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let words = "nobody has seen engine-strap, a second way home";
    assert!(!one_line(&text).contains("return is cleared"), "{text}");
    let (_, found, _) = run(at, &["diagnose", "van.toml", "van.readings.txt"], None);
    assert!(one_line(&found).contains(words), "{found}");
    assert!(!found.contains("clear the vehicle"), "{found}");
    let (_, found, _) = run(at, &["diagnose", "van.toml", "van.readings.txt", "--json"], None);
    let found: Value = serde_json::from_str(&found).expect("JSON");
    assert_eq!(found["not_cleared"][0]["why"], "unseen-way-home");
    assert!(found["not_cleared"][0]["words"].as_str().is_some_and(|own| own.contains(words)));
}

#[test]
fn nothing_is_cleared_before_the_strap_is_seen_and_the_feed_is_once_it_is_measured() {
    let told = [
        "battery 11.2 V while cranking",
        "cranking: engine block to battery minus 1.4 V",
        "cranking: battery plus to starter stud 0.25 V",
    ];
    let standing = |found: &[(String, String)], side: &str| {
        let own = found.iter().find(|own| own.0 == side).expect("one of five");
        own.1.clone()
    };
    let found = sides(&SLOW, &told);
    assert!(found.iter().all(|own| own.1 != "cleared"), "{found:?}");
    assert_eq!(standing(&found, "feed"), "unlikely-so-far");
    let measured = [&told[..], &["cranking: engine-strap 90 A"]].concat();
    let found = sides(&SLOW, &measured);
    assert_eq!(standing(&found, "feed"), "cleared", "{found:?}");
}

#[test]
fn readings_that_prove_nothing_change_nothing() {
    let readings =
        ["engine to battery minus 0.2 ohm at rest", "engine to battery minus 0.00 V at rest"];
    assert_eq!(sides(&SLOW, &readings), sides(&SLOW, &[]));
}

#[test]
fn what_is_written_is_read_again_by_every_command_and_never_written_over() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = folder.path();
    let told = [
        "--reading",
        "battery 11.2 V while cranking",
        "--reading",
        "cranking: engine to battery minus 1.4 V",
        "--reading",
        "purple",
    ];
    let begin = ["start", "--symptom", "slow-crank", "--output", "van.toml"];
    let (status, text, error) = run(at, &[&begin[..], &told[..]].concat(), None);
    assert_eq!(status, 1, "{error}");
    assert!(
        text.contains("groundloom next van.toml van.readings.txt --complaint starter@cranking"),
        "{text}"
    );
    let (status, ..) = run(at, &["check", "van.toml"], None);
    assert_eq!(status, 0);
    let (_, text, error) = run(
        at,
        &["diagnose", "van.toml", "van.readings.txt", "--complaint", "starter@cranking"],
        None,
    );
    assert!(text.contains("By side: return"), "{text}{error}");
    let (_, kept, _) = run(at, &["fmt", "--check", "van.toml"], None);
    assert!(!kept.contains("not tidy"), "{kept}");
    let (status, _, error) = run(at, &begin, None);
    assert_eq!(status, 2);
    assert!(error.contains("exists already"), "{error}");
    let (status, ..) = run(at, &[&begin[..], &["--overwrite"]].concat(), None);
    assert_ne!(status, 2);
}

#[test]
fn answers_from_a_pipe_are_taken_and_those_not_understood_are_kept() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = folder.path();
    let typed = "banana\n5\n\n\n\n\nup\n\n\nslow\nbattery 22.1 V while cranking\npurple\ncranking: engine to battery minus 2.6 V\n\n\nmine.toml\n";
    let (status, text, told) = run(at, &["start"], Some(typed));
    assert_eq!(status, 1, "{told}");
    assert!(text.contains("taken as: plant layout, 24 V"), "{text}");
    assert!(told.contains("`banana` is none of these"), "{told}");
    let (_, file, _) = run(at, &["check", "mine.toml"], None);
    assert!(file.contains("plant"), "{file}");
    #[expect(clippy::disallowed_methods, reason = "looks at what the program wrote")]
    let read = |name: &str| std::fs::read_to_string(at.join(name)).expect("it is written");
    let vehicle = read("mine.toml");
    assert!(vehicle.contains("`banana`") && vehicle.contains("`up`"), "{vehicle}");
    assert!(read("mine.readings.txt").contains("# not understood: purple"));
}

#[test]
fn no_answers_at_all_are_told_and_not_guessed() {
    let (status, _, told) = run(here(), &["start"], Some(""));
    assert_eq!(status, 2);
    assert!(told.contains("no symptom is told"), "{told}");
}

fn answer(arguments: &[&str], readings: &[&str]) -> Value {
    let mut all = vec!["start", "--json"];
    all.extend(arguments);
    for reading in readings {
        all.extend(["--reading", reading]);
    }
    let (_, text, told) = run(here(), &all, None);
    serde_json::from_str(&text).unwrap_or_else(|_| panic!("{text}{told}"))
}

/// The chance that something on a side is at fault.
fn chance(answer: &Value, side: &str) -> f64 {
    let sides = answer["sides"].as_array().expect("a list");
    let own = sides.iter().find(|own| own["side"] == side).expect("one of five");
    own["probability"].as_f64().expect("a number")
}

#[test]
fn volts_that_several_states_show_are_not_weighed_until_their_state_is_told() {
    for (arguments, reading, first) in [
        (&SLOW[..], "battery 12.5 V", "resting"),
        (&NO_CRANK, "battery 12.8 V on my multimeter", "resting"),
        (&SLOW, "starter 12.2 V", "resting"),
        (&SLOW, "starter 9.4 V", "cranking"),
        (&["--symptom", "weak"], "lamp 12.4 V", "key-on"),
        (&["--symptom", "not-charging"], "battery 14.2 V", "running"),
        (&["--symptom", "slow-crank", "--voltage", "24"], "battery 25.1 V", "resting"),
        (&["--symptom", "slow-crank", "--voltage", "48"], "battery 50.4 V", "resting"),
        (&["--symptom", "slow-crank", "--voltage", "6"], "battery 6.3 V", "resting"),
        (&SLOW, "battery plus to starter stud 0.25 V", "cranking"),
    ] {
        let found = answer(arguments, &[reading]);
        let told = &found["told"][0];
        assert_eq!(told["worth"], "kept", "{reading}: {told}");
        assert_eq!(told["problem"]["code"], "which-state", "{reading}: {told}");
        assert_eq!(told["assumed_state"], Value::Null, "{reading}");
        let words = told["words"].as_str().expect("text");
        assert!(words.contains(&format!("`{first}: ")), "{reading}: {words}");
        assert!(told["may_be"].as_array().is_some_and(|own| own.len() > 1), "{reading}: {told}");
        assert_eq!(found["sides"], answer(arguments, &[])["sides"], "{reading} was weighed");
    }
    let rested = answer(&SLOW, &["battery 12.5 V at rest"]);
    assert_eq!(rested["told"][0]["worth"], "weighed");
    assert!(chance(&rested, "source") > 0.1 && chance(&rested, "feed") < 0.5);
}

#[test]
fn volts_of_another_vehicle_ask_which_it_is() {
    for (voltage, reading, other) in [
        ("12", "battery 24.6 V", "24 V"),
        ("12", "battery 24.6 V at rest", "24 V"),
        ("12", "battery 19.5 V while cranking", "24 V"),
        ("12", "battery 28.1 V running", "24 V"),
        ("12", "battery 49.8 V", "48 V"),
        ("12", "battery 54 V running", "48 V"),
        ("24", "battery 50.9 V", "48 V"),
        ("24", "battery 12.6 V at rest", "12 V"),
        ("48", "battery 25.2 V at rest", "24 V"),
        ("6", "battery 12.6 V", "12 V"),
    ] {
        let arguments = ["--symptom", "slow-crank", "--voltage", voltage];
        let found = answer(&arguments, &[reading]);
        let told = &found["told"][0];
        let words = told["words"].as_str().expect("text");
        assert_eq!(told["worth"], "kept", "{voltage}: {reading}: {words}");
        assert!(
            words.contains(&format!("is this a {other} vehicle?")),
            "{voltage}: {reading}: {words}"
        );
        assert_eq!(found["sides"], answer(&arguments, &[])["sides"], "{reading} was weighed");
    }
    // A battery that has collapsed under its starter is no smaller one.
    let arguments = ["--symptom", "slow-crank", "--voltage", "24"];
    let found = answer(&arguments, &["battery 13.9 V while cranking"]);
    assert_eq!(found["told"][0]["worth"], "weighed");
}

#[test]
fn a_word_that_could_turn_the_meaning_stops_a_reading_at_every_door() {
    let folder = tempfile::tempdir().expect("a folder");
    let (status, ..) =
        run(folder.path(), &["start", "--symptom", "slow-crank", "--output", "van.toml"], None);
    assert_ne!(status, 2);
    for line in [
        "battery 12.5 V, not cranking",
        "battery 12.5 V just before cranking",
        "battery 12.5 V without cranking",
        "battery 12.5 V cranking, two plugs out",
        "running: battery 13.9 V lights off",
        "cranking: battery 9.1",
        "cranking: battery nothing new",
    ] {
        let found = answer(&SLOW, &[line]);
        assert_eq!(found["told"][0]["worth"], "kept", "{line}");
        assert_eq!(found["sides"], answer(&SLOW, &[])["sides"], "{line}");
        let (_, text, _) =
            run(folder.path(), &["diagnose", "van.toml", "--json", "--reading", line], None);
        let told: Value = serde_json::from_str(&text).unwrap_or_else(|_| panic!("{text}"));
        assert_eq!(told["kept"][0]["text"], line, "{text}");
        assert_eq!(told["readings"].as_array().map(Vec::len), Some(0), "{line}");
    }
}

#[test]
fn a_jump_lead_and_a_push_count_as_they_do_in_diagnose() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = folder.path();
    let cured = "jump lead from battery minus to engine block cured it";
    let same = "no change with a jump lead from battery plus to starter stud";
    let pushed = "better when pushing on main-earth.to";
    let nothing = answer(&SLOW, &[]);
    for (told, more, less) in [
        (&[cured][..], "return", "feed"),
        (&[cured, same], "return", "feed"),
        (&[pushed], "return", "source"),
        (&["jump lead from battery plus to starter stud: better"], "feed", "return"),
    ] {
        let found = answer(&SLOW, told);
        for own in found["told"].as_array().expect("a list") {
            assert_eq!(own["worth"], "weighed", "{own}");
            assert!(own["moved"].is_array(), "{own}");
        }
        assert!(
            chance(&found, more) > chance(&nothing, more) + 0.1,
            "{told:?}: {}",
            found["sides"]
        );
        assert!(chance(&found, less) < chance(&nothing, less), "{told:?}: {}", found["sides"]);
    }
    // What is written keeps them, and weighs them again.
    let words = [
        "start",
        "--symptom",
        "slow-crank",
        "--output",
        "van.toml",
        "--reading",
        cured,
        "--reading",
        pushed,
    ];
    let (status, _, error) = run(at, &words, None);
    assert_ne!(status, 2, "{error}");
    let side = |readings: &[&str]| {
        let words = ["diagnose", "van.toml", "--json", "--complaint", "starter@cranking"];
        let (_, text, error) = run(at, &[&words[..], readings].concat(), None);
        let told: Value = serde_json::from_str(&text).unwrap_or_else(|_| panic!("{text}{error}"));
        assert_eq!(told["kept"].as_array().map(Vec::len), Some(0), "{text}");
        chance(&told, "return")
    };
    assert!(side(&["van.readings.txt"]) > side(&[]) + 0.1);
}

#[test]
fn at_the_keyboard_the_state_and_the_voltage_are_asked_back() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = folder.path();
    let begin = ["start", "--symptom", "slow-crank", "--layout", "front-engine", "--ask", "--json"];
    let ask = |typed: &str| {
        let (_, text, told) = run(at, &begin, Some(typed));
        let answer: Value = serde_json::from_str(&text).unwrap_or_else(|_| panic!("{text}{told}"));
        (answer, told)
    };
    // Five questions about the vehicle, a reading, when it was; no more readings, nothing written.
    let (found, told) = ask("\n\n\n\n\n\nbattery 12.5 V\n1\n\n\n-\n");
    assert!(told.contains("when was that measured?"), "{told}");
    assert_eq!(found["told"][0]["worth"], "weighed", "{told}");
    assert_eq!(found["told"][0]["read"], "resting: battery 12.5 V", "{told}");
    // An answer that is none, three times, is no state.
    let (found, told) = ask("\n\n\n\n\n\nbattery 12.5 V\nx y\nz z\nq q\n\n\n-\n");
    assert_eq!(found["told"][0]["worth"], "kept", "{told}");
    let (found, told) = ask("\n\n\n\n\n\nbattery 24.6 V at rest\nyes\n\n-\n");
    assert!(told.contains("Is it a 24 V vehicle?"), "{told}");
    assert_eq!(found["setup"]["nominal_volts"], 24.0, "{told}");
    assert_eq!(found["told"][0]["worth"], "weighed", "{told}");
    let (found, told) = ask("\n\n\n\n\n\nbattery 24.6 V at rest\nno\n\n\n-\n");
    assert_eq!(found["setup"]["nominal_volts"], 12.0, "{told}");
    assert_eq!(found["told"][0]["worth"], "kept", "{told}");
}

/// Where each side stands after one reading, and how it is taken.
fn probabilities(arguments: &[&str], readings: &[&str]) -> (Vec<f64>, Vec<String>) {
    let answer = answer(arguments, readings);
    let mut sides: Vec<(String, f64)> = answer["sides"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|own| (own["side"].to_string(), own["probability"].as_f64().expect("a number")))
        .collect();
    sides.sort_by(|a, b| a.0.cmp(&b.0));
    let worth = answer["told"].as_array().expect("a list").iter();
    let worth = worth.map(|own| own["worth"].as_str().expect("text").to_owned()).collect();
    (sides.into_iter().map(|own| own.1).collect(), worth)
}

#[test]
fn a_value_that_its_state_rules_out_is_kept_and_moves_no_side() {
    for (volts, readings) in [
        (
            "12 V",
            &["resting: battery 14.2 V", "key-on: battery 13.8 V", "cranking: battery 13.6 V"][..],
        ),
        (
            "12 V",
            &["cranking: battery minus to starter case 13.9 V", "cranking: starter-cable 6100 A"],
        ),
        (
            "12 V",
            &["resting: engine to battery minus -4 V", "cranking: engine to battery minus -11 V"],
        ),
        (
            "12 V",
            &[
                "cranking: battery minus to battery plus +10.1 V",
                "cranking: starter stud to starter case -8 V",
            ],
        ),
        (
            "12 V",
            &[
                "cranking: battery plus to starter stud -0.6 V",
                "cranking: engine to battery minus -0.2 V",
            ],
        ),
        ("24 V", &["resting: battery 27.8 V", "cranking: battery 29 V"]),
        ("6 V", &["resting: battery 7.4 V", "cranking: battery 7.2 V"]),
    ] {
        let arguments = [&SLOW[..], &["--voltage", volts]].concat();
        let (before, _) = probabilities(&arguments, &[]);
        for reading in readings {
            let (now, worth) = probabilities(&arguments, &[reading]);
            assert_eq!(worth, ["kept"], "{reading}");
            assert_eq!(now, before, "{reading}");
        }
    }
}

#[test]
fn nothing_is_said_from_a_reading_that_is_more_likely_wrong_than_not() {
    let good = "cranking: engine block to battery minus 1.4 V";
    let wrong = "cranking: starter-cable 4600 A";
    let (others, _) = probabilities(&SLOW, &[good]);
    let answer = answer(&SLOW, &[good, wrong]);
    let again = &answer["take_again"][0];
    assert_eq!(again["number"], 2, "{again}");
    assert!(again["probability"].as_f64().expect("a number") > 0.5, "{again}");
    assert_eq!(probabilities(&SLOW, &[good, wrong]).0, others);
}

#[test]
fn less_than_a_value_says_the_same_whichever_way_round_the_places_are_told() {
    for (one, other) in [("battery minus", "engine block"), ("battery plus", "starter stud")] {
        for words in ["less than 0.4 V", "< 0.25 V", "under 0.3 V", "below 350 mV", "at most 0.2 V"]
        {
            let there = format!("cranking: {one} to {other} {words}");
            let back = format!("cranking: {other} to {one} {words}");
            let (there, back) = (probabilities(&SLOW, &[&there]), probabilities(&SLOW, &[&back]));
            assert_eq!(there.1, back.1);
            for (a, b) in there.0.iter().zip(&back.0) {
                assert!((a - b).abs() < 0.01, "{one} {other} {words}: {there:?} {back:?}");
            }
        }
    }
}
