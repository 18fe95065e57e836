//! Signs that nobody wrote down, values that cannot be, and plans that hide nothing, by the whole program.

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use serde_json::Value;

fn run(arguments: &[&str]) -> String {
    let run = Command::new(env!("CARGO_BIN_EXE_groundloom"))
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .stdin(Stdio::null())
        .output()
        .expect("the program runs");
    String::from_utf8(run.stdout).expect("answers are UTF-8")
}

fn answer(arguments: &[&str]) -> Value {
    let mut all = arguments.to_vec();
    all.push("--json");
    let text = run(&all);
    serde_json::from_str(&text).unwrap_or_else(|_| panic!("{arguments:?}: {text}"))
}

/// Every layout and example.
fn vehicles() -> Vec<String> {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut files: Vec<PathBuf> = ["../../layouts", "../../examples"]
        .into_iter()
        .flat_map(|folder| std::fs::read_dir(here.join(folder)).expect("a folder"))
        .map(|entry| entry.expect("readable").path())
        .filter(|path| path.extension().is_some_and(|own| own == "toml"))
        .filter(|path| !path.to_string_lossy().contains(".readings."))
        .collect();
    files.sort();
    assert!(files.len() >= 9, "{files:?}");
    files.into_iter().map(|path| path.to_string_lossy().into_owned()).collect()
}

fn list<'a>(value: &'a Value, key: &str) -> &'a Vec<Value> {
    value[key].as_array().unwrap_or_else(|| panic!("no list `{key}` in {value}"))
}

#[test]
fn a_plan_on_paper_has_every_reading_of_the_plan_for_programs_numbered_through() {
    let mut clamps = 0;
    for file in vehicles() {
        let plan = answer(&["next", &file, "--plan"]);
        let plan = list(&plan, "plan");
        let text = run(&["next", &file, "--plan"]);
        let lines: Vec<&str> = text.lines().filter(|line| line.contains("______")).collect();
        assert_eq!(lines.len(), plan.len(), "{file}: {text}");
        for (at, (line, own)) in lines.iter().zip(plan).enumerate() {
            let number = line.split_whitespace().next().expect("a number");
            assert_eq!(number, (at + 1).to_string(), "{file}: {line}");
            let reading = &own["reading"];
            let unit = reading["unit"].as_str().expect("a unit");
            assert!(line.trim_end().ends_with(&format!("______ {unit}")), "{file}: {line}");
            let keys = if unit == "V" { ["from", "to"] } else { ["through", "towards"] };
            for key in keys {
                let place = reading[key].as_str().unwrap_or_else(|| panic!("no {key} in {own}"));
                assert!(line.contains(place), "{file}: {place} is not in {line}");
            }
            clamps += usize::from(unit == "A");
            assert!(own["sound"].as_f64().expect("a number") >= 0.0, "{file}: {own}");
            assert!(!line.contains('−'), "{file}: {line}");
        }
    }
    assert!(clamps > 5, "{clamps} clamp readings");
}

#[test]
fn a_proposal_typed_as_it_stands_without_any_sign_accuses_nobody() {
    for file in vehicles() {
        let next = answer(&["next", &file, "--most", "4"]);
        let before = answer(&["diagnose", &file]);
        let before = before["nothing_bad"].as_f64().expect("a number");
        for own in list(&next, "next") {
            let sound = own["sound"].as_f64().expect("a number");
            let reading = &own["reading"];
            let state = own["state"].as_str().expect("a state");
            let place = |key: &str| reading[key].as_str().expect("a place").to_owned();
            let typed = if reading["unit"] == "V" {
                format!("{state}: {} to {} {sound:.4} V", place("from"), place("to"))
            } else {
                format!("{state}: {} towards {} {sound:.1} A", place("through"), place("towards"))
            };
            let found = answer(&["diagnose", &file, "--reading", &typed]);
            assert!(list(&found, "questions").is_empty(), "{file}: {typed}");
            assert_eq!(list(&found, "readings").len(), 1, "{file}: {typed}");
            let nothing = found["nothing_bad"].as_f64().expect("a number");
            assert!(nothing > before - 0.02, "{file}: {typed}: {nothing} after {before}");
        }
    }
}

#[test]
fn the_minus_of_a_drop_is_asked_about_at_points_and_lugs_and_for_clamps() {
    let file = "../../layouts/camper-van.toml";
    for reading in [
        "cranking: main/- to block/front 0.147 V",
        "cranking: main/- to main-negative.to 0.14 V",
        "cranking: main-negative.from to main-negative.to 0.13 V",
        "cranking main-negative towards block/front 310 A",
    ] {
        let text = run(&["diagnose", file, "--reading", reading]);
        assert!(text.contains("Did the meter show a minus?"), "{reading}: {text}");
        let found = answer(&["diagnose", file, "--reading", reading]);
        let asked = &list(&found, "questions")[0];
        assert_eq!((&asked["kind"], &asked["number"]), (&"minus".into(), &1.into()), "{asked}");
        assert!(found["nothing_bad"].as_f64().expect("a number") > 0.7, "{reading}: {text}");
        // The answer to it settles it.
        let signed = reading.replace(" 0.", " +0.").replace(" 310", " +310");
        let settled = answer(&["diagnose", file, "--reading", &signed]);
        assert!(list(&settled, "questions").is_empty(), "{signed}");
    }
}

#[test]
fn what_cannot_be_is_shown_and_kept_and_weighed_by_nobody() {
    for file in ["../../layouts/camper-van.toml", "../../examples/rescue-ambulance.toml"] {
        for (reading, kind) in [
            ("cranking: main/+ to main/- -10.93 V", "battery-reversed"),
            ("cranking: main/+ to main/- -12 V", "battery-reversed"),
            ("cranking: main/+ to main/- 100 kV", "beyond-sources"),
            ("cranking: block/front to main/- 900 V", "beyond-sources"),
            ("cranking: main-negative 900 kA", "beyond-sources"),
        ] {
            let found = answer(&["diagnose", file, "--reading", reading]);
            assert!(list(&found, "readings").is_empty(), "{file} {reading}");
            let asked = &list(&found, "questions")[0];
            assert_eq!(asked["kind"], kind, "{reading}: {asked}");
            assert_eq!(asked["weighed"], false);
            let before = answer(&["diagnose", file]);
            assert_eq!(found["suspects"], before["suspects"], "{file} {reading}");
            let text = run(&["diagnose", file, "--reading", reading]);
            assert!(text.contains("not weighed"), "{reading}: {text}");
        }
    }
}

#[test]
fn a_positive_earth_vehicle_reads_its_battery_the_same_way_round() {
    let file = "tests/cases/answers/positive-earth/car.toml";
    let weighed = |reading: &str| {
        let found = answer(&["diagnose", file, "--reading", reading]);
        (list(&found, "readings").len(), list(&found, "questions").len())
    };
    assert_eq!(weighed("cranking: main/+ to main/- 11.4 V"), (1, 0));
    assert_eq!(weighed("cranking: main/- to main/+ -11.4 V"), (1, 0));
    assert_eq!(weighed("cranking: main/+ to main/- -11.4 V"), (0, 1));
    let next = answer(&["next", file, "--most", "20"]);
    for own in list(&next, "next") {
        assert!(own["sound"].as_f64().expect("a number") >= 0.0, "{own}");
    }
}

#[test]
fn start_turns_a_value_without_a_sign_at_lugs_and_clamps_and_asks_about_it() {
    let told = |reading: &str| {
        let mut all = vec!["start", "--symptom", "slow-crank"];
        all.extend(["--reading", reading]);
        let found = answer(&all);
        list(&found, "told")[0].clone()
    };
    for reading in
        ["cranking: battery/- to engine/block 0.12 V", "cranking: battery/- to main-earth.to 0.1 V"]
    {
        let own = told(reading);
        assert_eq!(own["turned"], true, "{own}");
        assert!(own["words"].as_str().expect("text").contains("did the meter show a minus?"));
        let signed = told(&reading.replace(" 0.1", " +0.1"));
        assert_eq!(signed["turned"], false, "{signed}");
    }
    let own = told("cranking: battery/+ to battery/- -10.9 V");
    assert_eq!(own["worth"], "kept", "{own}");
    assert!(own["words"].as_str().expect("text").contains("not weighed"), "{own}");
}
