//! Outages by low rank against the whole network factorised and solved again.

use model::{LoadId, LoadLaw, Vehicle};
use proptest::prelude::*;
use proptest::sample::Index;
use units::{Amperes, Ratio, Volts};

use crate::laws::{joints, vehicle};
use crate::{Convergence, Failed, Network};

/// The vehicle with straight laws alone, so that the linear network is the network itself.
fn straight(joints: &[f64], positive: bool) -> Vehicle {
    let mut vehicle = vehicle(joints, positive);
    for (at, load) in vehicle.loads.iter_mut().enumerate() {
        let amps = Amperes([180.0, 5.0, 9.0, 40.0, 30.0][at % 5]);
        load.law = LoadLaw::Power { amps, rated: Volts(12.0), exponent: 1.0, knee: Volts(0.1) };
        load.dropout = None;
    }
    for battery in &mut vehicle.batteries {
        battery.charge_resistance.fill(battery.resistance);
        battery.plates.polarisation = Volts::ZERO;
    }
    vehicle
}

/// Currents and volts after, by low rank and by solving again, agree to 1e-9 of the largest.
fn check(vehicle: &Vehicle, changes: &[(Index, f64)]) -> bool {
    let state = vehicle.state_named("cranking").expect("there is a starter");
    let mut network = Network::new(vehicle);
    let base = network.operating_point(state);
    let outages = network.outages(&base).expect("a linear network");
    let mut failed = Failed::default();
    let mut parts = Vec::new();
    for (at, left) in changes {
        let id = model::ConductorId::at(at.index(vehicle.conductors.len()));
        let piece = model::Piece::Conductor(id);
        let branch = network.branch(piece).expect("conductors have branches");
        if parts.iter().any(|(known, _)| *known == branch) {
            return false;
        }
        parts.push((branch, Ratio(*left)));
        if *left > 0.0 {
            // A branch is a conductor with its joints: all of it is worn alike.
            let conductor = vehicle.conductor(id);
            let joints = [conductor.from, conductor.to].map(model::Piece::Joint);
            let pieces = [piece, joints[0], joints[1]];
            failed.worn.extend(pieces.map(|piece| (piece, Ratio(1.0 / left))));
        } else {
            failed.opened.push(piece);
        }
    }
    let shift = match parts[..] {
        [one] => outages.one(one),
        [one, two] => outages.two(one, two),
        _ => None,
    };
    let Some(shift) = shift else { return false };
    let again = network.failed_point(&base, &failed);
    assert_eq!(again.convergence, Convergence::Reached);
    let largest = again.pieces.iter().map(|piece| piece.amps.0.abs()).fold(1.0, f64::max);
    for (slot, piece) in vehicle.pieces().enumerate() {
        let branch = outages.branch_in_slot(slot).expect("no diodes here");
        let (quick, full) = (outages.amps(&shift, branch), again.piece(vehicle, piece).amps);
        assert!(
            (quick - full).abs().0 <= 1e-9 * largest,
            "{}: {quick:?} {full:?}",
            vehicle.piece_name(piece)
        );
    }
    for (at, load) in again.loads.iter().enumerate() {
        let quick = outages.load_volts(&shift, LoadId::at(at));
        assert!((quick - load.volts).abs().0 <= 1e-9 * 12.0, "{at}: {quick:?} {:?}", load.volts);
    }
    true
}

fn left() -> impl Strategy<Value = f64> {
    prop_oneof![Just(0.0), Just(0.1), Just(0.01), 0.001_f64..1.0]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn one_outage_by_low_rank_is_the_network_solved_again(
        joints in joints(), positive in any::<bool>(), at in any::<Index>(), left in left(),
    ) {
        check(&straight(&joints, positive), &[(at, left)]);
    }

    #[test]
    fn two_outages_by_low_rank_are_the_network_solved_again(
        joints in joints(), positive in any::<bool>(), first in any::<Index>(), second in any::<Index>(),
        lefts in (left(), left()),
    ) {
        check(&straight(&joints, positive), &[(first, lefts.0), (second, lefts.1)]);
    }
}

#[test]
fn opening_whatever_carries_current_is_answered_by_low_rank() {
    let vehicle = straight(&[-0.5; 14], false);
    let mut network = Network::new(&vehicle);
    let base = network.operating_point(vehicle.state_named("cranking").expect("a starter"));
    let outages = network.outages(&base).expect("a linear network");
    let mut carrying = 0;
    for at in 0..vehicle.conductors.len() {
        let piece = model::Piece::Conductor(model::ConductorId::at(at));
        let branch = network.branch(piece).expect("conductors have branches");
        if outages.amps_before(branch).abs() > Amperes(1e-3) {
            carrying += 1;
            assert!(outages.one((branch, Ratio(0.0))).is_some(), "{}", vehicle.piece_name(piece));
        }
    }
    assert!(carrying >= 6, "{carrying}");
}

#[test]
fn a_load_whose_lead_opens_gets_nothing_and_the_rest_a_little_more() {
    let vehicle = straight(&[-0.5; 14], false);
    let mut network = Network::new(&vehicle);
    let base = network.operating_point(vehicle.state_named("cranking").expect("a starter"));
    let outages = network.outages(&base).expect("a linear network");
    let starter = vehicle.load_named("starter").expect("in the file");
    let module = vehicle.load_named("module").expect("in the file");
    let lead = vehicle.piece_named("starter.feed").expect("in the file");
    let opened = (network.branch(lead).expect("a conductor"), Ratio(0.0));
    let shift = outages.one(opened).expect("the starter is a resistance");
    assert!(outages.load_volts(&shift, starter).abs() < Volts(1e-6));
    assert!(outages.load_volts(&shift, module) > base.load(module).volts);
    assert!(outages.amps(&shift, opened.0).abs() < Amperes(1e-6));
}
