//! How likely each failure is, from the condition of the joint: by the catalogue's judgements.

use catalogue::{Judgements, bad_joint_chance};
use model::{Conductor, ConductorKind, Joint, Piece, Surroundings, Vehicle};
use units::Ratio;

use crate::fault::{Fault, Wear};

fn judged() -> &'static Judgements {
    Judgements::standard()
}

/// Chance that a fault is there, of a vehicle as its file describes it.
#[must_use]
pub fn chance(vehicle: &Vehicle, fault: Fault) -> Ratio {
    Ratio(match fault {
        Fault::Open(piece) => open(vehicle, piece),
        Fault::Worn(Piece::Joint(id), wear) => {
            let bad = worse(vehicle, vehicle.joint(id));
            match wear {
                Wear::Ten => bad,
                Wear::Hundred => bad * judged().worn_hundredfold.0,
            }
        }
        Fault::Worn(Piece::Conductor(id), wear) => {
            let part = match wear {
                Wear::Ten => judged().conductor_frayed_tenfold.0,
                Wear::Hundred => judged().conductor_frayed_hundredfold.0,
            };
            part * exposure(vehicle.conductor(id))
        }
        Fault::Worn(..) => judged().conductor_frayed_hundredfold.0,
        Fault::Blown(_) => judged().fuse_blown.0,
        Fault::BatteryLost(_) => judged().battery_lost.0,
        Fault::SourceLost(_) => judged().source_lost.0,
    })
}

fn open(vehicle: &Vehicle, piece: Piece) -> f64 {
    match piece {
        Piece::Conductor(id) => {
            let conductor = vehicle.conductor(id);
            let sound = conductor
                .joints()
                .map(|end| 1.0 - judged().joint_open.0 * worse(vehicle, vehicle.joint(end)));
            1.0 - sound.product::<f64>() * (1.0 - judged().conductor_broken.0 * exposure(conductor))
        }
        Piece::Joint(id) => judged().joint_open.0 * worse(vehicle, vehicle.joint(id)),
        Piece::Stretch(_) | Piece::Incidental(_) | Piece::Inline(_) => judged().conductor_broken.0,
    }
}

fn exposure(conductor: &Conductor) -> f64 {
    let outside = conductor.surroundings == Surroundings::Outside;
    if outside && conductor.kind == ConductorKind::Braid {
        judged().braid_outside_times.0
    } else {
        1.0
    }
}

/// Chance that a joint goes further than the file has it. One that is stated as bad is bad already, which
/// is told as such; it is likelier than others to get worse.
fn worse(vehicle: &Vehicle, own: &Joint) -> f64 {
    if !catalogue::stated_bad(&own.kind, own.stated_ohms()) {
        return joint(vehicle, own);
    }
    let protection = own.protection.as_deref();
    let finish = own.finish.as_ref();
    let usual = bad_joint_chance(&vehicle.environment, &own.kind, protection, finish, None);
    let own = judged();
    (own.bad_joint_worsens_times.0 * usual.0).min(own.bad_joint_worsens_at_most.0)
}

/// Chance that a joint is bad: what the file says of that, or what follows from the rest.
#[must_use]
pub fn joint(vehicle: &Vehicle, joint: &Joint) -> f64 {
    joint.suspicion.map_or_else(
        || {
            let protection = joint.protection.as_deref();
            let (finish, stated) = (joint.finish.as_ref(), joint.stated_ohms());
            bad_joint_chance(&vehicle.environment, &joint.kind, protection, finish, stated).0
        },
        |told| told.0,
    )
}
