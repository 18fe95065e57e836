//! One port, at the addresses of this machine alone, that nobody else has.

use std::net::TcpListener;
use std::time::Duration;

use server::{Options, ServerError};

use crate::client::Served;

fn options(folder: &std::path::Path, port: Option<u16>) -> Options {
    Options {
        pace: Duration::ZERO,
        garage: folder.join("garage.db"),
        share: None,
        port,
        vehicle: None,
        layouts: Vec::new(),
        examples: Vec::new(),
        program: "groundloom test".to_owned(),
    }
}

#[test]
fn the_link_names_the_address_that_is_listened_to_and_no_name() {
    let served = Served::new();
    assert!(served.link.starts_with(&format!("http://127.0.0.1:{}/#key=", served.port)));
}

#[test]
fn a_port_that_somebody_holds_on_either_family_is_not_taken() {
    let folder = tempfile::tempdir().unwrap();
    for here in ["[::1]", "127.0.0.1"] {
        let stranger = TcpListener::bind(format!("{here}:0")).unwrap();
        let address = stranger.local_addr().unwrap();
        let own = options(folder.path(), Some(address.port()));
        let refused = server::run(own, |_| panic!("it listens"), async {}).unwrap_err();
        assert!(matches!(refused, ServerError::Address(at, _) if at == address), "{refused}");
        let said = refused.to_string();
        assert!(said.contains(&address.to_string()) && said.contains("another program"), "{said}");
    }
    // Without a wish, the next one that is free everywhere. Held here, or by somebody else already.
    let _stranger = TcpListener::bind("[::1]:7450");
    let mut link = String::new();
    server::run(options(folder.path(), None), |ready| link = ready.link.clone(), async {}).unwrap();
    assert!(link.starts_with("http://127.0.0.1:74") && !link.contains(":7450/"), "{link}");
}
