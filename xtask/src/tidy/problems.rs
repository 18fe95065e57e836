//! Every code of a problem is explained, and nothing is explained that no code names.

use std::collections::{BTreeMap, BTreeSet};

use super::code::{run_lines, test_files};
use crate::project::{Complaints, TextFile};

/// Has one section `## code` for each problem.
pub(crate) const EXPLAINED: &str = "docs/problems.md";

/// Where problems are made.
const MAKERS: [&str; 2] = ["crates/file/src/", "crates/cli/src/"];

/// Compares the codes in the program with the sections that explain them.
pub(crate) fn complaints(files: &[TextFile], explained: &str) -> Complaints {
    let tests = test_files(files);
    let sources = files
        .iter()
        .filter(|file| MAKERS.iter().any(|maker| file.path.starts_with(maker)))
        .filter(|file| file.path.ends_with(".rs") && !tests.contains(&file.path))
        .map(|file| (file.path.as_str(), run_text(&file.text)))
        .collect::<Vec<_>>();
    let mut complaints = Complaints::new();
    let mut codes = BTreeMap::new();
    let everywhere = ["Problem::error(", "Problem::warning("].map(str::to_owned).into_iter();
    let everywhere = everywhere
        .chain(sources.iter().flat_map(|(_, text)| forwarding(text, true)))
        .collect::<BTreeSet<_>>();
    for (path, text) in &sources {
        let mut calls = everywhere.clone();
        calls.extend(forwarding(text, false));
        for argument in calls.iter().flat_map(|call| arguments(text, call)) {
            let literals = literals(argument);
            if literals.is_empty() && !argument.starts_with("code,") {
                let seen = argument.lines().next().unwrap_or_default();
                complaints.push(format!(
                    "{path}: write the code of a problem as a literal, not `{seen}`"
                ));
            }
            for code in literals {
                codes.entry(code).or_insert(*path);
            }
        }
    }
    let sections = explained.lines().filter_map(|line| line.strip_prefix("## "));
    let sections = sections.map(|title| title.trim_matches('`')).collect::<Vec<_>>();
    for (code, path) in &codes {
        if !sections.contains(code) {
            complaints.push(format!("{EXPLAINED}: has no section `## {code}` ({path})"));
        }
    }
    for (at, section) in sections.iter().enumerate() {
        if !codes.contains_key(section) {
            complaints
                .push(format!("{EXPLAINED}: explains `{section}`, which no problem is called"));
        }
        if sections[..at].contains(section) {
            complaints.push(format!("{EXPLAINED}: explains `{section}` twice"));
        }
    }
    complaints
}

fn run_text(text: &str) -> String {
    run_lines(text).into_iter().flat_map(|(_, line)| [line, "\n"]).collect()
}

/// Calls of functions that take a code as their first argument and hand it on: the public ones, or
/// those of one file.
fn forwarding(text: &str, public: bool) -> Vec<String> {
    let heads = text.match_indices("fn ").filter_map(|(at, found)| {
        let before = text[..at].lines().next_back().unwrap_or_default();
        let (name, parameters) = text[at + found.len()..].split_once('(')?;
        let mut parameters = parameters.trim_start();
        for receiver in ["&mut self,", "&self,", "self,"] {
            parameters = parameters.strip_prefix(receiver).unwrap_or(parameters).trim_start();
        }
        let plain = name.bytes().all(|byte| byte.is_ascii_alphanumeric() || byte == b'_');
        let hands_on = plain && parameters.starts_with("code: &'static str");
        (hands_on && before.contains("pub") == public).then(|| format!("{name}("))
    });
    heads.collect()
}

/// What follows each call, from its first argument on.
fn arguments<'t>(text: &'t str, call: &str) -> Vec<&'t str> {
    let calls = text.match_indices(call).filter(|(at, _)| {
        let before = &text[..*at];
        let longer = before.ends_with(|c: char| c.is_alphanumeric() || c == '_');
        !longer && !before.ends_with("fn ")
    });
    calls.map(|(at, call)| text[at + call.len()..].trim_start()).collect()
}

/// The code that an argument begins with, or the codes that an `if` there chooses among.
fn literals(argument: &str) -> Vec<&str> {
    if !argument.starts_with("if ") {
        return literal(argument).into_iter().collect();
    }
    let mut found = Vec::new();
    let mut rest = argument;
    while let Some((_, inside)) = rest.split_once('{') {
        found.extend(literal(inside.trim_start()));
        let Some((_, after)) = inside.split_once('}') else { break };
        if !after.trim_start().starts_with("else") {
            break;
        }
        rest = after;
    }
    found
}

fn literal(text: &str) -> Option<&str> {
    text.strip_prefix('"')?.split_once('"').map(|(code, _)| code)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(code: &str, explained: &str, expected: &[&str]) {
        let file = TextFile { path: "crates/file/src/a.rs".to_owned(), text: code.to_owned() };
        let found = complaints(&[file], explained);
        assert_eq!(found.len(), expected.len(), "{found:?}");
        for (found, expected) in found.iter().zip(expected) {
            assert!(found.contains(expected), "{found}");
        }
    }

    #[test]
    fn a_code_and_its_section_are_well_even_across_lines() {
        check(
            "Problem::error(\n    \"file-empty\",\n    place)",
            "# Problems\n## file-empty\n",
            &[],
        );
        check("model::Problem::warning(\"odd\", place)", "## odd\n", &[]);
    }

    #[test]
    fn a_code_without_a_section_is_told_and_so_is_a_section_without_a_code() {
        check("Problem::error(\"odd\", place)", "", &["no section `## odd`"]);
        check("", "## odd\n", &["explains `odd`, which no problem"]);
        check("Problem::error(\"odd\", place)", "## odd\n## odd\n", &["explains `odd` twice"]);
    }

    #[test]
    fn a_code_handed_on_by_a_function_is_found_where_it_is_named() {
        let code = "fn told(\n    &mut self,\n    code: &'static str,\n) {\n    Problem::error(code, place)\n}\nself.told(\"odd\", text)\n";
        check(code, "## odd\n", &[]);
        check(code, "", &["no section `## odd`"]);
    }

    #[test]
    fn a_function_that_hands_codes_on_is_known_where_it_can_be_called() {
        let call = "//! A.\ntold(\"odd\", text)\n";
        let own = "fn told(code: &'static str) {}\n";
        let file = |path: &str, text: &str| TextFile {
            path: format!("crates/file/src/{path}"),
            text: text.to_owned(),
        };
        let found = |head: &str| {
            complaints(&[file("a.rs", &format!("{head}{own}")), file("b.rs", call)], "").len()
        };
        assert_eq!(found("pub(crate) "), 1);
        assert_eq!(found(""), 0);
    }

    #[test]
    fn a_code_chosen_by_an_if_is_found_on_both_sides() {
        let code = "Problem::error(\n    if a { \"odd\" } else { \"even\" },\n    { \"text\" })";
        check(code, "## even\n## odd\n", &[]);
    }

    #[test]
    fn a_code_that_cannot_be_read_from_the_text_is_told() {
        check("Problem::error(name(), place)", "", &["write the code of a problem as a literal"]);
    }

    #[test]
    fn problems_made_in_tests_need_no_section() {
        check("#[cfg(test)]\nmod tests {\n    Problem::error(\"odd\", place)\n}\n", "", &[]);
    }
}
