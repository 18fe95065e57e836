//! Every rough vehicle that can be asked for is sound.

use model::{Earth, Vehicle};
use units::Volts;

use super::setup::{Isolator, chosen, layouts, voltage};
use super::symptom::symptom;
use super::*;
use crate::room::Question as _;

#[test]
fn every_rough_vehicle_is_sound_and_cranks() {
    for (layout, _) in layouts() {
        for nominal in [6.0, 12.0, 24.0, 48.0] {
            for batteries in [1, 2] {
                for place in [Place::Near, Place::Far] {
                    for metal in [
                        Metal::Engine,
                        Metal::EngineBody,
                        Metal::EngineFrame,
                        Metal::EngineFrameBody,
                    ] {
                        for earth in [Earth::Negative, Earth::Positive] {
                            let usual = Setup::of_layout(layout);
                            let setup = Setup {
                                nominal: Volts(nominal),
                                batteries,
                                place,
                                metal,
                                earth,
                                ..usual
                            };
                            sound(&setup);
                        }
                    }
                }
            }
        }
    }
}

fn sound(setup: &Setup) {
    let text = rough::file(setup, &["which voltage: `\"a lot\"`".to_owned()]);
    let reading = file::read(text.as_bytes());
    assert!(reading.problems.is_empty(), "{setup:?}: {:?}\n{text}", reading.problems);
    let vehicle = reading.vehicle.expect("no errors");
    let state = vehicle.state_named("cranking").expect("it cranks");
    let point = network::Network::new(&vehicle).operating_point(state);
    let starter = vehicle.load_named("starter").expect("it has one");
    let share = point.load(starter).volts.0 / setup.nominal.0;
    assert!((0.7..1.0).contains(&share), "{setup:?}: {share}");
    // Every place that a meter may be sent to is told in words.
    for own in &vehicle.points {
        assert!(
            own.access.out_of_reach || places::where_is(&own.id, setup).is_some(),
            "{} has no words",
            own.id
        );
    }
    let is_named = |name: &str| {
        vehicle.point_named(name).is_some()
            || vehicle.load_named(name).is_some()
            || vehicle.joints.iter().any(|own| own.id == name)
            || vehicle.conductors.iter().any(|own| own.id == name)
            || vehicle.inlines.iter().any(|own| own.id == name)
            || vehicle.batteries.iter().any(|own| own.id == name)
    };
    for watched in ["starter", "lamp", "module"] {
        for (words, name) in places::words(&vehicle, setup, Some(watched)).entries() {
            assert!(name.split(" to ").all(is_named), "{words}: {name} in {setup:?}");
        }
    }
    assert!(matches!(setup.isolator, Isolator::None | Isolator::Live | Isolator::Earthed));
}

#[test]
fn answers_are_understood_by_number_word_and_beginning() {
    let layouts = layouts();
    assert_eq!(chosen("2", &layouts), Some("two-batteries"));
    assert_eq!(chosen("Boat", &layouts), Some("small-boat"));
    assert_eq!(chosen("frnt-engine", &layouts), Some("front-engine"));
    assert_eq!(chosen("", &layouts), None);
    assert_eq!(chosen("banana", &layouts), None);
    assert_eq!(voltage("24"), Some("24 V"));
    assert_eq!(voltage("12v"), Some("12 V"));
    assert_eq!(voltage("lots"), None);
    assert_eq!(symptom("it just clicks"), Some("no-crank"));
    assert_eq!(symptom("lights flicker"), Some("weak"));
    assert_eq!(symptom("purple"), None);
}

/// Numbers that look random and are the same every time (`SplitMix64`).
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// Between zero and one.
    fn share(&mut self) -> f64 {
        f64::from(u32::try_from(self.next() >> 32).unwrap_or(0)) / f64::from(u32::MAX)
    }

    /// Nearly normal: twelve shares less six.
    fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.share()).sum::<f64>() - 6.0
    }

    fn within(&mut self, low: f64, high: f64) -> f64 {
        let spread = (high / low).ln() / 3.29;
        (0.5 * (low.ln() + high.ln()) + spread * self.normal()).exp()
    }
}

/// A vehicle that differs from its rough file as the file says that it may.
fn sound_one(rough: &Vehicle, dice: &mut Dice) -> Vehicle {
    let mut vehicle = rough.clone();
    for conductor in &mut vehicle.conductors {
        let range = conductor.likely.expect("rough");
        conductor.resistance_at_20 = units::Ohms(dice.within(range.low.0, range.high.0));
    }
    for joint in &mut vehicle.joints {
        joint.resistance = joint.resistance * (0.5 * dice.normal()).exp();
    }
    for battery in &mut vehicle.batteries {
        let (volts, ohms) =
            (battery.likely_voltage.expect("rough"), battery.likely_resistance.expect("rough"));
        let rest = 0.5 * (volts.low.0 + volts.high.0)
            + (volts.high.0 - volts.low.0) / 3.29 * dice.normal();
        battery.open_circuit.fill(Volts(rest));
        battery.resistance = units::Ohms(dice.within(ohms.low.0, ohms.high.0));
    }
    let starter = vehicle.load_named("starter").expect("it has one");
    let range = vehicle.load(starter).likely.expect("rough");
    draw(&mut vehicle, dice.within(range.low.0, range.high.0));
    vehicle
}

fn draw(vehicle: &mut Vehicle, now: f64) {
    let starter = vehicle.load_named("starter").expect("it has one").index();
    if let model::LoadLaw::Starter { amps, .. } = &mut vehicle.loads[starter].law {
        *amps = units::Amperes(now);
    }
}

/// Puts a fault on a side.
fn spoil(vehicle: &mut Vehicle, side: diagnosis::Side, dice: &mut Dice) {
    let blocks = vehicle.nominal.0 / 12.0;
    let bad = units::Ohms(blocks * (dice.within(1.5e-3, 12e-3)));
    let joint = |vehicle: &Vehicle, names: &[&str], dice: &mut Dice| {
        let there: Vec<usize> = names
            .iter()
            .filter_map(|name| vehicle.joints.iter().position(|own| own.id == *name))
            .collect();
        there[usize::try_from(dice.next() % there.len() as u64).unwrap_or(0)]
    };
    match side {
        diagnosis::Side::Source if dice.share() < 0.5 => {
            for battery in &mut vehicle.batteries {
                battery.resistance = battery.resistance * 4.0;
            }
        }
        diagnosis::Side::Source => {
            for battery in &mut vehicle.batteries {
                let flat = Volts(1.3 * blocks);
                battery.open_circuit.iter_mut().for_each(|volts| *volts -= flat);
            }
        }
        diagnosis::Side::Feed => {
            let at = joint(vehicle, &["starter-cable.from", "starter-cable.to"], dice);
            vehicle.joints[at].resistance = bad;
        }
        diagnosis::Side::Return => {
            let names = ["main-earth.from", "main-earth.to", "starter.case", "engine-earth.to"];
            let at = joint(vehicle, &names, dice);
            vehicle.joints[at].resistance = bad;
        }
        diagnosis::Side::Load | diagnosis::Side::Control => {
            let starter = vehicle.load_named("starter").expect("it has one");
            let now = vehicle.load(starter).law.rated_amps().0;
            draw(vehicle, 2.4 * now);
        }
    }
}

/// How often the side at fault comes first, and how often it is cleared, over random vehicles whose
/// slow crank has a known cause and three readings: battery, feed and return while cranking.
///
/// Measured over 800 vehicles, 200 of each side (seed 7): source first in 176, feed 193, return 198, load 152;
/// none cleared.
#[test]
fn the_side_at_fault_is_seldom_cleared_wrongly() {
    let tried = 80;
    let sides = over_random_vehicles(7, tried);
    let first: usize = sides.iter().map(|own| own.0).sum();
    let cleared: usize = sides.iter().map(|own| own.1).sum();
    assert!(cleared * 100 <= tried * 4, "{cleared} of {tried} cleared wrongly: {sides:?}");
    assert!(first * 100 >= tried * 85, "{first} of {tried} come first: {sides:?}");
}

/// For source, feed, return and load: how often each came first, and how often it was cleared.
fn over_random_vehicles(seed: u64, wanted: usize) -> [(usize, usize); 4] {
    let mut dice = Dice(seed);
    let mut counts = [(0, 0); 4];
    let mut tried = 0;
    let layouts = layouts();
    while tried < wanted {
        let layout = layouts[usize::try_from(dice.next() % layouts.len() as u64).unwrap_or(0)].0;
        let setup = Setup::of_layout(layout);
        let text = rough::file(&setup, &[]);
        let vehicle = file::read(text.as_bytes()).vehicle.expect("sound");
        let side = [
            diagnosis::Side::Source,
            diagnosis::Side::Feed,
            diagnosis::Side::Return,
            diagnosis::Side::Load,
        ][tried % 4];
        let before = sound_one(&vehicle, &mut dice);
        let mut truth = before.clone();
        spoil(&mut truth, side, &mut dice);
        let state = vehicle.state_named("cranking").expect("it cranks");
        let starter = vehicle.load_named("starter").expect("it has one");
        let volts = |vehicle: &Vehicle| {
            network::Network::new(vehicle).operating_point(state).load(starter).volts.0
        };
        // Only what anybody would notice is complained of; a starter that drags turns slowly anyhow.
        let lost = (volts(&before) - volts(&truth)) * 12.0 / vehicle.nominal.0;
        if lost < 0.5 && side != diagnosis::Side::Load {
            continue;
        }
        let counted = &mut counts[tried % 4];
        tried += 1;
        let solved = network::Network::new(&truth).operating_point(state);
        let mut story = Story::new(&vehicle, &setup, diagnosis::Symptom::SlowCrank);
        for (red, black) in
            [("battery/+", "battery/-"), ("battery/+", "starter/+"), ("starter/-", "battery/-")]
        {
            let at = |name: &str| {
                solved.point(vehicle.point_named(name).expect("in the file")).expect("joined").0
            };
            let shown = (at(red) - at(black)) * (1.0 + 0.004 * dice.normal());
            let _ = story.take(&format!("cranking: {red} to {black} {shown:.3} V"));
        }
        let found = story.weigh();
        let best = found.weighed.account.sides.sides[0];
        let own = found
            .weighed
            .account
            .sides
            .sides
            .iter()
            .find(|own| own.side == side)
            .expect("one of five");
        counted.0 += usize::from(best.side == side);
        counted.1 += usize::from(found.weighed.standing(own) == diagnosis::Standing::Cleared);
    }
    counts
}

#[test]
fn all_that_is_not_understood_is_told_at_once() {
    let asked = Asked {
        layout: Some("submarine".to_owned()),
        battery_place: Some("nowhere".to_owned()),
        symptom: Some("slow".to_owned()),
        ..Asked::default()
    };
    let refused = asked.given().expect_err("two are wrong");
    let keys: Vec<_> =
        refused.0.iter().map(|own| own.place.as_deref().map(|place| place.key)).collect();
    assert_eq!(keys, [Some("layout"), Some("battery_place")]);
    assert!(refused.0[1].expected.contains("`near`, `far`"), "{refused:?}");
    let nothing = Asked::default().find((), &mut |_| true).expect_err("no symptom is told");
    assert_eq!(nothing.0[0].what, "no symptom is told");
}

#[test]
fn a_body_of_json_asks_it_at_once_and_whoever_stops_it_gets_nothing() {
    let body = r#"{ "symptom": "slow-crank", "readings": ["cranking: engine to battery minus 1.4 V", "battery 12.5 V"] }"#;
    let asked: Asked = serde_json::from_str(body).expect("its keys are known");
    let found = asked.find((), &mut |_| true).expect("it is understood").expect("it is whole");
    let shape = asked.shape(&found);
    assert_eq!((shape.symptom, shape.told.len()), ("slow-crank", 2));
    assert_eq!((shape.told[0].worth, shape.told[1].worth), ("weighed", "kept"));
    assert_eq!((shape.written, shape.commands), (None, None));
    assert!(shape.file.is_some_and(|own| own.contains("[vehicle]")));
    assert!(asked.wants_attention(&found));
    assert!(asked.find((), &mut |_| false).expect("it is understood").is_none());
}

#[test]
fn what_is_asked_back_of_a_line_is_answered_by_a_word() {
    let mut given = Asked { symptom: Some("slow".to_owned()), ..Asked::default() }
        .given()
        .expect("it is understood");
    let back = given.open().expect("the layout is not told");
    assert_eq!((back.usual, back.understand("5")), ("front-engine", Some("plant")));
    given.answer("plant");
    assert_eq!(given.open().map(|own| own.usual), Some("24 V"));
    let (setup, symptom) = given.as_usual().settled().expect("the symptom is told");
    let vehicle = setup.vehicle().expect("sound");
    let mut story = Story::new(&vehicle, &setup, symptom);
    let back = story.take("battery 25.1 V").expect("its state is not told");
    assert_eq!((back.usual, back.otherwise), ("resting", "not known"));
    assert_eq!(back.understand("with the key on"), Some("key-on"));
    assert!(matches!(story.answer("resting"), Answered::Settled));
    assert!(story.take("battery 12.6 V at rest").is_some_and(|own| own.usual == "no"));
    assert!(
        matches!(story.answer("yes"), Answered::OfAnother(setup) if setup.nominal == Volts(12.0))
    );
    let turned = story.take("cranking: battery minus to starter case 0.4 V");
    assert!(turned.is_some_and(|own| own.question.starts_with("Did the meter show a minus?")));
    assert!(matches!(story.answer("no"), Answered::Settled));
    assert_eq!(story.told[0].read, "resting: battery 25.1 V");
    assert!(!story.told[2].turned, "{:?}", story.told[2]);
}
