//! Reading a Host header, strictly.
//!
//! A page of a foreign name that resolves to this machine would otherwise be let in (DNS rebinding).
//! What is not exactly a name or address with an optional port is refused; nothing is searched for
//! inside the text.

use std::net::{IpAddr, Ipv4Addr, Ipv6Addr};

/// The host of a request.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Host {
    /// Name or address.
    pub name: Name,
    /// The port; 80 when none is written.
    pub port: u16,
}

/// A name or an address.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Name {
    /// A literal address; nobody's name server can change it.
    Address(IpAddr),
    /// A name, in lower case.
    Name(String),
}

/// The text is no host.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct HostError;

/// The longest name there is (RFC 1035).
const LONGEST: usize = 253;

/// Reads `name`, `name:port`, `1.2.3.4:port` or `[::1]:port` (RFC 9110, section 7.2), and nothing
/// else: no user, no path, no space, no dot at the end, no second colon.
///
/// # Errors
///
/// When the text is anything else.
pub fn parse(text: &str) -> Result<Host, HostError> {
    let (name, port) = if let Some(rest) = text.strip_prefix('[') {
        let (inner, after) = rest.split_once(']').ok_or(HostError)?;
        let address: Ipv6Addr = inner.parse().map_err(|_| HostError)?;
        (Name::Address(IpAddr::V6(address)), after)
    } else {
        let end = text.find(':').unwrap_or(text.len());
        (plain(&text[..end])?, &text[end..])
    };
    let port = match port.strip_prefix(':') {
        None if port.is_empty() => 80,
        Some(digits) if !digits.is_empty() && digits.bytes().all(|own| own.is_ascii_digit()) => {
            digits.parse().map_err(|_| HostError)?
        }
        _ => return Err(HostError),
    };
    Ok(Host { name, port })
}

fn plain(text: &str) -> Result<Name, HostError> {
    // What ends in a number is an address or nothing (as browsers read it).
    let last = text.rsplit('.').next().unwrap_or_default();
    if last.bytes().next().is_some_and(|own| own.is_ascii_digit()) {
        let address: Ipv4Addr = text.parse().map_err(|_| HostError)?;
        return Ok(Name::Address(IpAddr::V4(address)));
    }
    let label = |label: &str| {
        !label.is_empty()
            && label.len() <= 63
            && label.bytes().all(|own| own.is_ascii_alphanumeric() || own == b'-' || own == b'_')
    };
    if text.is_empty() || text.len() > LONGEST || !text.split('.').all(label) {
        return Err(HostError);
    }
    Ok(Name::Name(text.to_ascii_lowercase()))
}

impl Host {
    /// The host of an origin such as `http://localhost:7450`.
    ///
    /// # Errors
    ///
    /// When it is no origin of plain HTTP; `null` is none.
    pub fn of_origin(origin: &str) -> Result<Self, HostError> {
        parse(origin.strip_prefix("http://").ok_or(HostError)?)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn name(text: &str) -> Name {
        Name::Name(text.to_owned())
    }

    #[test]
    fn names_and_addresses_are_read_with_their_ports() {
        let read = |text: &str| parse(text).map(|own| (own.name, own.port));
        assert_eq!(read("localhost:7450"), Ok((name("localhost"), 7450)));
        assert_eq!(read("LocalHost"), Ok((name("localhost"), 80)));
        let loopback = Name::Address(IpAddr::V4(Ipv4Addr::LOCALHOST));
        assert_eq!(read("127.0.0.1:1"), Ok((loopback, 1)));
        let loopback = Name::Address(IpAddr::V6(Ipv6Addr::LOCALHOST));
        assert_eq!(read("[::1]:7450"), Ok((loopback.clone(), 7450)));
        assert_eq!(read("[0:0:0:0:0:0:0:1]"), Ok((loopback, 80)));
    }

    #[test]
    fn whatever_is_no_host_is_refused() {
        for text in [
            "",
            ":",
            ":80",
            "localhost:",
            "localhost:x",
            "localhost:99999",
            "localhost:+1",
            "localhost:80:80",
            "localhost.",
            ".localhost",
            "a..b",
            "local host",
            "localhost/",
            "user@localhost",
            "http://localhost",
            "[::1",
            "[::1]x",
            "[::1]x:80",
            "[::1]:",
            "::1",
            "[]",
            "[localhost]",
            "[::1%25lo]",
            "127.1",
            "127.0.0.1.",
            "0x7f.0.0.1",
            "127.0.0.1.1",
            "localhost,evil.test",
            "localhost\t",
            "lo\u{0441}alhost",
            "%31",
            "2130706433",
            "127.0.0.01",
        ] {
            assert_eq!(parse(text), Err(HostError), "{text}");
        }
    }

    #[test]
    fn an_origin_has_the_scheme_and_nothing_after_the_port() {
        assert_eq!(Host::of_origin("http://localhost:1"), parse("localhost:1"));
        for text in ["null", "https://localhost:1", "localhost:1", "http://localhost:1/", "file://"]
        {
            assert!(Host::of_origin(text).is_err(), "{text}");
        }
    }

    proptest! {
        #[test]
        fn a_host_that_is_read_says_all_of_its_text(text in "[a-zA-Z0-9.:\\[\\]@/ -]{0,24}") {
            if let Ok(host) = parse(&text) {
                let written = match &host.name {
                    Name::Name(name) => name.clone(),
                    Name::Address(IpAddr::V6(address)) => format!("[{address}]"),
                    Name::Address(address) => address.to_string(),
                };
                let again = parse(&format!("{written}:{}", host.port));
                prop_assert_eq!(again, Ok(host.clone()));
                if let Name::Name(name) = &host.name {
                    prop_assert!(text.to_ascii_lowercase().starts_with(name));
                }
            }
        }
    }
}
