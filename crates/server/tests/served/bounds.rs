//! What a device may cost the others: nothing that it asks keeps the desk waiting, and it ends with its key.

use std::io::{BufReader, Write};
use std::net::TcpStream;
use std::time::Duration;

use serde_json::{Value, json};

use crate::client::{Answer, Served, VEHICLE, read};

/// Lamps of a vehicle of which `failures` tells more than twenty times how far it is; a device may ask about it.
const MANY: usize = 280;
/// What each of these times takes: the whole question at least ten seconds, however fast the machine.
const PACE: Duration = Duration::from_millis(500);

/// A vehicle with so many lamps that long questions about it take long.
fn lamps(number: usize) -> String {
    let mut text = String::from(
        "format = 1\n[vehicle]\nname = \"Many lamps\"\nnominal = \"12 V\"\n\
         [batteries.main]\ncapacity = \"60 Ah\"\ncranking = \"540 A\"\n\
         [structures.body]\nsheet = \"0.8 mm\"\n[structures.body.points]\n\
         left = { at = [\"0.5 m\", \"0.6 m\"] }\nrear = { at = [\"-3 m\", \"0.4 m\"] }\n\
         [conductors.main-negative]\nfrom = \"main/-\"\nto = \"body/left\"\n\
         size = \"25 mm²\"\nlength = \"0.6 m\"\n",
    );
    for own in 0..number {
        text.push_str(&format!(
            "[loads.lamp-{own}]\nkind = \"lamp\"\ndraws = \"5 W\"\n\
             feed = {{ from = \"main/+\", size = \"1 mm²\", length = \"1.5 m\" }}\n\
             return = {{ to = \"body/rear\", size = \"1 mm²\", length = \"0.3 m\" }}\n"
        ));
    }
    text
}

/// Asks and does not wait for the answer.
fn asked(served: &Served, key: &str, path: &str, body: &Value) -> TcpStream {
    let body = body.to_string();
    let more = format!("Content-Type: application/json\r\nContent-Length: {}\r\n", body.len());
    let mut stream = served.connect();
    let request = format!("{}{body}", served.head("POST", path, Some(key), &more));
    stream.write_all(request.as_bytes()).unwrap();
    stream
}

fn begun(served: &Served, key: &str, text: &str) -> u64 {
    let body = json!({ "question": "failures", "asked": { "text": text } });
    let begun = served.ask_as(key, "POST", "/api/jobs", &body.to_string());
    assert_eq!(begun.status, 202, "{begun:?}");
    begun.json()["job"]["id"].as_u64().unwrap()
}

fn status(answer: &Answer) -> String {
    answer.json()["job"]["status"].as_str().unwrap_or_default().to_owned()
}

/// Asks until the work has this status.
fn becomes(served: &Served, job: u64, wanted: &str) -> bool {
    for _ in 0..300 {
        if status(&served.get(&format!("/api/jobs/{job}"))) == wanted {
            return true;
        }
        std::thread::sleep(Duration::from_millis(50));
    }
    false
}

#[test]
fn a_device_neither_stops_nor_sees_work_that_is_not_its_own() {
    let served = Served::slow(PACE);
    let text = lamps(MANY);
    let (mine, other) = (served.pair("look"), served.pair("look"));
    let desk = begun(&served, &served.key, &text);
    let own = begun(&served, &mine, &text);
    for (key, job) in [(&mine, desk), (&other, desk), (&other, own)] {
        for method in ["GET", "DELETE"] {
            let refused = served.ask_as(key, method, &format!("/api/jobs/{job}"), "");
            assert_eq!((refused.status, refused.code().as_str()), (404, "not-found"), "{method}");
        }
    }
    assert!(becomes(&served, desk, "running"));
    let stopped = served.ask_as(&mine, "DELETE", &format!("/api/jobs/{own}"), "");
    assert_eq!((stopped.status, status(&stopped).as_str()), (200, "cancelled"));
    // The desk may stop all.
    let stopped = served.ask("DELETE", &format!("/api/jobs/{desk}"), "");
    assert_eq!(status(&stopped), "cancelled");
}

#[test]
fn what_devices_compute_does_not_keep_the_desk_waiting() {
    let served = Served::slow(PACE);
    let keys: Vec<String> = (0..4).map(|_| served.pair("look")).collect();
    let text = json!({ "text": lamps(MANY) });
    let _waiting: Vec<TcpStream> = (0..12)
        .map(|number| asked(&served, &keys[number % keys.len()], "/api/failures", &text))
        .collect();
    std::thread::sleep(Duration::from_millis(700));
    let solved = asked(&served, &served.key, "/api/solve", &json!({ "text": VEHICLE }));
    solved.set_read_timeout(Some(Duration::from_secs(20))).unwrap();
    assert_eq!(read(&mut BufReader::new(solved)).status, 200);
}

#[test]
fn a_direct_question_is_one_at_a_time_and_stops_once_nobody_waits_for_it() {
    let served = Served::slow(PACE);
    let key = served.pair("look");
    let long = asked(&served, &key, "/api/failures", &json!({ "text": lamps(MANY) }));
    std::thread::sleep(Duration::from_millis(700));
    let solve = json!({ "text": VEHICLE });
    let next = asked(&served, &key, "/api/solve", &solve);
    next.set_read_timeout(Some(Duration::from_millis(1500))).unwrap();
    let mut byte = [0];
    assert!(next.peek(&mut byte).is_err(), "two questions of one device at once");
    // The first one is left alone: the second comes to its turn.
    drop(long);
    next.set_read_timeout(Some(Duration::from_secs(20))).unwrap();
    assert_eq!(read(&mut BufReader::new(next)).status, 200);
    // The desk's too are stopped: both cores are free again.
    let text = json!({ "text": lamps(MANY) });
    for _ in 0..4 {
        let left = asked(&served, &served.key, "/api/failures", &text);
        std::thread::sleep(Duration::from_millis(300));
        drop(left);
    }
    let solved = asked(&served, &served.key, "/api/solve", &solve);
    solved.set_read_timeout(Some(Duration::from_secs(20))).unwrap();
    assert_eq!(read(&mut BufReader::new(solved)).status, 200);
}

#[test]
fn what_a_device_began_ends_when_its_key_is_taken_away() {
    let served = Served::slow(PACE);
    let key = served.pair("look");
    let text = lamps(MANY);
    let job = begun(&served, &key, &text);
    let direct = asked(&served, &key, "/api/failures", &json!({ "text": text }));
    std::thread::sleep(Duration::from_millis(700));
    let devices = served.get("/api/devices").json();
    let id = devices["devices"][0]["id"].as_i64().unwrap();
    assert_eq!(served.ask("DELETE", &format!("/api/devices/{id}"), "").status, 204);
    assert_eq!(status(&served.get(&format!("/api/jobs/{job}"))), "cancelled");
    let ended = read(&mut BufReader::new(direct));
    assert_eq!((ended.status, ended.code().as_str()), (401, "key-refused"), "{ended:?}");
}

#[test]
fn a_device_is_refused_in_words_what_would_take_the_machine() {
    let served = Served::shared();
    let key = served.pair("look");
    let many = json!({ "text": lamps(1000) }).to_string();
    for question in ["failures", "diagnose", "repairs", "next", "offsets"] {
        let refused = served.ask_as(&key, "POST", &format!("/api/{question}"), &many);
        assert_eq!((refused.status, refused.code().as_str()), (413, "too-large"), "{question}");
        let said = refused.json()["error"]["what"].as_str().unwrap().to_owned();
        assert!(said.contains("too many for this question of a phone"), "{said}");
    }
    let as_work = json!({ "question": "failures", "asked": { "text": lamps(1000) } });
    assert_eq!(served.ask_as(&key, "POST", "/api/jobs", &as_work.to_string()).status, 413);
    // Quick ones are answered, up to a length of text.
    assert_eq!(served.ask_as(&key, "POST", "/api/check", &many).status, 200);
    let long = json!({ "text": "#".repeat(1 << 20) }).to_string();
    let refused = served.ask_as(&key, "POST", "/api/check", &long);
    assert_eq!((refused.status, refused.code().as_str()), (413, "too-large"));
    assert_eq!(served.ask("POST", "/api/check", &long).status, 200);
}
