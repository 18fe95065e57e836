//! That the command line stays a door: no sentence about a result, no JSON, no arithmetic on a quantity is made there.

use super::code::run_lines;
use crate::project::{Complaints, TextFile};

/// Where the command line stands.
const DOOR: &str = "crates/cli/src/";

/// Commands that answer no question: what they did with files and the garage is their own to say.
const ACTS: [&str; 5] = ["garage.rs", "new.rs", "open.rs", "report.rs", "tidy.rs"];

/// What makes an answer, and where it belongs.
const MADE_ELSEWHERE: [(&str, &str); 4] = [
    ("json!(", "JSON is made by a question's `shape` in `answers`"),
    ("say!(", "what is said of a result is a question's `told` in `answers`"),
    ("Told::default", "what is said of a result is a question's `told` in `answers`"),
    ("units::print", "a quantity in an answer stays typed until `render` writes it"),
];

/// Complaints about a file of the command line, unless it is for tests alone.
pub(crate) fn complaints(file: &TextFile, is_test: bool) -> Complaints {
    if is_test || !file.path.starts_with(DOOR) || !file.path.ends_with(".rs") {
        return Complaints::new();
    }
    let acts =
        file.path.strip_prefix("crates/cli/src/commands/").is_some_and(|own| ACTS.contains(&own));
    let told = |number: usize, why: &str| format!("{}:{number}: {why}", file.path);
    let mut all = Complaints::new();
    for (number, line) in run_lines(&file.text) {
        let made = MADE_ELSEWHERE.into_iter().filter(|(word, _)| line.contains(word) && !acts);
        all.extend(made.map(|(_, why)| told(number, why)));
        // Whoever knows no quantity but the units of the person can reckon with none.
        if line.contains("units::") && !line.contains("units::UnitSystem") {
            all.push(told(number, "of `units` the command line knows `UnitSystem` alone"));
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(path: &str, text: &str, expected: &[usize]) {
        let file = TextFile { path: path.to_owned(), text: text.to_owned() };
        let found = complaints(&file, false);
        assert_eq!(found.len(), expected.len(), "{found:?}");
        for (found, line) in found.iter().zip(expected) {
            assert!(found.starts_with(&format!("{path}:{line}: ")), "{found}");
        }
    }

    #[test]
    fn an_answer_made_at_the_command_line_is_told() {
        check("crates/cli/src/a.rs", "//! A.\nlet a = json!({});\nlet b = say!(\"x\");\n", &[2, 3]);
        check("crates/cli/src/a.rs", "//! A.\nuse units::{Volts, print};\n", &[2]);
    }

    #[test]
    fn the_persons_units_and_what_other_crates_make_are_well() {
        check("crates/cli/src/a.rs", "//! A.\nuse units::UnitSystem;\n", &[]);
        check("crates/answers/src/a.rs", "//! A.\nuse units::Volts;\nlet a = say!(\"x\");\n", &[]);
        check(
            "crates/cli/src/a.rs",
            "//! A.\n#[cfg(test)]\nmod tests {\n    use units::Volts;\n}\n",
            &[],
        );
    }
}
