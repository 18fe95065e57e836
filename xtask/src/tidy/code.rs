//! Rust text reduced to what the program runs: no comments, no tests.

use std::collections::BTreeSet;

use crate::project::TextFile;

/// Lines of code with their numbers from 1; comment lines and items under `#[cfg(test)]` left out.
///
/// Relies on the formatter: an item ends at the first line with the indentation of its beginning
/// that closes it.
pub(crate) fn run_lines(text: &str) -> Vec<(usize, &str)> {
    let mut kept = Vec::new();
    let mut lines = text.lines().enumerate();
    while let Some((at, line)) = lines.next() {
        let code = line.trim_start();
        if code.starts_with("//") {
            continue;
        }
        if !code.starts_with("#[cfg(test)]") {
            kept.push((at + 1, line));
            continue;
        }
        let indentation = line.len() - code.len();
        for (_, line) in lines.by_ref() {
            let code = line.trim_start();
            let level = line.len() - code.len() == indentation;
            let attribute = code.starts_with("#[") || code.starts_with("//");
            if level && !attribute && (code.starts_with('}') || code.ends_with([';', '}'])) {
                break;
            }
        }
    }
    kept
}

/// Paths of the files that are modules under `#[cfg(test)]`.
pub(crate) fn test_files(files: &[TextFile]) -> BTreeSet<String> {
    let modules = files.iter().filter(|file| file.path.ends_with(".rs")).flat_map(|file| {
        let folder = match file.path.rsplit_once('/') {
            Some((folder, "lib.rs" | "main.rs")) => folder,
            _ => file.path.trim_end_matches(".rs"),
        };
        let after = file.text.split("#[cfg(test)]").skip(1);
        after.filter_map(move |text| {
            let (name, _) = text.trim_start().strip_prefix("mod ")?.split_once(';')?;
            let plain = name.bytes().all(|byte| byte.is_ascii_alphanumeric() || byte == b'_');
            plain.then(|| format!("{folder}/{name}.rs"))
        })
    });
    let alone: BTreeSet<String> = modules.collect();
    let below = files.iter().filter(|file| {
        let folders = file.path.match_indices('/').map(|(at, _)| &file.path[..at]);
        folders.map(|folder| format!("{folder}.rs")).any(|module| alone.contains(&module))
    });
    let below: Vec<String> = below.map(|file| file.path.clone()).collect();
    alone.into_iter().chain(below).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(text: &str, expected: &[usize]) {
        let kept = run_lines(text).into_iter().map(|(number, _)| number).collect::<Vec<_>>();
        assert_eq!(kept, expected, "{text}");
    }

    #[test]
    fn comments_and_test_modules_are_left_out_and_what_follows_is_kept() {
        check("//! File.\nfn a() {}\n", &[2]);
        check("fn a() {}\n#[cfg(test)]\nmod tests {\n    fn b() {}\n}\nfn c() {}\n", &[1, 6]);
        check("#[cfg(test)]\nmod tests;\nfn c() {}\n", &[3]);
        check("#[cfg(test)]\n#[rustfmt::skip]\nuse a::b;\nfn c() {}\n", &[4]);
        check("mod m {\n    #[cfg(test)]\n    fn b() {\n    }\n    fn c() {}\n}\n", &[1, 5, 6]);
    }

    #[test]
    fn a_file_is_for_tests_alone_when_its_module_is() {
        let file = |path: &str, text: &str| TextFile { path: path.into(), text: text.into() };
        let found = test_files(&[
            file("crates/a/src/lib.rs", "mod b;\n#[cfg(test)]\nmod laws;\n"),
            file("crates/a/src/b.rs", "#[cfg(test)]\nmod tests;\n"),
            file("crates/a/src/b/tests.rs", "mod refusals;\n"),
            file("crates/a/src/b/tests/refusals.rs", "use super::*;\n"),
            file("crates/a/src/b/testing.rs", "fn b() {}\n"),
            file("crates/a/src/c.rs", "#[cfg(test)]\nmod tests {\n    use a;\n}\n"),
        ]);
        let expected =
            ["crates/a/src/b/tests.rs", "crates/a/src/b/tests/refusals.rs", "crates/a/src/laws.rs"];
        assert_eq!(found, BTreeSet::from(expected.map(str::to_owned)));
    }
}
