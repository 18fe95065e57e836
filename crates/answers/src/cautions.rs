//! Which cautions concern a piece of work: from what is done, and where, to rows of the catalogue.
//!
//! A file has no word for a seat-belt bolt. What a place is, is told by its name and by remarks on it
//! (the catalogue holds the words); where a new ground is bolted on, what holds for every bolt is said.

use std::collections::BTreeSet;

use catalogue::{Catalogue, Caution, Row, VerdictJudgements};
use diagnosis::{Action, Suspect, SuspectKind};
use model::{
    BatteryId, ConductorId, Engine, Joint, JointId, LoadKind, PointId, PointOwner, Vehicle,
};

use crate::family::{Family, families};

/// Welding on the vehicle.
pub const WELDING: &str = "welding";
/// Petrol vapour, and ignition protection.
pub const VAPOUR: &str = "petrol vapour";
/// Gas lockers.
pub const GAS: &str = "gas locker";
/// Bolts that are no ground.
pub const BOLTS: &str = "not these bolts";
/// A sensor or shunt on a battery post.
pub const SENSOR: &str = "battery sensor";
/// Fuses near batteries.
pub const FUSES: &str = "fuse near each battery";

/// All that are told where they concern, in the order in which they are told.
pub const ALL: [&str; 6] = [VAPOUR, GAS, BOLTS, SENSOR, FUSES, WELDING];

shape! {
    /// A caution, for other programs.
    #[derive(Eq)]
    pub struct CautionTold from (own: &'static Caution) {
        /// Its row in `catalogue cautions`.
        pub key: String = own.key().to_owned(),
        /// The caution in words.
        pub caution: String = own.caution.clone(),
        /// Where it comes from.
        pub source: String = own.provenance.source.clone(),
        /// How sure that is.
        pub confidence: &'static str = own.provenance.confidence.word(),
    }
}

/// Cautions for other programs.
#[must_use]
pub fn told(cautions: &[&'static Caution]) -> Vec<CautionTold> {
    cautions.iter().map(|own| CautionTold::of(own)).collect()
}

/// Each once, in the order of [`ALL`].
#[must_use]
pub fn together(all: impl IntoIterator<Item = Vec<&'static Caution>>) -> Vec<&'static Caution> {
    let keys: BTreeSet<&str> = all.into_iter().flatten().map(Row::key).collect();
    rows(&keys)
}

/// What has to hold while somebody measures and the engine does that (common practice).
#[must_use]
pub const fn while_measuring(engine: Engine) -> &'static str {
    match engine {
        Engine::Stands => {
            "Rings off; no spark and no flame near a battery. Leads clear of fans: they may start by \
             themselves."
        }
        Engine::Cranks => {
            "Cranking: out of gear, parking brake on, fuel or ignition off as the maker says; hands, \
             sleeves and leads clear of belts and fans. A few seconds at a time: cables and starter \
             heat in seconds. Rings off; no spark and no flame near a battery."
        }
        Engine::Runs => {
            "Engine running: out of gear, parking brake on; hands, sleeves and leads clear of belts \
             and fans. Exhaust out of the building. Rings off; no spark and no flame near a battery."
        }
    }
}

/// What concerns work on one vehicle.
#[derive(Debug)]
pub struct Cautions<'a> {
    vehicle: &'a Vehicle,
    families: Vec<Family>,
    /// For each point, what metal and parts in line join to it, and by which conductor.
    joined: Vec<Vec<(PointId, Option<ConductorId>)>>,
    diesel: bool,
}

impl<'a> Cautions<'a> {
    /// Those of this vehicle.
    #[must_use]
    pub fn of(vehicle: &'a Vehicle) -> Self {
        let mut joined = vec![Vec::new(); vehicle.points.len()];
        let mut join = |from: PointId, to: PointId, by| {
            joined[from.index()].push((to, by));
            joined[to.index()].push((from, by));
        };
        for (at, own) in vehicle.conductors.iter().enumerate() {
            let (from, to) = (vehicle.joint(own.from), vehicle.joint(own.to));
            join(from.point, to.point, Some(ConductorId::at(at)));
        }
        for own in &vehicle.inlines {
            join(own.from, own.to, None);
        }
        Self { vehicle, families: families(vehicle), joined, diesel: burns_diesel(vehicle) }
    }

    /// What concerns opening and closing a joint.
    #[must_use]
    pub fn at_joint(&self, joint: JointId) -> Vec<&'static Caution> {
        let joint = self.vehicle.joint(joint);
        let place = Place::of(self.vehicle, joint.point, Some(joint));
        let mut keys = self.of_a_spark(&place, false);
        // A feed that ends at a brake or a seat is no ground.
        if self.families[joint.point.index()] == Family::Return && place.is_named(BOLTS) {
            keys.insert(BOLTS);
        }
        if place.is_named(SENSOR) {
            keys.insert(SENSOR);
        }
        if joint.kind.is_welded() || place.is_named(WELDING) {
            keys.insert(WELDING);
        }
        if joint.of.conductor().is_some_and(|own| self.joins_two_batteries(own)) {
            keys.insert(FUSES);
        }
        rows(&keys)
    }

    /// What concerns taking a conductor off at both ends and fitting another.
    #[must_use]
    pub fn of_conductor(&self, conductor: ConductorId) -> Vec<&'static Caution> {
        let own = self.vehicle.conductor(conductor);
        together([self.at_joint(own.from), self.at_joint(own.to)])
    }

    /// What concerns a new conductor's end at a point.
    #[must_use]
    pub fn of_new_end(&self, point: PointId) -> Vec<&'static Caution> {
        let own = self.vehicle.point(point);
        let place = Place::of(self.vehicle, point, None);
        let mut keys = self.of_a_spark(&place, true);
        if self.families[point.index()] == Family::Feed {
            keys.insert(FUSES);
            return rows(&keys);
        }
        if matches!(own.owner, PointOwner::Structure(_)) {
            keys.extend([BOLTS, WELDING]);
        } else if place.is_named(BOLTS) {
            keys.insert(BOLTS);
        }
        let mut batteries = (0..self.vehicle.batteries.len()).map(BatteryId::at);
        let post = batteries.any(|own| self.vehicle.battery_terminals(own).1 == point);
        if post || place.is_named(SENSOR) {
            keys.insert(SENSOR);
        }
        rows(&keys)
    }

    /// What concerns a new conductor between two points.
    #[must_use]
    pub fn of_new(&self, from: PointId, to: PointId) -> Vec<&'static Caution> {
        together([self.of_new_end(from), self.of_new_end(to)])
    }

    /// What concerns a repair.
    #[must_use]
    pub fn of_action(&self, action: Action) -> Vec<&'static Caution> {
        match action {
            Action::Clean(joint) | Action::ReplaceEnd(joint) => self.at_joint(joint),
            Action::CleanBoth(conductor)
            | Action::Replace(conductor)
            | Action::Enlarge { conductor, .. } => self.of_conductor(conductor),
            Action::Add { from, to, .. } => self.of_new(from, to),
        }
    }

    /// What concerns whoever opens those suspects that are likely enough to be opened.
    #[must_use]
    pub fn of_suspects(&self, suspects: &[Suspect]) -> Vec<&'static Caution> {
        let from = VerdictJudgements::standard().opened_from.0;
        let opened = suspects.iter().filter(|own| own.probability >= from);
        together(opened.map(|own| match own.kind {
            SuspectKind::Joint(joint) => self.at_joint(joint),
            SuspectKind::Conductor(own) | SuspectKind::Open(own) => self.of_conductor(own),
            _ => Vec::new(),
        }))
    }

    /// What concerns whoever switches, cranks and sets probes and clamps anywhere on the vehicle.
    #[must_use]
    pub fn of_reading(&self) -> Vec<&'static Caution> {
        rows(&[VAPOUR].into_iter().filter(|key| self.is_everywhere(key)).collect())
    }

    /// What concerns whoever places fuses.
    #[must_use]
    pub fn of_fuses(&self) -> Vec<&'static Caution> {
        let mut keys: BTreeSet<&str> =
            [VAPOUR, GAS].into_iter().filter(|key| self.is_everywhere(key)).collect();
        if self.leaves_a_battery_unfused() {
            keys.insert(FUSES);
        }
        rows(&keys)
    }

    /// Whether some conductor begins at a battery's live post itself, before any fuse.
    fn leaves_a_battery_unfused(&self) -> bool {
        let own = self.vehicle;
        let mut posts = (0..own.batteries.len()).map(|at| {
            let (positive, negative) = own.battery_terminals(BatteryId::at(at));
            [positive, negative]
                .map(|post| (self.families[post.index()] == Family::Feed).then_some(post))
        });
        let live: Vec<PointId> = posts.by_ref().flatten().flatten().collect();
        let ends = own.conductors.iter().flat_map(|own| [own.from, own.to]);
        let mut points = ends.map(|end| own.joint(end).point);
        points.any(|point| live.contains(&point))
    }

    /// What may catch fire at a place.
    fn of_a_spark(&self, place: &Place<'_>, new: bool) -> BTreeSet<&'static str> {
        let mut keys = BTreeSet::new();
        if self.is_everywhere(VAPOUR) || (place.is_near(VAPOUR) && !self.diesel) {
            keys.insert(VAPOUR);
        }
        // A joint that is there already moves into no locker; a new one may be led into it.
        if place.is_near(GAS) || (new && self.is_everywhere(GAS)) {
            keys.insert(GAS);
        }
        keys
    }

    /// Whether a caution concerns every place of the vehicle.
    fn is_everywhere(&self, key: &str) -> bool {
        let own = self.vehicle;
        // Not the remark: a van that tows a boat is none.
        let called = [own.name.as_str(), own.environment.word()];
        let concerns = |row: &Caution| called.into_iter().any(|text| row.concerns_all_of(text));
        row(key).is_some_and(concerns) && (key != VAPOUR || !self.diesel)
    }

    /// Whether current from one battery's live post reaches another's through this conductor.
    fn joins_two_batteries(&self, conductor: ConductorId) -> bool {
        let own = self.vehicle.conductor(conductor);
        let posts: BTreeSet<PointId> = (0..self.vehicle.batteries.len())
            .map(|at| self.vehicle.battery_terminals(BatteryId::at(at)).0)
            .collect();
        if posts.len() < 2 {
            return false;
        }
        let reached = |joint: JointId| -> BTreeSet<PointId> {
            let met = self.within_reach(self.vehicle.joint(joint).point, conductor);
            met.intersection(&posts).copied().collect()
        };
        let (here, there) = (reached(own.from), reached(own.to));
        here.iter().any(|post| there.iter().any(|other| other != post))
    }

    /// The points that are joined to this one without a certain conductor.
    fn within_reach(&self, from: PointId, without: ConductorId) -> BTreeSet<PointId> {
        let mut met = BTreeSet::from([from]);
        let mut open = vec![from];
        while let Some(at) = open.pop() {
            for (next, by) in &self.joined[at.index()] {
                if *by != Some(without) && met.insert(*next) {
                    open.push(*next);
                }
            }
        }
        met
    }
}

fn row(key: &str) -> Option<&'static Caution> {
    Catalogue::standard().cautions.find(key)
}

/// The rows with these keys, in the order of [`ALL`].
#[must_use]
pub fn rows(keys: &BTreeSet<&str>) -> Vec<&'static Caution> {
    ALL.into_iter().filter(|key| keys.contains(key)).filter_map(row).collect()
}

/// What a file says of a place in words.
struct Place<'a> {
    /// Names and remarks of the point and of what is joined to it there.
    named: Vec<&'a str>,
    /// What it lies under.
    cover: Option<&'a str>,
}

impl<'a> Place<'a> {
    fn of(vehicle: &'a Vehicle, point: PointId, joint: Option<&'a Joint>) -> Self {
        let own = vehicle.point(point);
        let mut named = vec![own.id.as_str()];
        named.extend(own.note.as_deref());
        named.extend(joint.and_then(|joint| joint.note.as_deref()));
        // A shunt in the file is a part that begins at the post.
        let inline = vehicle.inlines.iter().filter(|part| part.from == point || part.to == point);
        named.extend(inline.map(|part| part.id.as_str()));
        let group = own.access.group.as_deref();
        let cover = vehicle.access_groups.iter().find(|cover| Some(cover.id.as_str()) == group);
        Self { named, cover: cover.map(|cover| cover.name.as_str()) }
    }

    fn is_named(&self, key: &str) -> bool {
        row(key).is_some_and(|row| self.named.iter().any(|text| row.speaks_of(text)))
    }

    /// Named so, or under a cover that is.
    fn is_near(&self, key: &str) -> bool {
        let cover = row(key).zip(self.cover).is_some_and(|(row, cover)| row.speaks_of(cover));
        cover || self.is_named(key)
    }
}

/// Whether the file says that the vehicle burns diesel, and nowhere that it burns petrol.
fn burns_diesel(vehicle: &Vehicle) -> bool {
    let names = vehicle.loads.iter().flat_map(|own| [own.id.as_str(), own.name.as_str()]);
    let structures = vehicle.structures.iter().map(|own| own.name.as_str());
    let notes = [Some(vehicle.name.as_str()), vehicle.note.as_deref()];
    let texts: Vec<String> =
        names.chain(structures).chain(notes.into_iter().flatten()).map(str::to_lowercase).collect();
    let says = |word: &str| texts.iter().any(|own| own.contains(word));
    let glows = vehicle.loads.iter().any(|own| own.kind == LoadKind::PreheatPlug);
    (glows || says("diesel")) && !says("petrol") && !says("gasoline")
}

#[cfg(test)]
mod tests;
