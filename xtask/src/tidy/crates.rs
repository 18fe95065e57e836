//! Who may depend on whom, and that the map names every crate.

use serde_json::Value;

use crate::project::Complaints;

/// Each crate with the crates of this project that it may use.
const ALLOWED: &[(&str, &[&str])] = &[
    ("units", &[]),
    ("catalogue", &["units"]),
    ("physics", &["units"]),
    ("model", &["units", "catalogue", "physics"]),
    ("file", &["units", "model", "catalogue", "physics"]),
    ("readings", &["units", "model", "file"]),
    ("sparse", &[]),
    ("network", &["units", "model", "catalogue", "physics", "sparse"]),
    ("diagnosis", &["units", "model", "catalogue", "network"]),
    ("endurance", &["units", "model", "catalogue", "physics", "network"]),
    ("protection", &["units", "model", "catalogue", "physics", "network", "endurance"]),
    ("failures", &["units", "model", "catalogue", "physics", "network", "endurance"]),
    (
        "answers",
        &[
            "units",
            "model",
            "catalogue",
            "physics",
            "file",
            "readings",
            "network",
            "diagnosis",
            "endurance",
            "protection",
            "failures",
        ],
    ),
    ("garage", &[]),
    ("web", &[]),
    ("server", &["model", "file", "answers", "garage", "web"]),
    ("cli", &["units", "model", "file", "readings", "answers", "garage", "server"]),
    ("trials", &["units", "model", "catalogue", "file", "network", "diagnosis"]),
    ("xtask", &[]),
];

/// What a crate's tests may use besides: a vehicle in a test is easiest read as a file.
const ALLOWED_IN_TESTS: &[(&str, &[&str])] = &[
    ("network", &["file"]),
    ("diagnosis", &["file", "readings"]),
    ("endurance", &["file"]),
    ("protection", &["file"]),
    ("failures", &["file"]),
    ("cli", &["catalogue"]),
];

/// Libraries that one crate alone may name, so that they can be replaced in one place.
const SOLE_USER: &[(&str, &str)] = &[
    ("faer", "sparse"),
    ("toml_edit", "file"),
    ("rusqlite", "garage"),
    ("axum", "server"),
    ("hyper", "server"),
    ("tokio", "server"),
];

/// Dependencies that go in a direction the table does not allow.
pub(crate) fn directions(metadata: &Value) -> Complaints {
    let members = members(metadata);
    let mut complaints = Complaints::new();
    for Member { name, uses } in &members {
        let Some(allowed) = row(ALLOWED, name) else {
            complaints.push(format!("`{name}` is not in ALLOWED in xtask/src/tidy/crates.rs"));
            continue;
        };
        for Use { name: used, in_tests } in uses {
            let ours = members.iter().any(|member| member.name == *used);
            let may = allowed.contains(used)
                || (*in_tests && row(ALLOWED_IN_TESTS, name).is_some_and(|row| row.contains(used)));
            if ours && !may {
                complaints.push(format!(
                    "`{name}` may not depend on `{used}`; see ALLOWED in xtask/src/tidy/crates.rs"
                ));
            }
            if let Some((_, sole)) = SOLE_USER.iter().find(|(library, _)| library == used)
                && sole != name
            {
                complaints
                    .push(format!("`{name}` may not name `{used}`, which is `{sole}`'s alone"));
            }
        }
    }
    let gone = ALLOWED.iter().filter(|(known, _)| !members.iter().any(|m| m.name == *known));
    complaints.extend(
        gone.map(|(known, _)| format!("`{known}` is in ALLOWED, but there is no such crate")),
    );
    complaints
}

fn row(table: &[(&str, &'static [&'static str])], name: &str) -> Option<&'static [&'static str]> {
    table.iter().find(|(known, _)| *known == name).map(|(_, row)| *row)
}

/// A crate of the workspace, and what its manifest says that it uses.
struct Member<'m> {
    name: &'m str,
    uses: Vec<Use<'m>>,
}

struct Use<'m> {
    name: &'m str,
    in_tests: bool,
}

fn members(metadata: &Value) -> Vec<Member<'_>> {
    let packages = metadata["packages"].as_array().into_iter().flatten();
    packages
        .filter(|package| package["source"].is_null())
        .map(|package| {
            let uses = package["dependencies"].as_array().into_iter().flatten();
            let uses = uses.filter_map(|used| {
                Some(Use { name: used["name"].as_str()?, in_tests: used["kind"] == "dev" })
            });
            Member { name: package["name"].as_str().unwrap_or_default(), uses: uses.collect() }
        })
        .collect()
}

/// Crates that the map does not name.
pub(crate) fn map(map: &str) -> Complaints {
    ALLOWED
        .iter()
        .filter(|(name, _)| !map.contains(&format!("`{name}`")))
        .map(|(name, _)| format!("ARCHITECTURE.md: does not name `{name}`"))
        .collect()
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    fn workspace(crates: &[(&str, &[&str])]) -> Value {
        let packages = crates.iter().map(|(name, uses)| {
            let uses = uses.iter().map(|used| json!({ "name": used })).collect::<Vec<_>>();
            json!({ "name": name, "source": null, "dependencies": uses })
        });
        json!({ "packages": packages.collect::<Vec<_>>() })
    }

    fn place_of(wanted: &str) -> usize {
        ALLOWED.iter().position(|(name, _)| *name == wanted).expect("one of them")
    }

    #[test]
    fn the_allowed_directions_alone_are_well() {
        assert_eq!(directions(&workspace(ALLOWED)), Complaints::new());
    }

    #[test]
    fn a_dependency_against_the_direction_is_told() {
        let mut crates = ALLOWED.to_vec();
        let physics = crates.iter_mut().find(|(name, _)| *name == "physics");
        *physics.expect("one of them") = ("physics", &["units", "model"]);
        let expected =
            "`physics` may not depend on `model`; see ALLOWED in xtask/src/tidy/crates.rs";
        assert_eq!(directions(&workspace(&crates)), [expected]);
    }

    #[test]
    fn a_direction_for_tests_alone_is_told_outside_of_tests() {
        let mut workspace = workspace(ALLOWED);
        let uses = |kind: Value| json!([{ "name": "file", "kind": kind }]);
        let network = place_of("network");
        workspace["packages"][network]["dependencies"] = uses(json!("dev"));
        assert_eq!(directions(&workspace), Complaints::new());
        workspace["packages"][network]["dependencies"] = uses(Value::Null);
        assert_eq!(directions(&workspace).len(), 1);
    }

    #[test]
    fn a_library_named_by_a_second_crate_is_told() {
        let mut crates = ALLOWED.to_vec();
        crates[place_of("network")] = ("network", &["faer"]);
        assert_eq!(
            directions(&workspace(&crates)),
            ["`network` may not name `faer`, which is `sparse`'s alone"]
        );
    }

    #[test]
    fn a_crate_missing_from_the_table_or_from_the_workspace_is_told() {
        let mut crates = ALLOWED.to_vec();
        crates[0] = ("unites", &[]);
        assert_eq!(directions(&workspace(&crates)).len(), 2);
    }

    #[test]
    fn a_crate_missing_from_the_map_is_told() {
        let names = ALLOWED.iter().skip(1).map(|(name, _)| format!("`{name}`")).collect::<String>();
        assert_eq!(map(&names), ["ARCHITECTURE.md: does not name `units`"]);
    }
}
