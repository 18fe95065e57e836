//! Diagnosis on the example: a hidden fault, and what readings say.

use model::{JointId, Measured, Probe, Vehicle};
use network::Network;
use units::Ohms;

use crate::{Complaint, Observation, Session, SuspectKind};

const FILE: &str = include_str!("../../../examples/rescue-ambulance.toml");

fn vehicle() -> Vehicle {
    file::read(FILE.as_bytes()).vehicle.expect("the example is sound")
}

/// What a meter would show in a vehicle whose one joint has this resistance.
fn measured(truth: &Vehicle, state: &str, measured: Measured) -> f64 {
    let state = truth.state_named(state).expect("in the file");
    let point = Network::new(truth).operating_point(state);
    let probe = |probe: Probe| match probe {
        Probe::Point(id) => point.point(id).expect("joined").0,
        Probe::Lug(_) => panic!("not asked here"),
    };
    match measured {
        Measured::Volts { high, low } => probe(high) - probe(low),
        Measured::Amps { conductor } => point.pieces[conductor.index()].amps.0,
        _ => panic!("not asked here"),
    }
}

#[test]
fn readings_step_by_step_find_the_bad_joint_of_the_example() {
    let vehicle = vehicle();
    let mut truth = vehicle.clone();
    let joint =
        truth.joints.iter().position(|joint| joint.id == "main-negative.to").expect("in the file");
    truth.joints[joint].resistance = Ohms(2e-3);
    let complaint = Complaint {
        load: vehicle.load_named("starter").expect("in the file"),
        state: vehicle.state_named("cranking").expect("in the file"),
    };
    let mut session = Session::new(&vehicle);
    let mut observations: Vec<Observation> = Vec::new();
    for step in 0..10 {
        let clock = std::time::Duration::ZERO;
        let diagnosis = session.diagnose(&observations, Some(complaint));
        let _ = clock;
        println!("step {step} nothing {:.3}", diagnosis.nothing_bad);
        for suspect in diagnosis.suspects.iter().take(4) {
            let name = match suspect.kind {
                SuspectKind::Joint(id) => vehicle.joint(id).id.clone(),
                other => format!("{other:?}"),
            };
            println!("   {name} {:.3} {:?}", suspect.probability, suspect.ohms);
        }
        for e in diagnosis.explanations.iter().filter(|e| e.without.is_none()).take(40) {
            if e.faults.iter().any(|k| matches!(k, SuspectKind::Joint(id) if vehicle.joint(*id).id.starts_with("main-negative."))) {
                println!("      {:?} w {:.2e} fit {:?}", e.faults, e.weight, e.fit.as_ref().map(|f| (f.evidence, f.settled)));
            }
        }
        if diagnosis.surer_than(0.95) {
            break;
        }
        let proposals = session.next(&diagnosis, &observations, Some(complaint));
        let Some(best) = proposals.iter().find(|own| match own.measured {
            Measured::Volts { high: Probe::Point(_), low: Probe::Point(_) }
            | Measured::Amps { .. } => true,
            _ => false,
        }) else {
            break;
        };
        let state = &vehicle.state(best.state).id;
        let value = measured(&truth, state, best.measured);
        let name = |probe: Probe| match probe {
            Probe::Point(id) => vehicle.point(id).id.clone(),
            Probe::Lug(id) => vehicle.joint(id).id.clone(),
        };
        if let Measured::Volts { high, low } = best.measured {
            println!(
                " ask {state}: {} to {} -> {value:.3} (sound {:.3}) gain {:.3}",
                name(high),
                name(low),
                best.sound,
                best.gain
            );
        } else {
            println!(" ask {state} {:?} {value}", best.measured);
        }
        observations.push(Observation {
            number: step + 1,
            state: best.state,
            measured: best.measured,
            value,
            sigma: 0.006 * value.abs() + 0.002,
        });
    }
    let diagnosis = session.diagnose(&observations, Some(complaint));
    let joint = JointId::at(joint);
    let first = diagnosis.sets.first().expect("a suspect");
    assert!(first.contains(&joint), "{:?}", diagnosis.suspects.iter().take(3).collect::<Vec<_>>());
}
