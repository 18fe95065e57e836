//! The front page shows what its first command prints.

use std::path::Path;
use std::process::Command;

/// What the first command of the front page prints.
fn found() -> String {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let run = Command::new(env!("CARGO_BIN_EXE_groundloom"))
        .args(["diagnose", "examples/rescue-ambulance.toml"])
        .arg("examples/rescue-ambulance.readings.toml")
        .current_dir(root)
        .output()
        .expect("the program runs");
    assert_eq!(run.status.code(), Some(1), "something is found");
    String::from_utf8(run.stdout).expect("text")
}

#[test]
fn the_front_page_shows_what_its_first_command_prints() {
    let page = include_str!("../../../README.md");
    let shown = page.split("```text\n").nth(1).and_then(|rest| rest.split("```").next());
    let shown: Vec<&str> = shown.expect("an excerpt").lines().collect();
    let printed = found();
    assert!(shown.len() > 10, "{shown:?}");
    for line in shown.iter().filter(|line| line.trim() != "…") {
        assert!(printed.lines().any(|own| own == *line), "{line:?} is not printed:\n{printed}");
    }
}
