//! Several people at once: nothing is lost, conflicts are shown, everybody is told.

use std::io::{BufRead, BufReader, Write};

use serde_json::{Value, json};

use crate::client::Served;

#[test]
fn two_devices_entering_readings_at_once_lose_nothing() {
    const EACH: usize = 40;
    let served = Served::shared();
    let id = served.vehicle();
    let keys = [served.pair("read"), served.pair("read")];
    std::thread::scope(|scope| {
        for (device, key) in keys.iter().enumerate() {
            let served = &served;
            scope.spawn(move || {
                for number in 0..EACH {
                    let path = format!("/api/vehicles/{id}/readings/device-{device}-{number}");
                    let body = json!({ "text": format!("note {device} {number}") }).to_string();
                    // Sent twice, as a phone does that heard no answer.
                    assert_eq!(served.ask_as(key, "PUT", &path, &body).status, 201);
                    assert_eq!(served.ask_as(key, "PUT", &path, &body).status, 200);
                }
            });
        }
    });
    let readings = served.get(&format!("/api/vehicles/{id}/readings")).json();
    let mut cids: Vec<&str> = readings["readings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|own| own["cid"].as_str().unwrap())
        .collect();
    assert_eq!(cids.len(), 2 * EACH);
    cids.sort_unstable();
    cids.dedup();
    assert_eq!(cids.len(), 2 * EACH);
}

#[test]
fn a_conflict_shows_both_texts_and_stores_neither_over_the_other() {
    let served = Served::new();
    let id = served.vehicle();
    let path = format!("/api/vehicles/{id}");
    let put = |text: &str, revision: i64| {
        let body =
            json!({ "text": text, "revision": revision, "what": "change", "even_unread": true });
        served.ask("PUT", &path, &body.to_string())
    };
    assert_eq!(put("# theirs\n", 1).status, 200);
    let refused = put("# yours\n", 1);
    assert_eq!((refused.status, refused.code().as_str()), (409, "conflict"));
    let conflict = &refused.json()["conflict"];
    assert_eq!(conflict["theirs"]["text"], "# theirs\n");
    assert_eq!(conflict["theirs"]["revision"], 2);
    assert_eq!(conflict["yours"], "# yours\n");
    assert_eq!(conflict["base"]["revision"], 1);
    assert_eq!(served.get(&path).json()["vehicle"]["text"], "# theirs\n");
    assert_eq!(put("# both\n", 2).status, 200);
}

#[test]
fn a_text_that_has_errors_makes_no_version_unless_it_is_wanted() {
    let served = Served::new();
    let id = served.vehicle();
    let path = format!("/api/vehicles/{id}");
    let before = served.get(&format!("{path}/file")).body;
    let vehicles = || served.get("/api/vehicles").json()["vehicles"].as_array().unwrap().len();
    let many = vehicles();
    let text = "format = 1\n[loads.lamp]\nkind = \"lmap\"\n";
    let change = json!({ "text": text, "revision": 1, "what": "slip" });
    for (method, path, body) in
        [("PUT", path.as_str(), change.clone()), ("POST", "/api/vehicles", json!({ "text": text }))]
    {
        let refused = served.ask(method, path, &body.to_string());
        assert_eq!((refused.status, refused.code().as_str()), (422, "problems"), "{path}");
        let error = &refused.json()["error"];
        let problems = error["problems"].as_array().unwrap();
        assert!(problems.iter().any(|own| own["line"] == 3), "{problems:?}");
        assert!(error["expected"].as_str().unwrap().contains("even_unread"));
    }
    assert_eq!(served.get(&format!("{path}/file")).body, before);
    assert_eq!(vehicles(), many);
    let mut wanted = change;
    wanted["even_unread"] = json!(true);
    assert_eq!(served.ask("PUT", &path, &wanted.to_string()).status, 200);
    assert_eq!(served.get(&format!("{path}/file")).body, text.as_bytes());
    let brought = json!({ "text": text, "even_unread": true }).to_string();
    assert_eq!(served.ask("POST", "/api/vehicles", &brought).status, 201);
    assert_eq!(vehicles(), many + 1);
}

/// Does the request that an answer names for taking its act back.
fn take_back(served: &Served, answer: &Value) -> Value {
    let undo = &answer["undo"];
    let (method, path) = (undo["method"].as_str().unwrap(), undo["path"].as_str().unwrap());
    let body = if undo["body"].is_null() { String::new() } else { undo["body"].to_string() };
    let done = served.ask(method, path, &body);
    assert!(done.status < 300, "{undo}: {done:?}");
    done.json()
}

#[test]
fn every_act_can_be_taken_back_and_done_again() {
    let served = Served::new();
    let id = served.vehicle();
    let path = format!("/api/vehicles/{id}");
    let text = |served: &Served| served.get(&format!("{path}/file")).body;
    let before = text(&served);
    let body =
        json!({ "text": "# changed\n", "revision": 1, "what": "emptied", "even_unread": true });
    let done = served.ask("PUT", &path, &body.to_string()).json();
    let undone = take_back(&served, &done);
    assert_eq!(text(&served), before);
    let redone = take_back(&served, &undone);
    assert_eq!(text(&served), b"# changed\n");
    take_back(&served, &redone);
    assert_eq!(text(&served), before);

    let png: &[u8] = b"\x89PNG\r\n\x1a\n\0\0\0\x0dIHDR\0\0\0\x01";
    let photo = format!("{path}/photos/photo-001?on=strap&side=before");
    let more = format!("Content-Type: image/png\r\nContent-Length: {}\r\n", png.len());
    let mut request = served.head("PUT", &photo, Some(&served.key), &more).into_bytes();
    request.extend(png);
    let photo = served.raw(&request);
    assert_eq!(photo.status, 201, "{photo:?}");
    let shown = served.get(&format!("{path}/photos/photo-001"));
    assert_eq!(shown.body, png);
    assert!(shown.head.contains("content-type: image/png"));
    let acts = [
        ("photos", "photo", photo.json()),
        (
            "readings",
            "reading",
            served.ask("PUT", &format!("{path}/readings/cid-00001"), r#"{"text":"a"}"#).json(),
        ),
        (
            "work",
            "work",
            served.ask("PUT", &format!("{path}/work/work-0001"), r#"{"on":"a","what":"b"}"#).json(),
        ),
    ];
    for (list, one, done) in acts {
        let retracted = |served: &Served| {
            served.get(&format!("{path}/{list}")).json()[list][0]["retracted"] == true
        };
        assert_eq!(done[one]["retracted"], false, "{done}");
        let undone = take_back(&served, &done);
        assert!(retracted(&served), "{list}");
        take_back(&served, &undone);
        assert!(!retracted(&served), "{list}");
    }
    let removed = served.ask("DELETE", &path, "").json();
    assert_eq!(served.get("/api/vehicles").json()["vehicles"], json!([]));
    take_back(&served, &removed);
    assert_eq!(served.get("/api/vehicles").json()["vehicles"].as_array().unwrap().len(), 1);
}

#[test]
fn a_reading_entered_on_the_phone_appears_at_the_desk() {
    let served = Served::shared();
    let id = served.vehicle();
    let key = served.pair("read");
    let mut stream = served.connect();
    stream.write_all(served.head("GET", "/api/events", Some(&served.key), "").as_bytes()).unwrap();
    let mut lines = BufReader::new(stream).lines().map(Result::unwrap);
    assert!(lines.any(|line| line == "event: hello"));
    let path = format!("/api/vehicles/{id}/readings/cid-00001");
    served.ask_as(&key, "PUT", &path, r#"{"text":"a note"}"#);
    assert!(lines.any(|line| line == "event: reading"));
    let data = lines.find_map(|line| line.strip_prefix("data: ").map(str::to_owned)).unwrap();
    let data: Value = serde_json::from_str(&data).unwrap();
    assert_eq!((&data["vehicle"], &data["reading"]["text"]), (&json!(id), &json!("a note")));
}
