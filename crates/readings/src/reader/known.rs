//! The names of a vehicle as people type them, and help for those that it does not have.

use std::cell::Cell;
use std::collections::BTreeMap;
use std::ops::Range;

use model::{
    BatteryId, Code, ConductorId, InlineId, JointId, LoadId, PointId, Probe, Problem, RegulatedId,
    StateId, Vehicle,
};

use super::seen::lexicon;
use file::suggest::{did_you_mean, listed};

/// After this many suggestions no further ones are looked for: a file with more slips has one cause.
const MOST_SUGGESTIONS: usize = 60;

/// Words of their own that are like names of states: nobody meant those.
const REAL: &[&str] = &["charging", "engaging", "charge", "charged", "runner", "started", "starts"];

/// Something written, and where.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Said {
    pub text: String,
    pub place: Range<usize>,
}

/// What a probe may be held to, or a name may stand for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Thing {
    Point(PointId),
    Lug(JointId),
    /// The strand behind the crimp of a lug.
    Strand(JointId),
    Load(LoadId),
    Battery(BatteryId),
    Source(RegulatedId),
    Inline(InlineId),
    Conductor(ConductorId),
    Structure(usize),
}

/// Every name of a vehicle.
pub(super) struct Known<'v> {
    vehicle: &'v Vehicle,
    things: BTreeMap<String, Vec<Thing>>,
    states: BTreeMap<String, StateId>,
    suggestions: Cell<usize>,
}

/// One spelling for names that differ by case alone.
fn folded(name: &str) -> String {
    name.to_lowercase()
}

/// A state's name as one word: `Charging after a start` is `charging-after-a-start`.
fn slug(name: &str) -> String {
    let words = name.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty());
    words.map(folded).collect::<Vec<_>>().join("-")
}

impl<'v> Known<'v> {
    pub(super) fn new(vehicle: &'v Vehicle) -> Self {
        let mut things: BTreeMap<String, Vec<Thing>> = BTreeMap::new();
        let mut add = |name: String, thing: Thing| {
            // Under its own writing it is found first, whatever else differs by case alone.
            let other = folded(&name);
            if other != name {
                things.entry(other).or_default().push(thing);
            }
            things.entry(name).or_default().insert(0, thing);
        };
        for (at, structure) in vehicle.structures.iter().enumerate() {
            add(structure.id.clone(), Thing::Structure(at));
        }
        for conductor in &vehicle.conductors {
            add(conductor.id.clone(), Thing::Conductor(conductor.this));
        }
        for (at, part) in vehicle.inlines.iter().enumerate() {
            add(part.id.clone(), Thing::Inline(InlineId::at(at)));
            // A terminal that is joined straight to another point is a second name of that point.
            add(format!("{}/in", part.id), Thing::Point(part.from));
            add(format!("{}/out", part.id), Thing::Point(part.to));
        }
        for (at, source) in vehicle.regulated.iter().enumerate() {
            add(source.id.clone(), Thing::Source(RegulatedId::at(at)));
        }
        for (at, battery) in vehicle.batteries.iter().enumerate() {
            add(battery.id.clone(), Thing::Battery(BatteryId::at(at)));
        }
        for (at, load) in vehicle.loads.iter().enumerate() {
            add(load.id.clone(), Thing::Load(LoadId::at(at)));
        }
        for joint in &vehicle.joints {
            add(joint.id.clone(), Thing::Lug(joint.this));
            if joint.of.conductor().is_some() && !joint.of.is_crimp() {
                add(vehicle.probe_name(Probe::Strand(joint.this)), Thing::Strand(joint.this));
            }
        }
        for (at, point) in vehicle.points.iter().enumerate() {
            add(point.id.clone(), Thing::Point(PointId::at(at)));
        }
        let mut states = BTreeMap::new();
        for (at, state) in vehicle.states.iter().enumerate() {
            states.entry(slug(&state.id)).or_insert(StateId::at(at));
        }
        for (at, state) in vehicle.states.iter().enumerate() {
            states.entry(slug(&state.name)).or_insert(StateId::at(at));
        }
        for (word, own) in super::state::idioms() {
            if let Some(state) = vehicle.state_named(own) {
                states.entry(word.to_owned()).or_insert(state);
            }
        }
        states.remove("");
        Self { vehicle, things, states, suggestions: Cell::new(0) }
    }

    /// Names of one word that hyphens join, which people say as several.
    pub(super) fn hyphened(&self) -> impl Iterator<Item = &str> {
        let names = self.things.keys().map(String::as_str);
        names.filter(|own| own.contains('-') && !own.contains(['/', '.']))
    }

    fn named(&self, name: &str) -> &[Thing] {
        let exact = self.things.get(name);
        exact.or_else(|| self.things.get(&folded(name))).map_or(&[], Vec::as_slice)
    }

    /// True when anything but a state is called so.
    pub(super) fn knows(&self, name: &str) -> bool {
        !self.named(name).is_empty()
    }

    /// The state that these words name.
    pub(super) fn state(&self, words: &str) -> Option<StateId> {
        // `!cranking` and `cranking?` are not `cranking`.
        if words.contains(['!', '?', '¬', '~', '≠']) {
            return None;
        }
        self.states.get(&slug(words)).copied()
    }

    /// What a name stands for when a voltage or a resistance is measured.
    pub(super) fn place(&self, name: &str) -> Option<Thing> {
        self.named(name).first().copied()
    }

    pub(super) fn conductor(&self, name: &str) -> Option<ConductorId> {
        self.named(name).iter().find_map(|thing| match thing {
            Thing::Conductor(id) => Some(*id),
            _ => None,
        })
    }

    pub(super) fn load(&self, name: &str) -> Option<LoadId> {
        self.named(name).iter().find_map(|thing| match thing {
            Thing::Load(id) => Some(*id),
            _ => None,
        })
    }

    /// True for a battery and for its posts.
    pub(super) fn is_of_a_battery(&self, name: &str) -> bool {
        match self.place(name) {
            Some(Thing::Battery(_)) => true,
            Some(Thing::Point(id)) => {
                self.vehicle.batteries.iter().any(|own| own.positive == id || own.negative == id)
            }
            _ => false,
        }
    }

    pub(super) fn joint(&self, name: &str) -> Option<JointId> {
        self.named(name).iter().find_map(|thing| match thing {
            Thing::Lug(id) => Some(*id),
            _ => None,
        })
    }

    /// The two sides of a device or an in-line part, the red probe's first.
    pub(super) fn sides(&self, thing: Thing) -> Option<(PointId, PointId)> {
        match thing {
            Thing::Load(id) => {
                Some((self.vehicle.load(id).positive, self.vehicle.load(id).negative))
            }
            Thing::Battery(id) => {
                let battery = self.vehicle.battery(id);
                Some((battery.positive, battery.negative))
            }
            Thing::Source(id) => {
                let source = self.vehicle.regulated_source(id);
                Some((source.positive, source.negative))
            }
            Thing::Inline(id) => Some((self.vehicle.inline(id).from, self.vehicle.inline(id).to)),
            Thing::Point(_)
            | Thing::Lug(_)
            | Thing::Strand(_)
            | Thing::Conductor(_)
            | Thing::Structure(_) => None,
        }
    }

    /// The place of one probe, or why the name says too little.
    pub(super) fn probe(&self, said: &Said) -> Result<Probe, Problem> {
        match self.place(&said.text) {
            Some(Thing::Point(point)) => Ok(Probe::Point(point)),
            // A crimp's far side is the strand.
            Some(Thing::Lug(crimp)) if self.vehicle.joint(crimp).of.is_crimp() => {
                Ok(Probe::Strand(self.vehicle.face_of(crimp)))
            }
            Some(Thing::Lug(joint)) => Ok(Probe::Lug(joint)),
            Some(Thing::Strand(joint)) => Ok(Probe::Strand(joint)),
            Some(thing) => Err(self.too_little(said, thing)),
            None => Err(self.not_known(Code::UnknownPoint, said, "point")),
        }
    }

    pub(super) fn too_little(&self, said: &Said, thing: Thing) -> Problem {
        let name = &said.text;
        let point = |id: PointId| self.vehicle.point(id).id.as_str();
        let joint = |id: JointId| self.vehicle.joint(id).id.as_str();
        let (what, places) = match thing {
            Thing::Structure(at) => {
                let points = self.vehicle.structures[at].points.iter().map(|id| point(*id));
                ("is a structure with several points", listed(points))
            }
            Thing::Conductor(id) => {
                let conductor = self.vehicle.conductor(id);
                let ends = [conductor.from, conductor.to];
                let points = ends.map(|end| point(self.vehicle.joint(end).point));
                ("is a conductor with two ends", listed(points.into_iter().chain(ends.map(joint))))
            }
            other => {
                let sides = self.sides(other).map(|(a, b)| [point(a), point(b)]);
                ("has two terminals", listed(sides.into_iter().flatten()))
            }
        };
        Problem::error(
            Code::WhichTerminal,
            said.place.clone(),
            format!("`{name}` {what}"),
            format!("the place of the probe: one of {places}"),
        )
    }

    /// A name that nothing has, with the nearest one that something has.
    pub(super) fn not_known(&self, code: Code, said: &Said, what: &str) -> Problem {
        let mut problem = Problem::error(
            code,
            said.place.clone(),
            format!("there is no {what} `{}`", said.text),
            format!("the name of a {what} of the vehicle"),
        );
        problem.hint = self.suggestion(&said.text, what);
        problem
    }

    pub(super) fn unknown_state(&self, said: &Said) -> Problem {
        let own: Vec<&str> = self.vehicle.states.iter().map(|state| state.id.as_str()).collect();
        let mut problem = Problem::error(
            Code::UnknownState,
            said.place.clone(),
            format!("the vehicle has no state `{}`", said.text),
            format!("one of {}", listed(own.iter().copied())),
        );
        problem.hint = did_you_mean(&slug(&said.text), own).or_else(|| {
            Some(
                "the states of a vehicle are listed as `states` in its file's `[vehicle]`"
                    .to_owned(),
            )
        });
        problem
    }

    fn may_suggest(&self) -> bool {
        self.suggestions.set(self.suggestions.get().saturating_add(1));
        self.suggestions.get() <= MOST_SUGGESTIONS
    }

    fn suggestion(&self, name: &str, what: &str) -> Option<String> {
        if !self.may_suggest() {
            return None;
        }
        let fits = |thing: &Thing| match what {
            "conductor" => matches!(thing, Thing::Conductor(_)),
            "load" => matches!(thing, Thing::Load(_)),
            "joint" => matches!(thing, Thing::Lug(_)),
            "joint or conductor" => {
                matches!(thing, Thing::Lug(_) | Thing::Conductor(_) | Thing::Inline(_))
            }
            _ => !matches!(thing, Thing::Conductor(_) | Thing::Structure(_)),
        };
        let names = self.things.iter().filter(|(_, things)| things.iter().any(fits));
        did_you_mean(name, names.map(|(name, _)| name.as_str()))
    }

    /// True for a word that is no slip of a name but one with something before it: `nobody`, `uncharging`.
    fn says_more(&self, word: &str) -> bool {
        let word = folded(word);
        let rest = ["non", "no", "un", "any", "some", "every"].map(|own| word.strip_prefix(own));
        rest.into_iter().flatten().any(|rest| self.knows(rest) || self.state(rest).is_some())
    }

    /// The name or state nearest to a word that is neither, as a problem.
    pub(super) fn nearly(&self, said: &Said) -> Option<Problem> {
        if said.text.chars().count() < 3
            || self.state(&said.text).is_some()
            || self.says_more(&said.text)
            || lexicon::tag(&said.text.to_lowercase()).is_some()
            || REAL.iter().any(|own| said.text.eq_ignore_ascii_case(own))
            || !self.may_suggest()
        {
            return None;
        }
        let states = self.vehicle.states.iter().map(|state| state.id.as_str());
        let names = self.things.keys().map(String::as_str).chain(states);
        let hint = did_you_mean(&said.text, names)?;
        let problem = Problem::error(
            Code::UnknownName,
            said.place.clone(),
            format!("nothing is called `{}`", said.text),
            "the name of a point, a joint, a conductor, a device or a state of the vehicle",
        );
        Some(problem.hint(hint))
    }
}
