//! The JSON answers: their shapes, their keys against `docs/json.md`, their sums.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::process::Command;

use serde_json::Value;

/// Runs the program beside the cases' small car; exit status and standard output.
fn run(arguments: &[&str]) -> (i32, String) {
    let cases = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases");
    let run = Command::new(env!("CARGO_BIN_EXE_groundloom"))
        .args(arguments)
        .arg("--json")
        .current_dir(cases)
        .stdin(std::process::Stdio::null())
        .output()
        .expect("the program runs");
    let text = String::from_utf8(run.stdout).expect("answers are UTF-8");
    (run.status.code().expect("no signal ends it"), text)
}

/// The answer to a command, given as words with single blanks between them.
fn answer(command: &str) -> Value {
    let arguments: Vec<&str> = command.split(' ').collect();
    let (status, text) = run(&arguments);
    assert!(status == 0 || status == 1, "{command}: {text}");
    let answer: Value = serde_json::from_str(&text).expect("JSON");
    assert_eq!(answer["format"], 1, "{command}");
    answer
}

const CAR: &str = "answers/solve/car.toml";

mod pinned {
    use super::*;

    /// The way to a value, with what stands there: `states[].state`, `text`.
    type Shape = BTreeMap<String, BTreeSet<&'static str>>;

    /// Keys under which things of the vehicle file stand by their names.
    const BY_NAME: [&str; 18] = [
        "split_relays",
        "points",
        "conductors",
        "joints",
        "stretches",
        "incidental",
        "inline",
        "batteries",
        "sources",
        "loads",
        "conductor_ohms",
        "structure_ohms",
        "incidental_ohms",
        "inline_ohms",
        "draws",
        "battery_volts",
        "battery_ohms",
        "held_volts",
    ];

    /// Keys that the page tells and that none of the commands here has a reason to print.
    const SELDOM: [&str; 1] = ["at"];

    /// Commands and the runs whose answers show every key.
    const RUNS: [(&str, &[&str]); 18] = [
        (
            "start",
            // A word of the command may hold blanks that do not part it.
            &[
                "--symptom no-crank --reading cranking:\u{a0}starter\u{a0}12.4\u{a0}V --reading starter\u{a0}12.4\u{a0}V --reading better\u{a0}with\u{a0}a\u{a0}jump\u{a0}lead\u{a0}from\u{a0}battery\u{a0}minus\u{a0}to\u{a0}engine --reading purple",
                "--symptom slow-crank --output no/such/folder.toml",
            ],
        ),
        ("new", &["", "--layout plant"]),
        ("check", &["answers/solve/car.toml", "problems/several-in-one-run/car.toml"]),
        (
            "solve",
            &[
                "answers/solve/car.toml --network",
                "answers/solve/car.toml --cold",
                "answers/loads-in-trouble/car.toml",
                "../../../../examples/rescue-ambulance.toml --network",
                "answers/unsettled/ring.toml --network",
                "answers/equaliser/truck.toml --network",
                "answers/solve-an-overloaded-fuse/car.toml",
            ],
        ),
        ("budget", &["answers/solve/car.toml --load starter"]),
        ("routes", &["answers/solve/car.toml --load module", "answers/solve/car.toml --all"]),
        ("offsets", &["answers/solve/car.toml"]),
        ("what-if", &["answers/solve/car.toml --set main-negative.to=5mΩ"]),
        (
            "diagnose",
            &[
                "../../../../examples/rescue-ambulance.toml ../../../../examples/rescue-ambulance.readings.toml",
                "readings/every-slip-of-a-line/car.toml readings/every-slip-of-a-line/readings.txt",
                "readings/before-and-after-work/cart.toml readings/before-and-after-work/lamp.csv",
                "readings/values-that-cannot-be/car.toml readings/values-that-cannot-be/readings.txt",
            ],
        ),
        (
            "next",
            &[
                "readings/every-slip-of-a-line/car.toml readings/every-slip-of-a-line/readings.txt",
                "../../../../examples/rescue-ambulance.toml",
                "../../../../examples/rescue-ambulance.toml --complaint siren@running",
                "readings/values-that-cannot-be/car.toml readings/values-that-cannot-be/readings.txt",
                "answers/solve/car.toml --plan",
            ],
        ),
        (
            "repairs",
            &[
                "readings/every-slip-of-a-line/car.toml readings/every-slip-of-a-line/readings.txt",
                "../../../../examples/rescue-ambulance.toml ../../../../examples/rescue-ambulance.readings.toml --most 1000",
                "answers/repairs-made-too-small/cart.toml --reading running:\u{a0}body/a\u{a0}to\u{a0}main/-\u{a0}0.9\u{a0}V --reading running:\u{a0}ground.from\u{a0}to\u{a0}ground.to\u{a0}0.85\u{a0}V",
            ],
        ),
        (
            "failures",
            &[
                "answers/failures-hidden-fuse/car.toml --pairs",
                "../../../../examples/rescue-ambulance.toml --pairs",
                "../../../../examples/rescue-ambulance.toml --after main-negative",
                "answers/failures-after-the-only-strap/tractor.toml --after engine-strap",
            ],
        ),
        (
            "heat",
            &[
                "answers/solve/car.toml --state cranking --for 2s",
                "../../../../examples/rescue-ambulance.toml --state winching --duty 20% --period 5min",
            ],
        ),
        ("limits", &["--current 200A --length 1.2m --size 35mm² --joints 2", "--current 20A"]),
        (
            "protect",
            &[
                "answers/protect/car.toml",
                "answers/protect/car.toml --recalled-curves",
                "answers/protect/car.toml --at module/+",
                "answers/protect/car.toml --at module/+ --through 20mΩ",
            ],
        ),
        (
            "size",
            &[
                "--current 120A --length 3.2m --drop 0.3V --return-length 2m",
                "--current 9kA --length 3.2m --drop 0.01V",
                "answers/protect/car.toml --from main/- --to body/left --length 0.4m --drop 20mV --price 16mm²=3",
                "answers/protect/car.toml --from main/+ --to relay/out --length 1m --fuse 30A --load headlamps --least 12V",
            ],
        ),
        (
            "bolt",
            &[
                "--thread M8 --torque 20N·m",
                "answers/protect/car.toml --joint main-negative.to",
                "--thread M6 --torque 9N·m --forming --faces tin,steel",
            ],
        ),
        ("catalogue", &["", "threads"]),
    ];

    fn shape(value: &Value, way: &str, found: &mut Shape) {
        let kind = match value {
            Value::Null => "null",
            Value::Bool(_) => "flag",
            Value::Number(_) => "number",
            Value::String(_) => "text",
            Value::Array(items) => {
                for item in items {
                    shape(item, &format!("{way}[]"), found);
                }
                "list"
            }
            Value::Object(entries) => {
                let key = way.rsplit('.').next().unwrap_or_default();
                let named = BY_NAME.contains(&key) && entries.values().all(Value::is_object);
                for (key, inner) in entries {
                    let step = if named { "ID" } else { key.as_str() };
                    shape(inner, &format!("{way}.{step}"), found);
                }
                return;
            }
        };
        found.entry(way.trim_start_matches('.').to_owned()).or_default().insert(kind);
    }

    fn shape_of(command: &str, runs: &[&str]) -> Shape {
        let mut found = Shape::new();
        for run in runs {
            shape(&answer(format!("{command} {run}").trim()), "", &mut found);
        }
        found
    }

    /// The keys on a way.
    fn keys(shape: &Shape) -> BTreeSet<String> {
        let steps = shape.keys().flat_map(|way| way.split('.'));
        steps.map(|step| step.replace("[]", "")).filter(|step| step != "ID").collect()
    }

    /// Sections of the page by their titles; what stands before the first is left out.
    fn page() -> BTreeMap<&'static str, &'static str> {
        let page = include_str!("../../../docs/json.md");
        page.split("\n## ").skip(1).filter_map(|section| section.split_once('\n')).collect()
    }

    /// What a section holds as code: blocks, and whatever is in backticks.
    fn code(section: &str) -> Vec<&str> {
        let (mut code, mut rest) = (Vec::new(), section);
        while let Some((_, after)) = rest.split_once('`') {
            let fence = after.starts_with("``");
            let Some((inside, next)) =
                (if fence { after[2..].split_once("```") } else { after.split_once('`') })
            else {
                break;
            };
            code.push(inside);
            rest = next;
        }
        code
    }

    /// The words of a text that may be keys.
    fn words(text: &str) -> impl Iterator<Item = &str> {
        text.split(|c: char| !(c.is_ascii_lowercase() || c == '_')).filter(|word| !word.is_empty())
    }

    #[test]
    fn the_shape_of_every_answer_is_as_recorded() {
        let recorded = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/shapes.txt");
        let mut text = String::new();
        for (command, runs) in RUNS {
            text.push_str(&format!("{command}\n"));
            for (way, kinds) in shape_of(command, runs) {
                let kinds: Vec<&str> = kinds.into_iter().collect();
                text.push_str(&format!("  {way}: {}\n", kinds.join(" or ")));
            }
        }
        #[expect(
            clippy::disallowed_methods,
            reason = "the shapes are a file, and `UPDATE` is asked for"
        )]
        let known = if std::env::var("UPDATE").is_ok() {
            std::fs::write(&recorded, &text).expect("the shapes may be written");
            text.clone()
        } else {
            std::fs::read_to_string(&recorded).expect("the shapes are there")
        };
        let (known, text): (BTreeSet<&str>, BTreeSet<&str>) =
            (known.lines().collect(), text.lines().collect());
        let (gone, new) = (known.difference(&text), text.difference(&known));
        let (gone, new): (Vec<_>, Vec<_>) = (gone.collect(), new.collect());
        assert!(gone.is_empty() && new.is_empty(), "gone: {gone:#?}\nnew: {new:#?}");
    }

    #[test]
    fn every_key_that_is_printed_stands_in_the_page() {
        let page = page();
        for (command, runs) in RUNS {
            // A section may lean on those that it names.
            let own = code(page[command]);
            let leant = own.iter().filter_map(|word| page.get(*word)).flat_map(|text| code(text));
            let further: Vec<&str> = leant.collect();
            let deeper =
                further.iter().filter_map(|word| page.get(*word)).flat_map(|text| code(text));
            let told: BTreeSet<&str> = own
                .iter()
                .copied()
                .chain(further.iter().copied())
                .chain(deeper)
                .flat_map(words)
                .collect();
            for key in keys(&shape_of(command, runs)) {
                assert!(key == "format" || told.contains(key.as_str()), "{command}: {key}");
            }
        }
    }

    #[test]
    fn every_key_that_stands_in_the_page_is_printed() {
        let printed: BTreeSet<String> =
            RUNS.iter().flat_map(|(command, runs)| keys(&shape_of(command, runs))).collect();
        let mut told = 0;
        for inside in page().values().flat_map(|section| code(section)) {
            // Keys are listed as `{ state, routes: … }`; an example shows names too.
            let Some((_, listed)) = inside.split_once('{').filter(|_| !inside.starts_with("json"))
            else {
                continue;
            };
            for part in listed.split([',', '{', '}', '[', ']', '\n']) {
                let key = part.split(':').next().unwrap_or_default().trim().trim_matches('"');
                let plain = words(key).eq([key]) && key != "id";
                if plain && !SELDOM.contains(&key) {
                    told += 1;
                    assert!(printed.contains(key), "`{key}` of `{inside}` is not printed");
                }
            }
        }
        assert!(told > 100, "{told}");
    }

    #[test]
    fn tidying_names_what_was_not_tidy() {
        let untidy = "answers/fmt-check-of-an-untidy-file/car.toml";
        let answer = answer(&format!("fmt --check {untidy} bytes/fmt-keeps-crlf/car.toml"));
        assert_eq!(answer["untidy"], serde_json::json!([untidy]));
    }
}

mod laws {
    use super::*;

    fn number(value: &Value) -> f64 {
        value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
    }

    fn sum(list: &Value, key: &str) -> f64 {
        list.as_array().expect("a list").iter().map(|entry| number(&entry[key])).sum()
    }

    fn near(a: f64, b: f64, of: &str) {
        assert!((a - b).abs() < 1e-6 * (1.0 + a.abs()), "{of}: {a} {b}");
    }

    #[test]
    fn a_conductor_and_its_joints_bridge_the_points_that_they_join() {
        let ends = [
            ("main-negative", "main/-", "block/rear"),
            ("body-strap", "main/-", "body/left"),
            ("block-strap", "block/front", "body/left"),
            ("starter.feed", "main/+", "starter/+"),
        ];
        let answer = answer(&format!("solve {CAR}"));
        let states = answer["states"].as_array().expect("states");
        assert!(states.len() > 3);
        for state in states {
            for (conductor, from, to) in ends {
                let point = |name: &str| number(&state["points"][name]["volts"]);
                let joint = |end: &str| &state["joints"][format!("{conductor}.{end}")];
                let own = &state["conductors"][conductor];
                let lost = number(&own["volts"])
                    + number(&joint("from")["volts"])
                    + number(&joint("to")["volts"]);
                near(point(from) - point(to), lost, conductor);
                for piece in [own, joint("from"), joint("to")] {
                    near(number(&piece["amps"]), number(&own["amps"]), conductor);
                    let volts = number(&piece["amps"]) * number(&piece["ohms"]);
                    near(number(&piece["volts"]), volts, conductor);
                    let watts = number(&piece["amps"]) * number(&piece["volts"]);
                    near(number(&piece["watts"]), watts, conductor);
                }
            }
        }
    }

    #[test]
    fn what_sources_give_is_what_loads_batteries_and_losses_take() {
        for state in answer(&format!("solve {CAR}"))["states"].as_array().expect("states") {
            let balance = |key: &str| number(&state["balance"][key]);
            let taken =
                balance("loads_watts") + balance("charging_watts") + balance("losses_watts");
            assert!((balance("sources_watts") - taken).abs() < 1e-3, "{}", state["balance"]);
            assert!(balance("sources_watts") > 1.0, "{}", state["state"]);
        }
    }

    #[test]
    fn the_terms_of_a_budget_add_up_to_the_source() {
        let answer = answer(&format!("budget {CAR} --load module"));
        let states = answer["states"].as_array().expect("states");
        assert!(!states.is_empty());
        for state in states {
            let budget = &state["budget"];
            let of = |key: &str| number(&budget[key]);
            near(sum(&budget["feed"], "volts"), of("feed_volts"), "feed");
            near(sum(&budget["return"], "volts"), of("return_volts"), "return");
            let whole = of("feed_volts") + of("load_volts") + of("return_volts");
            near(whole, of("source_volts"), "whole");
        }
    }

    #[test]
    fn the_routes_of_a_load_carry_all_of_its_current() {
        let answer = answer(&format!("routes {CAR} --load module"));
        let states = answer["states"].as_array().expect("states");
        assert!(!states.is_empty());
        for state in states {
            let routes = &state["routes"];
            let total = number(&routes["total_amps"]);
            assert!(total > 1.0, "{total}");
            assert!((sum(&routes["routes"], "amps") / total - 1.0).abs() < 1e-3, "{routes}");
            assert!((sum(&routes["routes"], "share") - 1.0).abs() < 1e-3, "{routes}");
        }
    }

    #[test]
    fn nothing_changes_where_a_resistance_is_set_to_what_it_was() {
        let joint = "main-negative.to";
        let before = answer(&format!("solve {CAR} --state cranking"));
        let ohms = number(&before["states"][0]["joints"][joint]["ohms"]);
        let same = answer(&format!("what-if {CAR} --set {joint}={ohms}Ω --state cranking"));
        let worse = answer(&format!("what-if {CAR} --set {joint}=5mΩ --state cranking"));
        let gain = |answer: &Value| number(&answer["states"][0]["loads"]["starter"]["gain_volts"]);
        assert!(gain(&same).abs() < 1e-9, "{}", gain(&same));
        assert!(gain(&worse) < -0.1, "{}", gain(&worse));
    }
}

mod refusals {
    use super::*;

    #[test]
    fn nothing_is_printed_where_nothing_is_answered() {
        for command in [
            "solve problems/unknown-key/car.toml",
            "solve nowhere.toml",
            "budget answers/solve/car.toml --load nothing",
            "what-if answers/solve/car.toml",
            "bolt --thread M8 --torque 5V",
            "catalogue nothing",
        ] {
            let arguments: Vec<&str> = command.split(' ').collect();
            assert_eq!(run(&arguments), (2, String::new()), "{command}");
        }
    }

    #[test]
    fn a_file_that_is_checked_is_answered_whatever_is_wrong_with_it() {
        for file in ["bytes/binary/car.toml", "bytes/not-toml/car.toml", "bytes/utf-16/car.toml"] {
            let answer = answer(&format!("check {file}"));
            assert!(answer["errors"].as_u64().is_some_and(|errors| errors > 0), "{file}");
            assert_eq!(answer["inventory"], Value::Null, "{file}");
        }
    }
}
