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
    Asked { units: units::UnitSystem::Metric, width: 80, json: false }
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

/// Beside the winch's own feed a thin one carries little, until that feed opens. Held against the whole
/// survey of the vehicle with the conductor written into its file.
#[test]
fn a_conductor_that_would_burn_when_its_neighbour_opens_is_too_small() {
    let words =
        ["--from", "engine-bus", "--to", "winch/+", "--length", "4 m", "--state", "winching"];
    let found = answer(&words).unwrap_or_else(|failure| panic!("{}", failure.0)).json;
    let family = &found["families"][0];
    let last = family["too_small"].as_array().and_then(|own| own.last()).expect("some burn");
    let reason = &last["reasons"][0];
    assert_eq!(reason["kind"], "hidden fuse");
    let text = reason["text"].as_str().expect("a text");
    assert!(text.contains("when winch.feed opens in winching"), "{text}");
    let is_hidden_fuse = |size: &Value| {
        let size = size["size"].as_str().expect("a name");
        let example = include_str!("../../../../../../examples/rescue-ambulance.toml");
        let text = format!(
            "{example}\n[conductors.beside]\nfrom = \"engine-bus\"\nto = \"winch/+\"\n\
             size = \"{size}\"\nlength = \"4 m\"\n"
        );
        let vehicle = file::read(text.as_bytes()).vehicle.expect("no errors");
        let winching = vehicle.state_named("winching").expect("in the file");
        let mut analysis = failures::Analysis::new(&vehicle, &[winching]);
        let survey = analysis.survey(&mut |_| std::ops::ControlFlow::Continue(()));
        let hidden = analysis.hidden_fuses(&survey);
        hidden.iter().any(|own| vehicle.conductor(own.conductor).id == "beside")
    };
    assert!(is_hidden_fuse(last) && !is_hidden_fuse(&family["chosen"]));
}

#[test]
fn metal_beside_a_new_conductor_takes_part_of_its_heat() {
    let warmest = |laid: &str| {
        let words =
            ["--from", "engine-bus", "--to", "cabin-bus", "--length", "3 m", "--laid", laid];
        let found = answer(&words).unwrap_or_else(|failure| panic!("{}", failure.0)).json;
        found["families"][0]["chosen"].clone()
    };
    let (free, metal) = (warmest("free"), warmest("on metal"));
    let number = |size: &Value, key: &str| size[key].as_f64().expect("a number");
    assert!(number(&metal, "area_square_metres") <= number(&free, "area_square_metres"));
    if metal["size"] == free["size"] {
        assert!(number(&metal, "warmest_kelvin") < number(&free, "warmest_kelvin"));
    }
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
