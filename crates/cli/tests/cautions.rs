//! Every caution that concerns a job, a joint or a trial stands under it on the terminal.

use std::process::Command;

use catalogue::{Catalogue, Row};
use serde_json::Value;

const FILE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../answers/src/cautions/cruiser.toml");

const VAPOUR: &str = "petrol vapour";
const GAS: &str = "gas locker";
const BOLTS: &str = "not these bolts";
const SENSOR: &str = "battery sensor";
const FUSES: &str = "fuse near each battery";
const WELDING: &str = "welding";
const ALL: [&str; 6] = [VAPOUR, GAS, BOLTS, SENSOR, FUSES, WELDING];

fn run(words: &[&str]) -> String {
    let ran = Command::new(env!("CARGO_BIN_EXE_groundloom")).args(words).output().expect("runs");
    assert!(ran.status.code().is_some_and(|code| code < 2), "{words:?}: {ran:?}");
    String::from_utf8(ran.stdout).expect("text")
}

/// The cautions that stand in a text, whatever lines it was wrapped to, each with where it comes from.
fn told(text: &str) -> Vec<&'static str> {
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let rows = ALL.map(|key| Catalogue::standard().cautions.find(key).expect("a row"));
    let rows = rows.into_iter().filter(|row| {
        let from = if row.provenance.confidence.word() == "common practice" {
            "common practice"
        } else {
            &row.provenance.source
        };
        text.contains(&format!("{} [{from}]", row.caution))
    });
    rows.map(Row::key).collect()
}

/// The same in JSON: keys of `cautions`, wherever they stand.
fn keys(json: &Value) -> Vec<&str> {
    let mut found: Vec<&str> = match json {
        Value::Object(all) => {
            let own = all.get("cautions").and_then(Value::as_array);
            let own = own.into_iter().flatten().filter_map(|own| own["key"].as_str());
            own.chain(all.values().flat_map(keys)).collect()
        }
        Value::Array(all) => all.iter().flat_map(keys).collect(),
        _ => Vec::new(),
    };
    found.sort_unstable();
    found.dedup();
    found
}

#[test]
fn each_caution_stands_under_what_it_concerns_and_nowhere_else() {
    let torque = ["--torque", "15 N·m", "--thread", "M8"];
    let joint = |name| [&["bolt", FILE, "--joint", name][..], &torque].concat();
    let add = |what| vec!["what-if", FILE, "--state", "cranking", "--add", what];
    let new = |from, to| vec!["size", FILE, "--from", from, "--to", to, "--length", "1 m"];
    let cases: Vec<(Vec<&str>, &[&str])> = vec![
        (joint("main-negative.to"), &[VAPOUR, WELDING]),
        (joint("main-negative.from"), &[VAPOUR, SENSOR]),
        (joint("hull-locker.from"), &[VAPOUR, BOLTS]),
        (joint("hull-locker.to"), &[VAPOUR, GAS]),
        (joint("link.from"), &[VAPOUR, FUSES]),
        (add("start/-,block/rear,35mm2,0.6m"), &[VAPOUR, GAS, BOLTS, SENSOR, WELDING]),
        (add("start/+,starter/+,35mm2,0.6m"), &[VAPOUR, GAS, FUSES]),
        (
            [&new("start/-", "block/rear")[..], &["--drop", "200 mV"]].concat(),
            &[VAPOUR, GAS, BOLTS, SENSOR, WELDING],
        ),
        ([&new("start/+", "starter/+")[..], &["--drop", "200 mV"]].concat(), &[VAPOUR, GAS, FUSES]),
        (vec!["protect", FILE], &[VAPOUR, GAS, FUSES]),
        (vec!["next", FILE], &[VAPOUR]),
        (vec!["next", FILE, "--plan"], &[VAPOUR]),
        (
            vec![
                "start",
                "--symptom",
                "slow-crank",
                "--layout",
                "small-boat",
                "--reading",
                "cranking: battery 9.8 V",
            ],
            &[VAPOUR],
        ),
    ];
    for (words, expected) in cases {
        assert_eq!(told(&run(&words)), expected, "{words:?}");
        let json: Value =
            serde_json::from_str(&run(&[&words[..], &["--json"]].concat())).expect("JSON");
        let mut sorted = expected.to_vec();
        sorted.sort_unstable();
        assert_eq!(keys(&json), sorted, "{words:?}");
    }
}

#[test]
fn repairs_tell_what_concerns_any_of_them() {
    let words = ["repairs", FILE, "--most", "20"];
    let mut text = told(&run(&words));
    text.sort_unstable();
    let json: Value =
        serde_json::from_str(&run(&[&words[..], &["--json"]].concat())).expect("JSON");
    assert_eq!(text, keys(&json));
    assert!(text.contains(&VAPOUR) && text.len() > 1, "{text:?}");
}

#[test]
fn an_ordinary_diesel_van_is_told_nothing_of_boats_gas_and_shunts() {
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/rescue-ambulance.toml");
    for words in [
        &["bolt", file, "--joint", "main-negative.to", "--torque", "40 N·m"][..],
        &["next", file],
        &["next", file, "--plan"],
    ] {
        assert_eq!(told(&run(words)), [""; 0], "{words:?}");
    }
    assert_eq!(told(&run(&["protect", file])), [FUSES]);
    // Its cables leave a single battery before any fuse.
    let single = concat!(env!("CARGO_MANIFEST_DIR"), "/../../layouts/front-engine.toml");
    assert_eq!(told(&run(&["protect", single])), [FUSES]);
}
