//! A stud that several eyes share, and a plug as one thing with pins.

use diagnosis::SuspectKind;
use model::{JointOf, Piece};

use super::{amps, between, lost, near, piece, read, solved, told, turned};

/// Two loads of 1.2 Ω and 0.6 Ω on one stud. Every resistance is stated, so that nothing warms.
const STUD: &str = r#"
format = 1
[vehicle]
name = "Two eyes on one stud"
nominal = "12 V"
earth = "negative"
states = ["resting"]

[structures.body]
resistance = "0.2 mΩ"
[structures.body.points.wing]
[structures.body.points.rear]

[studs.left-ground]
on = { point = "body/wing", resistance = "0.5 mΩ", thread = "M8", class = "8.8", torque = "18 N·m" }

[batteries.main]
resistance = "9 mΩ"
voltage = "12.6 V"

[conductors.main-ground]
from = { point = "main/-", resistance = "0.1 mΩ" }
to = { point = "body/rear", resistance = "0.1 mΩ" }
resistance = "0.8 mΩ"

[loads.lamp]
kind = "resistive"
draws = "1.2 Ω"
on = ["resting"]
feed = { from = { point = "main/+", resistance = "0.1 mΩ" }, terminal = { joint = "connector pin", resistance = "1 mΩ" }, resistance = "18.9 mΩ" }
return = { to = { point = "left-ground", resistance = "0.2 mΩ" }, terminal = { joint = "connector pin", resistance = "1 mΩ" }, resistance = "8.8 mΩ" }

[loads.blower]
kind = "resistive"
draws = "0.6 Ω"
on = ["resting"]
feed = { from = { point = "main/+", resistance = "0.1 mΩ" }, terminal = { joint = "connector pin", resistance = "1 mΩ" }, resistance = "8.9 mΩ" }
return = { to = { point = "left-ground", resistance = "0.2 mΩ" }, terminal = { joint = "connector pin", resistance = "1 mΩ" }, resistance = "3.8 mΩ" }
"#;

fn both_ways(text: &str) -> [String; 2] {
    [text.to_owned(), turned(text)]
}

#[test]
fn the_foot_of_a_stud_carries_what_all_its_eyes_bring() {
    for text in both_ways(STUD) {
        let (vehicle, codes) = read(&text);
        assert_eq!(codes, Vec::<String>::new());
        let point = solved(&vehicle, "resting");
        // Lamp: 1.2 + 20 mΩ + 10 mΩ; blower: 0.6 + 10 mΩ + 5 mΩ; common: 9 + 1 + 0.2 + 0.5 mΩ.
        let (lamp, blower) = (1.230, 0.615);
        let total = 12.6 / (0.0107 + lamp * blower / (lamp + blower));
        near(amps(&vehicle, &point, "left-ground.foot"), total);
        near(lost(&vehicle, &point, "left-ground.foot"), total * 0.5e-3);
        near(amps(&vehicle, &point, "blower.return.to"), total * lamp / (lamp + blower));
        near(between(&vehicle, &point, "left-ground", "body/wing").abs(), total * 0.5e-3);
    }
}

#[test]
fn eyes_that_name_no_thread_have_that_of_their_stud() {
    let (vehicle, _) = read(STUD);
    let Piece::Joint(eye) = piece(&vehicle, "blower.return.to") else { panic!("a joint") };
    let Piece::Joint(foot) = piece(&vehicle, "left-ground.foot") else { panic!("a joint") };
    let (eye, foot) = (vehicle.joint(eye), vehicle.joint(foot));
    assert_eq!((eye.thread, eye.class), (foot.thread, foot.class));
    assert!(eye.thread.is_some() && eye.torque.is_none());
    assert!(matches!(foot.of, JointOf::Between(own) if vehicle.point(own).id == "left-ground"));
    assert!(vehicle.filled.iter().any(|own| own.key == "blower.return.to.thread"));
}

#[test]
fn a_bad_foot_is_told_from_a_bad_eye() {
    for text in both_ways(STUD) {
        let (vehicle, _) = read(&text);
        // With the plus at the metal the current comes out of it, and the meter shows a minus.
        let (at, sign) = if text == STUD { ("-", "") } else { ("+", "-") };
        // 30 A through the foot lose 300 mV, and the eyes what sound ones lose.
        let readings = format!(
            "resting: left-ground to body/wing {sign}0.300 V\nresting: body/wing to main/{at} {sign}0.034 V\n\
             resting: blower/{at} to left-ground {sign}0.099 V\nresting: lamp/{at} to left-ground {sign}0.099 V\n"
        );
        let readings = readings::read(readings.as_bytes(), &vehicle);
        assert_eq!(readings.problems, Vec::new());
        let observations = diagnosis::observations(&vehicle, &readings.readings);
        let diagnosis = diagnosis::diagnose(&vehicle, &observations, None);
        let first = diagnosis.suspects.first().expect("a suspect");
        let Piece::Joint(foot) = piece(&vehicle, "left-ground.foot") else { panic!("a joint") };
        assert_eq!(first.kind, SuspectKind::Joint(foot));
        assert!(first.probability > 0.8, "{}", first.probability);
    }
}

#[test]
fn a_stud_that_stands_on_itself_or_carries_five_eyes_is_told() {
    let on_itself = STUD.replace("point = \"body/wing\"", "point = \"left-ground\"");
    assert_eq!(told(&on_itself)[0].0, "both-ends-alike");
    let nowhere = STUD.replace("point = \"body/wing\"", "point = \"body/fender\"");
    assert_eq!(told(&nowhere)[0].0, "unknown-point");
    let mut crowded = STUD.to_owned();
    for at in 0..3 {
        crowded += &format!(
            "[conductors.more-{at}]\nfrom = \"left-ground\"\nto = \"body/rear\"\nresistance = \"9 mΩ\"\n"
        );
    }
    assert_eq!(told(&crowded)[0].0, "stack-too-high");
}

/// A trailer with a lamp of 2.4 Ω and a refrigerator of 1.2 Ω behind one plug.
const TRAILER: &str = r#"
format = 1
[vehicle]
name = "Car with a trailer"
nominal = "12 V"
earth = "negative"
states = ["resting"]

[structures.car]
resistance = "0.2 mΩ"
[structures.car.points.front]
[structures.car.points.hitch]

[plugs.trailer]
layout = "ISO 11446"
resistance = "2 mΩ"
pin.3 = { resistance = "5 mΩ" }

[points.lamps-box]
[points.fridge-box]

[batteries.main]
resistance = "9 mΩ"
voltage = "12.6 V"

[conductors]
main-ground = { from = { point = "main/-", resistance = "0.1 mΩ" }, to = { point = "car/front", resistance = "0.1 mΩ" }, resistance = "0.8 mΩ" }
car-stop = { from = { point = "main/+", resistance = "0.1 mΩ" }, to = { point = "trailer.socket/6", resistance = "0.2 mΩ" }, resistance = "60 mΩ" }
car-cold = { from = { point = "main/+", resistance = "0.1 mΩ" }, to = { point = "trailer.socket/10", resistance = "0.2 mΩ" }, resistance = "30 mΩ" }
car-earth = { from = { point = "trailer.socket/3", resistance = "0.2 mΩ" }, to = { point = "car/hitch", resistance = "0.3 mΩ" }, resistance = "4 mΩ" }
car-earth-10 = { from = { point = "trailer.socket/11", resistance = "0.2 mΩ" }, to = { point = "car/hitch", resistance = "0.3 mΩ" }, resistance = "4 mΩ" }
earth = { from = { point = "lamps-box", resistance = "0.2 mΩ" }, to = { point = "trailer.plug/3", resistance = "0.2 mΩ" }, resistance = "30 mΩ" }
earth-10 = { from = { point = "fridge-box", resistance = "0.2 mΩ" }, to = { point = "trailer.plug/11", resistance = "0.2 mΩ" }, resistance = "30 mΩ" }

[loads.stop]
kind = "resistive"
draws = "2.4 Ω"
on = ["resting"]
feed = { from = { point = "trailer.plug/6", resistance = "0.2 mΩ" }, terminal = { joint = "connector pin", resistance = "1 mΩ" }, resistance = "50 mΩ" }
return = { to = { point = "lamps-box", resistance = "0.2 mΩ" }, terminal = { joint = "connector pin", resistance = "1 mΩ" }, resistance = "10 mΩ" }

[loads.fridge]
kind = "resistive"
draws = "1.2 Ω"
on = ["resting"]
feed = { from = { point = "trailer.plug/10", resistance = "0.2 mΩ" }, terminal = { joint = "connector pin", resistance = "1 mΩ" }, resistance = "50 mΩ" }
return = { to = { point = "fridge-box", resistance = "0.2 mΩ" }, terminal = { joint = "connector pin", resistance = "1 mΩ" }, resistance = "10 mΩ" }
"#;

#[test]
fn a_mated_pin_is_counted_once() {
    for text in both_ways(TRAILER) {
        let (vehicle, codes) = read(&text);
        assert_eq!(codes, Vec::<String>::new());
        let point = solved(&vehicle, "resting");
        // Wires, crimps and one contact a pin: 2 mΩ, and 5 mΩ at pin 3.
        let stop = 2.4 + 0.0603 + 0.002 + 0.0512 + 0.0112 + 0.0304 + 0.005 + 0.0045;
        let fridge = 1.2 + 0.0303 + 0.002 + 0.0512 + 0.0112 + 0.0304 + 0.002 + 0.0045;
        let total = 12.6 / (0.0102 + stop * fridge / (stop + fridge));
        let through_stop = total * fridge / (stop + fridge);
        near(amps(&vehicle, &point, "trailer.3"), through_stop);
        near(lost(&vehicle, &point, "trailer.3"), through_stop * 5e-3);
        near(lost(&vehicle, &point, "trailer.11"), (total - through_stop) * 2e-3);
        let pin = between(&vehicle, &point, "trailer.socket/6", "trailer.plug/6");
        near(pin.abs(), through_stop * 2e-3);
    }
}

#[test]
fn only_pins_that_the_file_uses_are_there() {
    let (vehicle, _) = read(TRAILER);
    let pins = vehicle.points.iter().filter(|own| own.id.starts_with("trailer."));
    assert_eq!(pins.count(), 8);
    assert!(vehicle.point_named("trailer.socket/13").is_none());
    let unknown = TRAILER.replace("trailer.socket/10", "trailer.socket/14");
    assert_eq!(told(&unknown)[0].0, "unknown-point");
}

#[test]
fn a_pin_wired_against_its_layout_is_told() {
    for text in both_ways(TRAILER) {
        let swapped = text
            .replace("trailer.socket/6", "trailer.socket/?")
            .replace("trailer.socket/3", "trailer.socket/6")
            .replace("trailer.socket/?", "trailer.socket/3");
        let found = told(&swapped);
        let against = found.iter().filter(|(code, _)| code == "pin-against-layout");
        assert!(against.clone().any(|(_, what)| what.contains("`trailer.3`")), "{found:?}");
        assert!(against.clone().any(|(_, what)| what.contains("`trailer.6`")), "{found:?}");
    }
}

#[test]
fn returns_that_the_standard_keeps_apart_are_told_where_they_are_joined() {
    let joined = TRAILER.replace(
        "[conductors]\n",
        "[conductors]\nbridge = { from = \"lamps-box\", to = \"fridge-box\", resistance = \"1 mΩ\" }\n",
    );
    let found = told(&joined);
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].0, "pin-against-layout");
    assert!(found[0].1.contains("returns 3 and 11"), "{found:?}");
}

#[test]
fn a_pin_with_a_wire_on_one_side_and_a_contact_counted_twice_are_told() {
    let half = TRAILER.replace("trailer.plug/11\"", "trailer.plug/13\"");
    let found = told(&half);
    let wired = found.iter().filter(|(code, _)| code == "pin-half-wired");
    assert_eq!(wired.count(), 2, "{found:?}");
    let twice = TRAILER.replace(
        "{ point = \"trailer.plug/3\", resistance = \"0.2 mΩ\" }",
        "{ point = \"trailer.plug/3\", joint = \"connector pin\" }",
    );
    assert_eq!(told(&twice)[0].0, "pin-counted-twice");
}
