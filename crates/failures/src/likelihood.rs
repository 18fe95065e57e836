//! How likely each failure is, from the condition of the joint. Our judgement, all of it.

use catalogue::bad_joint_chance;
use model::{Conductor, ConductorKind, Joint, Piece, Surroundings, Vehicle};
use units::Ratio;

use crate::fault::{Fault, Wear};

/// Of the joints that are bad, the part that has gone so far; the rest are worn tenfold.
const WORN_HUNDREDFOLD: f64 = 0.3;
const OPEN: f64 = 0.1;

/// How much likelier than others of its kind a joint that is bad already gets worse.
const WORSE_SOON: f64 = 10.0;

/// A conductor broken through, and worn to a tenth or a hundredth of its strands.
const BROKEN: f64 = 0.0005;
const FRAYED: (f64, f64) = (0.0005, 0.0002);
/// Braid outside is eaten sooner.
const BRAID_OUTSIDE: f64 = 3.0;

/// A fuse blown or its clips burnt; a battery with a broken link or a clamp off; an alternator dead.
const BLOWN: f64 = 0.005;
const BATTERY: f64 = 0.01;
const SOURCE: f64 = 0.02;

/// Chance that a fault is there, of a vehicle as its file describes it.
#[must_use]
pub fn chance(vehicle: &Vehicle, fault: Fault) -> Ratio {
    Ratio(match fault {
        Fault::Open(piece) => open(vehicle, piece),
        Fault::Worn(Piece::Joint(id), wear) => {
            let bad = worse(vehicle, vehicle.joint(id));
            match wear {
                Wear::Ten => bad,
                Wear::Hundred => bad * WORN_HUNDREDFOLD,
            }
        }
        Fault::Worn(Piece::Conductor(id), wear) => {
            let part = match wear {
                Wear::Ten => FRAYED.0,
                Wear::Hundred => FRAYED.1,
            };
            part * exposure(vehicle.conductor(id))
        }
        Fault::Worn(..) => FRAYED.1,
        Fault::Blown(_) => BLOWN,
        Fault::BatteryLost(_) => BATTERY,
        Fault::SourceLost(_) => SOURCE,
    })
}

fn open(vehicle: &Vehicle, piece: Piece) -> f64 {
    match piece {
        Piece::Conductor(id) => {
            let conductor = vehicle.conductor(id);
            let ends = [conductor.from, conductor.to];
            let sound = ends.iter().map(|end| 1.0 - OPEN * worse(vehicle, vehicle.joint(*end)));
            1.0 - sound.product::<f64>() * (1.0 - BROKEN * exposure(conductor))
        }
        Piece::Joint(id) => OPEN * worse(vehicle, vehicle.joint(id)),
        Piece::Stretch(_) | Piece::Incidental(_) | Piece::Inline(_) => BROKEN,
    }
}

fn exposure(conductor: &Conductor) -> f64 {
    let outside = conductor.surroundings == Surroundings::Outside;
    if outside && conductor.kind == ConductorKind::Braid { BRAID_OUTSIDE } else { 1.0 }
}

/// Chance that a joint goes further than the file has it. One that is stated as bad is bad already, which
/// is told as such; it is likelier than others to get worse.
fn worse(vehicle: &Vehicle, own: &Joint) -> f64 {
    if !catalogue::stated_bad(&own.kind, own.stated_ohms()) {
        return joint(vehicle, own);
    }
    let protection = own.protection.as_deref();
    let usual = bad_joint_chance(&vehicle.environment, &own.kind, protection, None);
    (WORSE_SOON * usual.0).min(0.5)
}

/// Chance that a joint is bad: what the file says of that, or what follows from the rest.
#[must_use]
pub fn joint(vehicle: &Vehicle, joint: &Joint) -> f64 {
    joint.suspicion.map_or_else(
        || {
            let protection = joint.protection.as_deref();
            bad_joint_chance(&vehicle.environment, &joint.kind, protection, joint.stated_ohms()).0
        },
        |told| told.0,
    )
}
