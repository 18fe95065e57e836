//! What is built in besides our own code: its licences, its origin, and how many versions of it.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::Value;

use crate::project::{Complaints, Project};

/// Each workspace: what it is called, and where its manifest and lock file are.
const WORKSPACES: [(&str, &str, &str); 3] = [
    ("program", "Cargo.toml", "Cargo.lock"),
    ("benchmarks", "bench/Cargo.toml", "bench/Cargo.lock"),
    ("fuzz", "fuzz/Cargo.toml", "fuzz/Cargo.lock"),
];

/// The licences under which code may be built into the program.
const LICENCES: &[&str] = &[
    "Apache-2.0",
    "Apache-2.0 WITH LLVM-exception",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "ISC",
    "MIT",
    "Unicode-3.0",
    "Unlicense",
    "Zlib",
];

/// One more for the fuzz targets, which nobody ships: the fuzzer itself is LLVM's.
const FUZZ_LICENCES: &[&str] = &["NCSA"];

/// The only origin. Written in two parts because no other file but the lock may name it.
const REGISTRY: &str = concat!("registry+https://github.com/rust-lang/crates", ".io-index");

/// Packages that may be there in several incompatible versions, and why.
const SEVERAL_VERSIONS: &[(&str, &str)] = &[
    ("equator", "faer's matrix products are on an older one"),
    ("equator-macro", "comes with equator"),
    ("thiserror", "faer's matrix products are on an older one than the distributions' library"),
    ("thiserror-impl", "comes with thiserror"),
    ("syn", "only at build time: faer's build scripts and derives are on older ones"),
];

/// Checks every package of every lock file.
pub(crate) fn supply_chain(project: &Project) -> Complaints {
    let mut complaints = Complaints::new();
    for (name, manifest, lock) in WORKSPACES {
        match (project.metadata(manifest), project.read(lock)) {
            (Ok(metadata), Ok(lock_text)) => {
                let packages = packages(&metadata);
                println!("{name}: {} packages", packages.len());
                complaints.extend(licences(&packages, name == "fuzz"));
                complaints.extend(origins(&packages));
                complaints.extend(versions(&packages, name == "program"));
                complaints.extend(unsigned(lock, &lock_text));
            }
            (metadata, lock_text) => {
                complaints.extend(metadata.err().into_iter().chain(lock_text.err()))
            }
        }
    }
    complaints
}

#[derive(Debug, Clone)]
struct Package {
    name: String,
    version: String,
    licence: String,
    /// Nothing for a crate of this project.
    origin: Option<String>,
}

fn packages(metadata: &Value) -> Vec<Package> {
    let text = |package: &Value, key: &str| package[key].as_str().map(str::to_owned);
    let packages = metadata["packages"].as_array().into_iter().flatten();
    packages
        .map(|package| Package {
            name: text(package, "name").unwrap_or_default(),
            version: text(package, "version").unwrap_or_default(),
            licence: text(package, "license").unwrap_or_default(),
            origin: text(package, "source"),
        })
        .collect()
}

fn licences(packages: &[Package], fuzz: bool) -> Complaints {
    let known =
        |licence: &str| LICENCES.contains(&licence) || (fuzz && FUZZ_LICENCES.contains(&licence));
    packages
        .iter()
        .filter(|package| !permits(&package.licence, &known))
        .map(|Package { name, version, licence, .. }| {
            format!("`{name}` {version} has the licence `{licence}`; see LICENCES in xtask/src/supply_chain.rs")
        })
        .collect()
}

/// Whether a licence expression can be met by known licences alone.
///
/// SPDX expressions, and the older `A/B` that means `A OR B`; what cannot be read permits nothing.
fn permits(expression: &str, known: &impl Fn(&str) -> bool) -> bool {
    let spaced = expression.replace('/', " OR ").replace('(', " ( ").replace(')', " ) ");
    let words = spaced.split_whitespace().collect::<Vec<_>>();
    matches!(either(&words, known), Some((true, [])))
}

type Read<'w> = Option<(bool, &'w [&'w str])>;

fn either<'w>(words: &'w [&'w str], known: &impl Fn(&str) -> bool) -> Read<'w> {
    let (mut holds, mut rest) = both(words, known)?;
    while let ["OR", after @ ..] = rest {
        let (other, left) = both(after, known)?;
        (holds, rest) = (holds || other, left);
    }
    Some((holds, rest))
}

fn both<'w>(words: &'w [&'w str], known: &impl Fn(&str) -> bool) -> Read<'w> {
    let (mut holds, mut rest) = one(words, known)?;
    while let ["AND", after @ ..] = rest {
        let (other, left) = one(after, known)?;
        (holds, rest) = (holds && other, left);
    }
    Some((holds, rest))
}

fn one<'w>(words: &'w [&'w str], known: &impl Fn(&str) -> bool) -> Read<'w> {
    match words {
        ["(", inner @ ..] => match either(inner, known)? {
            (holds, [")", rest @ ..]) => Some((holds, rest)),
            _ => None,
        },
        [licence, "WITH", exception, rest @ ..] => {
            Some((known(&format!("{licence} WITH {exception}")), rest))
        }
        [licence, rest @ ..] => Some((known(licence), rest)),
        [] => None,
    }
}

fn origins(packages: &[Package]) -> Complaints {
    packages
        .iter()
        .filter_map(|Package { name, version, origin, .. }| {
            let origin = origin.as_deref().filter(|origin| *origin != REGISTRY)?;
            Some(format!("`{name}` {version} comes from {origin}, not from the public registry"))
        })
        .collect()
}

/// Packages in several versions that are not listed, and listed ones that no longer are.
fn versions(packages: &[Package], whole: bool) -> Complaints {
    let mut lines: BTreeMap<&str, BTreeSet<String>> = BTreeMap::new();
    for package in packages {
        lines.entry(&package.name).or_default().insert(compatible(&package.version));
    }
    let several = |name: &str| lines.get(name).is_some_and(|lines| lines.len() > 1);
    let listed = |name: &str| SEVERAL_VERSIONS.iter().any(|(listed, _)| *listed == name);
    let unlisted =
        lines.iter().filter(|(name, _)| several(name) && !listed(name)).map(|(name, lines)| {
            let lines = lines.iter().map(String::as_str).collect::<Vec<_>>().join(" and ");
            format!(
                "`{name}` is there as {lines}; see SEVERAL_VERSIONS in xtask/src/supply_chain.rs"
            )
        });
    let stale =
        SEVERAL_VERSIONS.iter().filter(|(name, _)| whole && !several(name)).map(|(name, _)| {
            format!("`{name}` is there in one version: take it out of SEVERAL_VERSIONS")
        });
    unlisted.chain(stale).collect()
}

/// The part of a version that compatible ones share: `1` of `1.4.2`, `0.24` of `0.24.1`.
fn compatible(version: &str) -> String {
    let mut parts = version.split(['.', '+', '-']);
    match (parts.next(), parts.next(), parts.next()) {
        (Some("0"), Some("0"), Some(patch)) => format!("0.0.{patch}"),
        (Some("0"), Some(minor), _) => format!("0.{minor}"),
        (Some(major), _, _) => major.to_owned(),
        (None, _, _) => String::new(),
    }
}

/// Downloaded packages whose content the lock file does not fix.
fn unsigned(lock: &str, text: &str) -> Complaints {
    text.split("[[package]]")
        .filter(|block| block.contains("\nsource = ") && !block.contains("\nchecksum = "))
        .filter_map(|block| block.lines().find(|line| line.starts_with("name = ")))
        .map(|line| format!("{lock}: {line} has no checksum"))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn package(name: &str, version: &str, licence: &str, origin: Option<&str>) -> Package {
        let [name, version, licence] = [name, version, licence].map(str::to_owned);
        Package { name, version, licence, origin: origin.map(str::to_owned) }
    }

    #[test]
    fn a_licence_expression_is_met_by_one_alternative_and_by_all_of_its_conditions() {
        let known =
            |licence: &str| ["MIT", "Zlib", "Apache-2.0 WITH LLVM-exception"].contains(&licence);
        for expression in [
            "MIT",
            "GPL-3.0 OR MIT",
            "Unknown/MIT",
            "(MIT OR GPL-3.0) AND Zlib",
            "Apache-2.0 WITH LLVM-exception",
        ] {
            assert!(permits(expression, &known), "{expression}");
        }
        for expression in [
            "",
            "GPL-3.0",
            "MIT AND GPL-3.0",
            "Apache-2.0",
            "MIT Zlib",
            "(MIT",
            "MIT OR",
            "MIT WITH x",
        ] {
            assert!(!permits(expression, &known), "{expression}");
        }
    }

    #[test]
    fn a_licence_that_is_not_listed_is_told_with_its_package() {
        let found = licences(&[package("strange", "1.0.0", "SSPL-1.0", Some(REGISTRY))], false);
        assert!(matches!(&found[..], [only] if only.contains("`strange` 1.0.0")), "{found:?}");
    }

    #[test]
    fn a_package_from_a_repository_is_told() {
        let git = package("near", "1.0.0", "MIT", Some("git+https://example.org/near#0123"));
        let own = package("units", "0.1.0", "MIT", None);
        assert_eq!(origins(&[git, own, package("a", "1.0.0", "MIT", Some(REGISTRY))]).len(), 1);
    }

    #[test]
    fn two_incompatible_versions_are_told_and_two_compatible_ones_are_not() {
        let of = |versions: [&str; 2]| versions.map(|version| package("a", version, "MIT", None));
        assert_eq!(versions(&of(["1.2.0", "2.0.1"]), false).len(), 1);
        assert_eq!(versions(&of(["0.23.1", "0.24.0"]), false).len(), 1);
        assert_eq!(versions(&of(["1.2.0", "1.3.1"]), false), Complaints::new());
        assert_eq!(versions(&of(["0.24.1", "0.24.3+x"]), false), Complaints::new());
    }

    #[test]
    fn an_exception_that_nothing_needs_is_told() {
        assert_eq!(versions(&[], true).len(), SEVERAL_VERSIONS.len());
    }

    #[test]
    fn a_download_without_a_checksum_is_told() {
        let own = "\nname = \"own\"\nversion = \"1.0.0\"\n";
        let loose = "\nname = \"loose\"\nsource = \"somewhere\"\n";
        let fixed = "\nname = \"fixed\"\nsource = \"somewhere\"\nchecksum = \"00\"\n";
        let text = [own, loose, fixed].map(|block| format!("[[package]]{block}")).concat();
        assert_eq!(unsigned("Cargo.lock", &text), ["Cargo.lock: name = \"loose\" has no checksum"]);
    }
}
