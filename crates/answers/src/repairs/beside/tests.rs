//! The sheet of a job says what is done at its joints, whatever they are.

use diagnosis::Action;
use model::{JointId, Vehicle};
use units::UnitSystem;

use super::super::job::{Job, Jobs};
use crate::told::written;

const AMBULANCE: &str = include_str!("../../../../../examples/rescue-ambulance.toml");
const BOAT: &str = include_str!("../../../../../examples/harbour-workboat.toml");

fn vehicle(text: &str) -> Vehicle {
    file::read(text.as_bytes()).vehicle.expect("no errors")
}

fn joint(vehicle: &Vehicle, name: &str) -> JointId {
    vehicle.joints.iter().find(|own| own.id == name).expect("there").this
}

fn lines(job: &Job, units: UnitSystem) -> Vec<String> {
    let lines = job.steps.iter().flat_map(|step| &step.lines);
    lines.map(|line| written(line, units)).collect()
}

fn cleaning(text: &str, name: &str) -> Vec<String> {
    let vehicle = vehicle(text);
    let job = Jobs::of(&vehicle).of_action(Action::Clean(joint(&vehicle, name)));
    lines(&job, UnitSystem::Metric)
}

#[test]
fn a_joint_is_told_its_faces_washers_torque_and_protection_in_the_order_of_the_work() {
    let all = cleaning(AMBULANCE, "main-negative.to");
    assert!(all[1].ends_with("Negative off first. Cover the positive post."), "{all:#?}");
    assert!(all[2].starts_with("Open main-negative.to (bolted lug at block/front). Look at it"));
    assert_eq!(
        all[3..8],
        [
            "Tin plate on carbon steel: 0.20 V apart, more than the 0.15 V usual for coast. Wet, the \
             carbon steel goes: seal it, or plate one.",
            "Both faces (tin plate on carbon steel) to bare bright metal, and the thread. No paint, \
             oxide, oil, water or grit on them; plating stays where it is sound.",
            "Washers in the file: serrated, under the nut only. No washer between the lug and its \
             face: the current goes through the faces. Star washers only where the joint is sealed \
             afterwards.",
            "Tighten to 40 N·m (from the file; the maker’s figure overrides it). M10, class 8.8: it \
             clamps with 12.7 kN to 26.7 kN.",
            "Pull on it by hand: it must not move. The metals differ: coat the closed joint \
             (silicone, epoxy, polyurethane), so that no liquid bridges it. Seal outside only, after \
             tightening; nothing between the faces. It was kept by wax: renew that.",
        ]
    );
}

#[test]
fn a_post_without_a_torque_is_told_what_others_give_and_nothing_of_washers() {
    let filed = cleaning(AMBULANCE, "main-negative.from").join("\n");
    assert!(filed.contains("Tighten to 6 N·m (from the file;"), "{filed}");
    let mut vehicle = vehicle(AMBULANCE);
    let post = joint(&vehicle, "main-negative.from");
    vehicle.joints[post.index()].torque = None;
    let job = Jobs::of(&vehicle).of_action(Action::Clean(post));
    let all = lines(&job, UnitSystem::Metric).join("\n");
    let given = "Tighten to the maker’s torque (the file gives none). Others give 5 N·m to 8 N·m";
    assert!(all.contains(given), "{all}");
    assert!(all.contains("spread the clamp") && !all.contains("asher"), "{all}");
}

/// Steel bears far more than brass or lead: the usual torque of a bolt is a bound with its caution.
#[test]
fn the_usual_torque_of_a_bolt_is_a_bound_and_never_an_order() {
    let vehicle = vehicle(BOAT);
    let mut jobs = Jobs::of(&vehicle);
    let mut usual = 0;
    for joint in &vehicle.joints {
        let job = jobs.of_action(Action::Clean(joint.this));
        let all = lines(&job, UnitSystem::Us).join("\n");
        if all.contains("in steel or iron at the most") {
            assert!(all.contains("Tighten to the maker’s torque"), "{all}");
            assert!(all.contains(" lbf·ft ") || all.contains(" lbf·in "), "{all}");
            usual += 1;
        }
        let screwed = joint.kind.expects_fastener();
        assert_eq!(all.contains("replace what no longer grips"), !screwed, "{}", joint.id);
        assert_eq!(all.contains("Tighten to "), screwed, "{}: {all}", joint.id);
    }
    assert!(usual > 0);
}

#[test]
fn a_replaced_cable_has_each_of_its_joints_by_name_and_a_source_once() {
    let vehicle = vehicle(AMBULANCE);
    let cable = vehicle.conductors.iter().find(|own| own.id == "main-negative").expect("there");
    let job = Jobs::of(&vehicle).of_action(Action::Replace(cable.this));
    let all = lines(&job, UnitSystem::Metric);
    for end in ["main-negative.from: ", "main-negative.to: "] {
        assert!(all.iter().any(|line| line.starts_with(end)), "{all:#?}");
    }
    assert!(
        all.iter().any(|line| line.starts_with("Fit a new one, 70 mm² or larger, ")),
        "{all:#?}"
    );
    assert!(!job.sources.is_empty());
}

// Army TM 9-6115-639-13 p. 4-96; the exception, positive first, TM 5-3805-261-20 p. 7-273.
#[test]
fn the_side_that_the_metal_is_joined_to_comes_off_first_and_goes_on_last() {
    let negative = cleaning(AMBULANCE, "main-negative.to").join(" ");
    let mut positive = vehicle(AMBULANCE);
    positive.earth = model::Earth::Positive;
    let joint = joint(&positive, "main-negative.to");
    let job = Jobs::of(&positive).of_action(Action::Clean(joint));
    let positive = lines(&job, UnitSystem::Metric).join(" ");
    let all = [(negative, "Negative", "positive"), (positive, "Positive", "negative")];
    for (all, first, covered) in all {
        let off = all.find(&format!("{first} off first"));
        let on = all.find(&format!("{first} on last"));
        assert!(off.is_some() && off < on, "{all}");
        assert!(all.contains(&format!("Cover the {covered} post")), "{all}");
    }
}
