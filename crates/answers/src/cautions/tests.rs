//! What is told where, and what is not.

use super::*;

const CRUISER: &str = include_str!("cruiser.toml");
const AMBULANCE: &str = include_str!("../../../../examples/rescue-ambulance.toml");
const BOAT: &str = include_str!("../../../../examples/harbour-workboat.toml");

fn vehicle(text: &str) -> Vehicle {
    file::read(text.as_bytes()).vehicle.expect("no errors")
}

fn keys(all: &[&'static Caution]) -> Vec<&'static str> {
    all.iter().map(|own| own.key()).collect()
}

fn at_joint(vehicle: &Vehicle, name: &str) -> Vec<&'static str> {
    let joint = crate::refusal::joint(vehicle, name).expect("there");
    keys(&Cautions::of(vehicle).at_joint(joint))
}

fn of_new(vehicle: &Vehicle, from: &str, to: &str) -> Vec<&'static str> {
    let point = |name| vehicle.point_named(name).expect("there");
    keys(&Cautions::of(vehicle).of_new(point(from), point(to)))
}

#[test]
fn every_caution_that_is_told_where_it_concerns_has_its_row() {
    assert_eq!(keys(&rows(&ALL.into_iter().collect())), ALL);
}

#[test]
fn a_joint_is_told_what_its_place_is_and_no_more() {
    let boat = vehicle(CRUISER);
    for (joint, expected) in [
        ("main-negative.to", &[VAPOUR, WELDING][..]),
        ("main-negative.from", &[VAPOUR, SENSOR]),
        ("hull-locker.from", &[VAPOUR, BOLTS]),
        ("hull-locker.to", &[VAPOUR, GAS]),
        ("locker-block.to", &[VAPOUR]),
        ("link.from", &[VAPOUR, FUSES]),
        ("starter.feed.from", &[VAPOUR]),
    ] {
        assert_eq!(at_joint(&boat, joint), expected, "{joint}");
    }
    // A diesel road vehicle with ordinary names: nothing but what its two batteries ask for.
    let ambulance = vehicle(AMBULANCE);
    let all = Cautions::of(&ambulance);
    let joints = ambulance.joints.iter();
    let told: BTreeSet<&str> = joints.flat_map(|own| keys(&all.at_joint(own.this))).collect();
    assert!(told.contains(FUSES) && !told.contains(VAPOUR) && !told.contains(GAS), "{told:?}");
    assert_eq!(at_joint(&ambulance, "main-negative.to"), [""; 0]);
    assert_eq!(keys(&all.of_reading()), [""; 0]);
}

#[test]
fn a_new_ground_is_told_which_bolts_are_none_and_a_new_feed_its_fuse() {
    let ambulance = vehicle(AMBULANCE);
    assert_eq!(of_new(&ambulance, "block/front", "frame/front"), [BOLTS, WELDING]);
    assert_eq!(of_new(&ambulance, "main/-", "block/front"), [BOLTS, SENSOR, WELDING]);
    assert_eq!(of_new(&ambulance, "main/+", "starter/+"), [FUSES]);
    let boat = vehicle(CRUISER);
    assert_eq!(of_new(&boat, "start/+", "domestic/+"), [VAPOUR, GAS, FUSES]);
    assert_eq!(of_new(&boat, "shunt", "hull/bow"), [VAPOUR, GAS, BOLTS, SENSOR, WELDING]);
}

#[test]
fn a_starter_cable_joins_no_two_batteries_and_neither_does_a_series_pair() {
    let text = |second: &str| {
        format!(
            "format = 1\n[vehicle]\nname = \"two\"\nnominal = \"24 V\"\n[batteries.a]\nnominal = \"12 V\"\ncranking = \"700 A\"\n[batteries.b]\nnominal = \"12 V\"\ncranking = \"700 A\"\n[conductors.middle]\nfrom = \"{second}\"\nto = \"b/+\"\nsize = \"50 mm²\"\nlength = \"0.3 m\"\n[loads.starter]\nkind = \"resistive\"\ndraws = \"100 A\"\nfeed = {{ from = \"a/+\", size = \"50 mm²\", length = \"1 m\" }}\nreturn = {{ to = \"b/-\", size = \"50 mm²\", length = \"1 m\" }}\n"
        )
    };
    let series = vehicle(&text("a/-"));
    for joint in ["middle.from", "middle.to", "starter.feed.from"] {
        assert_eq!(at_joint(&series, joint), [""; 0], "{joint}");
    }
}

#[test]
fn a_boat_that_burns_diesel_is_told_nothing_of_petrol_and_one_of_unknown_fuel_is() {
    let cruiser =
        vehicle(&CRUISER.replace("Motor cruiser, petrol inboard", "Motor cruiser, diesel"));
    assert_eq!(at_joint(&cruiser, "hull-locker.to"), [GAS]);
    assert_eq!(keys(&Cautions::of(&cruiser).of_reading()), [""; 0]);
    let unknown = vehicle(&CRUISER.replace("Motor cruiser, petrol inboard", "Ours"));
    assert_eq!(keys(&Cautions::of(&unknown).of_reading()), [VAPOUR]);
    let workboat = vehicle(BOAT);
    let fuses = keys(&Cautions::of(&workboat).of_fuses());
    assert!(fuses.contains(&FUSES), "{fuses:?}");
}

#[test]
fn the_sheet_of_a_joint_and_the_drawing_carry_the_same() {
    let boat = vehicle(CRUISER);
    let drawing = crate::picture::Drawing::of(&boat);
    let listed: Vec<&str> = drawing.cautions.iter().map(|own| own.key.as_str()).collect();
    assert_eq!(listed, ALL);
    for joint in &boat.joints {
        let asked = crate::bolt::Asked::of_joint(&joint.id);
        let answer = crate::room::shape_of(&asked, Some(&boat)).expect("there");
        let crate::bolt::BoltAnswer::AsFiled(sheet) = answer else { panic!("{answer:?}") };
        let sheet = sheet.sheet.cautions;
        let drawn = drawing.joints.iter().find(|own| own.id == joint.id).expect("drawn");
        let keys: Vec<&str> = sheet.iter().map(|own| own.key.as_str()).collect();
        assert_eq!(keys, drawn.cautions, "{}", joint.id);
        assert!(sheet.iter().all(|own| !own.source.is_empty() && !own.confidence.is_empty()));
    }
}
