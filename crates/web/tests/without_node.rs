//! The program is built with Rust alone; Node that comes later brings the page.
#![cfg(unix)]
#![expect(clippy::disallowed_methods, reason = "lays out folders and runs cargo")]

use std::fs;
use std::os::unix::fs::{PermissionsExt as _, symlink};
use std::path::{Path, PathBuf};
use std::process::Command;

/// This crate by itself in a folder, with a search path that holds what a machine has, but for Node.
struct Machine {
    folder: tempfile::TempDir,
}

const MANIFEST: &str = "[workspace]\n[package]\nname = \"web\"\nversion = \"0.1.0\"\nedition = \"2024\"\nbuild = \"build.rs\"\n[features]\npage = []\n";
const EXAMPLE: &str = "fn main() { println!(\"{:?} {:?}\", web::without(), web::file(\"index.html\").map(|own| own.bytes.len())); }\n";
/// Stands for npm: has a version, fetches, and builds a page of eleven bytes into the folder it is told.
const NPM: &str =
    "case \"$1\" in exec) mkdir -p \"$6\" && printf '<p>page</p>' > \"$6/index.html\" ;; esac";
const NPM_OFFLINE: &str = "case \"$1\" in ci) echo 'npm error code ENOTFOUND' >&2; echo 'npm error more' >&2; exit 1 ;; esac";

impl Machine {
    fn with_rust_alone() -> Self {
        let own = Self { folder: tempfile::tempdir().expect("the machine is laid out") };
        let here = Path::new(env!("CARGO_MANIFEST_DIR"));
        let to = own.at("crates/web");
        for folder in ["src", "examples"] {
            fs::create_dir_all(to.join(folder)).expect("the machine is laid out");
        }
        fs::write(to.join("Cargo.toml"), MANIFEST).expect("the machine is laid out");
        fs::write(to.join("examples/say.rs"), EXAMPLE).expect("the machine is laid out");
        for name in ["build.rs", "src/lib.rs"] {
            fs::copy(here.join(name), to.join(name)).expect("the machine is laid out");
        }
        fs::create_dir_all(own.at("web")).expect("the machine is laid out");
        for name in ["package.json", "package-lock.json"] {
            fs::write(own.at("web").join(name), "{}").expect("the machine is laid out");
        }
        let bin = own.at("bin");
        fs::create_dir(&bin).expect("the machine is laid out");
        for folder in
            std::env::split_paths(&std::env::var_os("PATH").expect("the machine is laid out"))
        {
            for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
                let name = entry.file_name();
                let to = bin.join(&name);
                if !["node", "nodejs", "npm", "npx"].iter().any(|own| name == *own) && !to.exists()
                {
                    // The same name in a later folder is hidden by the first.
                    let _ = symlink(entry.path(), to);
                }
            }
        }
        own
    }

    fn at(&self, path: &str) -> PathBuf {
        self.folder.path().join(path)
    }

    /// Installs a program, or another in its place.
    fn install(&self, name: &str, script: &str) {
        let path = self.at("bin").join(name);
        fs::write(&path, format!("#!/bin/sh\n{script}\n")).expect("the machine takes it");
        fs::set_permissions(&path, fs::Permissions::from_mode(0o755))
            .expect("the machine takes it");
    }

    /// What cargo warns of while it builds, and what the program then says of its page.
    fn build(&self) -> (Vec<String>, String) {
        let words = ["run", "--offline", "--features", "page", "--example", "say"];
        let ran = Command::new(std::env::var("CARGO").expect("the machine takes it"))
            .args(words)
            .current_dir(self.at("crates/web"))
            .env_remove("GROUNDLOOM_WEB_DIST")
            .env("CARGO_TARGET_DIR", self.at("target"))
            .env("PATH", self.at("bin"))
            .output()
            .expect("cargo runs and speaks UTF-8");
        let told = String::from_utf8(ran.stderr).expect("cargo runs and speaks UTF-8");
        assert!(ran.status.success(), "{told}");
        let warnings = told.lines().filter(|line| line.starts_with("warning")).map(str::to_owned);
        (warnings.collect(), String::from_utf8(ran.stdout).expect("cargo runs and speaks UTF-8"))
    }
}

/// One warning in one line that says why, and a program that says the same and how to get the page.
fn lacks_its_page(machine: &Machine, why: &str) {
    let (warnings, said) = machine.build();
    let [warning] = &warnings[..] else { panic!("one warning: {warnings:#?}") };
    for words in [why, "built without the page", "Node.js 20.19", "build again"] {
        assert!(warning.contains(words), "{warning}");
    }
    for words in [why, "install Node.js 20.19", "cargo build --release", "None"] {
        assert!(said.contains(words), "{said}");
    }
}

#[test]
fn rust_alone_builds_the_program_and_node_that_comes_later_brings_the_page() {
    let machine = Machine::with_rust_alone();
    lacks_its_page(&machine, "`node` was not found");
    machine.install("node", "echo v18.19.1");
    lacks_its_page(&machine, "Node.js v18.19.1 is too old");
    machine.install("node", "echo v22.1.0");
    lacks_its_page(&machine, "`npm` was not found");
    machine.install("npm", NPM_OFFLINE);
    lacks_its_page(&machine, "`npm ci` could not fetch its packages (code ENOTFOUND, more)");
    machine.install("npm", NPM);
    let (warnings, said) = machine.build();
    assert_eq!((warnings, said.as_str()), (Vec::new(), "None Some(11)\n"));
}
