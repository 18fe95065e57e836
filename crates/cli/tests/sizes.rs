//! Real sizes and hostile ones: an answer or a clear error, never a panic.

use std::fmt::Write as _;
use std::io::Write as _;
use std::process::{Command, Stdio};

/// Exit status and what was said, with the text on standard input.
fn run(arguments: &[&str], text: &[u8]) -> (i32, String) {
    let mut child = Command::new(env!("CARGO_BIN_EXE_groundloom"))
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program runs");
    let mut input = child.stdin.take().expect("it reads");
    let bytes = text.to_vec();
    let writer = std::thread::spawn(move || {
        // A program that has seen enough may stop reading.
        let _ = input.write_all(&bytes);
    });
    let output = child.wait_with_output().expect("it ends");
    writer.join().expect("the writer ends");
    let said = String::from_utf8_lossy(&output.stdout).into_owned()
        + &String::from_utf8_lossy(&output.stderr);
    assert!(!said.contains("panicked"), "{said}");
    (output.status.code().expect("no signal ends it"), said)
}

/// As much of what was said as a failed test should show.
fn beginning(said: &str) -> String {
    said.chars().take(400).collect()
}

/// A vehicle with so many lamps on one body.
fn with_loads(number: usize) -> String {
    let mut text = String::from(
        "format = 1\n[vehicle]\nname = \"many\"\nnominal = \"12 V\"\n[batteries.main]\ncranking = \"800 A\"\n\
         [structures.body]\nresistance = \"0.2 mΩ\"\n[structures.body.points]\na = {}\nb = {}\n\
         [conductors.negative]\nfrom = \"main/-\"\nto = \"body/a\"\nsize = \"50 mm²\"\nlength = \"1 m\"\n",
    );
    for at in 0..number {
        writeln!(
            text,
            "[loads.l{at}]\nkind = \"lamp\"\ndraws = \"0.1 W\"\non = [\"running\"]\n\
             feed = {{ from = \"main/+\", size = \"1 mm²\", length = \"2 m\" }}\n\
             return = {{ to = \"body/b\", size = \"1 mm²\", length = \"1 m\" }}"
        )
        .expect("memory");
    }
    text
}

#[test]
fn ten_thousand_loads_are_solved() {
    let (status, said) = run(&["solve", "-", "--json"], with_loads(10_000).as_bytes());
    assert_eq!(status, 0, "{}", beginning(&said));
    let answer: serde_json::Value = serde_json::from_str(&said).expect("JSON");
    let state = &answer["states"][0];
    assert_eq!(state["found"], true);
    assert_eq!(state["loads"].as_object().map(serde_json::Map::len), Some(10_000));
    let error = state["balance"]["error_watts"].as_f64().expect("a number");
    assert!(error.abs() < 1e-3, "{error}");
}

#[test]
fn a_matrix_of_ten_thousand_loads_is_refused_with_a_way_out() {
    let (status, said) = run(&["offsets", "-"], with_loads(10_000).as_bytes());
    assert_eq!(status, 2);
    assert!(said.contains("--load"), "{said}");
}

#[test]
fn ten_megabytes_of_keys_that_do_not_exist_are_told_in_one_screen() {
    let mut text = String::from("format = 1\n");
    for at in 0..500_000 {
        writeln!(text, "no-such-key-{at} = {at}").expect("memory");
    }
    assert!(text.len() > 10_000_000);
    let (status, said) = run(&["check", "-"], text.as_bytes());
    assert_eq!(status, 1);
    assert!(said.contains("unknown-key") && said.contains("more"), "{}", beginning(&said));
}

#[test]
fn ten_megabytes_of_comment_are_no_vehicle() {
    let text = "# nothing but a comment, again and again\n".repeat(260_000);
    let (status, said) = run(&["check", "-"], text.as_bytes());
    assert_eq!(status, 1);
    assert!(said.contains("missing-key"), "{said}");
}

#[test]
fn thousands_of_brackets_are_told_as_a_mistake() {
    const DEEP: usize = 5_000;
    for deep in [
        format!("x-deep = {}", "[".repeat(DEEP)),
        format!("x-deep = {}{}", "[".repeat(DEEP), "]".repeat(DEEP)),
        format!("x-deep = {}1{}", "{ a = ".repeat(DEEP), " }".repeat(DEEP)),
        format!("x-deep{} = 1", ".a".repeat(DEEP)),
        format!("[x-deep{}]", ".a".repeat(DEEP)),
    ] {
        let text = format!("format = 1\n{deep}\n");
        for arguments in [["check", "-"], ["fmt", "-"]] {
            let (status, said) = run(&arguments, text.as_bytes());
            assert_eq!(status, if arguments[0] == "check" { 1 } else { 2 }, "{arguments:?}");
            assert!(said.contains("toml-syntax"), "{}", beginning(&said));
        }
    }
}

#[test]
fn a_list_of_a_hundred_thousand_numbers_is_nobodys_business() {
    let text = format!("x-list = [{}]\n{}", "1, ".repeat(100_000), with_loads(1));
    assert_eq!(run(&["check", "-"], text.as_bytes()).0, 0);
}

#[test]
fn ten_thousand_slips_are_told_without_looking_for_each_ones_meaning() {
    let mut text = with_loads(1);
    for at in 0..10_000 {
        writeln!(
            text,
            "[conductors.cable-number-{at}]\nfrom = \"main/-\"\nto = \"body/b\"\nresistance = \"1 mΩ\"\n\
             [[work]]\non = \"cable-numbre-{at}.fromm\"\nwhat = \"cleaned\""
        )
        .expect("memory");
    }
    let (status, said) = run(&["check", "-"], text.as_bytes());
    assert_eq!(status, 1);
    assert!(
        said.contains("unknown-piece") && said.contains("did you mean"),
        "{}",
        beginning(&said)
    );
    assert!(said.contains("and 950 more"), "{}", beginning(&said));
}

#[test]
fn no_error_is_lost_behind_a_thousand_warnings() {
    let mut text = with_loads(1);
    for at in 0..2_000 {
        writeln!(
            text,
            "[conductors.long-{at}]\nfrom = \"main/-\"\nto = \"body/b\"\nsize = \"6 mm²\"\nlength = \"600 m\""
        )
        .expect("memory");
    }
    assert_eq!(run(&["solve", "-"], text.as_bytes()).0, 0);
    text.push_str("[conductors.lost]\nfrom = \"main/-\"\nto = \"body/c\"\nresistance = \"1 mΩ\"\n");
    let (status, said) = run(&["solve", "-"], text.as_bytes());
    assert_eq!(status, 2, "{}", beginning(&said));
    assert!(said.contains("1 error"), "{}", &said[said.len().saturating_sub(400)..]);
}

#[test]
fn ten_thousand_islands_are_told() {
    let mut text = with_loads(1);
    text.push_str("[points]\n");
    for at in 0..10_000 {
        writeln!(text, "p{at} = {{}}").expect("memory");
    }
    let (status, said) = run(&["check", "-"], text.as_bytes());
    assert_eq!(status, 0);
    assert!(said.contains("island"), "{}", beginning(&said));
}

#[test]
fn a_chain_of_a_thousand_states_and_fuses_is_followed_whatever_its_order() {
    const LONG: usize = 1_000;
    let mut text = with_loads(1);
    for at in 0..LONG {
        writeln!(
            text,
            "[states.s{at}]\nlike = \"s{}\"\n[fuses.f{at}]\nfrom = \"f{}/in\"",
            at + 1,
            at + 1
        )
        .expect("memory");
    }
    writeln!(
        text,
        "[states.s{LONG}]\nlike = \"running\"\n[fuses.f{LONG}]\nfrom = \"main/+\"\n\
         [loads.last]\nkind = \"lamp\"\ndraws = \"1 A\"\non = [\"s{LONG}\"]\n\
         feed = {{ from = \"f0/in\", size = \"1 mm²\", length = \"1 m\" }}\n\
         return = {{ to = \"body/a\", size = \"1 mm²\", length = \"1 m\" }}"
    )
    .expect("memory");
    let (status, said) = run(&["solve", "-", "--state", "s0", "--json"], text.as_bytes());
    assert_eq!(status, 0, "{}", beginning(&said));
    let answer: serde_json::Value = serde_json::from_str(&said).expect("JSON");
    // What is on in the last state is on in all that are like it, down to the first.
    let amps = answer["states"][0]["loads"]["last"]["amps"].as_f64().expect("a number");
    assert!(amps > 0.9, "{amps}");
}

#[test]
fn more_than_is_ever_read_is_refused_unread() {
    let text = vec![b'#'; (64 << 20) + 2];
    let (status, said) = run(&["check", "-"], &text);
    assert_eq!(status, 1);
    assert!(said.contains("[too-large]") && said.contains("64 MB"), "{}", beginning(&said));
    assert!(said.len() < 2_000, "{}", said.len());
    let vehicle = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/cases/answers/solve/car.toml");
    let (status, said) = run(&["diagnose", vehicle, "-"], &text);
    assert_eq!(status, 1);
    assert!(said.contains("[too-large]") && said.contains("64 MB"), "{}", beginning(&said));
}

#[test]
fn a_line_of_a_hundred_thousand_characters_is_shown_cut() {
    let text =
        format!("format = 1\n[vehicle]\nname = \"n\"\nnominal = \"{}\"\n", "9".repeat(100_000));
    let (status, said) = run(&["check", "-"], text.as_bytes());
    assert_eq!(status, 1);
    assert!(said.contains("quantity-unreadable"), "{}", beginning(&said));
}

#[test]
fn ten_thousand_readings_are_weighed() {
    let mut text = String::new();
    for at in 0..10_000 {
        writeln!(text, "running: body/b to main/- {} mV", 1 + at % 7).expect("memory");
    }
    let folder = std::env::temp_dir().join("groundloom-sizes");
    std::fs::create_dir_all(&folder).expect("a folder");
    let (vehicle, readings) = (folder.join("many.toml"), folder.join("many.txt"));
    #[expect(clippy::disallowed_methods, reason = "the program reads files")]
    {
        std::fs::write(&vehicle, with_loads(12)).expect("a file");
        std::fs::write(&readings, text).expect("a file");
    }
    let arguments =
        ["diagnose", &vehicle.display().to_string(), &readings.display().to_string(), "--json"];
    let (status, said) = run(&arguments, b"");
    assert!(status == 0 || status == 1, "{}", beginning(&said));
    assert!(said.contains("\"suspects\""), "{}", beginning(&said));
}
