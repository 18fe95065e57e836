//! No public function of a shipped crate is there for its tests alone: the compiler cannot say so of what
//! is public.
//!
//! Names are compared, not paths: a function whose name something else bears too is not noticed. What is
//! called only by functions that nobody calls is.

use std::collections::{BTreeMap, BTreeSet};

use super::code::run_lines;
use crate::project::{Complaints, TextFile};

/// A public function: where it begins, its name, and the number of its last line.
struct Function<'t> {
    file: usize,
    first: usize,
    last: usize,
    name: &'t str,
}

/// Complaints about functions that nothing calls but tests, the files of which are given.
pub(crate) fn complaints(files: &[TextFile], tests: &BTreeSet<String>) -> Complaints {
    let ours: Vec<&TextFile> = files.iter().filter(|file| is_run(file, tests)).collect();
    let code: Vec<Vec<(usize, &str)>> = ours.iter().map(|file| run_lines(&file.text)).collect();
    let shipped = |file: &TextFile| {
        file.path.starts_with("crates/") && !file.path.starts_with("crates/trials/")
    };
    let mut functions: Vec<Function<'_>> = Vec::new();
    for (file, lines) in code.iter().enumerate().filter(|(file, _)| shipped(ours[*file])) {
        functions.extend(public_functions(file, lines));
    }
    let mut places = Places::new();
    for (file, lines) in code.iter().enumerate() {
        for (number, word) in used_words(lines) {
            places.entry(word).or_default().push((file, number));
        }
    }
    let told = idle(functions, &places).into_iter().map(|own| {
        let (path, first, name) = (&ours[own.file].path, own.first, own.name);
        format!("{path}:{first}: nothing calls `{name}` but tests; delete it, or call it")
    });
    told.collect()
}

/// File and line of every use of a word.
type Places<'t> = BTreeMap<&'t str, Vec<(usize, usize)>>;

/// The functions whose names stand nowhere but in themselves and in other idle ones.
fn idle<'t>(mut functions: Vec<Function<'t>>, places: &Places<'t>) -> Vec<Function<'t>> {
    let inside = |function: &Function<'_>, (file, number): (usize, usize)| {
        file == function.file && (function.first..=function.last).contains(&number)
    };
    let mut idle: Vec<Function<'t>> = Vec::new();
    loop {
        let (called, alone): (Vec<_>, Vec<_>) = functions.into_iter().partition(|own| {
            let mut outside =
                places.get(own.name).into_iter().flatten().filter(|place| !inside(own, **place));
            outside.any(|place| !idle.iter().any(|other| inside(other, *place)))
        });
        functions = called;
        if alone.is_empty() {
            break;
        }
        idle.extend(alone);
    }
    idle.sort_by_key(|own| (own.file, own.first));
    idle
}

/// Rust that runs outside of tests: that of the crates, of the benchmarks, the fuzzing targets and this.
fn is_run(file: &TextFile, tests: &BTreeSet<String>) -> bool {
    let place =
        ["crates/", "bench/", "fuzz/", "xtask/"].iter().any(|own| file.path.starts_with(own));
    place
        && file.path.ends_with(".rs")
        && !file.path.contains("/tests/")
        && !tests.contains(&file.path)
}

fn public_functions<'t>(file: usize, lines: &[(usize, &'t str)]) -> Vec<Function<'t>> {
    let mut functions = Vec::new();
    for (at, (number, line)) in lines.iter().enumerate() {
        let code = line.trim_start();
        let words = ["const ", "async ", "unsafe "];
        let rest = code.strip_prefix("pub ").map(|rest| {
            words.iter().fold(rest, |rest, word| rest.strip_prefix(word).unwrap_or(rest))
        });
        let Some(rest) = rest.and_then(|rest| rest.strip_prefix("fn ")) else { continue };
        // A name that a macro fills in is none yet.
        let name = rest.split(|c: char| !is_of_a_word(c)).next().unwrap_or_default();
        if name.is_empty() {
            continue;
        }
        let end = format!("{}}}", &line[..line.len() - code.len()]);
        let last = lines[at..].iter().find(|(_, line)| *line == end || line.ends_with(" {}"));
        let last = last.map_or(*number, |(last, _)| *last);
        functions.push(Function { file, first: *number, last, name });
    }
    functions
}

/// Every word of code with the number of its line; names of functions where they are defined, and what
/// is only brought into scope, left out.
fn used_words<'t>(lines: &[(usize, &'t str)]) -> Vec<(usize, &'t str)> {
    let mut words = Vec::new();
    let mut in_use = false;
    for (number, line) in lines {
        let code = line.trim_start();
        in_use |= code.starts_with("use ") || code.starts_with("pub use ");
        if in_use {
            in_use = !code.ends_with(';');
            continue;
        }
        let code = code.split(" // ").next().unwrap_or_default();
        let mut before = "";
        for word in code.split(|c: char| !is_of_a_word(c)).filter(|word| !word.is_empty()) {
            if before != "fn" {
                words.push((*number, word));
            }
            before = word;
        }
    }
    words
}

fn is_of_a_word(c: char) -> bool {
    c.is_ascii_alphanumeric() || c == '_'
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(files: &[(&str, &str)]) -> Vec<String> {
        let files: Vec<TextFile> = files
            .iter()
            .map(|(path, text)| TextFile { path: (*path).into(), text: (*text).into() })
            .collect();
        let tests = super::super::code::test_files(&files);
        let all = complaints(&files, &tests);
        all.iter().filter_map(|told| told.split('`').nth(1)).map(str::to_owned).collect()
    }

    #[test]
    fn a_public_function_that_only_its_tests_call_is_complained_of() {
        let law = "pub fn used() {\n}\npub fn idle() {\n}\n#[cfg(test)]\nmod tests {\n    fn a() {\n        idle();\n    }\n}\n";
        let user = "use law::{idle, used};\nfn main() {\n    used();\n}\n";
        assert_eq!(found(&[("crates/a/src/law.rs", law), ("bench/src/main.rs", user)]), ["idle"]);
    }

    #[test]
    fn what_only_idle_functions_call_is_idle_too_and_calling_oneself_does_not_count() {
        let law = "pub fn first() {\n    second();\n}\npub fn second() {\n    second();\n}\n";
        assert_eq!(found(&[("crates/a/src/law.rs", law)]), ["first", "second"]);
    }

    #[test]
    fn trials_are_no_shipped_crate_but_call() {
        let law = "pub fn used() {\n}\n";
        let trial = "pub fn own() {\n    used();\n}\n";
        assert_eq!(
            found(&[("crates/a/src/law.rs", law), ("crates/trials/src/b.rs", trial)]),
            [""; 0]
        );
    }
}
