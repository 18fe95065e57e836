//! Names, files and places as nobody would wish them: nothing panics, nothing rules the terminal, nothing is left for
//! others to read.

#![cfg(unix)]
#![expect(clippy::disallowed_methods, reason = "these tests make files")]

use std::ffi::{OsStr, OsString};
use std::fs;
use std::os::unix::ffi::{OsStrExt, OsStringExt};
use std::os::unix::fs::PermissionsExt;
use std::path::Path;
use std::process::{Command, Output};

use serde_json::Value;

/// Runs a command in a folder which is home too.
fn groundloom(folder: &Path, words: &[OsString]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_groundloom"))
        .args(words)
        .current_dir(folder)
        .env("XDG_DATA_HOME", folder.join("data"))
        .env("CLICOLOR_FORCE", "1")
        .env_remove("GROUNDLOOM_GARAGE")
        .stdin(std::process::Stdio::null())
        .output()
        .expect("the program runs")
}

fn words(words: &[&[u8]]) -> Vec<OsString> {
    words.iter().map(|own| OsString::from_vec(own.to_vec())).collect()
}

fn examples(name: &str) -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples").join(name)
}

#[test]
fn no_command_panics_on_a_path_that_is_no_text() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = |name: &[u8]| folder.path().join(OsStr::from_bytes(name));
    fs::copy(examples("utility-cart.toml"), at(b"\xfe.toml")).expect("copied");
    fs::write(at(b"\xfe.readings.txt"), "battery 12.5 V\n").expect("written");
    for json in [false, true] {
        let out = |name: &[u8]| [if json { b"j".as_slice() } else { b"t" }, name].concat();
        fs::create_dir(at(&out(b"\xfe"))).expect("made");
        let (new, start, copy, export) =
            (out(b"\xfen.toml"), out(b"\xfes.toml"), out(b"\xfe.db"), out(b"\xfe"));
        let v = b"\xfe.toml".as_slice();
        let mut commands: Vec<Vec<&[u8]>> = vec![
            vec![b"new", b"--layout", b"front-engine", b"-o", &new],
            vec![b"new", b"--layout", b"front-engine", b"-o", &new],
            vec![b"new", b"--layout", b"front-engine", b"-o", b"\xff/\xff.toml"],
            vec![
                b"start",
                b"--layout",
                b"front-engine",
                b"--symptom",
                b"slow-crank",
                b"-o",
                &start,
            ],
            vec![b"garage", b"import", v, b"\xfe.readings.txt"],
            vec![b"garage", b"list"],
            vec![b"garage", b"backup", &copy],
            vec![b"garage", b"backup", &copy],
            vec![b"garage", b"export", b"1", b"--output", &export],
            vec![b"garage", b"verify", &copy],
            vec![b"garage", b"restore", &copy],
            vec![b"garage", b"list", b"--garage", b"\xfe.toml"],
            vec![b"fmt", b"--check", v],
            vec![b"diagnose", v, b"\xfe.readings.txt"],
            vec![b"next", v, b"\xfe.readings.txt"],
            vec![b"manual", b"\xff"],
            vec![b"check", b"\xff.toml"],
        ];
        for own in ["check", "solve", "routes", "heat", "offsets", "failures", "repairs", "protect"]
        {
            commands.push(vec![own.as_bytes(), v]);
        }
        if cfg!(feature = "page") {
            commands.push(vec![b"report", v, b"-o", b"\xfe/none.html"]);
        }
        for command in commands {
            let mut all = words(&command);
            all.extend(json.then(|| "--json".into()));
            let done = groundloom(folder.path(), &all);
            let said = String::from_utf8_lossy(&done.stderr);
            let status = done.status.code().expect("no signal ends it");
            assert!(status <= 2 && !said.contains("panicked"), "{all:?}: {said}");
            assert!(status < 2 || done.stdout.is_empty(), "{all:?}: {said}");
            if json && status < 2 {
                let told: Value = serde_json::from_slice(&done.stdout).expect("JSON");
                if let Some(written) = told["written"].as_str() {
                    assert!(written.contains("\\xFE"), "{written}");
                }
            }
        }
        assert!(at(&new).exists() && at(&start).exists() && at(&copy).exists());
    }
    // Two files whose names look alike are two vehicles.
    fs::copy(examples("utility-cart.toml"), at(b"\xfd.toml")).expect("copied");
    let other = groundloom(folder.path(), &words(&[b"garage", b"import", b"\xfd.toml"]));
    assert!(String::from_utf8_lossy(&other.stdout).contains("is vehicle 2 now"), "{other:?}");
}

/// What a terminal would obey: anything but a style of ours.
fn ruled(bytes: &[u8]) -> Option<String> {
    let mut text = String::from_utf8_lossy(bytes).into_owned();
    for style in ["0", "1", "2", "1;33", "33", "91", "92", "93", "94", "95", "96"] {
        text = text.replace(&format!("\u{1b}[{style}m"), "");
    }
    let rules = |c: char| {
        (c.is_control() && c != '\n')
            || matches!(c, '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
    };
    text.lines().find(|line| line.contains(rules)).map(|own| own.escape_debug().to_string())
}

#[test]
fn nothing_from_a_file_or_its_name_rules_the_terminal() {
    const HOSTILE: &str =
        "\u{1b}[2J\u{1b}]0;title\u{7}\u{1b}[8m\u{9b}31m\u{202e}abc\u{2066}\u{200f}";
    let folder = tempfile::tempdir().expect("a folder");
    let at = |name: &str| folder.path().join(name);
    let vehicle = fs::read_to_string(examples("rescue-ambulance.toml")).expect("read");
    let turned = vehicle.replacen("name = \"", "name = \"\\u202e\\u2066", 3);
    let hidden =
        vehicle.replacen("name = \"", &format!("name = \"{}", HOSTILE.replace('\u{7}', "")), 1);
    let file = format!("a{HOSTILE}.toml");
    fs::write(at(&file), &turned).expect("written");
    fs::write(at("hidden.toml"), hidden).expect("written");
    fs::write(at("broken.toml"), format!("format = 1\n{HOSTILE}\n[x]\n")).expect("written");
    let readings = format!("battery is old {HOSTILE}\n{HOSTILE} 12 V\ncranking: {HOSTILE} 0.4 V\n");
    fs::write(at(&format!("r{HOSTILE}.txt")), &readings).expect("written");
    let (r, option) = (format!("r{HOSTILE}.txt"), format!("--{HOSTILE}"));
    let (made, reading) = (format!("n{HOSTILE}.toml"), format!("{HOSTILE} 0.4 V"));
    let commands: [&[&str]; 13] = [
        &["check", &file],
        &["check", "hidden.toml"],
        &["check", "broken.toml"],
        &["check", &option],
        &["check", &format!("none{HOSTILE}")],
        &["solve", &file],
        &["diagnose", &file, &r],
        &["diagnose", &file, "--reading", &reading],
        &["next", &file, "--complaint", HOSTILE],
        &["new", "--layout", "front-engine", "-o", &made],
        &["start", "--symptom", "slow-crank", "--reading", &reading],
        &["garage", "import", &file, &r],
        &["garage", "list"],
    ];
    for command in commands {
        for json in [false, true] {
            let mut all: Vec<OsString> = command.iter().map(OsString::from).collect();
            all.extend(json.then(|| "--json".into()));
            let done = groundloom(folder.path(), &all);
            for said in [&done.stdout, &done.stderr] {
                assert_eq!(ruled(said), None, "{all:?}");
            }
            if json && done.status.code() != Some(2) {
                serde_json::from_slice::<Value>(&done.stdout).expect("JSON");
            }
        }
    }
    let told = groundloom(folder.path(), &words(&[b"check", file.as_bytes()])).stdout;
    assert!(String::from_utf8_lossy(&told).contains("text-turned"));
    // A file that is asked for comes byte for byte where nobody looks at it.
    fs::write(at("odd.toml"), &readings).expect("written");
    groundloom(folder.path(), &words(&[b"garage", b"import", b"odd.toml"]));
    let out = groundloom(folder.path(), &words(&[b"garage", b"export", b"2"])).stdout;
    assert_eq!(String::from_utf8_lossy(&out), readings);
}

#[test]
fn the_garage_lies_in_a_folder_of_its_owners_alone_and_so_do_its_copies() {
    let folder = tempfile::tempdir().expect("a folder");
    fs::set_permissions(folder.path(), PermissionsExt::from_mode(0o755)).expect("set");
    let mode = |path: &Path| path.metadata().expect("there").permissions().mode() & 0o777;
    let (data, own) = (folder.path().join("data"), folder.path().join("data/groundloom"));
    let garage = |words_: &[&[u8]]| {
        let done = groundloom(folder.path(), &words(words_));
        assert!(done.status.success(), "{done:?}");
    };
    let file = examples("utility-cart.toml");
    let file = file.as_os_str().as_bytes();
    garage(&[b"garage", b"import", file]);
    assert_eq!((mode(&data), mode(&own), mode(&own.join("garage.db"))), (0o700, 0o700, 0o600));
    // As an older program left it.
    fs::set_permissions(&own, PermissionsExt::from_mode(0o755)).expect("set");
    fs::set_permissions(own.join("garage.db"), PermissionsExt::from_mode(0o644)).expect("set");
    garage(&[b"garage", b"list"]);
    assert_eq!((mode(&own), mode(&own.join("garage.db"))), (0o700, 0o600));
    garage(&[b"garage", b"backup", b"copy.db"]);
    garage(&[b"garage", b"restore", b"copy.db"]);
    garage(&[b"garage", b"export", b"1", b"--output", b"."]);
    garage(&[b"garage", b"import", file, b"--garage", b"shop/garage.db"]);
    garage(&[b"garage", b"import", file, b"--garage", b"other.db"]);
    let mut files = 0;
    for place in [own.clone(), folder.path().join("shop"), folder.path().to_owned()] {
        for entry in fs::read_dir(place).expect("listed").map(|own| own.expect("listed").path()) {
            if entry.is_file() {
                assert_eq!(mode(&entry), 0o600, "{}", entry.display());
                files += 1;
            }
        }
    }
    assert!(files >= 6, "{files}");
    assert_eq!(mode(&folder.path().join("shop")), 0o700);
    // Somebody's own folder stays as it is.
    assert_eq!(mode(folder.path()), 0o755);
}

#[test]
fn an_end_halfway_leaves_nothing_in_the_way_of_the_next_attempt() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("van.toml");
    // No file may grow: as on a full disk.
    let halfway = Command::new("sh")
        .args(["-c", "ulimit -f 0; exec \"$0\" new --layout front-engine -o van.toml"])
        .arg(env!("CARGO_BIN_EXE_groundloom"))
        .current_dir(folder.path())
        .output()
        .expect("a shell");
    assert!(!halfway.status.success() && !file.exists(), "{halfway:?}");
    let again = words(&[b"new", b"--layout", b"front-engine", b"-o", b"van.toml"]);
    assert!(groundloom(folder.path(), &again).status.success());
    assert!(file.metadata().expect("there").len() > 1000);
}
