//! What is worth doing on every layout and example, sound and with one joint gone bad.

use diagnosis::{Action, Complaint};
use model::{JointId, StateId, Vehicle};
use network::Network;

use super::Nothing;
use super::found::Worth;
use crate::weighed::{Weighed, weigh};

/// The layouts that a file begins with.
const LAYOUTS: [&str; 6] = [
    include_str!("../../../../layouts/front-engine.toml"),
    include_str!("../../../../layouts/two-batteries.toml"),
    include_str!("../../../../layouts/rear-battery.toml"),
    include_str!("../../../../layouts/camper-van.toml"),
    include_str!("../../../../layouts/plant.toml"),
    include_str!("../../../../layouts/small-boat.toml"),
];

fn all() -> Vec<Vehicle> {
    let examples = [
        include_str!("../../../../examples/rescue-ambulance.toml"),
        include_str!("../../../../examples/harbour-workboat.toml"),
        include_str!("../../../../examples/utility-cart.toml"),
        include_str!("../../../../examples/timber-lorry.toml"),
        include_str!("../../../../examples/hill-four-by-four.toml"),
        include_str!("../../../../examples/two-battery-diesel.toml"),
        include_str!("../../../../examples/day-boat.toml"),
        include_str!("../../../../examples/market-trailer.toml"),
        include_str!("../../../../examples/touring-motor-home.toml"),
    ];
    let texts = LAYOUTS.into_iter().chain(examples);
    texts.map(|text| sound(file::read(text.as_bytes()).vehicle.expect("no errors"))).collect()
}

/// Joints that a file states as bad, made as good as usual: the examples have some.
fn sound(mut vehicle: Vehicle) -> Vehicle {
    for joint in &mut vehicle.joints {
        let kind = joint.kind;
        if joint.resistance > joint.likely.map_or(kind.clean_high, |own| own.high) {
            joint.resistance = kind.clean_typical;
        }
    }
    vehicle
}

fn worth(vehicle: &Vehicle, complaint: Option<Complaint>) -> Worth {
    let Weighed { seen, mut session, diagnosis, .. } =
        weigh(vehicle, (&[], &[]), complaint, |_| true);
    Worth::of(&mut session, &diagnosis, &seen, complaint, 8)
}

#[test]
fn nothing_is_worth_doing_on_a_sound_vehicle() {
    for vehicle in all() {
        let found = worth(&vehicle, None);
        assert_eq!(found.nothing, Some(Nothing::Sound), "{}: {:?}", vehicle.name, found.repairs);
        assert!(found.first.is_empty() && found.then.is_none(), "{}", vehicle.name);
    }
}

/// Every joint, those too through which little flows in any state: at five times what is usual it is bad.
#[test]
fn one_joint_at_five_times_what_is_usual_is_cleaned_first() {
    let mut others = Vec::new();
    let mut tried = 0;
    for vehicle in all() {
        for id in (0..vehicle.joints.len()).map(JointId::at) {
            let joint = vehicle.joint(id);
            let kind = joint.kind;
            let usual = joint.likely.map_or(kind.clean_high, |own| own.high.max(kind.clean_high));
            let mut bad = vehicle.clone();
            bad.joints[id.index()].resistance = usual * 5.0;
            bad.joints[id.index()].stated = true;
            let found = worth(&bad, None);
            let first = found.repairs.first().map(|own| own.action);
            tried += 1;
            if first != Some(Action::Clean(id)) {
                others.push(format!("{}, {}: {first:?}", vehicle.name, joint.id));
            }
        }
    }
    assert!(others.is_empty(), "{} of {tried}: {others:#?}", others.len());
}

/// Which end of a cable is bad is told by a reading, or both are cleaned: no part comes before.
#[test]
fn two_ends_that_look_alike_begin_with_a_reading() {
    let vehicle = file::read(LAYOUTS[0].as_bytes()).vehicle.expect("it is sound");
    let points = Network::new(&vehicle).operating_points();
    let cranking = vehicle.state_named("cranking").expect("it cranks");
    let home = vehicle.battery_terminals(model::BatteryId::at(0)).1;
    // The ground from the battery that carries most while cranking.
    let cable = vehicle
        .conductors
        .iter()
        .filter(|own| [own.from, own.to].iter().any(|end| vehicle.joint(*end).point == home))
        .max_by(|a, b| {
            let amps =
                |id: model::ConductorId| points[cranking.index()].pieces[id.index()].amps.abs();
            amps(a.this).0.total_cmp(&amps(b.this).0)
        })
        .expect("a ground");
    let mut bad = vehicle.clone();
    bad.joints[cable.to.index()].resistance = units::Ohms(2.5e-3);
    let truth = Network::new(&bad).operating_point(StateId::at(cranking.index()));
    let far = vehicle.joint(cable.to).point;
    let lost = (truth.point(far).expect("joined") - truth.point(home).expect("joined")).0;
    let line =
        format!("cranking: {} to {} {:.3} V", vehicle.point(far).id, vehicle.point(home).id, lost);
    let readings = readings::read(line.as_bytes(), &vehicle);
    assert_eq!(readings.readings.len(), 1, "{:?}", readings.problems);
    let Weighed { seen, mut session, diagnosis, .. } =
        weigh(&vehicle, (&readings.readings, &[]), None, |_| true);
    let found = Worth::of(&mut session, &diagnosis, &seen, None, 8);
    let ends = [cable.from, cable.to];
    let apart = found.first.first().expect("the two ends look alike");
    assert!(ends.iter().all(|end| apart.joints.contains(end)), "{:?}", apart.joints);
    assert!(apart.reading.is_some());
    let actions: Vec<Action> = found.repairs.iter().map(|own| own.action).collect();
    let both = actions.iter().position(|own| *own == Action::CleanBoth(cable.this));
    let part =
        actions.iter().position(|own| !matches!(own, Action::Clean(_) | Action::CleanBoth(_)));
    let both = both.expect("both ends in one go is offered");
    assert!(part.is_none_or(|part| both < part), "{actions:?}");
}
