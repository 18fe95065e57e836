//! No Host header makes its reader panic, and what it lets in says all of its text.
#![no_main]

// The file itself: the server's crate would bring a database and a runtime along.
#[path = "../../crates/server/src/host.rs"]
#[allow(dead_code)]
mod host;

use std::net::IpAddr;

use host::{Host, Name, parse};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    let _ = Host::of_origin(text);
    let Ok(host) = parse(text) else { return };
    assert!(text.is_ascii(), "{text:?} is let in");
    assert!(!text.contains(['/', '@', ' ', '\t', ',', '%', '\\', '#', '?']), "{text:?} is let in");
    let written = match &host.name {
        Name::Name(name) => name.clone(),
        Name::Address(IpAddr::V6(address)) => format!("[{address}]"),
        Name::Address(address) => address.to_string(),
    };
    assert_eq!(parse(&format!("{written}:{}", host.port)), Ok(host));
});
