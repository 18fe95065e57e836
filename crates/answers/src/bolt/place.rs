//! What a vehicle says of a joint, and what the joint has to carry.

use catalogue::{
    Caution, Environment, Finish, Fixing, JointKind, JointProtection, Known, PropertyClass, Thread,
};
use model::{Joint, JointId, JointOf, Piece, PointOwner, Vehicle};
use network::{Convergence, Network};
use units::{Amperes, NewtonMetres, Ohms};

use crate::cautions::Cautions;

/// A joint with everything that its sheet needs.
#[derive(Debug, Clone)]
pub struct Place {
    /// The joint.
    pub name: String,
    /// The vehicle.
    pub vehicle: String,
    /// The point at which it is.
    pub point: String,
    /// Its kind.
    pub kind: Known<JointKind>,
    /// What it is screwed to.
    pub on: Standing,
    /// Its thread.
    pub thread: Option<Known<Thread>>,
    /// The bolt's class.
    pub class: Option<Known<PropertyClass>>,
    /// Its torque.
    pub torque: Option<NewtonMetres>,
    /// Finish of its faces.
    pub finish: Option<Finish>,
    /// Its washers.
    pub washer: Option<String>,
    /// What keeps water and salt off.
    pub protection: Option<Known<JointProtection>>,
    /// When it was last serviced.
    pub serviced: Option<String>,
    /// Terminals on its stud.
    pub stack: u32,
    /// Joints on the same stud, itself included, the one that carries most first; empty where the
    /// file shows no stud.
    pub stacked: Vec<String>,
    /// Where the vehicle lives.
    pub environment: Known<Environment>,
    /// Resistance that the file states, or its kind's typical one.
    pub resistance: Ohms,
    /// True when the file states it.
    pub stated: bool,
    /// The most that it carries, and in which state.
    pub carries: Option<(Amperes, String)>,
    /// Cautions that concern work on it.
    pub cautions: Vec<&'static Caution>,
}

/// What a joint is screwed to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// Metal of a structure.
    Structure,
    /// A battery's terminal.
    Battery,
    /// The terminal of another device.
    Device,
    /// A stud, bus or splice that stands for itself.
    Stud,
}

impl Standing {
    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Structure => "structure",
            Self::Battery => "battery",
            Self::Device => "device",
            Self::Stud => "stud",
        }
    }
}

impl Place {
    /// All that is known of a joint; solves every state for what it carries.
    #[must_use]
    pub fn of(vehicle: &Vehicle, id: JointId) -> Self {
        let joint = vehicle.joint(id);
        let stud = on_its_stud(vehicle, joint);
        let most = most(vehicle, &stud);
        let carries = stud.iter().position(|own| *own == id).and_then(|at| most[at].clone());
        let terminals = u32::try_from(stud.len()).unwrap_or(1);
        let mut stacked: Vec<(JointId, f64)> = stud
            .iter()
            .zip(&most)
            .map(|(own, most)| (*own, most.as_ref().map_or(0.0, |most| most.0.0)))
            .collect();
        stacked.sort_by(|a, b| units::larger_first(a.1, b.1));
        Self {
            name: joint.id.clone(),
            vehicle: vehicle.name.clone(),
            point: vehicle.point(joint.point).id.clone(),
            kind: joint.kind,
            on: standing(vehicle, joint),
            thread: joint.thread,
            class: joint.class,
            torque: joint.torque,
            finish: joint.finish.clone(),
            washer: joint.washer.clone(),
            protection: joint.protection,
            serviced: joint.serviced.clone(),
            stack: joint.stack.max(terminals),
            stacked: match stacked.as_slice() {
                [_] => Vec::new(),
                all => all.iter().map(|(own, _)| vehicle.joint(*own).id.clone()).collect(),
            },
            environment: vehicle.environment,
            resistance: joint.resistance,
            stated: joint.stated,
            carries,
            cautions: Cautions::of(vehicle).at_joint(id),
        }
    }
}

fn standing(vehicle: &Vehicle, joint: &Joint) -> Standing {
    let batteries = &vehicle.batteries;
    if batteries.iter().any(|own| [own.positive, own.negative].contains(&joint.point)) {
        return Standing::Battery;
    }
    match vehicle.point(joint.point).owner {
        PointOwner::Structure(_) => Standing::Structure,
        PointOwner::Free => Standing::Stud,
        PointOwner::Positive | PointOwner::Negative => Standing::Device,
    }
}

/// Joints on the same stud, itself included, as far as the file shows them: lugs that meet the same point.
fn on_its_stud(vehicle: &Vehicle, joint: &Joint) -> Vec<JointId> {
    // Many pieces meet a post, a stud or a bus, but only a free point is one stud, and a bus has several.
    let bus = joint.kind.fixing == Fixing::BusBolt;
    if vehicle.point(joint.point).owner != PointOwner::Free || joint.stack > 1 || bus {
        return vec![joint.this];
    }
    let lugs = vehicle.joints.iter().filter(|own| {
        own.this == joint.this
            || (own.point == joint.point
                && own.thread.is_some()
                && own.thread == joint.thread
                && matches!(own.of, JointOf::From(_) | JointOf::To(_)))
    });
    lugs.map(|own| own.this).collect()
}

/// The most that each joint carries in any state that is found.
fn most(vehicle: &Vehicle, joints: &[JointId]) -> Vec<Option<(Amperes, String)>> {
    let mut network = Network::new(vehicle);
    let points = network.operating_points();
    let found: Vec<_> =
        points.iter().filter(|point| point.convergence == Convergence::Reached).collect();
    let most_of = |joint: &JointId| {
        let carried = found.iter().map(|point| {
            let amps = point.piece(vehicle, Piece::Joint(*joint)).amps.abs();
            (amps, vehicle.state(point.state).id.clone())
        });
        carried.reduce(|most, own| if own.0 > most.0 { own } else { most })
    };
    joints.iter().map(most_of).collect()
}
