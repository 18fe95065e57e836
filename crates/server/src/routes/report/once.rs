//! What a report says many times, written once: the same part of a circuit stands in every load's answer.

use std::collections::BTreeMap;

use serde_json::{Map, Number, Value, json};

/// The key of a reference; no name in a vehicle file has this letter.
const REFERENCE: &str = "=";
/// What is shorter than this costs less than a reference to it.
const LEAST_LETTERS: usize = 14;

/// A value with what occurs in it more than once written once: `{ "shared": […], "whole": … }`.
///
/// An object with the only key `=` stands for the entry of that number in `shared`, each of which refers to earlier
/// ones alone. Numbers keep seven significant digits, of which a page shows four at most.
pub(super) fn written(value: &Value) -> Value {
    let mut seen = Seen::default();
    let whole = seen.number(value);
    let mut places = BTreeMap::new();
    let mut shared = Vec::new();
    for (number, own) in seen.all.iter().enumerate() {
        if own.uses > 1 && own.letters >= LEAST_LETTERS {
            let entry = seen.spelled(number, &places);
            places.insert(number, shared.len());
            shared.push(entry);
        }
    }
    json!({ "shared": shared, "whole": seen.spelled(whole, &places) })
}

/// Every different value, each after those that it holds.
#[derive(Debug, Default)]
struct Seen {
    all: Vec<Different>,
    numbers: BTreeMap<Made, usize>,
}

/// A value that differs from all others.
#[derive(Debug)]
struct Different {
    made: Made,
    /// How many different places hold it.
    uses: usize,
    /// How long it is.
    letters: usize,
}

/// What a value is made of: others by their numbers.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
enum Made {
    /// Its JSON.
    Plain(String),
    List(Vec<usize>),
    Keyed(Vec<(String, usize)>),
}

impl Seen {
    /// The number of a value; what it holds is counted where it is new.
    fn number(&mut self, value: &Value) -> usize {
        let made = match value {
            Value::Array(own) => Made::List(own.iter().map(|own| self.number(own)).collect()),
            Value::Object(own) => {
                Made::Keyed(own.iter().map(|(key, own)| (key.clone(), self.number(own))).collect())
            }
            Value::Number(own) => Made::Plain(short(own).to_string()),
            _ => Made::Plain(value.to_string()),
        };
        if let Some(number) = self.numbers.get(&made) {
            return *number;
        }
        let held = made.held();
        let inside: usize = held.iter().map(|own| self.all[*own].letters + 1).sum();
        let letters = match &made {
            Made::Plain(own) => own.len(),
            Made::List(_) => 1 + inside,
            Made::Keyed(own) => {
                own.iter().map(|(key, _)| key.len() + 3).sum::<usize>() + 1 + inside
            }
        };
        for own in held {
            self.all[own].uses += 1;
        }
        let number = self.all.len();
        self.numbers.insert(made.clone(), number);
        self.all.push(Different { made, uses: 0, letters });
        number
    }

    /// A value as it is written, with references for what is shared.
    fn spelled(&self, number: usize, places: &BTreeMap<usize, usize>) -> Value {
        let inner = |own: &usize| match places.get(own) {
            Some(place) => json!({ REFERENCE: place }),
            None => self.spelled(*own, places),
        };
        match &self.all[number].made {
            Made::Plain(own) => serde_json::from_str(own).unwrap_or_default(),
            Made::List(own) => own.iter().map(inner).collect(),
            Made::Keyed(own) => {
                let own = own.iter().map(|(key, own)| (key.clone(), inner(own)));
                Value::Object(own.collect::<Map<_, _>>())
            }
        }
    }
}

impl Made {
    fn held(&self) -> Vec<usize> {
        match self {
            Self::Plain(_) => Vec::new(),
            Self::List(own) => own.clone(),
            Self::Keyed(own) => own.iter().map(|(_, own)| *own).collect(),
        }
    }
}

/// A number with seven significant digits; whole ones stay as they are.
fn short(own: &Number) -> Number {
    let real = own.as_f64().filter(|_| own.is_f64());
    let rounded = real.and_then(|real| format!("{real:.6e}").parse().ok());
    rounded.and_then(Number::from_f64).unwrap_or_else(|| own.clone())
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;

    /// What was written, whole again.
    pub(crate) fn read(written: &Value) -> Value {
        let mut shared: Vec<Value> = Vec::new();
        for own in written["shared"].as_array().unwrap() {
            let own = unfolded(own, &shared);
            shared.push(own);
        }
        unfolded(&written["whole"], &shared)
    }

    fn unfolded(value: &Value, shared: &[Value]) -> Value {
        match value {
            Value::Array(own) => own.iter().map(|own| unfolded(own, shared)).collect(),
            Value::Object(own) => match own.get(REFERENCE).filter(|_| own.len() == 1) {
                Some(place) => shared[usize::try_from(place.as_u64().unwrap()).unwrap()].clone(),
                None => own.iter().map(|(key, own)| (key.clone(), unfolded(own, shared))).collect(),
            },
            _ => value.clone(),
        }
    }

    #[test]
    fn what_occurs_twice_is_written_once_and_is_whole_again_when_read() {
        let way =
            json!({ "piece": "engine-module.return.from", "amps": 11.5, "ends": [1, 2, null] });
        let whole = json!({
            "a": [way, { "deep": way, "empty": {}, "none": [] }],
            "b": { "piece": "engine-module.return.from", "short": "x", "again": "x" },
        });
        let written = written(&whole);
        assert_eq!(read(&written), whole);
        let text = written.to_string();
        assert_eq!(text.matches("engine-module.return.from").count(), 1, "{text}");
        assert_eq!(text.matches("ends").count(), 1, "{text}");
        assert_eq!(text.matches("\"x\"").count(), 2, "a reference would be longer: {text}");
    }

    #[test]
    fn numbers_keep_seven_significant_digits_and_whole_ones_all() {
        let whole =
            json!([0.428_903_567_915_075, -18.240_458_327_3, 1.0, 123_456_789_012_i64, 1e-12]);
        let read = read(&written(&whole));
        assert_eq!(read, json!([0.428_903_6, -18.240_46, 1.0, 123_456_789_012_i64, 1e-12]));
    }

    /// The page's own reader is held to it by the same file.
    #[test]
    fn a_file_of_the_pages_tests_says_what_is_written_here() {
        let whole = json!({
            "told": { "cranking": { "words": "engine block to main" }, "running": { "words": "engine block to main" } },
            "budget": [{ "piece": "main-negative.from", "volts": 0.428_903_567_9 }, null, [], "x", true, 3],
            "again": { "piece": "main-negative.from", "volts": 0.428_903_567_9 },
        });
        let written = written(&whole);
        let file = json!({ "written": written, "whole": read(&written) });
        let text = format!("{:#}\n", file);
        let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../web/tests/vectors/once.json");
        #[expect(
            clippy::disallowed_methods,
            reason = "whoever runs the test may ask for an update"
        )]
        if std::env::var("UPDATE").is_ok() {
            std::fs::write(path, &text).unwrap();
        }
        #[expect(clippy::disallowed_methods, reason = "the vectors are a file")]
        let kept = std::fs::read_to_string(path).unwrap_or_default();
        assert_eq!(kept, text, "write it anew: UPDATE=1 cargo test -p server --lib once");
    }
}
