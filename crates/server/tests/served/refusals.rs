//! What is refused, and that nothing is stored then.

use crate::client::Served;

const BODY: &str = r#"{"text":"cranking: a to b 0.4 V"}"#;

/// A request to be refused: how it is told, its bytes, the status, the code.
struct Refused {
    what: &'static str,
    request: String,
    status: u16,
    code: &'static str,
}

fn with_body(head: &str, body: &str) -> String {
    let length = body.len();
    format!(
        "{head}Content-Type: application/json\r\nContent-Length: {length}\r\nConnection: close\r\n\r\n{body}"
    )
}

/// Hosts and origins of rebound names and foreign pages, towards every kind of route.
fn strangers(served: &Served, vehicle: i64) -> Vec<Refused> {
    let (port, key) = (served.port, &served.key);
    let authorised = format!("Authorization: Bearer {key}\r\n");
    let own = format!("Host: localhost:{port}\r\n");
    let origin = format!("Origin: http://localhost:{port}\r\n");
    let put = format!("PUT /api/vehicles/{vehicle}/readings/cid-00001 HTTP/1.1\r\n");
    let mut all = Vec::new();
    let hosts = [
        format!("evil.test:{port}"),
        "evil.test".to_owned(),
        format!("localhost.evil.test:{port}"),
        format!("127.0.0.1.evil.test:{port}"),
        format!("[::1]x:{port}"),
        format!("[::1]:{port}@evil.test"),
        format!("localhost:{port}:80"),
        format!("localhost.:{port}"),
        "localhost".to_owned(),
        format!("localhost:{}", port ^ 1),
        format!("192.0.2.7:{port}"),
        format!("0.0.0.0:{port}"),
        format!("[::]:{port}"),
        format!("2130706433:{port}"),
        String::new(),
    ];
    for host in hosts {
        for line in [
            "GET / HTTP/1.1\r\n",
            "GET /api/vehicles HTTP/1.1\r\n",
            "GET /api/events HTTP/1.1\r\n",
            &put,
        ] {
            let head = format!("{line}Host: {host}\r\n{origin}{authorised}");
            all.push(Refused {
                what: "a foreign Host",
                request: with_body(&head, BODY),
                status: 421,
                code: "host",
            });
        }
    }
    let two = format!("{put}{own}Host: evil.test:{port}\r\n{origin}{authorised}");
    all.push(Refused {
        what: "two Hosts",
        request: with_body(&two, BODY),
        status: 421,
        code: "host",
    });
    let none = format!("{put}{origin}{authorised}");
    all.push(Refused {
        what: "no Host",
        request: with_body(&none, BODY),
        status: 421,
        code: "host",
    });
    let whole = format!("GET http://evil.test:{port}/api/vehicles HTTP/1.1\r\n{own}{authorised}");
    all.push(Refused {
        what: "a foreign whole address",
        request: with_body(&whole, ""),
        status: 421,
        code: "host",
    });
    for foreign in [
        "Origin: http://evil.test\r\n".to_owned(),
        "Origin: null\r\n".to_owned(),
        format!("Origin: https://localhost:{port}\r\n"),
        format!("Origin: http://localhost:{port}.evil.test\r\n"),
        format!("Origin: http://127.0.0.1:{port}\r\n"),
        format!("Origin: http://localhost:{}\r\n", port ^ 1),
        format!("{origin}Origin: http://evil.test\r\n"),
        format!("{origin}Sec-Fetch-Site: cross-site\r\n"),
        format!("{origin}Sec-Fetch-Site: same-site\r\n"),
        String::new(),
    ] {
        let head = format!("{put}{own}{foreign}{authorised}");
        all.push(Refused {
            what: "a foreign Origin",
            request: with_body(&head, BODY),
            status: 403,
            code: "origin",
        });
    }
    let head =
        format!("GET /api/vehicles HTTP/1.1\r\n{own}Origin: http://evil.test\r\n{authorised}");
    all.push(Refused {
        what: "a foreign Origin that reads",
        request: with_body(&head, ""),
        status: 403,
        code: "origin",
    });
    all
}

/// Keys and bodies that are wrong, from our own page.
fn mistakes(served: &Served, vehicle: i64) -> Vec<Refused> {
    let key = &served.key;
    let at = |path: &str| format!("/api/vehicles/{vehicle}/{path}");
    let reading = at("readings/cid-00001");
    let request = |method: &str, path: &str, key: Option<&str>, more: &str, body: &str| {
        let more = format!("{more}Content-Length: {}\r\n", body.len());
        format!("{}{body}", served.head(method, path, key, &more))
    };
    let json = "Content-Type: application/json\r\n";
    let refused = |what, request, status, code| Refused { what, request, status, code };
    let long = format!(r#"{{"text":"{}"}}"#, "x".repeat(4 << 10));
    let file =
        format!(r#"{{"text":"{}","revision":1,"what":"much"}}"#, "x".repeat((21 << 20) / 10));
    let whole = format!("/api/vehicles/{vehicle}");
    let photo = at("photos/photo-001");
    let png = "Content-Type: image/png\r\n";
    vec![
        refused("no key", request("PUT", &reading, None, json, BODY), 401, "no-key"),
        refused(
            "a wrong key",
            request("PUT", &reading, Some("00"), json, BODY),
            401,
            "key-refused",
        ),
        refused("no key to read", request("GET", "/api/vehicles", None, "", ""), 401, "no-key"),
        refused("no key for events", request("GET", "/api/events", None, "", ""), 401, "no-key"),
        refused(
            "a form",
            request(
                "PUT",
                &reading,
                Some(key),
                "Content-Type: application/x-www-form-urlencoded\r\n",
                "text=a",
            ),
            415,
            "media-type",
        ),
        refused(
            "plain text",
            request("PUT", &reading, Some(key), "Content-Type: text/plain\r\n", BODY),
            415,
            "media-type",
        ),
        refused("no type", request("PUT", &reading, Some(key), "", BODY), 415, "media-type"),
        refused("half of a body", request("PUT", &reading, Some(key), json, "{"), 400, "malformed"),
        refused(
            "an unknown key in a body",
            request("PUT", &reading, Some(key), json, r#"{"text":"a","x":1}"#),
            400,
            "malformed",
        ),
        refused(
            "a short id",
            request("PUT", &at("readings/c"), Some(key), json, BODY),
            400,
            "malformed",
        ),
        refused(
            "an id that climbs",
            request("PUT", &at("readings/..%2F..%2Fetc"), Some(key), json, BODY),
            400,
            "malformed",
        ),
        refused(
            "two lines",
            request("PUT", &reading, Some(key), json, "{\"text\":\"a\\nb\"}"),
            400,
            "malformed",
        ),
        refused(
            "a long reading",
            request("PUT", &reading, Some(key), json, &long),
            413,
            "too-large",
        ),
        refused("a large file", request("PUT", &whole, Some(key), json, &file), 413, "too-large"),
        refused(
            "a photograph that is a page",
            request("PUT", &photo, Some(key), png, "<svg onload=alert(1)>"),
            415,
            "media-type",
        ),
        refused(
            "a photograph of another kind",
            request("PUT", &photo, Some(key), "Content-Type: image/jpeg\r\n", "\u{89}PNG"),
            415,
            "media-type",
        ),
        refused(
            "no such vehicle",
            request("PUT", "/api/vehicles/99/readings/cid-00001", Some(key), json, BODY),
            404,
            "not-found",
        ),
        refused(
            "a path for a name",
            request("GET", "/assets/..%2f..%2fCargo.toml", Some(key), "", ""),
            404,
            "not-found",
        ),
        refused(
            "a path that climbs",
            request("GET", "/assets/../../Cargo.toml", Some(key), "", ""),
            404,
            "not-found",
        ),
        refused(
            "pairing a closed server",
            request("POST", "/api/pairings", Some(key), json, r#"{"role":"read"}"#),
            409,
            "not-shared",
        ),
        refused(
            "a question about nothing",
            request("POST", "/api/solve", Some(key), json, "{}"),
            400,
            "malformed",
        ),
    ]
}

#[test]
fn strangers_and_mistakes_are_refused_and_nothing_is_stored() {
    let served = Served::new();
    let vehicle = served.vehicle();
    let before = served.stored();
    let mut all = strangers(&served, vehicle);
    all.extend(mistakes(&served, vehicle));
    for Refused { what, request, status, code } in all {
        let answer = served.raw(request.as_bytes());
        let shown = request.lines().take(4).collect::<Vec<_>>().join(" | ");
        assert_eq!(answer.status, status, "{what}: {shown}\n{answer:?}");
        if !answer.body.is_empty() {
            assert_eq!(answer.code(), code, "{what}: {shown}");
        }
        assert!(answer.head.contains("\r\nx-content-type-options: nosniff\r\n"), "{what}");
        assert!(!answer.head.contains("access-control-"), "{what}");
    }
    assert_eq!(served.stored(), before);
    // The same request without a fault is taken: the table refuses for the reasons that it names.
    let path = format!("/api/vehicles/{vehicle}/readings/cid-00001");
    assert_eq!(served.ask("PUT", &path, BODY).status, 201);
    assert_ne!(served.stored(), before);
}

#[test]
fn an_upload_that_says_it_is_too_large_is_refused_before_it_is_read() {
    let served = Served::new();
    let vehicle = served.vehicle();
    let path = format!("/api/vehicles/{vehicle}/photos/photo-001");
    let more = "Content-Type: image/png\r\nContent-Length: 104857600\r\n";
    let before = served.stored();
    let answer = served.raw(served.head("PUT", &path, Some(&served.key), more).as_bytes());
    assert_eq!((answer.status, answer.code().as_str()), (413, "too-large"));
    assert_eq!(served.stored(), before);
}

#[test]
fn a_chunked_upload_without_end_is_cut_off() {
    let served = Served::new();
    let vehicle = served.vehicle();
    let path = format!("/api/vehicles/{vehicle}/readings/cid-00001");
    let more = "Content-Type: application/json\r\nTransfer-Encoding: chunked\r\n";
    let mut request = served.head("PUT", &path, Some(&served.key), more).into_bytes();
    for _ in 0..64 {
        request.extend(b"400\r\n");
        request.extend([b'x'; 0x400]);
        request.extend(b"\r\n");
    }
    let answer = served.raw(&request);
    assert_eq!((answer.status, answer.code().as_str()), (413, "too-large"));
}

#[test]
fn loopback_by_any_of_its_names_is_our_own_and_no_page_runs_inline_script() {
    let served = Served::new();
    for name in ["localhost", "LOCALHOST", "127.0.0.1", "[::1]"] {
        let request =
            format!("GET / HTTP/1.1\r\nHost: {name}:{}\r\nConnection: close\r\n\r\n", served.port);
        let answer = served.raw(request.as_bytes());
        assert_eq!(answer.status, 200, "{name}");
        let policy = answer.head.lines().find(|own| own.starts_with("content-security-policy: "));
        let policy = policy.unwrap();
        assert!(policy.contains("script-src 'self';") && policy.contains("default-src 'none'"));
        assert!(policy.contains("frame-ancestors 'none'"));
    }
}

#[test]
fn thirty_wrong_keys_in_a_minute_are_the_last() {
    let served = Served::new();
    for _ in 0..30 {
        assert_eq!(served.ask_as("wrong", "GET", "/api/me", "").status, 401);
    }
    let answer = served.ask_as("wrong", "GET", "/api/me", "");
    assert_eq!((answer.status, answer.code().as_str()), (429, "too-many"));
    assert!(answer.head.contains("\r\nretry-after: "));
    // Whoever sits at this machine is not locked out by it.
    assert_eq!(served.get("/api/me").status, 200);
}
