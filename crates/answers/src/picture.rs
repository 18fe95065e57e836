//! Everything that a drawing of the vehicle needs and that no current changes.

mod devices;

use std::collections::BTreeSet;

use catalogue::{Caution, Row};
use model::{
    ConductorKind, Earth, Engine, InlineKind, JointOf, PointId, PointOwner, StateId, Vehicle,
};
use serde::Serialize;
use utoipa::ToSchema;

use crate::cautions::{self, CautionTold, Cautions};
use crate::family::{Family, families};
use crate::place::places;
use crate::problem::Problem;
use devices::{loads, sources};

/// The answer of `picture`.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct Picture {
    /// The number of the contract.
    pub format: u32,
    /// Problems of the file.
    pub problems: Vec<Problem>,
    /// The drawing; null when the file has an error.
    pub drawing: Option<Drawing>,
}

/// A vehicle as it is drawn.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct Drawing {
    /// What it is called.
    pub name: String,
    /// Which pole is joined to the metal: `negative` or `positive`.
    pub earth: &'static str,
    /// Nominal voltage.
    pub nominal_volts: f64,
    /// Where it lives.
    pub environment: String,
    /// A remark.
    pub note: Option<String>,
    /// All points.
    pub points: Vec<DrawnPoint>,
    /// Bodies of metal.
    pub structures: Vec<DrawnStructure>,
    /// Pieces of those bodies.
    pub stretches: Vec<DrawnStretch>,
    /// Cables, braids, straps, bars.
    pub conductors: Vec<DrawnConductor>,
    /// Joints.
    pub joints: Vec<DrawnJoint>,
    /// Incidental paths.
    pub incidental: Vec<DrawnIncidental>,
    /// Fuses, switches, diodes.
    pub inline: Vec<DrawnInline>,
    /// Batteries.
    pub batteries: Vec<DrawnSource>,
    /// Other sources.
    pub sources: Vec<DrawnSource>,
    /// Loads.
    pub loads: Vec<DrawnLoad>,
    /// Operating states in the order of the file.
    pub states: Vec<DrawnState>,
    /// Covers that open several points at once.
    pub covers: Vec<DrawnCover>,
    /// Every caution that concerns work somewhere on this vehicle; the others name its key.
    pub cautions: Vec<CautionTold>,
    /// Keys of those that concern taking readings.
    pub reading_cautions: Vec<String>,
}

/// A point.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct DrawnPoint {
    /// Its name.
    pub id: String,
    /// `free`, `structure`, `positive` or `negative`.
    pub owner: &'static str,
    /// The structure that it is part of.
    pub structure: Option<String>,
    /// The device whose terminal it is.
    pub device: Option<String>,
    /// Metres forward of the middle of the front axle.
    pub forward: f64,
    /// Metres to the left of the middle line.
    pub left: f64,
    /// False where the file gives no place and one was worked out.
    pub placed: bool,
    /// True where a meter can reach it.
    pub reachable: bool,
    /// Time to get a meter there, its cover included.
    pub reach_seconds: Option<f64>,
    /// The cover that must be off.
    pub cover: Option<String>,
    /// Its side.
    pub family: Family,
    /// A remark.
    pub note: Option<String>,
    /// Keys of the cautions that concern a new conductor's end here.
    pub new_end_cautions: Vec<String>,
}

/// A body of metal.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct DrawnStructure {
    /// Its name in the file.
    pub id: String,
    /// What people call it.
    pub name: String,
    /// Its material.
    pub material: String,
    /// Its points.
    pub points: Vec<String>,
    /// A remark.
    pub note: Option<String>,
}

/// A piece of a body of metal.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct DrawnStretch {
    /// Its name.
    pub id: String,
    /// The structure.
    pub structure: String,
    /// One end.
    pub from: String,
    /// The other end.
    pub to: String,
    /// Its resistance.
    pub ohms: f64,
}

/// A conductor.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct DrawnConductor {
    /// Its name.
    pub id: String,
    /// The point at its beginning.
    pub from: String,
    /// The point at its end.
    pub to: String,
    /// The joint at its beginning.
    pub from_joint: String,
    /// The joint at its end.
    pub to_joint: String,
    /// `cable`, `braid`, `strap` or `bar`.
    pub kind: &'static str,
    /// Its size as written.
    pub size: Option<String>,
    /// Metal area.
    pub square_metres: Option<f64>,
    /// Its length.
    pub metres: Option<f64>,
    /// Its material.
    pub material: String,
    /// Its insulation.
    pub insulation: Option<String>,
    /// Its side.
    pub family: Family,
    /// The load or source whose lead it is.
    pub device: Option<String>,
    /// Its resistance at 20 °C, joints excluded.
    pub ohms: f64,
    /// False for a strap that the diagram does not show.
    pub on_diagram: bool,
    /// A remark.
    pub note: Option<String>,
}

/// A joint.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct DrawnJoint {
    /// Its name.
    pub id: String,
    /// The point that it joins to.
    pub point: String,
    /// The conductor that it is an end of.
    pub conductor: Option<String>,
    /// The device whose case it joins.
    pub device: Option<String>,
    /// The point on its own side, of a stud's foot or a mated pin.
    pub beside: Option<String>,
    /// Its kind.
    pub kind: String,
    /// Its resistance.
    pub ohms: f64,
    /// True when the file states the resistance.
    pub stated: bool,
    /// Thread.
    pub thread: Option<String>,
    /// Tightening torque.
    pub torque_newton_metres: Option<f64>,
    /// Finish of the faces.
    pub finish: Option<String>,
    /// What keeps water off.
    pub protection: Option<String>,
    /// Terminals on the same stud.
    pub stack: u32,
    /// When it was last serviced.
    pub serviced: Option<String>,
    /// A remark.
    pub note: Option<String>,
    /// Keys of the cautions that concern work on it.
    pub cautions: Vec<String>,
}

/// An incidental path.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct DrawnIncidental {
    /// Its name.
    pub id: String,
    /// Its kind.
    pub kind: String,
    /// One end.
    pub from: String,
    /// The other end.
    pub to: String,
    /// Its resistance.
    pub ohms: f64,
    /// The current above which damage must be feared.
    pub damage_amps: Option<f64>,
}

/// A fuse, switch or diode.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct DrawnInline {
    /// Its name.
    pub id: String,
    /// What it is called in the trade.
    pub make: String,
    /// `fuse`, `switch` or `diode`.
    pub kind: &'static str,
    /// The point on the source's side.
    pub from: String,
    /// The point on the load's side.
    pub to: String,
    /// Its resistance when conducting.
    pub ohms: f64,
    /// Its marked current, for a fuse.
    pub rating_amps: Option<f64>,
    /// States in which it is closed; null for always.
    pub closed: Option<Vec<String>>,
    /// Its side.
    pub family: Family,
}

/// A battery or another source.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct DrawnSource {
    /// Its name.
    pub id: String,
    /// `battery`, `alternator`, `charger`, `solar` or `converter`.
    pub kind: &'static str,
    /// Its positive terminal.
    pub positive: String,
    /// Its negative terminal.
    pub negative: String,
    /// A remark.
    pub note: Option<String>,
}

/// A load.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct DrawnLoad {
    /// Its name in the file.
    pub id: String,
    /// What people call it.
    pub name: String,
    /// What it is.
    pub kind: &'static str,
    /// Its positive terminal.
    pub positive: String,
    /// Its negative terminal, or its case.
    pub negative: String,
    /// States in which it is on.
    pub on: Vec<String>,
    /// The least voltage at which it does its job.
    pub minimum_volts: Option<f64>,
    /// `comfort`, `ordinary` or `vital`.
    pub importance: &'static str,
    /// A remark.
    pub note: Option<String>,
}

/// An operating state.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct DrawnState {
    /// Its name in the file.
    pub id: String,
    /// What people call it.
    pub name: String,
    /// How long it usually lasts; null for hours.
    pub seconds: Option<f64>,
    /// What the engine does, for cautions: `stands`, `cranks` or `runs`.
    pub engine: &'static str,
}

/// A cover that opens several points at once.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct DrawnCover {
    /// Its name in the file.
    pub id: String,
    /// What has to come off.
    pub name: String,
    /// Time to take it off and put it back.
    pub seconds: f64,
}

/// The drawing of a file that was read.
#[must_use]
pub fn of(reading: &file::Reading, text: &str) -> Picture {
    Picture {
        format: crate::FORMAT,
        problems: crate::problem::of(&reading.problems, text),
        drawing: reading.vehicle.as_ref().map(drawing),
    }
}

/// The drawing of a vehicle.
#[must_use]
pub fn drawing(vehicle: &Vehicle) -> Drawing {
    let families = families(vehicle);
    let family = |point: PointId| families[point.index()];
    let name = |point: PointId| vehicle.point(point).id.clone();
    let state = |id: &StateId| vehicle.state(*id).id.clone();
    let structures = vehicle.structures.iter();
    let stretches = vehicle.stretches.iter();
    let incidental = vehicle.incidentals.iter();
    let batteries = vehicle.batteries.iter();
    let states = vehicle.states.iter();
    let covers = vehicle.access_groups.iter();
    let all = Cautions::of(vehicle);
    let points = points(vehicle, &families, &all);
    let joints = joints(vehicle, &all);
    let reading_cautions = keys(&all.of_reading());
    Drawing {
        name: vehicle.name.clone(),
        earth: if vehicle.earth == Earth::Negative { "negative" } else { "positive" },
        nominal_volts: vehicle.nominal.0,
        environment: vehicle.environment.to_string(),
        note: vehicle.note.clone(),
        structures: structures
            .map(|own| DrawnStructure {
                id: own.id.clone(),
                name: own.name.clone(),
                material: own.material.to_string(),
                points: own.points.iter().map(|point| name(*point)).collect(),
                note: own.note.clone(),
            })
            .collect(),
        stretches: stretches
            .map(|own| DrawnStretch {
                id: own.id.clone(),
                structure: vehicle.structures[own.structure as usize].id.clone(),
                from: name(own.from),
                to: name(own.to),
                ohms: own.resistance.0,
            })
            .collect(),
        conductors: conductors(vehicle, &families),
        incidental: incidental
            .map(|own| DrawnIncidental {
                id: own.id.clone(),
                kind: own.kind.to_string(),
                from: name(own.from),
                to: name(own.to),
                ohms: own.resistance.0,
                damage_amps: own.damage.map(|amps| amps.0),
            })
            .collect(),
        inline: inline(vehicle, family),
        batteries: batteries
            .map(|own| DrawnSource {
                id: own.id.clone(),
                kind: "battery",
                positive: name(own.positive),
                negative: name(own.negative),
                note: own.note.clone(),
            })
            .collect(),
        sources: sources(vehicle),
        loads: loads(vehicle, state),
        states: states
            .enumerate()
            .map(|(at, own)| DrawnState {
                id: own.id.clone(),
                name: own.name.clone(),
                seconds: own.duration.map(|seconds| seconds.0),
                engine: engine(vehicle, StateId::at(at)),
            })
            .collect(),
        covers: covers
            .map(|own| DrawnCover {
                id: own.id.clone(),
                name: own.name.clone(),
                seconds: own.time.0,
            })
            .collect(),
        cautions: used(&points, &joints, &reading_cautions),
        reading_cautions,
        points,
        joints,
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

fn points(vehicle: &Vehicle, families: &[Family], cautions: &Cautions<'_>) -> Vec<DrawnPoint> {
    let places = places(vehicle);
    let listed = vehicle.points.iter().enumerate().zip(places);
    listed
        .map(|((at, own), (place, placed))| {
            let (owner, structure) = match own.owner {
                PointOwner::Free => ("free", None),
                PointOwner::Structure(id) => {
                    ("structure", Some(vehicle.structures[id as usize].id.clone()))
                }
                PointOwner::Positive => ("positive", None),
                PointOwner::Negative => ("negative", None),
            };
            let id = PointId::at(at);
            DrawnPoint {
                id: own.id.clone(),
                owner,
                structure,
                device: device_at(vehicle, id),
                forward: place.forward.0,
                left: place.left.0,
                placed,
                reachable: !own.access.out_of_reach,
                reach_seconds: vehicle.reach_time(id).map(|time| time.0),
                cover: own.access.group.clone(),
                family: families[at],
                note: own.note.clone(),
                new_end_cautions: keys(&cautions.of_new_end(id)),
            }
        })
        .collect()
}

fn device_at(vehicle: &Vehicle, point: PointId) -> Option<String> {
    let batteries = vehicle.batteries.iter().map(|own| (own.positive, own.negative, &own.id));
    let sources = vehicle.regulated.iter().map(|own| (own.positive, own.negative, &own.id));
    let loads = vehicle.loads.iter().map(|own| (own.positive, own.negative, &own.id));
    let owner = |(plus, minus, _): &(PointId, PointId, &String)| *plus == point || *minus == point;
    batteries.chain(sources).chain(loads).find(owner).map(|(_, _, id)| id.clone())
}

fn conductors(vehicle: &Vehicle, families: &[Family]) -> Vec<DrawnConductor> {
    let leads_of = |id: &str| {
        let (device, _) = id.rsplit_once('.')?;
        let known = vehicle.loads.iter().any(|own| own.id == device)
            || vehicle.regulated.iter().any(|own| own.id == device);
        known.then(|| device.to_owned())
    };
    let conductors = vehicle.conductors.iter();
    conductors
        .map(|own| {
            let (from, to) = (vehicle.joint(own.from), vehicle.joint(own.to));
            DrawnConductor {
                id: own.id.clone(),
                from: vehicle.point(from.point).id.clone(),
                to: vehicle.point(to.point).id.clone(),
                from_joint: from.id.clone(),
                to_joint: to.id.clone(),
                kind: match own.kind {
                    ConductorKind::Cable => "cable",
                    ConductorKind::Braid => "braid",
                    ConductorKind::Strap => "strap",
                    ConductorKind::Bar => "bar",
                },
                size: own.size.map(|size| size.to_string()),
                square_metres: own.area.map(|area| area.0),
                metres: own.length.map(|length| length.0),
                material: own.material.to_string(),
                insulation: own.insulation.map(|row| row.to_string()),
                family: families[from.point.index()],
                device: leads_of(&own.id),
                ohms: own.resistance_at_20.0,
                on_diagram: own.on_diagram,
                note: own.note.clone(),
            }
        })
        .collect()
}

fn joints(vehicle: &Vehicle, cautions: &Cautions<'_>) -> Vec<DrawnJoint> {
    let joints = vehicle.joints.iter();
    joints
        .map(|own| {
            let (conductor, device) = match own.of {
                JointOf::From(id) | JointOf::To(id) => (Some(&vehicle.conductor(id).id), None),
                JointOf::LoadCase(id) => (None, Some(&vehicle.load(id).id)),
                JointOf::SourceCase(id) => (None, Some(&vehicle.regulated_source(id).id)),
                JointOf::Between(_) => (None, None),
            };
            DrawnJoint {
                id: own.id.clone(),
                point: vehicle.point(own.point).id.clone(),
                conductor: conductor.cloned(),
                device: device.cloned(),
                beside: match own.of {
                    JointOf::Between(point) => Some(vehicle.point(point).id.clone()),
                    _ => None,
                },
                kind: own.kind.to_string(),
                ohms: own.resistance.0,
                stated: own.stated,
                thread: own.thread.map(|row| row.to_string()),
                torque_newton_metres: own.torque.map(|torque| torque.0),
                finish: own.finish.as_ref().map(ToString::to_string),
                protection: own.protection.map(|row| row.to_string()),
                stack: own.stack,
                serviced: own.serviced.clone(),
                note: own.note.clone(),
                cautions: keys(&cautions.at_joint(own.this)),
            }
        })
        .collect()
}

fn inline(vehicle: &Vehicle, family: impl Fn(PointId) -> Family) -> Vec<DrawnInline> {
    let parts = vehicle.inlines.iter();
    parts
        .map(|own| {
            let (kind, rating_amps, closed) = match &own.kind {
                InlineKind::Fuse { rating, .. } => ("fuse", rating.map(|amps| amps.0), None),
                InlineKind::Switch { closed } => {
                    let states = closed.iter().map(|id| vehicle.state(*id).id.clone());
                    ("switch", None, Some(states.collect()))
                }
                InlineKind::Shunt => ("shunt", None, None),
                InlineKind::Diode { .. } => ("diode", None, None),
            };
            DrawnInline {
                id: own.id.clone(),
                make: own.make.clone(),
                kind,
                from: vehicle.point(own.from).id.clone(),
                to: vehicle.point(own.to).id.clone(),
                ohms: own.resistance.0,
                rating_amps,
                closed,
                family: family(own.from),
            }
        })
        .collect()
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
