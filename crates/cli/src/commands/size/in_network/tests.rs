//! Sizes in a network against the network solved with the same conductor, by another way.

use clap::Parser;
use network::Network;
use serde_json::Value;

use super::*;

#[derive(clap::Parser)]
struct Line {
    #[command(flatten)]
    own: Arguments,
}

const FILE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/rescue-ambulance.toml");

fn asked() -> Asked {
    Asked { units: units::UnitSystem::Metric, width: 80 }
}

fn answer(words: &[&str]) -> Result<Answer, Failure> {
    let line = Line::try_parse_from(["size", FILE].iter().chain(words)).expect("arguments");
    super::super::run(&line.own, &asked())
}

fn strap(drop: &str) -> Value {
    let words = ["--from", "block/front", "--to", "frame/front", "--length", "0.5 m"];
    let words = [&words[..], &["--drop", drop, "--state", "cranking"]].concat();
    answer(&words).unwrap_or_else(|failure| panic!("{}", failure.0)).json
}

/// `what-if` adds a conductor in its own way: the drop it leaves has to be the one told here.
#[test]
fn the_drop_of_a_chosen_size_is_what_the_network_shows_with_it() {
    let text = include_str!("../../../../../../examples/rescue-ambulance.toml");
    let vehicle = file::read(text.as_bytes()).vehicle.expect("no errors");
    let cranking = vehicle.state_named("cranking").expect("there is a starter");
    let found = strap("20 mV");
    let family = &found["families"][0];
    let check = |size: &Value| {
        let mut changed = vehicle.clone();
        let name = size["size"].as_str().expect("a name");
        let new = format!("block/front,frame/front,{name},0.5m");
        file::edit::add_conductor(&mut changed, &new).expect("two points");
        let point = Network::new(&changed).operating_point(cranking);
        let at = |name: &str| {
            point.point(changed.point_named(name).expect("in the file")).expect("joined").0
        };
        let drop = (at("block/front") - at("frame/front")).abs();
        let told = size["drop_volts"].as_f64().expect("a number");
        // That one stays at air temperature, this one warms a little.
        assert!((drop / told - 1.0).abs() < 0.02, "{name}: {drop} {told}");
        told
    };
    assert!(check(&family["chosen"]) <= 0.020);
    let smaller = family["too_small"].as_array().expect("a list");
    let last = smaller.last().expect("some are too small");
    assert!(check(last) > 0.020);
    assert_eq!(last["reasons"][0]["kind"], "drop");
}

#[test]
fn a_smaller_drop_never_asks_for_less_metal() {
    let area = |drop: &str| {
        let found = strap(drop);
        found["families"][0]["chosen"]["area_square_metres"].as_f64().expect("one does")
    };
    let (loose, tight) = (area("40 mV"), area("20 mV"));
    assert!(tight > loose, "{tight} {loose}");
}

#[test]
fn every_wrong_option_is_told() {
    let words = ["--from", "block/frnt", "--to", "nowhere", "--length", "3", "--drop", "x"];
    let more =
        ["--fuse", "10 V", "--load", "wnch", "--least", "1", "--price", "35", "--state", "a"];
    let failure = answer(&[&words[..], &more[..]].concat()).expect_err("nothing is right").0;
    for wrong in [
        "--from block/frnt",
        "`block/front`",
        "--to nowhere",
        "--length 3",
        "--drop x",
        "--fuse 10 V",
        "--load wnch",
        "--least 1",
        "--price 35",
        "no state `a`",
    ] {
        assert!(failure.contains(wrong), "{wrong}: {failure}");
    }
}
