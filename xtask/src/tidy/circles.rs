//! Which modules of a crate use each other in a circle, and whether a crate keeps the order it states.
//!
//! A module here is one that the crate's root names, with all files in its folder. What stands in the
//! root file itself is the module `lib` or `main`.

use std::collections::{BTreeMap, BTreeSet};

use super::code::run_lines;
use crate::project::{Complaints, TextFile};

/// The circles that there are, crate by crate: no others may come, and one that is gone is taken out.
const KNOWN: &[(&str, &str)] = &[];

/// A crate whose root says so has its modules in an order: each uses only those named before it.
const ORDERED: &str = "//! # Modules, each using only those before it";

/// Each module with those that it uses.
type Uses<'f> = BTreeMap<&'f str, BTreeSet<&'f str>>;

/// Circles that are not known, known ones that are gone, and what breaks an order.
pub(crate) fn complaints(files: &[TextFile], tests: &BTreeSet<String>) -> Complaints {
    beside(KNOWN, files, tests)
}

fn beside(known: &[(&str, &str)], files: &[TextFile], tests: &BTreeSet<String>) -> Complaints {
    let mut complaints = Complaints::new();
    let mut gone = known.to_vec();
    for (root, folder) in roots(files) {
        let name = folder.trim_end_matches("/src").rsplit('/').next().unwrap_or(folder);
        let uses = uses(root, folder, files, tests);
        for circle in circles(&uses) {
            let circle = circle.join(", ");
            gone.retain(|own| *own != (name, circle.as_str()));
            if !known.contains(&(name, circle.as_str())) {
                complaints.push(format!("{folder}: modules use each other in a circle: {circle}"));
            }
        }
        complaints.extend(disorder(root, &uses));
    }
    complaints.extend(gone.into_iter().map(|(name, circle)| {
        format!("`{name}` has no circle {circle} any more; see KNOWN in xtask/src/tidy/circles.rs")
    }));
    complaints
}

/// The root file of each crate, with the folder of its modules; of two roots the library's.
fn roots(files: &[TextFile]) -> Vec<(&TextFile, &str)> {
    let mut roots: BTreeMap<&str, &TextFile> = BTreeMap::new();
    for root in ["main.rs", "lib.rs"] {
        for file in files {
            if let Some((folder, name)) = file.path.rsplit_once('/')
                && name == root
                && (folder == "xtask/src" || is_crate(folder))
            {
                roots.insert(folder, file);
            }
        }
    }
    roots.into_iter().map(|(folder, file)| (file, folder)).collect()
}

/// True for `crates/x/src`.
fn is_crate(folder: &str) -> bool {
    folder
        .strip_prefix("crates/")
        .and_then(|rest| rest.strip_suffix("/src"))
        .is_some_and(|name| !name.contains('/'))
}

/// What each module of a crate uses of its others, tests left out.
fn uses<'f>(
    root: &'f TextFile,
    folder: &'f str,
    files: &'f [TextFile],
    tests: &BTreeSet<String>,
) -> Uses<'f> {
    let code = run_lines(&root.text);
    let root_name = if root.path.ends_with("lib.rs") { "lib" } else { "main" };
    let mut uses: Uses<'f> =
        code.iter().filter_map(|(_, line)| Some((declared(line)?, BTreeSet::new()))).collect();
    let modules: BTreeSet<&str> = uses.keys().copied().collect();
    let homes = homes(&root.text, &modules);
    let home = |name: &str| -> &'f str {
        modules.get(name).or_else(|| homes.get(name)).copied().unwrap_or(root_name)
    };
    uses.insert(root_name, BTreeSet::new());
    for file in files {
        let Some(path) = file.path.strip_prefix(folder).and_then(|path| path.strip_prefix('/'))
        else {
            continue;
        };
        let Some(path) = path.strip_suffix(".rs").filter(|_| !tests.contains(&file.path)) else {
            continue;
        };
        let own = path.split('/').next().unwrap_or(path);
        let Some((own, known)) = uses.get_key_value(own).map(|(own, known)| (*own, known.clone()))
        else {
            continue;
        };
        let names = names_from_root(&file.text, path.split('/').count());
        let used = names.iter().map(|name| home(name)).filter(|used| *used != own);
        uses.insert(own, known.into_iter().chain(used).collect());
    }
    uses
}

/// The module that a line of the root declares.
fn declared(line: &str) -> Option<&str> {
    let (before, name) = line.split_once("mod ")?;
    let name = name.strip_suffix(';')?;
    (before.is_empty() || before.starts_with("pub")).then_some(name)
}

/// Names that the root takes from its modules, each with its module.
fn homes<'f>(root: &str, modules: &BTreeSet<&'f str>) -> BTreeMap<String, &'f str> {
    let code = joined(root);
    let mut homes = BTreeMap::new();
    for statement in code.split(';') {
        let Some((_, taken)) = statement.split_once("use ") else { continue };
        let taken = taken.trim_start_matches("crate::");
        let Some((module, names)) = taken.split_once("::") else { continue };
        let Some(module) = modules.get(module) else { continue };
        let names = names.split(|letter: char| !is_of_a_name(letter));
        homes.extend(names.filter(|name| !name.is_empty()).map(|name| (name.to_owned(), *module)));
    }
    homes
}

/// The names after `crate::`, or after as many `super::` as lead from a file so deep to the root.
fn names_from_root(text: &str, depth: usize) -> Vec<String> {
    let code = joined(text);
    let up = "super::".repeat(depth);
    let mut names = Vec::new();
    for way in ["crate::", up.as_str()] {
        for (at, _) in code.match_indices(way) {
            let before = code[..at].chars().next_back();
            if before.is_some_and(|letter| is_of_a_name(letter) || letter == ':' || letter == '$') {
                continue;
            }
            names.extend(first_names(&code[at + way.len()..]));
        }
    }
    names
}

/// The first name of a path, or of each path in the braces.
fn first_names(path: &str) -> Vec<String> {
    let name = |text: &str| -> String {
        text.trim_start().chars().take_while(|letter| is_of_a_name(*letter)).collect()
    };
    let Some(group) = path.strip_prefix('{') else {
        return Some(name(path))
            .filter(|name| !name.is_empty() && name != "super")
            .into_iter()
            .collect();
    };
    let (mut depth, mut names, mut begins) = (1, Vec::new(), 0);
    for (at, letter) in group.char_indices() {
        match letter {
            '{' => depth += 1,
            '}' => depth -= 1,
            _ => {}
        }
        if depth == 0 || (depth == 1 && letter == ',') {
            names.push(name(&group[begins..at]));
            begins = at + 1;
        }
        if depth == 0 {
            break;
        }
    }
    names.retain(|name| !name.is_empty());
    names
}

/// What the program runs, without its line ends.
fn joined(text: &str) -> String {
    run_lines(text).into_iter().map(|(_, line)| line.trim()).collect::<Vec<_>>().join(" ")
}

fn is_of_a_name(letter: char) -> bool {
    letter.is_alphanumeric() || letter == '_'
}

/// Sets of modules of which each leads to every other.
fn circles<'f>(uses: &Uses<'f>) -> Vec<Vec<&'f str>> {
    let reached: Uses<'f> = uses.keys().map(|own| (*own, reached(uses, own))).collect();
    let mut circles: Vec<Vec<&str>> = Vec::new();
    for (own, to) in &reached {
        let circle: Vec<&str> =
            to.iter().filter(|at| reached[*at].contains(own)).copied().collect();
        if circle.len() > 1 && !circles.contains(&circle) {
            circles.push(circle);
        }
    }
    circles
}

fn reached<'f>(uses: &Uses<'f>, from: &str) -> BTreeSet<&'f str> {
    let mut reached = BTreeSet::new();
    let mut left: Vec<&str> = uses[from].iter().copied().collect();
    while let Some(next) = left.pop() {
        if reached.insert(next) {
            left.extend(uses.get(next).into_iter().flatten());
        }
    }
    reached
}

/// What breaks the order that a root states for its modules.
fn disorder(root: &TextFile, uses: &Uses<'_>) -> Complaints {
    let Some((_, list)) = root.text.split_once(ORDERED) else { return Complaints::new() };
    let list = list.lines().skip(1).take_while(|line| line.starts_with("//!"));
    let order: Vec<&str> = list.flat_map(|line| line.split('`').skip(1).step_by(2)).collect();
    let place = |name: &str| order.iter().position(|own| *own == name);
    let mut complaints = Complaints::new();
    for (own, used) in uses.iter().filter(|(own, _)| !["lib", "main"].contains(own)) {
        let Some(at) = place(own) else {
            complaints.push(format!("{}: the order of modules lacks `{own}`", root.path));
            continue;
        };
        let late = used.iter().filter(|used| place(used).is_none_or(|used| used > at));
        complaints.extend(
            late.map(|late| format!("{}: `{own}` uses `{late}`, which comes after it", root.path)),
        );
    }
    complaints
}

#[cfg(test)]
mod tests {
    use super::*;

    fn file(path: &str, text: &str) -> TextFile {
        TextFile { path: format!("crates/a/src/{path}"), text: text.to_owned() }
    }

    fn check(files: &[TextFile], expected: &[&str]) {
        let tests = super::super::code::test_files(files);
        assert_eq!(beside(&[], files, &tests), expected);
    }

    const ROOT: &str = "mod one;\npub mod two;\nmod three;\npub use two::{Two, deep::Other};\n";

    #[test]
    fn modules_that_use_each_other_over_a_third_are_a_circle() {
        let files = [
            file("lib.rs", ROOT),
            file("one.rs", "use crate::{\n    three::{a, b},\n};\n"),
            file("two.rs", "fn a() {\n    super::one::b();\n}\n"),
            file("three/below.rs", "use super::super::Other;\nuse super::near;\n"),
        ];
        check(&files, &["crates/a/src: modules use each other in a circle: one, three, two"]);
        check(&files[..3], &[]);
    }

    #[test]
    fn a_known_circle_is_borne_until_it_is_gone() {
        let known = [("a", "one, two")];
        let mut files = [
            file("lib.rs", "mod one;\nmod two;\n"),
            file("one.rs", "use crate::two::b;\n"),
            file("two.rs", "use crate::one::b;\n"),
        ];
        assert_eq!(beside(&known, &files, &BTreeSet::new()), Complaints::new());
        files[1].text.clear();
        let gone = "`a` has no circle one, two any more; see KNOWN in xtask/src/tidy/circles.rs";
        assert_eq!(beside(&known, &files, &BTreeSet::new()), [gone]);
    }

    #[test]
    fn what_stands_in_the_root_is_a_module_too() {
        let files = [
            file("main.rs", "mod one;\nuse crate::one::b;\nstruct Options;\n"),
            file("one.rs", "use crate::Options;\n"),
        ];
        check(&files, &["crates/a/src: modules use each other in a circle: main, one"]);
    }

    #[test]
    fn tests_comments_and_other_crates_make_no_circle() {
        let files = [
            file("lib.rs", "mod one;\nmod two;\n#[cfg(test)]\nmod laws;\n"),
            file("one.rs", "use crate::two::b;\n"),
            file(
                "two.rs",
                "//! See crate::one.\nuse other_crate::one::c;\n#[cfg(test)]\nmod tests;\n",
            ),
            file("two/tests.rs", "use crate::one::b;\n"),
            file("laws.rs", "use crate::one::b;\n"),
        ];
        check(&files, &[]);
    }

    #[test]
    fn a_module_that_uses_a_later_one_or_is_not_in_the_stated_order_is_told() {
        let root = format!("//! A crate.\n//!\n{ORDERED}\n//!\n//! 1. `one`, `two`.\n\n{ROOT}");
        let files = [file("lib.rs", &root), file("one.rs", "use crate::Two;\n")];
        check(
            &files,
            &[
                "crates/a/src/lib.rs: `one` uses `two`, which comes after it",
                "crates/a/src/lib.rs: the order of modules lacks `three`",
            ],
        );
    }
}
