//! Everything that a drawing of the vehicle needs and that no current changes.

use std::collections::BTreeSet;

use catalogue::{Caution, Row};
use model::{
    AccessGroup, Conductor, ConductorKind, Earth, Engine, Importance, Incidental, Inline,
    InlineKind, Joint, JointOf, Load, Place, PointId, PointOwner, RegulatedKind, StateId, Stretch,
    Structure, Vehicle,
};

use crate::cautions::{self, CautionTold, Cautions};
use crate::family::{Family, families};
use crate::place::places;
use crate::problem::Problem;
use crate::shape::each;

shape! {
    /// The answer of `picture`.
    pub struct Picture from pub (reading: &file::Reading, text: &str) {
        /// The number of the contract.
        pub format: u32 = crate::FORMAT,
        /// Problems of the file.
        pub problems: Vec<Problem> = crate::problem::of(&reading.problems, text),
        /// The drawing; null when the file has an error.
        pub drawing: Option<Drawing> = reading.vehicle.as_ref().map(Drawing::of),
    }

    /// A vehicle as it is drawn.
    pub struct Drawing from pub (vehicle: &Vehicle) {
        let families = families(vehicle);
        let all = Cautions::of(vehicle);
        let reading_cautions = keys(&all.of_reading());
        let places = (0..).map(PointId::at).zip(places(vehicle));
        let points = places.map(|own| DrawnPoint::of(vehicle, &families, &all, own)).collect::<Vec<_>>();
        let joints = each((vehicle, &all), &vehicle.joints, DrawnJoint::of);
        let states = (0..vehicle.states.len()).map(StateId::at);
        let cautions = used(&points, &joints, &reading_cautions);
        /// What it is called.
        pub name: String = vehicle.name.clone(),
        /// Which pole is joined to the metal: `negative` or `positive`.
        pub earth: &'static str =
            if vehicle.earth == Earth::Negative { "negative" } else { "positive" },
        /// Nominal voltage.
        pub nominal_volts: f64 = vehicle.nominal.0,
        /// Where it lives.
        pub environment: String = vehicle.environment.to_string(),
        /// A remark.
        pub note: Option<String> = vehicle.note.clone(),
        /// All points.
        pub points: Vec<DrawnPoint> = points,
        /// Bodies of metal.
        pub structures: Vec<DrawnStructure> =
            each(vehicle, &vehicle.structures, DrawnStructure::of),
        /// Pieces of those bodies.
        pub stretches: Vec<DrawnStretch> = each(vehicle, &vehicle.stretches, DrawnStretch::of),
        /// Cables, braids, straps, bars.
        pub conductors: Vec<DrawnConductor> =
            each((vehicle, &*families), &vehicle.conductors, DrawnConductor::of),
        /// Joints.
        pub joints: Vec<DrawnJoint> = joints,
        /// Incidental paths.
        pub incidental: Vec<DrawnIncidental> =
            each(vehicle, &vehicle.incidentals, DrawnIncidental::of),
        /// Fuses, switches, diodes.
        pub inline: Vec<DrawnInline> =
            each((vehicle, &*families), &vehicle.inlines, DrawnInline::of),
        /// Batteries.
        pub batteries: Vec<DrawnSource> = each(vehicle, &vehicle.batteries, |vehicle, own| {
            DrawnSource::of(vehicle, "battery", &own.id, [own.positive, own.negative], &own.note)
        }),
        /// Other sources.
        pub sources: Vec<DrawnSource> = each(vehicle, &vehicle.regulated, |vehicle, own| {
            let kind = match own.kind {
                RegulatedKind::Alternator => "alternator",
                RegulatedKind::Charger => "charger",
                RegulatedKind::Solar => "solar",
                RegulatedKind::Converter => "converter",
                RegulatedKind::Equaliser => "equaliser",
            };
            DrawnSource::of(vehicle, kind, &own.id, [own.positive, own.negative], &own.note)
        }),
        /// Loads.
        pub loads: Vec<DrawnLoad> = each(vehicle, &vehicle.loads, DrawnLoad::of),
        /// Operating states in the order of the file.
        pub states: Vec<DrawnState> = each(vehicle, states, DrawnState::of),
        /// Covers that open several points at once.
        pub covers: Vec<DrawnCover> = vehicle.access_groups.iter().map(DrawnCover::of).collect(),
        /// Every caution that concerns work somewhere on this vehicle; the others name its key.
        pub cautions: Vec<CautionTold> = cautions,
        /// Keys of those that concern taking readings.
        pub reading_cautions: Vec<String> = reading_cautions,
    }

    /// A point.
    pub struct DrawnPoint from (
        vehicle: &Vehicle, families: &[Family], cautions: &Cautions<'_>,
        at: (PointId, (Place, bool)),
    ) {
        let (id, (place, placed)) = at;
        let own = vehicle.point(id);
        let (owner, structure) = match own.owner {
            PointOwner::Free => ("free", None),
            PointOwner::Structure(id) => ("structure", Some(vehicle.structures[id as usize].id.clone())),
            PointOwner::Positive => ("positive", None),
            PointOwner::Negative => ("negative", None),
        };
        /// Its name.
        pub id: String = own.id.clone(),
        /// `free`, `structure`, `positive` or `negative`.
        pub owner: &'static str = owner,
        /// The structure that it is part of.
        pub structure: Option<String> = structure,
        /// The device whose terminal it is.
        pub device: Option<String> = device_at(vehicle, id),
        /// Metres forward of the middle of the front axle.
        pub forward: f64 = place.forward.0,
        /// Metres to the left of the middle line.
        pub left: f64 = place.left.0,
        /// False where the file gives no place and one was worked out.
        pub placed: bool = placed,
        /// True where a meter can reach it.
        pub reachable: bool = !own.access.out_of_reach,
        /// Time to get a meter there, its cover included.
        pub reach_seconds: Option<f64> = vehicle.reach_time(id).map(|time| time.0),
        /// The cover that must be off.
        pub cover: Option<String> = own.access.group.clone(),
        /// Its side.
        pub family: Family = families[id.index()],
        /// A remark.
        pub note: Option<String> = own.note.clone(),
        /// Keys of the cautions that concern a new conductor's end here.
        pub new_end_cautions: Vec<String> = keys(&cautions.of_new_end(id)),
    }

    /// A body of metal.
    pub struct DrawnStructure from (vehicle: &Vehicle, own: &Structure) {
        /// Its name in the file.
        pub id: String = own.id.clone(),
        /// What people call it.
        pub name: String = own.name.clone(),
        /// Its material.
        pub material: String = own.material.to_string(),
        /// Its points.
        pub points: Vec<String> =
            own.points.iter().map(|point| vehicle.point(*point).id.clone()).collect(),
        /// A remark.
        pub note: Option<String> = own.note.clone(),
    }

    /// A piece of a body of metal.
    pub struct DrawnStretch from (vehicle: &Vehicle, own: &Stretch) {
        /// Its name.
        pub id: String = own.id.clone(),
        /// The structure.
        pub structure: String = vehicle.structures[own.structure as usize].id.clone(),
        /// One end.
        pub from: String = vehicle.point(own.from).id.clone(),
        /// The other end.
        pub to: String = vehicle.point(own.to).id.clone(),
        /// Its resistance.
        pub ohms: f64 = own.resistance.0,
    }

    /// A conductor.
    pub struct DrawnConductor from (at: (&Vehicle, &[Family]), own: &Conductor) {
        let (vehicle, families) = at;
        let (from, to) = (vehicle.joint(own.from), vehicle.joint(own.to));
        /// Its name.
        pub id: String = own.id.clone(),
        /// The point at its beginning.
        pub from: String = vehicle.point(from.point).id.clone(),
        /// The point at its end.
        pub to: String = vehicle.point(to.point).id.clone(),
        /// The joint at its beginning.
        pub from_joint: String = from.id.clone(),
        /// The joint at its end.
        pub to_joint: String = to.id.clone(),
        /// `cable`, `braid`, `strap` or `bar`.
        pub kind: &'static str = match own.kind {
            ConductorKind::Cable => "cable",
            ConductorKind::Braid => "braid",
            ConductorKind::Strap => "strap",
            ConductorKind::Bar => "bar",
        },
        /// Its size as written.
        pub size: Option<String> = own.size.map(|size| size.to_string()),
        /// Metal area.
        pub square_metres: Option<f64> = own.area.map(|area| area.0),
        /// Its length.
        pub metres: Option<f64> = own.length.map(|length| length.0),
        /// Its material.
        pub material: String = own.material.to_string(),
        /// Its insulation.
        pub insulation: Option<String> = own.insulation.map(|row| row.to_string()),
        /// Its side.
        pub family: Family = families[from.point.index()],
        /// The load or source whose lead it is.
        pub device: Option<String> = lead_of(vehicle, &own.id),
        /// Its resistance at 20 °C, joints excluded.
        pub ohms: f64 = own.resistance_at_20.0,
        /// False for a strap that the diagram does not show.
        pub on_diagram: bool = own.on_diagram,
        /// A remark.
        pub note: Option<String> = own.note.clone(),
    }

    /// A joint.
    pub struct DrawnJoint from (at: (&Vehicle, &Cautions<'_>), own: &Joint) {
        let (vehicle, cautions) = at;
        let (conductor, device) = match own.of {
            JointOf::LoadCase(id) => (None, Some(&vehicle.load(id).id)),
            JointOf::SourceCase(id) => (None, Some(&vehicle.regulated_source(id).id)),
            of => (of.conductor().map(|id| &vehicle.conductor(id).id), None),
        };
        /// Its name.
        pub id: String = own.id.clone(),
        /// The point that it joins to.
        pub point: String = vehicle.point(own.point).id.clone(),
        /// The conductor that it is an end of.
        pub conductor: Option<String> = conductor.cloned(),
        /// The device whose case it joins.
        pub device: Option<String> = device.cloned(),
        /// The point on its own side, of a stud's foot or a mated pin.
        pub beside: Option<String> = match own.of {
            JointOf::Between(point) => Some(vehicle.point(point).id.clone()),
            _ => None,
        },
        /// Its kind.
        pub kind: String = own.kind.to_string(),
        /// Its resistance.
        pub ohms: f64 = own.resistance.0,
        /// True when the file states the resistance.
        pub stated: bool = own.stated,
        /// Thread.
        pub thread: Option<String> = own.thread.map(|row| row.to_string()),
        /// Tightening torque.
        pub torque_newton_metres: Option<f64> = own.torque.map(|torque| torque.0),
        /// Finish of the faces.
        pub finish: Option<String> = own.finish.as_ref().map(ToString::to_string),
        /// What keeps water off.
        pub protection: Option<String> = own.protection.map(|row| row.to_string()),
        /// Terminals on the same stud.
        pub stack: u32 = own.stack,
        /// When it was last serviced.
        pub serviced: Option<String> = own.serviced.clone(),
        /// A remark.
        pub note: Option<String> = own.note.clone(),
        /// Keys of the cautions that concern work on it.
        pub cautions: Vec<String> = keys(&cautions.at_joint(own.this)),
    }

    /// An incidental path.
    pub struct DrawnIncidental from (vehicle: &Vehicle, own: &Incidental) {
        /// Its name.
        pub id: String = own.id.clone(),
        /// Its kind.
        pub kind: String = own.kind.to_string(),
        /// One end.
        pub from: String = vehicle.point(own.from).id.clone(),
        /// The other end.
        pub to: String = vehicle.point(own.to).id.clone(),
        /// Its resistance.
        pub ohms: f64 = own.resistance.0,
        /// The current above which damage must be feared.
        pub damage_amps: Option<f64> = own.damage.map(|amps| amps.0),
    }

    /// A fuse, switch or diode.
    pub struct DrawnInline from (at: (&Vehicle, &[Family]), own: &Inline) {
        let (vehicle, families) = at;
        let (kind, rating_amps, closed) = match &own.kind {
            InlineKind::Fuse { rating, .. } => ("fuse", rating.map(|amps| amps.0), None),
            InlineKind::Switch { closed } => {
                let states = closed.iter().map(|id| vehicle.state(*id).id.clone());
                ("switch", None, Some(states.collect()))
            }
            InlineKind::Shunt => ("shunt", None, None),
            InlineKind::Diode { .. } => ("diode", None, None),
        };
        /// Its name.
        pub id: String = own.id.clone(),
        /// What it is called in the trade.
        pub make: String = own.make.clone(),
        /// `fuse`, `switch`, `shunt` or `diode`.
        pub kind: &'static str = kind,
        /// The point on the source's side.
        pub from: String = vehicle.point(own.from).id.clone(),
        /// The point on the load's side.
        pub to: String = vehicle.point(own.to).id.clone(),
        /// Its resistance when conducting.
        pub ohms: f64 = own.resistance.0,
        /// Its marked current, for a fuse.
        pub rating_amps: Option<f64> = rating_amps,
        /// States in which it is closed; null for always.
        pub closed: Option<Vec<String>> = closed,
        /// Its side.
        pub family: Family = families[own.from.index()],
    }

    /// A battery or another source.
    pub struct DrawnSource from (
        vehicle: &Vehicle, kind: &'static str, id: &str, ends: [PointId; 2], note: &Option<String>,
    ) {
        let [positive, negative] = ends.map(|end| vehicle.point(end).id.clone());
        /// Its name.
        pub id: String = id.to_owned(),
        /// `battery`, `alternator`, `charger`, `solar` or `converter`.
        pub kind: &'static str = kind,
        /// Its positive terminal.
        pub positive: String = positive,
        /// Its negative terminal.
        pub negative: String = negative,
        /// A remark.
        pub note: Option<String> = note.clone(),
    }

    /// A load.
    pub struct DrawnLoad from (vehicle: &Vehicle, own: &Load) {
        /// Its name in the file.
        pub id: String = own.id.clone(),
        /// What people call it.
        pub name: String = own.name.clone(),
        /// What it is.
        pub kind: &'static str = own.kind.word(),
        /// True for a motor of any kind.
        pub turns: bool = own.kind.turns(),
        /// Its positive terminal.
        pub positive: String = vehicle.point(own.positive).id.clone(),
        /// Its negative terminal, or its case.
        pub negative: String = vehicle.point(own.negative).id.clone(),
        /// States in which it is on.
        pub on: Vec<String> = own.on.iter().map(|id| vehicle.state(*id).id.clone()).collect(),
        /// The least voltage at which it does its job.
        pub minimum_volts: Option<f64> = own.minimum.map(|volts| volts.0),
        /// `comfort`, `ordinary` or `vital`.
        pub importance: &'static str = match own.importance {
            Importance::Comfort => "comfort",
            Importance::Ordinary => "ordinary",
            Importance::Vital => "vital",
        },
        /// A remark.
        pub note: Option<String> = own.note.clone(),
    }

    /// An operating state.
    pub struct DrawnState from (vehicle: &Vehicle, id: StateId) {
        let own = vehicle.state(id);
        /// Its name in the file.
        pub id: String = own.id.clone(),
        /// What people call it.
        pub name: String = own.name.clone(),
        /// How long it usually lasts; null for hours.
        pub seconds: Option<f64> = own.duration.map(|seconds| seconds.0),
        /// What the engine does, for cautions: `stands`, `cranks` or `runs`.
        pub engine: &'static str = engine(vehicle, id),
        /// What has to hold while a reading is taken in it, in words.
        pub caution: &'static str = cautions::while_measuring(vehicle.engine_in(id)),
    }

    /// A cover that opens several points at once.
    pub struct DrawnCover from (own: &AccessGroup) {
        /// Its name in the file.
        pub id: String = own.id.clone(),
        /// What has to come off.
        pub name: String = own.name.clone(),
        /// Time to take it off and put it back.
        pub seconds: f64 = own.time.0,
    }
}

fn keys(all: &[&'static Caution]) -> Vec<String> {
    all.iter().map(|own| own.key().to_owned()).collect()
}

/// Every caution that something of the drawing names.
fn used(points: &[DrawnPoint], joints: &[DrawnJoint], others: &[String]) -> Vec<CautionTold> {
    let of_points = points.iter().flat_map(|own| &own.new_end_cautions);
    let of_joints = joints.iter().flat_map(|own| &own.cautions);
    let all: BTreeSet<&str> =
        of_points.chain(of_joints).chain(others).map(String::as_str).collect();
    cautions::told(&cautions::rows(&all))
}

fn device_at(vehicle: &Vehicle, point: PointId) -> Option<String> {
    let batteries = vehicle.batteries.iter().map(|own| (own.positive, own.negative, &own.id));
    let sources = vehicle.regulated.iter().map(|own| (own.positive, own.negative, &own.id));
    let loads = vehicle.loads.iter().map(|own| (own.positive, own.negative, &own.id));
    let owner = |(plus, minus, _): &(PointId, PointId, &String)| *plus == point || *minus == point;
    batteries.chain(sources).chain(loads).find(owner).map(|(_, _, id)| id.clone())
}

fn lead_of(vehicle: &Vehicle, id: &str) -> Option<String> {
    let (device, _) = id.rsplit_once('.')?;
    let known = vehicle.loads.iter().any(|own| own.id == device)
        || vehicle.regulated.iter().any(|own| own.id == device);
    known.then(|| device.to_owned())
}

/// What the engine does: whoever measures then has to know.
fn engine(vehicle: &Vehicle, state: StateId) -> &'static str {
    match vehicle.engine_in(state) {
        Engine::Cranks => "cranks",
        Engine::Stands => "stands",
        Engine::Runs => "runs",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whoever_measures_is_told_what_the_engine_does() {
        let file = file::read(include_bytes!("../../../examples/rescue-ambulance.toml"));
        let vehicle = file.vehicle.expect("the example has no error");
        let told =
            |id: &str| engine(&vehicle, vehicle.state_named(id).expect("a state of the example"));
        assert_eq!([told("resting"), told("preheat")], ["stands"; 2]);
        assert_eq!(told("cranking"), "cranks");
        assert_eq!([told("idle"), told("running"), told("winching")], ["runs"; 3]);
    }
}
