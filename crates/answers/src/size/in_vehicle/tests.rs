//! Sizes in a network against the network solved with the same conductor, by another way.

use network::Network;
use serde_json::Value;

use crate::refusal::Refused;
use crate::room::{Question, Written};
use crate::size::Asked;

const EXAMPLE: &str = include_str!("../../../../../examples/rescue-ambulance.toml");

fn answer(asked: &Asked) -> Result<Value, Refused> {
    let vehicle = file::read(EXAMPLE.as_bytes()).vehicle.expect("no errors");
    let written = Written { vehicle: &vehicle, text: EXAMPLE };
    let found = asked.find(Some(written), &mut |_| true)?.expect("nobody stopped it");
    Ok(serde_json::to_value(asked.shape(&found)).expect("JSON"))
}

fn between(from: &str, to: &str, length: &str) -> Asked {
    let (from, to) = (Some(from.to_owned()), Some(to.to_owned()));
    Asked { from, to, length: length.to_owned(), ..Asked::default() }
}

fn strap(drop: &str) -> Value {
    let (drop, state) = (Some(drop.to_owned()), Some("cranking".to_owned()));
    let asked = Asked { drop, state, ..between("block/front", "frame/front", "0.4 m") };
    answer(&asked).expect("nothing is wrong")
}

/// `what-if` adds a conductor in its own way: the drop it leaves has to be the one told here.
#[test]
fn the_drop_of_a_chosen_size_is_what_the_network_shows_with_it() {
    let vehicle = file::read(EXAMPLE.as_bytes()).vehicle.expect("no errors");
    let cranking = vehicle.state_named("cranking").expect("there is a starter");
    let found = strap("20 mV");
    let family = &found["families"][0];
    let check = |size: &Value| {
        let mut changed = vehicle.clone();
        let name = size["size"].as_str().expect("a name");
        let new = format!("block/front,frame/front,{name},0.4m");
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
    let state = Some("winching".to_owned());
    let found = answer(&Asked { state, ..between("engine-bus", "winch/+", "4 m") });
    let found = found.expect("nothing is wrong");
    let family = &found["families"][0];
    let last = family["too_small"].as_array().and_then(|own| own.last()).expect("some burn");
    let reason = &last["reasons"][0];
    assert_eq!(reason["kind"], "hidden fuse");
    let text = reason["text"].as_str().expect("a text");
    assert!(text.contains("when winch.feed opens in winching"), "{text}");
    let is_hidden_fuse = |size: &Value| {
        let size = size["size"].as_str().expect("a name");
        let text = format!(
            "{EXAMPLE}\n[conductors.beside]\nfrom = \"engine-bus\"\nto = \"winch/+\"\n\
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
        let laid = Some(laid.to_owned());
        let found = answer(&Asked { laid, ..between("engine-bus", "cabin-bus", "3 m") });
        let found = found.expect("nothing is wrong");
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
    let some = |text: &str| Some(text.to_owned());
    let wrong = Asked {
        drop: some("x"),
        fuse: some("10 V"),
        load: some("wnch"),
        least: some("1"),
        price: vec!["35".to_owned()],
        state: some("a"),
        current: some("10 A"),
        joints: Some(3),
        ..between("block/frnt", "nowhere", "3")
    };
    let Refused(all) = answer(&wrong).expect_err("nothing is right");
    let keys = all.iter().map(|own| own.place.as_ref().map(|place| place.key));
    let keys: Vec<&str> = keys.map(|key| key.unwrap_or("")).collect();
    let wrong =
        ["current", "joints", "from", "to", "length", "drop", "load", "least", "fuse", "price", ""];
    assert_eq!(keys, wrong);
    let nearest = all.iter().find(|own| own.place.as_ref().is_some_and(|own| own.key == "from"));
    assert!(nearest.is_some_and(|own| own.expected.contains("`block/front`")), "{all:?}");
    assert!(all.last().is_some_and(|own| own.what.contains("no state `a`")), "{all:?}");
}

#[test]
fn whoever_stops_it_gets_no_half_answer() {
    let vehicle = file::read(EXAMPLE.as_bytes()).vehicle.expect("no errors");
    let written = Written { vehicle: &vehicle, text: EXAMPLE };
    let asked = between("engine-bus", "cabin-bus", "3 m");
    let mut told = Vec::new();
    let mut watch = |at: crate::room::Progress| {
        told.push(at.share);
        told.len() < 3
    };
    assert!(asked.find(Some(written), &mut watch).expect("nothing is wrong").is_none());
    assert!(told.is_sorted() && told.iter().all(|share| (0.0..1.0).contains(share)), "{told:?}");
}
