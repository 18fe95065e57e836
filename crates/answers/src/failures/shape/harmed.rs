//! What a failure damages, as a sign on a drawing says it: a piece, and a word for what becomes of it.

use ::failures::{Contact, Endurance, Finding, HiddenFuse};
use model::{Joint, Piece, Vehicle};

/// Of several fates of one piece the first of these is told.
const WORST_FIRST: [&str; 5] =
    ["burns", "joint melts", "is damaged", "gets too hot", "joint gets too hot"];

shape! {
    /// A piece of the drawing that is damaged.
    #[derive(Eq)]
    pub struct HarmedPiece from (piece: &str, becomes: &'static str) {
        /// A conductor, an incidental path, or a joint that is drawn by itself; what befalls a joint of a
        /// conductor is told of that.
        pub piece: String = piece.to_owned(),
        /// What becomes of it, in words.
        pub becomes: &'static str = becomes,
    }
}

/// What is damaged, each piece once with the worst that befalls it, in the order of the findings.
pub(super) fn of(vehicle: &Vehicle, findings: &[Finding]) -> Vec<HarmedPiece> {
    let mut all: Vec<HarmedPiece> = Vec::new();
    for (piece, becomes) in findings.iter().filter_map(|own| harmed(vehicle, own)) {
        match all.iter_mut().find(|own| own.piece == piece) {
            Some(known) if rank(becomes) < rank(known.becomes) => known.becomes = becomes,
            Some(_) => {}
            None => all.push(HarmedPiece::of(piece, becomes)),
        }
    }
    all
}

/// What becomes of a conductor that something elsewhere burns.
pub(super) fn burning(vehicle: &Vehicle, own: &HiddenFuse) -> HarmedPiece {
    HarmedPiece::of(&vehicle.conductor(own.conductor).id, overloaded(&own.endurance))
}

fn harmed<'v>(vehicle: &'v Vehicle, finding: &Finding) -> Option<(&'v str, &'static str)> {
    Some(match finding {
        Finding::Conductor { conductor, endurance, .. } => {
            (&vehicle.conductor(*conductor).id, overloaded(endurance))
        }
        Finding::Path { path, .. } => (&vehicle.incidental(*path).id, "is damaged"),
        Finding::Joint { joint, contact, .. } => {
            let becomes = match contact {
                Contact::Softens => "joint gets too hot",
                Contact::Melts => "joint melts",
            };
            (drawn(vehicle, vehicle.joint(*joint)), becomes)
        }
        _ => return None,
    })
}

/// What would take longer than the state usually lasts only gets too hot.
fn overloaded(endurance: &Endurance) -> &'static str {
    if endurance.passes_limit() { "burns" } else { "gets too hot" }
}

/// What stands for a joint on a drawing.
fn drawn<'v>(vehicle: &'v Vehicle, joint: &'v Joint) -> &'v str {
    let conductor = joint.of.conductor();
    conductor.map_or(&joint.id, |id| vehicle.piece_name(Piece::Conductor(id)))
}

fn rank(becomes: &str) -> usize {
    WORST_FIRST.iter().position(|own| *own == becomes).unwrap_or(WORST_FIRST.len())
}

#[cfg(test)]
mod tests {
    use model::{ConductorId, JointId, LoadId};
    use network::LoadStatus;
    use units::{Amperes, Kelvin, Seconds, Volts, Watts};

    use super::*;

    const AMBULANCE: &str = include_str!("../../../../../examples/rescue-ambulance.toml");

    fn through(limit_after: f64, lasts: Option<f64>) -> Finding {
        let endurance = Endurance {
            amps: Amperes(300.0),
            limit: Kelvin(473.15),
            limit_after: Some(Seconds(limit_after)),
            melts_after: None,
            at_end: Kelvin(973.15),
            lasts: lasts.map(Seconds),
        };
        Finding::Conductor { conductor: ConductorId::at(0), before: Amperes(40.0), endurance }
    }

    fn hot(joint: JointId, contact: Contact) -> Finding {
        let (volts, watts, reaches) = (Volts(0.3), Watts(91.0), Kelvin(508.0));
        Finding::Joint { joint, volts, watts, reaches, contact }
    }

    fn told(findings: &[Finding]) -> Vec<(String, &'static str)> {
        let vehicle = file::read(AMBULANCE.as_bytes()).vehicle.expect("no errors");
        of(&vehicle, findings).into_iter().map(|own| (own.piece, own.becomes)).collect()
    }

    fn first() -> (String, JointId) {
        let vehicle = file::read(AMBULANCE.as_bytes()).vehicle.expect("no errors");
        let own = vehicle.conductor(ConductorId::at(0));
        (own.id.clone(), own.to)
    }

    #[test]
    fn a_conductor_past_its_limit_while_the_state_lasts_burns() {
        let (name, _) = first();
        assert_eq!(told(&[through(2.0, Some(10.0))]), [(name.clone(), "burns")]);
        assert_eq!(told(&[through(30.0, None)]), [(name, "burns")]);
    }

    #[test]
    fn a_conductor_past_its_limit_only_after_the_state_is_over_gets_too_hot() {
        assert_eq!(told(&[through(30.0, Some(10.0))]), [(first().0, "gets too hot")]);
    }

    #[test]
    fn a_hot_joint_is_told_of_the_conductor_that_it_is_an_end_of() {
        let (name, joint) = first();
        assert_eq!(told(&[hot(joint, Contact::Melts)]), [(name.clone(), "joint melts")]);
        assert_eq!(told(&[hot(joint, Contact::Softens)]), [(name, "joint gets too hot")]);
    }

    #[test]
    fn the_worst_that_befalls_a_piece_is_told_whatever_comes_first() {
        let (name, joint) = first();
        let melts = hot(joint, Contact::Melts);
        for both in [[melts, through(2.0, None)], [through(2.0, None), melts]] {
            assert_eq!(told(&both), [(name.clone(), "burns")]);
        }
        assert_eq!(told(&[through(30.0, Some(10.0)), melts]), [(name, "joint melts")]);
    }

    #[test]
    fn a_load_that_is_dead_is_not_damaged() {
        let (load, status, volts) = (LoadId::at(0), LoadStatus::BelowMinimum, Volts(0.0));
        assert_eq!(told(&[Finding::Load { load, status, volts, dead: true }]), []);
    }
}
