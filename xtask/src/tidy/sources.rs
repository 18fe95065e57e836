//! How files look: their first line, their length, and what they must not name.

use super::code::run_lines;
use crate::project::{Complaints, TextFile};

/// Beyond this a file no longer fits in a head.
const LONGEST_FILE: usize = 600;
/// The description of the vehicle file is one long table, like data: dividing it would hide it.
const TABLES: [&str; 1] = ["crates/file/src/spec.rs"];
/// Beyond this the first page is no first page.
const LONGEST_README: usize = 220;

/// Beginnings of paths that exist on one machine only; this file must not hold them whole.
const MACHINE_PATHS: [&str; 6] = [
    concat!("/ro", "ot/"),
    concat!("/ho", "me/"),
    concat!("/tm", "p/"),
    concat!("/wo", "rk/"),
    concat!("/Us", "ers/"),
    concat!("C:", "\\"),
];

/// Hosts of package registries; they belong in lock files alone.
const REGISTRY_HOSTS: [&str; 6] = [
    concat!("crates", ".io"),
    concat!("pypi", ".org"),
    concat!("python", "hosted.org"),
    concat!("npmjs", ".org"),
    concat!("npmjs", ".com"),
    concat!("deb.debian", ".org"),
];

/// Complaints about one file, which may be for tests alone.
pub(crate) fn complaints(file: &TextFile, is_test: bool) -> Complaints {
    let mut complaints = Complaints::new();
    let mut complain = |line: usize, what: String| {
        complaints.push(format!("{}:{line}: {what}", file.path));
    };
    let rust = file.path.ends_with(".rs");
    if rust && !file.text.starts_with("//! ") {
        complain(1, "does not begin with `//!` and a sentence that says what it is for".to_owned());
    }
    let length = file.text.lines().count();
    let table = TABLES.contains(&file.path.as_str());
    if (rust || file.path.ends_with(".py")) && !table && length > LONGEST_FILE {
        complain(length, format!("has {length} lines, expected at most {LONGEST_FILE}"));
    }
    if file.path.ends_with("/mod.rs") {
        complain(1, "is a `mod.rs`; name it after its module, beside the folder".to_owned());
    }
    for (at, line) in file.text.lines().enumerate() {
        if let Some(path) = MACHINE_PATHS.into_iter().find(|path| begins_a_path(line, path)) {
            complain(at + 1, format!("names `{path}`, a path of one machine"));
        }
        if !file.path.ends_with("Cargo.lock")
            && let Some(host) = REGISTRY_HOSTS.into_iter().find(|host| line.contains(host))
        {
            complain(at + 1, format!("names `{host}`, the host of a package registry"));
        }
    }
    if rust && file.path.starts_with("crates/") && file.path.contains("/src/") && !is_test {
        for (number, line) in run_lines(&file.text) {
            if line.contains(".unwrap()") {
                complain(number, "unwraps outside of tests".to_owned());
            }
        }
    }
    complaints
}

/// Whether the line holds this beginning of a path with nothing of a path before it.
fn begins_a_path(line: &str, beginning: &str) -> bool {
    line.match_indices(beginning).any(|(at, _)| {
        let before = line[..at].chars().next_back();
        !before.is_some_and(|c| c.is_alphanumeric() || ".-_*/})>".contains(c))
    })
}

/// Complaints about the first page.
pub(crate) fn readme(text: &str) -> Complaints {
    let lines = text.lines().count();
    let long = lines > LONGEST_README;
    long.then(|| format!("README.md: has {lines} lines, expected at most {LONGEST_README}"))
        .into_iter()
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(path: &str, text: &str, expected: &[&str]) {
        let file = TextFile { path: path.to_owned(), text: text.to_owned() };
        let found = complaints(&file, path.ends_with("/tests.rs"));
        assert_eq!(found.len(), expected.len(), "{found:?}");
        for (found, expected) in found.iter().zip(expected) {
            assert!(found.contains(expected), "{found}");
        }
    }

    #[test]
    fn a_file_that_keeps_the_rules_gives_no_complaint() {
        check("crates/units/src/size.rs", "//! Sizes.\nfn a() {}\n", &[]);
        check("docs/a.md", "crates/model/src/work/a.rs, src/home/b, 1/root/2\n", &[]);
    }

    #[test]
    fn a_rust_file_says_first_what_it_is_for() {
        check("xtask/src/a.rs", "fn a() {}\n", &["xtask/src/a.rs:1: does not begin with `//!`"]);
    }

    #[test]
    fn a_file_longer_than_a_head_holds_is_told() {
        let text = format!("//! Long.\n{}", "\n".repeat(LONGEST_FILE));
        check("crates/a/src/a.rs", &text, &["has 601 lines"]);
        check("checks/a.py", &text, &["has 601 lines"]);
        check("checks/vectors/a.json", &text, &[]);
    }

    #[test]
    fn a_path_of_one_machine_and_a_registry_host_are_told_with_their_line() {
        let path = MACHINE_PATHS[2];
        check("docs/a.md", &format!("\nsee `{path}x`\n"), &["docs/a.md:2: names"]);
        let host = REGISTRY_HOSTS[0];
        check("docs/a.md", &format!("from {host}\n"), &["docs/a.md:1: names"]);
        check("fuzz/Cargo.lock", &format!("from {host}\n"), &[]);
    }

    #[test]
    fn an_unwrap_is_told_in_code_and_not_in_comments_or_tests() {
        let code = "//! A.\nfn a() {\n    b().unwrap();\n}\n";
        check("crates/a/src/a.rs", code, &["crates/a/src/a.rs:3: unwraps"]);
        check("crates/a/src/a/tests.rs", code, &[]);
        check("crates/a/src/a.rs", "//! A.\n/// b().unwrap();\nfn a() {}\n", &[]);
        check(
            "crates/a/src/a.rs",
            "//! A.\n#[cfg(test)]\nmod tests {\n    a().unwrap();\n}\n",
            &[],
        );
    }

    #[test]
    fn a_first_page_of_more_than_a_page_is_told() {
        assert_eq!(readme(&"a\n".repeat(LONGEST_README)), Complaints::new());
        assert_eq!(readme(&"a\n".repeat(LONGEST_README + 1)).len(), 1);
    }
}
