//! Checks of the joint about a bolt.

use super::*;

fn answered(asked: &Asked) -> Answer {
    run(asked, None).expect("an answer")
}

fn faces(faces: &str, environment: &str) -> Answer {
    answered(&Asked {
        faces: Some(faces.to_owned()),
        environment: Some(environment.to_owned()),
        ..with_torque("M10", "40 N·m")
    })
}

/// Anodic index lists after MIL-STD-889 and MIL-DTL-14072: copper to steel 0.50 V, tin plate to steel
/// 0.20 V, zinc plate to copper 0.90 V, lead to tin plate 0.05 V; 0.25 V where it is sheltered, 0.15 V
/// where there is salt.
#[test]
fn couples_of_faces_have_the_published_differences_and_allowances() {
    for (couple, difference, inland, coast) in [
        ("copper, steel", 0.50, false, false),
        ("tin, steel", 0.20, true, false),
        ("zinc plate, copper", 0.90, false, false),
        ("lead, tin", 0.05, true, true),
    ] {
        for (place, suits) in [("inland", inland), ("coast", coast)] {
            let answer = faces(couple, place);
            let found = number(&answer, "/sheet/faces/difference_volts");
            assert!((found - difference).abs() < 1e-9, "{couple}: {found}");
            assert_eq!(answer.json["sheet"]["faces"]["suits"], suits, "{couple} {place}");
            assert_eq!(answer.attention, !suits, "{couple} {place}");
        }
    }
}

/// ISO 9223 C4, 4.2 µm in the first year, and ISO 9224 exponent 0.813: 5 µm of zinc are gone after
/// 1.24 years.
#[test]
fn zinc_on_salted_roads_lasts_the_1_24_years_of_iso_9224() {
    let answer = faces("tin, steel", "salted roads");
    assert_eq!(answer.json["sheet"]["air"], "C4");
    assert_close(number(&answer, "/sheet/zinc_years"), 1.24, 0.005);
}

/// Holm: copper of 5.5e8 N/m² under 10 kN has 3.57 µΩ; here hardness is a range about it.
#[test]
fn clean_copper_under_10_kilonewtons_has_about_3_57_microohms() {
    let arguments = Asked {
        clamp: Some("10 kN".to_owned()),
        faces: Some("copper, copper".to_owned()),
        environment: Some("inland".to_owned()),
        ..arguments("M10")
    };
    let answer = answered(&arguments);
    let low = number(&answer, "/sheet/faces/clean_ohms/low");
    let high = number(&answer, "/sheet/faces/clean_ohms/high");
    assert!(low < 3.57e-6 && 3.57e-6 < high && high < 3.0 * low, "{low} {high}");
}

/// DIN 7500: an M6 screw breaks at 15 N·m and is tightened to 12 N·m at the most; of 9 N·m with 3 N·m
/// for the thread, 5.0 kN clamp (nut factor 0.20).
#[test]
fn a_thread_forming_screw_clamps_with_what_its_thread_leaves() {
    let arguments = Asked {
        running_torque: Some("3 N·m".to_owned()),
        forming: true,
        ..with_torque("M6", "9 N·m")
    };
    let answer = answered(&arguments);
    assert_close(number(&answer, "/clamp_newtons/nominal"), 5000.0, 1e-9);
    assert_close(number(&answer, "/sheet/forming/highest_newton_metres"), 12.0, 1e-9);
    assert_close(number(&answer, "/usual_torque_newton_metres"), 12.0, 1e-9);
    assert!(!answer.attention);
    let too_much = answered(&Asked { forming: true, ..with_torque("M6", "13 N·m") });
    assert!(too_much.attention);
}

#[test]
fn five_terminals_on_a_stud_are_one_too_many_and_settle_more() {
    let stack = |stack| answered(&Asked { stack: Some(stack), ..with_torque("M10", "40 N·m") });
    let (four, five) = (stack(4), stack(5));
    assert_eq!((four.attention, five.attention), (false, true));
    let one = stack(1);
    let low = |answer: &Answer| number(answer, "/clamp_newtons/low");
    assert_close(low(&one) / low(&four), 1.10 / 1.05, 1e-9);
}

#[test]
fn every_joint_of_the_examples_with_thread_and_torque_has_a_sheet() {
    let mut sheets = 0;
    for text in [AMBULANCE, BOAT] {
        let vehicle = vehicle(text);
        let bolted = |joint: &&model::Joint| joint.thread.is_some() && joint.torque.is_some();
        for joint in vehicle.joints.iter().filter(bolted).step_by(6) {
            let asked = Asked { figures: true, ..Asked::of_joint(&joint.id) };
            let answer = run(&asked, Some(&vehicle)).expect("an answer");
            assert_eq!(answer.json["sheet"]["place"]["joint"], joint.id.as_str());
            let torque = joint.torque.expect("filtered").0;
            assert_close(number(&answer, "/torque_newton_metres"), torque, 1e-9);
            sheets += 1;
        }
    }
    assert!(sheets > 5, "{sheets}");
}

/// Figures of a joint by its name alone are asked for; what is asked besides the name asks for them too.
#[test]
fn a_joint_by_its_name_alone_is_answered_as_far_as_its_file_says() {
    let boat = vehicle(BOAT);
    let filed = Asked::of_joint("start-negative.to");
    let figures = Asked { figures: true, ..filed.clone() };
    let zinc = Asked { finish: "zinc".to_owned(), ..filed.clone() };
    let [filed, figures, zinc] =
        [filed, figures, zinc].map(|asked| run(&asked, Some(&boat)).expect("an answer"));
    assert_eq!(filed.json["bolt"]["clamp_newtons"], figures.json["clamp_newtons"]);
    assert_eq!(filed.json["sheet"], figures.json["sheet"]);
    assert!(filed.text.contains("start-negative.to"), "{}", filed.text);
    assert_eq!(zinc.json["finish"], "zinc plated");
    let all = boat.joints.iter().map(|joint| Asked::of_joint(&joint.id));
    assert!(all.map(|asked| run(&asked, Some(&boat))).all(|answer| answer.is_ok()));
}
