//! Operating states: the trade's own, those that the file adds, and which of them are solved.

use std::collections::{BTreeMap, BTreeSet};

use catalogue::DutyJudgements;
use model::{AlternatorMode, Code, Problem, State, StateId};
use units::{Dimension, Kelvin, Ratio, Seconds};

use crate::defaults::taken;
use crate::document::{Entry, Named};
use crate::suggest::{did_you_mean, worthwhile};

/// Everything known about one state before it is decided whether it is solved.
#[derive(Debug, Clone)]
pub(crate) struct KnownState {
    pub state: State,
    /// State of charge of all batteries, as the file says it.
    pub charge: Option<Ratio>,
    /// State of charge of batteries of which the file says nothing.
    pub usual_charge: Option<Ratio>,
    /// Kelvin by which it is warmer beside the engine than in the air.
    engine_rise: f64,
    /// The file's own word on the temperature beside the engine, and of the batteries.
    engine_space: Option<Kelvin>,
    batteries: Option<Kelvin>,
    /// Solved where the file lists it alone.
    asked_for: bool,
    /// The state it began as a copy of: loads and switches that name that one hold here too.
    like: Option<String>,
    pub on: Vec<String>,
    pub off: Vec<String>,
    pub closed: Vec<String>,
    pub open: Vec<String>,
}

/// All states of a file, and those that are solved.
#[derive(Debug)]
pub(crate) struct States {
    pub known: Vec<KnownState>,
    pub solved: Vec<usize>,
}

/// id, name, alternators, duration in seconds, kelvin by which it is warmer beside the engine.
type Trade = (&'static str, &'static str, AlternatorMode, Option<f64>, f64);

const TRADE: [Trade; 7] = [
    ("resting", "resting", AlternatorMode::Off, None, 0.0),
    ("key-on", "key on, engine off", AlternatorMode::Off, None, 0.0),
    ("preheat", "preheat", AlternatorMode::Off, Some(60.0), 0.0),
    ("cranking", "cranking", AlternatorMode::Off, Some(10.0), 0.0),
    ("idle", "idle", AlternatorMode::Idle, None, 50.0),
    ("running", "running", AlternatorMode::Full, None, 60.0),
    ("charging", "charging", AlternatorMode::Full, None, 60.0),
];

/// True for a state of the trade, which a file need not define.
#[must_use]
pub fn is_known_state(name: &str) -> bool {
    TRADE.iter().any(|(id, ..)| *id == name) || [REPEATED, FIRST_MOMENT].contains(&name)
}

/// The last of several cranks, one after the other, of a warm engine.
const REPEATED: &str = "repeated-cranking";
/// The first moment of preheating.
const FIRST_MOMENT: &str = "preheat-inrush";
/// For how long plugs and lamps take their first current, nearly.
const FIRST_MOMENT_LASTS: Seconds = Seconds(1.0);

impl States {
    pub(crate) fn read(root: &Entry<'_>, problems: &mut Vec<Problem>) -> Self {
        let mut known: Vec<KnownState> = TRADE.iter().map(trade_state).collect();
        known.extend(asked_for(&known));
        let tables = root.tables("states");
        for Ordered { table, in_a_ring } in in_order(&tables, problems) {
            let (name, entry) = &tables[table];
            let at = known.iter().position(|state| state.state.id == name.name);
            let base = match (entry.text("like").filter(|_| !in_a_ring), at) {
                (Some(like), _) => find(&known, like, entry.place_of("like"), problems),
                (None, Some(at)) => Some(at),
                (None, None) => known.iter().position(|state| state.state.id == "key-on"),
            };
            let Some(base) = base else { continue };
            let mut state = changed(&known[base], name.name, entry);
            if at != Some(base) {
                state.like = Some(known[base].state.id.clone());
            }
            match at {
                Some(at) => known[at] = state,
                None => known.push(state),
            }
        }
        Self { known, solved: Vec::new() }
    }

    /// Decides which states are solved: those the file lists, or those in which something happens.
    pub(crate) fn choose(
        &mut self,
        vehicle: Option<&Entry<'_>>,
        busy: &BTreeSet<String>,
        problems: &mut Vec<Problem>,
    ) {
        let listed = vehicle.and_then(|vehicle| vehicle.names("states"));
        self.solved = match listed {
            Some(list) if !list.is_empty() => {
                let mut solved = Vec::new();
                for Named { name, place } in list {
                    match find(&self.known, name, place, problems) {
                        Some(at) if !solved.contains(&at) => solved.push(at),
                        _ => {}
                    }
                }
                solved
            }
            _ => (0..self.known.len())
                .filter(|at| !self.known[*at].asked_for)
                .filter(|at| busy.contains(&self.known[*at].state.id))
                .collect(),
        };
        if self.solved.is_empty() {
            self.solved = self
                .known
                .iter()
                .position(|state| state.state.id == "key-on")
                .into_iter()
                .collect();
        }
    }

    /// Checks a list of state names.
    pub(crate) fn check(&self, names: &[Named<&str>], problems: &mut Vec<Problem>) {
        for name in names {
            find(&self.known, name.name, name.place.clone(), problems);
        }
    }

    /// The names given, and every state that is like one of them.
    pub(crate) fn and_those_like<'n>(
        &self,
        names: impl IntoIterator<Item = &'n str>,
    ) -> BTreeSet<String> {
        let mut all: BTreeSet<String> = names.into_iter().map(str::to_owned).collect();
        // A state may be like one that stands after it: once more as long as that brings any.
        loop {
            let before = all.len();
            for state in &self.known {
                if state.like.as_ref().is_some_and(|like| all.contains(like)) {
                    all.insert(state.state.id.clone());
                }
            }
            if all.len() == before {
                return all;
            }
        }
    }

    /// Positions, among the solved states, of those that `holds` says yes to.
    pub(crate) fn where_solved(&self, holds: impl Fn(&KnownState) -> bool) -> Vec<StateId> {
        self.solved
            .iter()
            .enumerate()
            .filter(|(_, at)| holds(&self.known[**at]))
            .map(|(position, _)| StateId::at(position))
            .collect()
    }

    /// The solved states, in order.
    pub(crate) fn solved(&self) -> impl Iterator<Item = &KnownState> {
        self.solved.iter().map(|at| &self.known[*at])
    }

    /// Checks that the loads and switches which states name exist.
    pub(crate) fn check_members(
        root: &Entry<'_>,
        loads: &BTreeMap<String, usize>,
        switches: &BTreeSet<String>,
        problems: &mut Vec<Problem>,
    ) {
        for (_, entry) in root.tables("states") {
            for (key, word) in
                [("on", "load"), ("off", "load"), ("closed", "switch"), ("open", "switch")]
            {
                for Named { name, place } in entry.names(key).unwrap_or_default() {
                    let there = if word == "load" {
                        loads.contains_key(name)
                    } else {
                        switches.contains(name)
                    };
                    if !there {
                        let candidates: Vec<&str> = if word == "load" {
                            loads.keys().map(String::as_str).collect()
                        } else {
                            switches.iter().map(String::as_str).collect()
                        };
                        let mut problem = Problem::error(
                            if word == "load" { Code::UnknownLoad } else { Code::UnknownSwitch },
                            place,
                            format!("there is no {word} `{name}`"),
                            format!("the name of a {word} of this file"),
                        );
                        if worthwhile(problems.len(), candidates.len()) {
                            problem.hint = did_you_mean(name, candidates);
                        }
                        problems.push(problem);
                    }
                }
            }
        }
    }
}

/// A state's table in the order of reading.
struct Ordered {
    table: usize,
    /// True when what it is like leads back to a state that is like itself.
    in_a_ring: bool,
}

/// The tables in such an order that each comes after the one it is like, wherever they stand in the
/// file. Rings are told.
fn in_order(tables: &[(Named<&str>, Entry<'_>)], problems: &mut Vec<Problem>) -> Vec<Ordered> {
    let at: BTreeMap<&str, usize> =
        tables.iter().enumerate().map(|(at, (name, _))| (name.name, at)).collect();
    let base = |this: usize| {
        let (name, entry) = &tables[this];
        // A trade's own state that says it is like itself only changes what it was.
        let trade = TRADE.iter().any(|(id, ..)| *id == name.name);
        entry
            .text("like")
            .and_then(|like| at.get(like))
            .copied()
            .filter(|base| *base != this || !trade)
    };
    let mut order = Vec::new();
    let mut placed = vec![false; tables.len()];
    for first in 0..tables.len() {
        // From this one down to the first that is placed already, is like none, or closes a ring.
        let (mut chain, mut here) = (Vec::new(), Some(first));
        let mut within = BTreeSet::new();
        while let Some(next) = here.filter(|next| !placed[*next]) {
            if !within.insert(next) {
                break;
            }
            chain.push(next);
            here = base(next);
        }
        let closed = here.filter(|next| within.contains(next));
        if let Some(closing) = closed {
            let (name, entry) = &tables[closing];
            problems.push(
                Problem::error(
                    Code::StatesInARing,
                    entry.place_of("like"),
                    format!("`{}` is like a state that is like `{0}` itself", name.name),
                    "a state that is complete without this one",
                )
                .hint("begin with one of the trade's states: `resting`, `key-on`, `preheat`, `cranking`, `idle`, `running`, `charging`"),
            );
        }
        for next in chain.into_iter().rev() {
            placed[next] = true;
            order.push(Ordered { table: next, in_a_ring: closed.is_some() });
        }
    }
    order
}

fn trade_state(&(id, name, alternators, duration, engine_rise): &Trade) -> KnownState {
    let air = taken().outside_air;
    KnownState {
        state: State {
            id: id.to_owned(),
            name: name.to_owned(),
            alternators,
            air,
            engine_space: air + Kelvin(engine_rise),
            batteries: air,
            first_moment: false,
            duration: duration.map(Seconds),
        },
        charge: None,
        usual_charge: (id == "charging").then_some(taken().battery_charge_when_charging),
        engine_rise,
        engine_space: None,
        batteries: None,
        asked_for: false,
        like: None,
        on: Vec::new(),
        off: Vec::new(),
        closed: Vec::new(),
        open: Vec::new(),
    }
}

/// States that are solved where a file lists them: the last of the cranks that a ground has to bear, and the
/// first moment of preheating.
fn asked_for(trade: &[KnownState]) -> Vec<KnownState> {
    let like = |id: &str, own: &str, name: &str| {
        let base = trade.iter().find(|state| state.state.id == id)?;
        let mut known = base.clone();
        own.clone_into(&mut known.state.id);
        name.clone_into(&mut known.state.name);
        known.like = Some(id.to_owned());
        known.asked_for = true;
        Some(known)
    };
    let duty = DutyJudgements::standard();
    let repeated =
        like("cranking", REPEATED, "last of three cranks, from warm").map(|mut known| {
            known.state.duration =
                Some(duty.crank * duty.cranks.0 + duty.rest * (duty.cranks.0 - 1.0));
            known.state.engine_space = duty.hot_engine;
            known.engine_space = Some(duty.hot_engine);
            known
        });
    let first = like("preheat", FIRST_MOMENT, "first moment of preheating").map(|mut known| {
        known.state.duration = Some(FIRST_MOMENT_LASTS);
        known.state.first_moment = true;
        known
    });
    repeated.into_iter().chain(first).collect()
}

fn changed(base: &KnownState, id: &str, entry: &Entry<'_>) -> KnownState {
    let mut known = base.clone();
    known.asked_for = false;
    let state = &mut known.state;
    if state.id != id {
        state.name = id.replace('-', " ");
    }
    id.clone_into(&mut state.id);
    if let Some(name) = entry.owned("name") {
        state.name = name;
    }
    match entry.text("alternators") {
        Some("idle") => state.alternators = AlternatorMode::Idle,
        Some("full") => state.alternators = AlternatorMode::Full,
        Some(_) => state.alternators = AlternatorMode::Off,
        None => {}
    }
    if let Some(seconds) = entry.quantity("duration", Dimension::Time) {
        state.duration = Some(Seconds(seconds));
    }
    if let Some(kelvin) = entry.quantity("air", Dimension::Temperature) {
        state.air = Kelvin(kelvin);
    }
    let kelvin = |key: &str| entry.quantity(key, Dimension::Temperature).map(Kelvin);
    known.engine_space = kelvin("engine-space").or(known.engine_space);
    known.batteries = kelvin("batteries").or(known.batteries);
    state.engine_space = known.engine_space.unwrap_or(state.air + Kelvin(known.engine_rise));
    state.batteries = known.batteries.unwrap_or(state.air);
    if let Some(first) = entry.flag("first-moment") {
        state.first_moment = first;
    }
    if let Some(charge) = entry.quantity("charge", Dimension::Ratio) {
        known.charge = Some(Ratio(charge));
    }
    let names = |key: &str| {
        entry
            .names(key)
            .unwrap_or_default()
            .iter()
            .map(|name| name.name.to_owned())
            .collect::<Vec<_>>()
    };
    known.on.extend(names("on"));
    known.off.extend(names("off"));
    known.closed.extend(names("closed"));
    known.open.extend(names("open"));
    known
}

fn find(
    known: &[KnownState],
    name: &str,
    place: std::ops::Range<usize>,
    problems: &mut Vec<Problem>,
) -> Option<usize> {
    let found = known.iter().position(|state| state.state.id == name);
    if found.is_none() {
        let mut problem = Problem::error(
            Code::UnknownState,
            place,
            format!("there is no state `{name}`"),
            "`resting`, `key-on`, `preheat`, `cranking`, `idle`, `running`, `charging` or a state that the file defines",
        );
        if worthwhile(problems.len(), known.len()) {
            problem.hint = did_you_mean(name, known.iter().map(|state| state.state.id.as_str()));
        }
        problems.push(problem);
    }
    found
}
