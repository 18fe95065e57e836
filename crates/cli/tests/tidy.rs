//! What `fmt` does to the files around it.

#![cfg(unix)]
#![expect(clippy::disallowed_methods, reason = "these tests look at files")]

use std::fs;
use std::os::unix::fs::{PermissionsExt as _, symlink};
use std::path::Path;
use std::process::Command;

const UNTIDY: &str = "format   =   1\n[vehicle]\nname=\"van\"\nnominal=\"12 V\"\n";

fn tidy(file: &Path) -> Option<i32> {
    let mut command = Command::new(env!("CARGO_BIN_EXE_groundloom"));
    command.arg("fmt").arg(file).output().expect("the program runs").status.code()
}

#[test]
fn a_file_keeps_its_link_its_permissions_and_its_neighbours() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = |name: &str| folder.path().join(name);
    fs::write(at("van.toml"), UNTIDY).expect("written");
    fs::set_permissions(at("van.toml"), fs::Permissions::from_mode(0o640)).expect("set");
    fs::write(at("van.toml.tidy"), "mine").expect("written");
    symlink("van.toml", at("link.toml")).expect("linked");

    assert_eq!(tidy(&at("link.toml")), Some(0));

    assert!(at("link.toml").is_symlink());
    let text = fs::read_to_string(at("van.toml")).expect("read");
    assert!(text.starts_with("format = 1\n"), "{text}");
    let mode = at("van.toml").metadata().expect("it is there").permissions().mode();
    assert_eq!(mode & 0o777, 0o640);
    assert_eq!(fs::read_to_string(at("van.toml.tidy")).expect("read"), "mine");
    assert_eq!(fs::read_dir(folder.path()).expect("read").count(), 3);
}

#[test]
fn a_file_that_may_not_be_written_stays_as_it_is() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("van.toml");
    fs::write(&file, UNTIDY).expect("written");
    fs::set_permissions(&file, fs::Permissions::from_mode(0o444)).expect("set");
    assert_eq!(tidy(&file), Some(2));
    assert_eq!(fs::read_to_string(&file).expect("read"), UNTIDY);
    assert_eq!(fs::read_dir(folder.path()).expect("read").count(), 1);
}

#[test]
fn a_file_that_cannot_be_tidied_keeps_no_other_from_it() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = |name: &str| folder.path().join(name);
    fs::write(at("first.toml"), UNTIDY).expect("written");
    fs::write(at("second.toml"), "format = = 1\n").expect("written");
    fs::write(at("third.toml"), UNTIDY).expect("written");
    let mut command = Command::new(env!("CARGO_BIN_EXE_groundloom"));
    command.arg("fmt").args(["first.toml", "second.toml", "no-such.toml", "third.toml"].map(at));
    let run = command.output().expect("the program runs");
    let said = String::from_utf8(run.stderr).expect("text");
    assert_eq!(run.status.code(), Some(2), "{said}");
    for (name, what) in [
        ("first", " is tidy now"),
        ("second", ":1:10"),
        ("no-such", ": there is no such"),
        ("third", " is tidy now"),
    ] {
        assert!(said.contains(&format!("{name}.toml{what}")), "{name}: {said}");
    }
    for name in ["first.toml", "third.toml"] {
        assert!(fs::read_to_string(at(name)).expect("read").starts_with("format = 1\n"));
    }
    assert_eq!(fs::read_to_string(at("second.toml")).expect("read"), "format = = 1\n");
}
