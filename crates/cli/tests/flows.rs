//! What `routes` says of all that flows, held against `solve`, in every state of every layout and example.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::Value;

fn answer(arguments: &[&str]) -> Value {
    let run = Command::new(env!("CARGO_BIN_EXE_groundloom"))
        .args(arguments)
        .output()
        .expect("the program runs");
    serde_json::from_slice(&run.stdout)
        .unwrap_or_else(|error| panic!("{arguments:?}: {error} {:?}", run.stderr))
}

fn files() -> Vec<PathBuf> {
    let own = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut files: Vec<PathBuf> = ["../../layouts", "../../examples"]
        .iter()
        .flat_map(|folder| std::fs::read_dir(own.join(folder)).expect("a folder"))
        .map(|entry| entry.expect("readable").path())
        .filter(|path| {
            let name = path.file_name().and_then(|name| name.to_str()).expect("text");
            name.ends_with(".toml") && !name.contains("readings")
        })
        .collect();
    files.sort();
    files
}

fn amps(table: &Value) -> BTreeMap<String, f64> {
    let table = table.as_object().expect("a table");
    table.iter().map(|(id, own)| (id.clone(), own["amps"].as_f64().expect("amps"))).collect()
}

#[test]
fn routes_add_up_to_every_source_and_load_of_every_layout_and_example() {
    let files = files();
    assert!(files.len() >= 9, "{files:?}");
    let mut states = 0;
    for file in &files {
        let path = file.to_str().expect("text");
        let solved = answer(&["solve", path, "--json"]);
        let routes = answer(&["routes", path, "--all", "--json"]);
        let pairs = solved["states"].as_array().expect("states").iter();
        for (point, ways) in pairs.zip(routes["states"].as_array().expect("states")) {
            assert_eq!(point["state"], ways["state"]);
            states += 1;
            let place = format!("{path} {}", point["state"]);
            let mut given: BTreeMap<String, f64> = BTreeMap::new();
            let mut taken: BTreeMap<String, f64> = BTreeMap::new();
            let mut carried: BTreeMap<String, f64> = BTreeMap::new();
            for route in ways["routes"]["routes"].as_array().expect("routes") {
                let amps = route["amps"].as_f64().expect("amps");
                let name = |key: &str| route[key].as_str().expect("text").to_owned();
                if name("end_kind") == "source" {
                    *given.entry(name("end")).or_default() += amps;
                }
                if name("load_kind") != "source" {
                    *taken.entry(name("load")).or_default() += amps;
                }
                for piece in route["pieces"].as_array().expect("pieces") {
                    *carried.entry(piece.as_str().expect("text").to_owned()).or_default() += amps;
                }
            }
            let mut sources = amps(&point["batteries"]);
            sources.extend(amps(&point["sources"]));
            for (id, amps) in sources {
                let routed = given.get(&id).copied().unwrap_or(0.0);
                assert!((routed - amps.max(0.0)).abs() < 1e-3, "{place} {id}: {routed} {amps}");
            }
            for (id, amps) in amps(&point["loads"]) {
                let routed = taken.get(&id).copied().unwrap_or(0.0);
                assert!((routed - amps.abs()).abs() < 1e-3, "{place} {id}: {routed} {amps}");
            }
            for kind in ["conductors", "joints", "stretches", "incidental", "inline"] {
                for (id, amps) in amps(&point[kind]) {
                    let routed = carried.get(&id).copied().unwrap_or(0.0);
                    assert!(routed < amps.abs() + 1e-3, "{place} {id}: {routed} {amps}");
                }
            }
        }
    }
    assert!(states > 40, "{states}");
}

#[test]
fn after_a_failure_that_leaves_every_load_fed_what_it_does_is_named() {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../layouts/two-batteries.toml");
    let file = file.to_str().expect("text");
    let run = Command::new(env!("CARGO_BIN_EXE_groundloom"))
        .args(["failures", file, "--after", "cross-positive"])
        .output()
        .expect("the program runs");
    let told = String::from_utf8(run.stdout).expect("text");
    let told = told.split_whitespace().collect::<Vec<_>>().join(" ");
    assert_eq!(run.status.code(), Some(1), "{told}");
    // No load is named: nothing can be said to come back.
    assert!(!told.contains("What no longer works"), "{told}");
    assert!(told.contains("battery left gives 100 % of the current"), "{told}");
}
