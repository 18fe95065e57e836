//! `groundloom open`: the workbench in the browser.

use std::io::Write as _;
use std::net::IpAddr;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::Duration;

use serde_json::json;
use server::{Options, Ready, ServerError, Template};

use crate::answer::{Answer, Asked, Exit, Failure};
use crate::kept::{Place, bring, failed};
use crate::style::{bold, dim, to_terminal, warning, wrapped};
use answers::layouts::LAYOUTS;

/// Open the workbench in the browser, with these vehicles or with the garage.
///
/// The page is served from this machine to this machine alone. With `--share`, phones in the same
/// network can be paired; what they send is not encrypted.
#[derive(clap::Args, Debug)]
pub(crate) struct Arguments {
    /// Vehicle files, each followed by its files of readings.
    files: Vec<PathBuf>,
    /// Let phones in the network be paired, at this address of the machine; at its only one when no
    /// address is given.
    #[arg(long, value_name = "ADDRESS", num_args = 0..=1, require_equals = true)]
    share: Option<Option<IpAddr>>,
    /// The port; 7450 or the next that is free when left out.
    #[arg(long)]
    port: Option<u16>,
    /// Show the link and open no browser.
    #[arg(long)]
    no_browser: bool,
    #[command(flatten)]
    place: Place,
}

const EXAMPLES: [Template; 3] = [
    Template {
        name: "rescue-ambulance",
        what: "ambulance with two batteries and a bad joint, with readings",
        text: include_str!("../../../../examples/rescue-ambulance.toml"),
        readings: Some(include_str!("../../../../examples/rescue-ambulance.readings.toml")),
    },
    Template {
        name: "utility-cart",
        what: "small utility cart",
        text: include_str!("../../../../examples/utility-cart.toml"),
        readings: None,
    },
    Template {
        name: "harbour-workboat",
        what: "harbour workboat with bus bars",
        text: include_str!("../../../../examples/harbour-workboat.toml"),
        readings: None,
    },
];

pub(crate) fn run(arguments: &Arguments, asked: &Asked) -> Result<Answer, Failure> {
    let as_json = asked.json;
    let share = arguments.share.map(|own| own.map_or_else(only_address, Ok)).transpose()?;
    let path = arguments.place.path()?;
    let mut vehicle = None;
    for own in bring(&mut arguments.place.open()?, &arguments.files)? {
        if !as_json {
            say(&format!("{}\n", own.what));
        }
        vehicle = vehicle.or(Some(own.vehicle.0));
    }
    let options = Options { share, port: arguments.port, vehicle, ..options_for(&path) };
    let mut door = None;
    let ready = |ready: &Ready| {
        if as_json {
            let pairing = ready.pairing.as_ref().map(|own| &own.link);
            let told = json!({ "format": 1, "link": ready.link, "pairing": pairing, "without_page": ready.without_page });
            say(&format!("{told}\n"));
        } else {
            say(&told(ready, asked));
        }
        if !arguments.no_browser && ready.without_page.is_none() {
            door = Door::open(&path, &ready.link);
        }
    };
    let served = server::run(options, ready, std::future::pending());
    drop(door);
    served.map_err(|error| not_served(&path, error))?;
    Ok(Answer { text: String::new(), json: serde_json::Value::Null, exit: Exit::Well })
}

/// How the workbench is served when nothing else is said: to this machine alone.
fn options_for(garage: &Path) -> Options {
    let layout = |(name, what, text)| Template { name, what, text, readings: None };
    Options {
        pace: Duration::ZERO,
        garage: garage.to_owned(),
        share: None,
        port: None,
        vehicle: None,
        layouts: LAYOUTS.map(layout).to_vec(),
        examples: EXAMPLES.to_vec(),
        program: concat!("groundloom ", env!("CARGO_PKG_VERSION")).to_owned(),
    }
}

fn not_served(garage: &Path, error: ServerError) -> Failure {
    match error {
        ServerError::Garage(error) => failed(garage, &error),
        ServerError::Address(..) => {
            Failure::new(error, "a free port with `--port`, and an address of this machine")
        }
        ServerError::System(_) => Failure::new(error, "a system that lets the program run"),
    }
}

/// The one address of this machine in a network.
fn only_address() -> Result<IpAddr, Failure> {
    let all = server::network_addresses().map_err(|error| Failure(error.to_string()))?;
    match all.as_slice() {
        [(_, only)] => Ok(*only),
        [] => Err(Failure::new("this machine is in no network", "a network, or no `--share`")),
        several => {
            let listed: Vec<String> =
                several.iter().map(|(name, own)| format!("`--share={own}` ({name})")).collect();
            Err(Failure::new(
                "this machine has several addresses",
                format!("one of {}", listed.join(", ")),
            ))
        }
    }
}

fn told(ready: &Ready, asked: &Asked) -> String {
    let where_it_is = if ready.without_page.is_none() {
        "the workbench is at"
    } else {
        "other programs can ask this one at"
    };
    let mut text = format!("{where_it_is}\n\n  {}\n\n", bold(&ready.link));
    let wrapped = |words: &str| wrapped(words, asked.width, 0);
    text.push_str(&wrapped(
        "Whoever has this link may change everything in the garage. Ctrl+C ends it; what was entered is stored.",
    ));
    text.push('\n');
    if let Some(how) = &ready.without_page {
        text.push_str(&format!("{} {}\n", warning("warning:"), wrapped(how)));
    }
    if let Some(pairing) = &ready.pairing {
        text.push_str(&format!(
            "\n{}\n\nor open {} and type {}\n{}\n",
            pairing.qr,
            bold(&pairing.address),
            bold(&pairing.spoken),
            dim(wrapped(
                "The code works once, within two minutes; the page makes new ones. Readings travel unencrypted over this network: use one you trust, or the phone's own hotspot.",
            )),
        ));
    }
    text
}

/// Says something while the server runs.
fn say(text: &str) {
    let mut out = anstream::stdout().lock();
    // Nobody reads it: the server serves all the same.
    let _ = out.write_all(to_terminal(text).as_bytes()).and_then(|()| out.flush());
}

/// A small file that leads the browser to the link, so that the key is in no list of processes. It
/// is readable by this user alone and goes when the server ends.
struct Door {
    _file: tempfile::NamedTempFile,
}

impl Door {
    fn open(garage: &Path, link: &str) -> Option<Self> {
        let folder = garage.parent().filter(|own| !own.as_os_str().is_empty());
        let mut file = tempfile::Builder::new()
            .prefix("open-")
            .suffix(".html")
            .tempfile_in(folder.unwrap_or(Path::new(".")))
            .ok()?;
        let link = link.replace('&', "&amp;");
        let page = format!(
            "<!doctype html><meta charset=utf-8><meta http-equiv=refresh content=\"0;url={link}\"><title>groundloom</title><a href=\"{link}\">open the workbench</a>\n"
        );
        file.write_all(page.as_bytes()).ok()?;
        let path = file.path().canonicalize().ok()?;
        let (program, before): (&str, &[&str]) = if cfg!(windows) {
            ("cmd", &["/C", "start", ""])
        } else if cfg!(target_os = "macos") {
            ("open", &[])
        } else {
            ("xdg-open", &[])
        };
        // Without a browser the link on the screen serves.
        let started = Command::new(program)
            .args(before)
            .arg(path)
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn();
        started.is_ok().then_some(Self { _file: file })
    }
}
