//! What is recorded for and by programs in other languages, in `checks/`.

use std::path::PathBuf;

use serde_json::{Value, json};

const ABOUT: &str =
    "Estimations as numbers, written by the tests of crates/diagnosis; see checks/README.md.";

pub(super) fn recorded(name: &str) -> Value {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../checks").join(name);
    #[expect(clippy::disallowed_methods, reason = "recorded answers are files")]
    let text = std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{name}: {error}"));
    serde_json::from_str(&text).unwrap_or_else(|error| panic!("{name}: {error}"))
}

/// One case a line, so that a difference can be seen.
fn lines(cases: &[Value]) -> String {
    let rows: Vec<String> = cases.iter().map(Value::to_string).collect();
    format!("{{\n\"about\": {},\n\"cases\": [\n{}\n]\n}}\n", json!(ABOUT), rows.join(",\n"))
}

/// The first place where two documents differ by more than a billionth.
fn difference(a: &Value, b: &Value, place: &str) -> Option<String> {
    match (a, b) {
        (Value::Object(a), Value::Object(b)) if a.len() == b.len() => {
            a.iter().find_map(|(key, own)| {
                let other = b.get(key).unwrap_or(&Value::Null);
                difference(own, other, &format!("{place}/{key}"))
            })
        }
        (Value::Array(a), Value::Array(b)) if a.len() == b.len() => a
            .iter()
            .zip(b)
            .enumerate()
            .find_map(|(at, (own, other))| difference(own, other, &format!("{place}/{at}"))),
        (Value::Number(x), Value::Number(y)) => {
            let (x, y) = (x.as_f64().expect("finite"), y.as_f64().expect("finite"));
            ((x - y).abs() > 1e-9 * x.abs().max(1e-6)).then(|| format!("{place}: {x} {y}"))
        }
        _ => (a != b).then(|| format!("{place}: {a} {b}")),
    }
}

/// Compares with what is recorded; `UPDATE=1` writes it anew, and then `checks/regenerate.py` has to
/// be run.
pub(super) fn written_or_same(name: &str, found: &[Value]) {
    #[expect(
        clippy::disallowed_methods,
        reason = "the person who runs the test may ask for an update"
    )]
    if std::env::var("UPDATE").is_ok() {
        let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../checks").join(name);
        std::fs::write(path, lines(found)).expect("the description may be written");
    }
    let differs = difference(&recorded(name)["cases"], &json!(found), "");
    assert_eq!(differs, None, "`UPDATE=1 cargo test -p diagnosis`, then `checks/regenerate.py`");
}
