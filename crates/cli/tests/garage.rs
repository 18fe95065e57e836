//! The garage and the workbench's server as whole programs: files in and out, and being killed.

#![expect(clippy::disallowed_methods, reason = "these tests look at files and at the time")]

use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Output, Stdio};
use std::time::Duration;

use serde_json::Value;

fn groundloom(garage: &Path, words: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_groundloom"));
    command.args(words).env("GROUNDLOOM_GARAGE", garage).output().expect("the program runs")
}

fn well(garage: &Path, words: &[&str]) -> String {
    let output = groundloom(garage, words);
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(
        output.status.success(),
        "{words:?}: {text}{}",
        String::from_utf8_lossy(&output.stderr)
    );
    text
}

/// Files that are hard to keep: other line ends, a mark at the beginning, no end of line, errors.
const ODD: [(&str, &[u8]); 4] = [
    ("windows.toml", b"\xef\xbb\xbfformat = 1\r\n# caf\xc3\xa9\r\n[vehicle]\r\nname = \"van\"\r\n"),
    ("open.toml", b"format = 1\n\n\n[vehicle]\nname = \"no end of line\""),
    ("wrong.toml", b"format = 1\nnonsense = [\n"),
    ("empty.toml", b""),
];

#[test]
fn vehicle_and_readings_files_go_in_and_come_out_byte_for_byte() {
    let folder = tempfile::tempdir().expect("a folder");
    let (garage, out) = (folder.path().join("garage.db"), folder.path().join("out"));
    let examples = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples");
    let mut number = 0;
    let mut check = |path: &Path, readings: Option<&Path>| {
        number += 1;
        let mut words = vec!["garage", "import", path.to_str().expect("text")];
        words.extend(readings.map(|own| own.to_str().expect("text")));
        well(&garage, &words);
        let id = number.to_string();
        let shown = groundloom(&garage, &["garage", "export", &id]);
        assert_eq!(shown.stdout, fs::read(path).expect("read"), "{}", path.display());
        fs::create_dir(&out).expect("made");
        well(&garage, &["garage", "export", &id, "--output", out.to_str().expect("text")]);
        for own in fs::read_dir(&out).expect("listed") {
            let own = own.expect("listed").path();
            let name = own.file_name().expect("named").to_string_lossy().into_owned();
            let from = if name.contains(".readings") { readings.expect("given") } else { path };
            assert_eq!(fs::read(&own).expect("read"), fs::read(from).expect("read"), "{name}");
        }
        let files = fs::read_dir(&out).expect("listed").count();
        assert_eq!(files, 1 + usize::from(readings.is_some()));
        // What is there already is not written over.
        let again =
            groundloom(&garage, &["garage", "export", &id, "-o", out.to_str().expect("text")]);
        assert_eq!(again.status.code(), Some(2));
        fs::remove_dir_all(&out).expect("removed");
    };
    let ambulance = examples.join("rescue-ambulance.toml");
    check(&ambulance, Some(&examples.join("rescue-ambulance.readings.toml")));
    check(&examples.join("harbour-workboat.toml"), None);
    for (name, bytes) in ODD {
        let path = folder.path().join(name);
        fs::write(&path, bytes).expect("written");
        check(&path, None);
    }
}

#[test]
fn a_file_changed_outside_becomes_a_version_and_what_was_changed_inside_stays_in_the_history() {
    let folder = tempfile::tempdir().expect("a folder");
    let (garage, file) = (folder.path().join("garage.db"), folder.path().join("van.toml"));
    let name = file.to_str().expect("text");
    fs::write(&file, "# one\n").expect("written");
    assert!(well(&garage, &["garage", "import", name]).contains("is vehicle 1 now"));
    assert!(well(&garage, &["garage", "import", name]).contains("unchanged"));
    fs::write(&file, "# two\n").expect("written");
    assert!(well(&garage, &["garage", "import", name]).contains("is revision 2 of vehicle 1 now"));
    assert_eq!(well(&garage, &["garage", "export", "1"]), "# two\n");
}

#[test]
fn a_file_with_errors_makes_no_version_of_a_vehicle_that_can_be_read() {
    let folder = tempfile::tempdir().expect("a folder");
    let (garage, file) = (folder.path().join("garage.db"), folder.path().join("cart.toml"));
    let name = file.to_str().expect("text");
    let cart = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/utility-cart.toml");
    let sound = fs::read_to_string(cart).expect("read");
    fs::write(&file, &sound).expect("written");
    well(&garage, &["garage", "import", name]);
    fs::write(&file, format!("{sound}\n[loads.lamp]\nkind = \"lmap\"\n")).expect("written");
    let told = well(&garage, &["garage", "import", name]);
    assert!(told.contains("was left out, vehicle 1 stays as it is: it has"), "{told}");
    assert!(told.contains("in line"), "{told}");
    assert_eq!(well(&garage, &["garage", "export", "1"]), sound);
    fs::write(&file, format!("{sound}\n# mended\n")).expect("written");
    assert!(well(&garage, &["garage", "import", name]).contains("is revision 2 of vehicle 1 now"));
}

#[test]
fn where_no_garage_is_nothing_is_called_a_copy_of_it_and_none_is_begun() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = |name: &str| folder.path().join(name);
    let (missing, empty, copy) = (at("misspelt.db"), at("empty.db"), at("copy.db"));
    fs::write(&empty, "").expect("written");
    for garage in [&missing, &empty] {
        let name = copy.to_str().expect("text");
        for words in [&["garage", "backup", name][..], &["garage", "export", "1"]] {
            let refused = groundloom(garage, words);
            assert_eq!(refused.status.code(), Some(2), "{words:?}");
            let told = String::from_utf8_lossy(&refused.stderr);
            assert!(told.contains("there is no garage"), "{told}");
        }
    }
    assert!(!missing.exists() && !copy.exists());
    assert_eq!(fs::read(&empty).expect("still there"), b"");
}

#[test]
fn a_restored_garage_is_what_was_backed_up_and_what_was_replaced_is_kept() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = |name: &str| folder.path().join(name);
    let (garage, copy, file) = (at("garage.db"), at("copy.db"), at("van.toml"));
    let text = |path: &Path| path.to_str().expect("text").to_owned();
    fs::write(&file, "# one\n").expect("written");
    well(&garage, &["garage", "import", &text(&file)]);
    well(&garage, &["garage", "backup", &text(&copy)]);
    fs::write(&file, "# two\n").expect("written");
    well(&garage, &["garage", "import", &text(&file)]);
    well(&garage, &["garage", "restore", &text(&copy)]);
    assert_eq!(well(&garage, &["garage", "export", "1"]), "# one\n");
    let kept = fs::read_dir(folder.path())
        .expect("listed")
        .map(|own| own.expect("listed").path())
        .find(|own| own.to_string_lossy().contains("before-"))
        .expect("a copy of what was there");
    assert_eq!(well(&kept, &["garage", "export", "1"]), "# two\n");
    assert!(well(&garage, &["garage", "verify"]).contains("sound"));
    // A file that is no garage is refused, and nothing is changed.
    let refused = groundloom(&garage, &["garage", "restore", &text(&file)]);
    assert_eq!(refused.status.code(), Some(2));
    assert_eq!(well(&garage, &["garage", "export", "1"]), "# one\n");
    let damaged = groundloom(&garage, &["garage", "verify", &text(&file)]);
    assert_eq!(damaged.status.code(), Some(2));
}

/// What a report carries, with what it writes once in every place where it stands.
#[cfg(feature = "page")]
fn whole(written: &Value) -> Value {
    fn unfolded(value: &Value, shared: &[Value]) -> Value {
        match value {
            Value::Array(own) => own.iter().map(|own| unfolded(own, shared)).collect(),
            Value::Object(own) => match own.get("=").and_then(Value::as_u64) {
                Some(place) => shared[usize::try_from(place).expect("small")].clone(),
                None => own.iter().map(|(key, own)| (key.clone(), unfolded(own, shared))).collect(),
            },
            _ => value.clone(),
        }
    }
    let mut shared = Vec::new();
    for own in written["shared"].as_array().expect("a list") {
        let own = unfolded(own, &shared);
        shared.push(own);
    }
    unfolded(&written["whole"], &shared)
}

#[cfg(feature = "page")]
#[test]
fn a_report_carries_the_diagnosis_and_no_remark_and_never_writes_over_a_file() {
    let folder = tempfile::tempdir().expect("a folder");
    let examples = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples");
    let text = |path: &Path| path.to_str().expect("text").to_owned();
    // Readings by any name; a garage elsewhere is not touched.
    let (garage, readings) = (folder.path().join("garage.db"), folder.path().join("taken.toml"));
    fs::copy(examples.join("rescue-ambulance.readings.toml"), &readings).expect("copied");
    let own = fs::read_to_string(examples.join("rescue-ambulance.toml")).expect("read");
    let remark = "ask the night shift about the rust";
    let own = own.replacen("Two batteries, one diesel", remark, 1);
    assert!(own.contains(remark));
    let file = folder.path().join("van.toml");
    fs::write(&file, own).expect("written");
    let page = folder.path().join("page.html");
    let words = ["report", &text(&file), &text(&readings), "-o", &text(&page)];
    let made = groundloom(&garage, &words);
    assert!(!garage.exists());
    assert!(made.status.success(), "{}", String::from_utf8_lossy(&made.stderr));
    let html = fs::read_to_string(&page).expect("read");
    // 2.5 MB as measured, the page with its letters 0.4 of it; what stands in many answers is written once.
    assert!(html.len() < 3_000_000, "{}", html.len());
    let blob = html.split("id=\"groundloom-report\">").nth(1).expect("a place");
    let blob = blob.split("</script>").next().expect("an end");
    let blob = whole(&serde_json::from_str(blob).expect("JSON"));
    let first = &blob["answers"]["diagnose"]["suspects"][0];
    assert!(first["id"].as_str().expect("named").starts_with("main-negative."), "{first}");
    // How warm things get in each state, so that its cards say what a cable could carry.
    let heat = &blob["answers"]["heat"];
    let states = blob["answers"]["picture"]["drawing"]["states"].as_array().expect("states");
    assert_eq!(heat.as_object().expect("by state").len(), states.len());
    let beside = |told: &Value, key: &str| {
        told["beside"].as_array().is_some_and(|all| all.iter().any(|own| own["key"] == key))
    };
    assert!(beside(&heat["cranking"]["told"], "joints.block-frame.to"), "{heat}");
    // And the plan in words, and what is done in each of its jobs.
    assert!(beside(&blob["answers"]["solve"]["told"], "states.cranking.plan"));
    assert!(beside(&blob["answers"]["repairs"]["told"], "repairs.0.job.0"));
    assert!(!html.contains(remark));
    assert_eq!(groundloom(&garage, &words).status.code(), Some(2));
    let with = folder.path().join("with.html");
    well(&garage, &["report", &text(&file), "--notes", "-o", &text(&with)]);
    assert!(fs::read_to_string(&with).expect("read").contains(remark));
}

/// A server as a program of its own.
struct Server {
    child: Child,
    port: String,
    key: String,
}

impl Server {
    fn start(garage: &Path) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_groundloom"))
            .args(["--json", "open", "--no-browser", "--port", "0", "--garage"])
            .arg(garage)
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("the program runs");
        let mut line = String::new();
        BufReader::new(child.stdout.take().expect("piped")).read_line(&mut line).expect("a line");
        let answer: Value = serde_json::from_str(&line).expect("JSON");
        let link = answer["link"].as_str().expect("a link");
        let (port, key) = link
            .strip_prefix("http://127.0.0.1:")
            .and_then(|own| own.split_once("/#key="))
            .expect("a link with a key");
        Self { port: port.to_owned(), key: key.to_owned(), child }
    }

    /// Sends a reading on a connection of its own; whether it was acknowledged.
    fn put(port: &str, key: &str, cid: &str) -> Option<u16> {
        let path = format!("/api/vehicles/1/readings/{cid}");
        let body = format!("{{\"text\":\"note {cid}\"}}");
        Some(Self::send(port, key, &format!("PUT {path}"), &body)?.0)
    }

    /// A request and its answer: status and body.
    fn send(port: &str, key: &str, what: &str, body: &str) -> Option<(u16, String)> {
        let mut stream = TcpStream::connect(format!("127.0.0.1:{port}")).ok()?;
        stream.set_read_timeout(Some(Duration::from_secs(300))).ok()?;
        let request = format!(
            "{what} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nOrigin: http://127.0.0.1:{port}\r\nAuthorization: Bearer {key}\r\nContent-Type: application/json\r\nContent-Length: {}\r\nConnection: close\r\n\r\n{body}",
            body.len()
        );
        stream.write_all(request.as_bytes()).ok()?;
        let mut answer = String::new();
        stream.read_to_string(&mut answer).ok()?;
        let (head, body) = answer.split_once("\r\n\r\n")?;
        Some((head.split(' ').nth(1)?.parse().ok()?, body.to_owned()))
    }
}

/// Questions as they are asked at either door: the words behind the command, `FILE` for the vehicle file, and the
/// request without the vehicle.
const ASKED: [(&str, &str, &str); 30] = [
    (
        "start",
        "--symptom slow-crank --reading cranking:_battery_9.4_V",
        r#"{"symptom":"slow-crank","readings":["cranking: battery 9.4 V"]}"#,
    ),
    (
        "start",
        "--symptom weak --layout camper-van --batteries 2",
        r#"{"symptom":"weak","layout":"camper-van","batteries":"2"}"#,
    ),
    ("check", "FILE", "{}"),
    ("solve", "FILE", "{}"),
    ("solve", "FILE --state cranking", r#"{"state":"cranking"}"#),
    ("budget", "FILE --load starter", r#"{"load":"starter"}"#),
    ("routes", "FILE --all", r#"{"all":true}"#),
    ("offsets", "FILE --load engine-module", r#"{"loads":["engine-module"]}"#),
    (
        "what-if",
        "FILE --set main-negative.to=5mΩ --add main/-,block/front,35mm2,0.6m",
        r#"{"set":["main-negative.to=5mΩ"],"add":["main/-,block/front,35mm2,0.6m"]}"#,
    ),
    (
        "diagnose",
        "FILE --reading cranking:_block/front_to_main/-_0.41_V --complaint starter@cranking",
        r#"{"readings":"cranking: block/front to main/- 0.41 V","complaint":"starter@cranking"}"#,
    ),
    (
        "next",
        "FILE --reading cranking:_block/front_to_main/-_0.41_V --most 2 --alone",
        r#"{"readings":"cranking: block/front to main/- 0.41 V","most":2,"alone":true}"#,
    ),
    ("next", "FILE --plan", r#"{"plan":true}"#),
    (
        "repairs",
        "FILE --reading cranking:_block/front_to_main/-_0.41_V",
        r#"{"readings":"cranking: block/front to main/- 0.41 V"}"#,
    ),
    ("protect", "FILE --state cranking", r#"{"state":"cranking"}"#),
    (
        "protect",
        "FILE --at block/front --through 20_mΩ",
        r#"{"at":"block/front","through":"20 mΩ"}"#,
    ),
    ("failures", "FILE --state cranking --most 3", r#"{"state":"cranking","most":3}"#),
    ("failures", "FILE --state cranking --pairs", r#"{"state":"cranking","pairs":true}"#),
    ("failures", "FILE --after main-negative", r#"{"after":"main-negative"}"#),
    ("heat", "FILE --state cranking", r#"{"state":"cranking"}"#),
    ("heat", "FILE --state winching --for 2_min", r#"{"state":"winching","seconds":120}"#),
    ("heat", "FILE --state winching --for 2_min", r#"{"state":"winching","for":"2 min"}"#),
    (
        "heat",
        "FILE --state winching --duty 20_% --period 5_min",
        r#"{"state":"winching","duty":{"share":0.2,"period_seconds":300}}"#,
    ),
    (
        "limits",
        "--current 200_A --length 1.2_m --size 35_mm²",
        r#"{"current":"200 A","length":"1.2 m","size":"35 mm²"}"#,
    ),
    (
        "size",
        "--current 120_A --length 3_m --drop 0.3_V",
        r#"{"current":"120 A","length":"3 m","drop":"0.3 V"}"#,
    ),
    (
        "size",
        "FILE --from main/- --to block/front --length 0.6_m --drop 50_mV",
        r#"{"from":"main/-","to":"block/front","length":"0.6 m","drop":"50 mV"}"#,
    ),
    ("bolt", "--thread M8 --torque 20_N·m", r#"{"thread":"M8","torque":"20 N·m"}"#),
    ("bolt", "FILE --joint main-negative.to", r#"{"joint":"main-negative.to","figures":true}"#),
    ("catalogue", "", "{}"),
    ("catalogue", "threads", r#"{"table":"threads"}"#),
    ("catalogue", "--find zinc", r#"{"find":"zinc"}"#),
];

macro_rules! names {
    ($($(#[$doc:meta])* $name:ident $module:ident $word:literal $of:ident $shape:ident;)*) => {
        [$($word),*]
    };
}

#[test]
fn every_question_is_answered_byte_for_byte_alike_at_either_door() {
    for name in answers::questions!(names) {
        assert!(ASKED.iter().any(|(question, ..)| *question == name), "`{name}` is not compared");
    }
    let folder = tempfile::tempdir().expect("a folder");
    let garage = folder.path().join("garage.db");
    let examples = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples");
    let file = examples.join("rescue-ambulance.toml");
    let file = file.to_str().expect("text");
    well(&garage, &["garage", "import", file]);
    let mut server = Server::start(&garage);
    for (question, words, request) in ASKED {
        let of_file = words.contains("FILE");
        // Blanks within a word are written as `_` here.
        let mut words: Vec<String> = words
            .split_whitespace()
            .map(|own| own.replace("FILE", file).replace('_', " "))
            .collect();
        if of_file {
            words[0] = file.to_owned();
        }
        let words: Vec<&str> = [question]
            .into_iter()
            .chain(words.iter().map(String::as_str))
            .chain(["--json"])
            .collect();
        let told = groundloom(&garage, &words);
        let told: Value = serde_json::from_slice(&told.stdout)
            .unwrap_or_else(|_| panic!("{words:?}: {}", String::from_utf8_lossy(&told.stderr)));
        let mut request: Value = serde_json::from_str(request).expect("JSON");
        if of_file {
            request["vehicle"] = 1.into();
        }
        let what = format!("POST /api/{question}");
        let (status, served) = Server::send(&server.port, &server.key, &what, &request.to_string())
            .expect("an answer");
        assert_eq!(status, 200, "{words:?}: {served}");
        let served: Value = serde_json::from_str(&served).expect("JSON");
        assert_eq!(served.to_string(), told.to_string(), "{words:?}");
    }
    server.child.kill().expect("killed");
    server.child.wait().expect("ended");
}

#[test]
fn a_server_killed_under_load_keeps_every_reading_that_it_acknowledged() {
    const WRITERS: usize = 3;
    /// What was acknowledged before the server is killed, in nine rounds of twelve.
    const LOAD: usize = 8;
    let folder = tempfile::tempdir().expect("a folder");
    let (garage, file) = (folder.path().join("garage.db"), folder.path().join("van.toml"));
    fs::write(&file, "# van\n").expect("written");
    well(&garage, &["garage", "import", file.to_str().expect("text")]);
    let mut acknowledged: Vec<String> = Vec::new();
    // A busy machine writes little in each.
    for round in 0..60_usize {
        if round >= 12 && acknowledged.len() > 100 {
            break;
        }
        let mut server = Server::start(&garage);
        let (port, key) = (server.port.clone(), server.key.clone());
        let (tell, begun) = std::sync::mpsc::channel();
        let writers: Vec<_> = (0..WRITERS)
            .map(|writer| {
                let (port, key, tell) = (port.clone(), key.clone(), tell.clone());
                std::thread::spawn(move || {
                    let mut kept = Vec::new();
                    for number in 0.. {
                        let cid = format!("reading-{round}-{writer}-{number}");
                        match Server::put(&port, &key, &cid) {
                            Some(201) => {
                                kept.push(cid);
                                // Nobody listens any more once the moment is chosen.
                                let _ = tell.send(());
                            }
                            // The server is gone; what was under way may be lost.
                            _ => return kept,
                        }
                    }
                    kept
                })
            })
            .collect();
        drop(tell);
        // Mostly under load, however slow the machine is; sometimes while the first are under way.
        if round % 4 != 0 {
            for _ in 0..LOAD {
                begun.recv().expect("a writer writes");
            }
        }
        std::thread::sleep(Duration::from_millis(40 + (round as u64 * 53) % 160));
        server.child.kill().expect("killed");
        server.child.wait().expect("ended");
        for writer in writers {
            acknowledged.extend(writer.join().expect("no panic"));
        }
        assert!(well(&garage, &["garage", "verify"]).contains("sound"), "round {round}");
        let out = folder.path().join(format!("out-{round}"));
        fs::create_dir(&out).expect("made");
        well(&garage, &["garage", "export", "1", "-o", out.to_str().expect("text")]);
        let typed = fs::read_to_string(out.join("van.typed.readings.txt")).unwrap_or_default();
        let mut there: Vec<&str> =
            typed.lines().filter_map(|line| line.strip_prefix("note ")).collect();
        there.sort_unstable();
        for cid in &acknowledged {
            assert!(
                there.binary_search(&cid.as_str()).is_ok(),
                "{cid} was acknowledged and is lost"
            );
        }
        // Besides those at most the one that each writer had under way, in each round.
        assert!(there.len() <= acknowledged.len() + WRITERS * (round + 1));
        let number = there.len();
        there.dedup();
        assert_eq!(there.len(), number, "a reading is there twice");
    }
    assert!(acknowledged.len() >= 9 * LOAD, "the writers came to little: {}", acknowledged.len());
}
