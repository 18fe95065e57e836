//! Whole-program cases: a folder with a command and files, and what the program must answer.
//!
//! See `cases/README.md`. `UPDATE=1 cargo test -p cli --test cases` writes the answers anew.

use std::path::{Path, PathBuf};
use std::process::Command;

/// Runs the command of a case in its folder: exit status, standard output, standard error.
fn answer(case: &Path) -> String {
    let command = read(&case.join("command"));
    let arguments = words(command.trim());
    let run = Command::new(env!("CARGO_BIN_EXE_groundloom"))
        .args(arguments)
        .current_dir(case)
        .stdin(input(case))
        .output()
        .expect("the program runs");
    let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).expect("answers are UTF-8");
    format!(
        "exit {}\n--- stdout\n{}--- stderr\n{}",
        run.status.code().expect("no signal ends it"),
        text(&run.stdout),
        text(&run.stderr)
    )
}

/// What is typed: the file `input` of the case, or nothing.
fn input(case: &Path) -> std::process::Stdio {
    std::fs::File::open(case.join("input")).map_or_else(|_| std::process::Stdio::null(), Into::into)
}

/// Words of a command line; single quotes hold blanks together.
fn words(line: &str) -> Vec<String> {
    let mut words = Vec::new();
    for (at, part) in line.split('\'').enumerate() {
        if at % 2 == 1 {
            words.push(part.to_owned());
        } else {
            words.extend(part.split_whitespace().map(str::to_owned));
        }
    }
    words
}

#[expect(clippy::disallowed_methods, reason = "cases are files")]
fn read(path: &Path) -> String {
    std::fs::read_to_string(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

fn cases() -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases");
    let folders = |path: &Path| -> Vec<PathBuf> {
        std::fs::read_dir(path)
            .expect("a folder of cases")
            .map(|entry| entry.expect("readable").path())
            .filter(|path| path.is_dir())
            .collect()
    };
    let mut cases: Vec<PathBuf> = folders(&root).iter().flat_map(|topic| folders(topic)).collect();
    cases.sort();
    cases
}

#[test]
fn every_case_is_answered_as_recorded() {
    let cases = cases();
    assert!(cases.len() > 30, "{} cases", cases.len());
    #[expect(
        clippy::disallowed_methods,
        reason = "the person who runs the test may ask for an update"
    )]
    let update = std::env::var("UPDATE").is_ok();
    let mut wrong = Vec::new();
    for case in cases {
        let found = answer(&case);
        assert!(!found.contains("panicked"), "{}: {found}", case.display());
        if update {
            #[expect(clippy::disallowed_methods, reason = "an update writes the answers")]
            std::fs::write(case.join("expected"), &found).expect("the case may be written");
        } else if found != read(&case.join("expected")) {
            wrong.push(format!("{}\n{found}", case.display()));
        }
    }
    assert!(wrong.is_empty(), "{} cases answer otherwise:\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn every_problem_that_is_explained_has_a_case() {
    // That every code of the program is explained is looked at by `cargo xtask tidy`.
    let explained = include_str!("../../../docs/problems.md");
    let codes: Vec<&str> = explained.lines().filter_map(|line| line.strip_prefix("## ")).collect();
    assert!(codes.len() > 50, "{} codes", codes.len());
    let recorded = cases().into_iter().map(|case| case.join("expected"));
    let answers: String = recorded.filter(|path| path.exists()).map(|path| read(&path)).collect();
    let unseen = |code: &&&str| !answers.contains(&format!("[{code}]"));
    // A case of 64 MB is made by `sizes.rs`, not kept.
    let without: Vec<&&str> =
        codes.iter().filter(|code| **code != "too-large").filter(unseen).collect();
    assert!(without.is_empty(), "no case shows {without:?}");
}
