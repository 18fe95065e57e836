//! Pairing devices, their roles, and the end of their keys.

use std::io::{BufRead, BufReader, Write};

use garage::{Garage, NewDevice};
use sha2::{Digest, Sha256};

use crate::client::Served;

#[test]
fn a_code_pairs_one_device_once() {
    let served = Served::shared();
    let code = served.pairing.clone().unwrap();
    let wrong = served.pair_with("0123456789abcdef0123456789abcdef", "stranger");
    assert_eq!((wrong.status, wrong.code().as_str()), (403, "pairing-refused"));
    let nameless = served.pair_with(&code, " ");
    assert_eq!((nameless.status, nameless.code().as_str()), (400, "malformed"));
    let paired = served.pair_with(&code, "phone");
    assert_eq!(paired.status, 200);
    let used = served.pair_with(&code, "another phone");
    assert_eq!((used.status, used.code().as_str()), (403, "pairing-refused"));
    // Whether a code was wrong or used is not told.
    assert_eq!(used.body, wrong.body);
    let devices = served.get("/api/devices").json();
    assert_eq!(devices["devices"].as_array().unwrap().len(), 1);
    assert_eq!(devices["devices"][0]["name"], "phone");
    let key = paired.json()["key"].as_str().unwrap().to_owned();
    assert!(!served.stored().contains(&key), "the key itself is kept");
}

#[test]
fn the_sixth_attempt_to_pair_in_a_minute_is_refused_even_with_a_right_code() {
    let served = Served::shared();
    for _ in 0..5 {
        assert_eq!(served.pair_with("wrong", "stranger").status, 403);
    }
    let code = served.pairing.clone().unwrap();
    let answer = served.pair_with(&code, "phone");
    assert_eq!((answer.status, answer.code().as_str()), (429, "too-many"));
    assert!(Garage::open(&served.garage).unwrap().devices().unwrap().is_empty());
}

#[test]
fn a_closed_code_pairs_nobody_and_eight_letters_pair_as_well() {
    let served = Served::shared();
    let opened = served.ask("POST", "/api/pairings", r#"{"role":"look"}"#).json();
    assert!(opened["qr_svg"].as_str().unwrap().starts_with("<svg"));
    let code = opened["link"].as_str().unwrap().split_once("#pair=").unwrap().1;
    let closed = served.ask("DELETE", &format!("/api/pairings/{}", opened["id"]), "");
    assert_eq!(closed.status, 204);
    assert_eq!(served.pair_with(code, "phone").status, 403);
    let opened = served.ask("POST", "/api/pairings", r#"{"role":"look"}"#).json();
    let spoken = opened["spoken"].as_str().unwrap().to_lowercase();
    assert_eq!(served.pair_with(&spoken, "phone").status, 200);
}

#[test]
fn every_role_may_what_it_says_and_no_more() {
    let served = Served::shared();
    let id = served.vehicle();
    let own = format!("/api/vehicles/{id}");
    let (reading, work) = (format!("{own}/readings/cid-"), format!("{own}/work/cid-"));
    let changed = r#"{"text":"format = 1","revision":1,"what":"emptied","even_unread":true}"#;
    let work_body = r#"{"on":"a","what":"cleaned"}"#;
    // What is asked, and the least role that may.
    let acts: [(&str, String, &str, usize); 8] = [
        ("GET", own.clone(), "", 0),
        ("POST", "/api/solve".to_owned(), r#"{"vehicle":1}"#, 0),
        ("PUT", reading, r#"{"text":"a"}"#, 1),
        ("PUT", work, work_body, 1),
        ("PUT", own.clone(), changed, 2),
        ("POST", "/api/vehicles".to_owned(), r#"{"layout":"cart"}"#, 2),
        ("GET", "/api/devices".to_owned(), "", 3),
        ("POST", "/api/pairings".to_owned(), r#"{"role":"edit"}"#, 3),
    ];
    for (rank, role) in ["look", "read", "edit"].into_iter().enumerate() {
        let key = served.pair(role);
        for (number, (method, path, body, least)) in acts.iter().enumerate() {
            let before = served.stored();
            let path = if path.ends_with("cid-") {
                format!("{path}{role}{number}xx")
            } else {
                path.clone()
            };
            let answer = served.ask_as(&key, method, &path, body);
            if rank < *least {
                assert_eq!((answer.status, answer.code().as_str()), (403, "role"), "{role} {path}");
                assert_eq!(served.stored(), before, "{role} {path}");
            } else {
                assert!(answer.status < 300, "{role} {path}: {answer:?}");
            }
        }
    }
    let desk = served.ask("POST", "/api/pairings", r#"{"role":"desk"}"#);
    assert_eq!(desk.status, 400);
}

#[test]
fn a_revoked_key_is_worth_nothing_and_its_stream_ends() {
    let served = Served::shared();
    let key = served.pair("read");
    let mut stream = served.connect();
    stream.write_all(served.head("GET", "/api/events", Some(&key), "").as_bytes()).unwrap();
    let mut lines = BufReader::new(stream).lines().map_while(Result::ok);
    assert!(lines.any(|line| line == "event: hello"));
    assert_eq!(served.ask_as(&key, "GET", "/api/me", "").json()["role"], "read");
    assert_eq!(served.ask("DELETE", "/api/devices/1", "").status, 204);
    let answer = served.ask_as(&key, "GET", "/api/me", "");
    assert_eq!((answer.status, answer.code().as_str()), (401, "key-refused"));
    // Nothing but the end comes, and no word of the revocation.
    assert!(!lines.any(|line| line.starts_with("event: ")));
}

#[test]
fn an_expired_key_is_worth_nothing() {
    let served = Served::shared();
    let mut garage = Garage::open(&served.garage).unwrap();
    let device = |key: &str, expires: &str, garage: &mut Garage| {
        let new = NewDevice {
            name: "phone",
            role: "edit",
            key_digest: &Sha256::digest(key.as_bytes()),
            paired: "2026-01-01T00:00:00.000Z",
            expires,
        };
        garage.add_device(new).unwrap();
    };
    device("old", "2026-01-01T12:00:00.000Z", &mut garage);
    device("new", "2999-01-01T12:00:00.000Z", &mut garage);
    let old = served.ask_as("old", "GET", "/api/me", "");
    assert_eq!((old.status, old.code().as_str()), (401, "key-refused"));
    // For good: its digest is gone, whatever the clock says later.
    let digest = Sha256::digest(b"old");
    assert!(garage.device_with_key(&digest).unwrap().is_none());
    assert_eq!(served.ask_as("new", "GET", "/api/me", "").status, 200);
}
