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
    assert_eq!(status, 0, "{}", &said[..said.len().min(400)]);
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
    assert!(
        said.contains("unknown-key") && said.contains("more"),
        "{}",
        &said[..said.len().min(400)]
    );
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
    let text = format!("format = 1\nx-deep = {}\n", "[".repeat(5_000));
    let (status, said) = run(&["check", "-"], text.as_bytes());
    assert_eq!(status, 1);
    assert!(said.contains("toml-syntax"), "{}", &said[..said.len().min(400)]);
}

#[test]
fn a_line_of_a_hundred_thousand_characters_is_shown_cut() {
    let text =
        format!("format = 1\n[vehicle]\nname = \"n\"\nnominal = \"{}\"\n", "9".repeat(100_000));
    let (status, said) = run(&["check", "-"], text.as_bytes());
    assert_eq!(status, 1);
    assert!(said.contains("quantity-unreadable"), "{}", &said[..said.len().min(400)]);
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
    assert!(status == 0 || status == 1, "{}", &said[..said.len().min(400)]);
    assert!(said.contains("\"suspects\""), "{}", &said[..said.len().min(400)]);
}
