//! From a question about a vehicle to its answer.

use std::ops::ControlFlow;

use ::failures::{Progress, Warmth};
use diagnosis::{Complaint, Diagnosis, Heeded, Observation, Practice, Question, Session, clues};
use file::edit::{EditError, add_conductor, set_resistance};
use file::rewrite::{Edits, Rewritten, rewrite};
use model::{ConductorId, LoadId, Reading, StateId, Vehicle};
use network::{Network, OperatingPoint, RouteStart};

use crate::bolt::{self, JointSheet};
use crate::budget::{self, Budgets};
use crate::column::{self, Column};
use crate::diagnose::{self, Diagnosed, Found};
use crate::edit::Edited;
use crate::failures::{self, FailureSurvey, Told};
use crate::heat::{self, Heat, HeatDuty};
use crate::next::{self, NextReadings, ReadingPlan};
use crate::offsets::{self, GroundOffsets, OffsetsState};
use crate::refusal::{access_group, joint, load, state, states};
use crate::repairs::{self, Repairs, Worth};
use crate::routes::{self, ReturnRoutes, RoutesState};
use crate::solve::{self, Solved};
use crate::taken::Taken;
use crate::what_if::{self, WhatIf};
use crate::{FORMAT, Refusal};

/// Beyond this many pairs the whole matrix of offsets is no answer for anybody.
pub const MOST_PAIRS: usize = 250_000;

/// Volts and amperes of a state, or of all.
///
/// # Errors
///
/// When there is no such state.
pub fn solve(vehicle: &Vehicle, at: Option<&str>) -> Result<Solved, Refusal> {
    let states = states(vehicle, at)?;
    let mut network = Network::new(vehicle);
    let points: Vec<OperatingPoint> =
        states.into_iter().map(|state| network.operating_point(state)).collect();
    Ok(solve::of(vehicle, &points))
}

/// Where the volts of a load go, in a state or in all in which it is on.
///
/// # Errors
///
/// When there is no such load or state, or the load has no source.
pub fn budget(vehicle: &Vehicle, of: &str, at: Option<&str>) -> Result<Budgets, Refusal> {
    let id = load(vehicle, of)?;
    let wanted: Vec<StateId> = match at {
        Some(name) => vec![state(vehicle, name)?],
        None => vehicle.load(id).on.clone(),
    };
    if wanted.is_empty() {
        return Err(Refusal::new(
            format!("`{of}` is on in none of the states that are solved"),
            "a state for it in its `on`",
        ));
    }
    let mut network = Network::new(vehicle);
    let mut states = Vec::new();
    for at in wanted {
        let point = network.operating_point(at);
        let name = &vehicle.state(at).id;
        let budget = network.budget(&point, id).ok_or_else(|| {
            Refusal::new(
                format!("no source is joined to both terminals of `{of}` in the state `{name}`"),
                "a load that is joined to a source on both sides",
            )
        })?;
        states.push(budget::state(vehicle, &point, &budget, &network.routes(&point, id)));
    }
    Ok(Budgets { format: FORMAT, load: of.to_owned(), states })
}

/// The ways home of the current of a load, of a battery while it is charged or of a converter's input,
/// or of all that flows.
///
/// # Errors
///
/// When there is no such load or state.
pub fn routes(
    vehicle: &Vehicle,
    of: Option<&str>,
    at: Option<&str>,
) -> Result<ReturnRoutes, Refusal> {
    let begins = |name| match routes::asked(vehicle, name) {
        Some(start) => Ok(start),
        None => load(vehicle, name).map(RouteStart::Load),
    };
    let start = of.map(begins).transpose()?;
    let wanted: Vec<StateId> = match (at, start) {
        (None, Some(RouteStart::Load(id))) => vehicle.load(id).on.clone(),
        (name, _) => states(vehicle, name)?,
    };
    let mut network = Network::new(vehicle);
    let states = wanted.into_iter().map(|at| {
        let point = network.operating_point(at);
        let ways = network.routes_from(&point, |own| start.is_none_or(|start| start == own));
        RoutesState {
            state: vehicle.state(at).id.clone(),
            routes: routes::of(vehicle, &ways, &point),
        }
    });
    let states = states.collect();
    Ok(ReturnRoutes { format: FORMAT, load: of.map(str::to_owned), states })
}

/// Who lifts whose ground; for these loads, or for all.
///
/// # Errors
///
/// When there is no such state or load, or there are too many pairs.
pub fn offsets(
    vehicle: &Vehicle,
    victims: &[String],
    at: Option<&str>,
) -> Result<GroundOffsets, Refusal> {
    let wanted = states(vehicle, at)?;
    let victims: Vec<LoadId> =
        victims.iter().map(|name| load(vehicle, name)).collect::<Result<_, _>>()?;
    let lifted = if victims.is_empty() { vehicle.loads.len() } else { victims.len() };
    let pairs = lifted.saturating_mul(vehicle.loads.len());
    if pairs > MOST_PAIRS {
        return Err(Refusal::new(
            format!("{} loads make {pairs} pairs", vehicle.loads.len()),
            "the loads that matter",
        ));
    }
    let mut network = Network::new(vehicle);
    let states = wanted.into_iter().map(|at| {
        let point = network.operating_point(at);
        let found = network.offsets(&point, &[], &victims);
        OffsetsState { state: vehicle.state(at).id.clone(), offsets: offsets::of(vehicle, &found) }
    });
    Ok(GroundOffsets { format: FORMAT, states: states.collect() })
}

/// Before and after changes, written as on the command line.
///
/// # Errors
///
/// When a change cannot be understood, nothing is changed, or there is no such state.
pub fn what_if(
    vehicle: &Vehicle,
    set: &[String],
    add: &[String],
    at: Option<&str>,
) -> Result<WhatIf, Refusal> {
    if set.is_empty() && add.is_empty() {
        return Err(Refusal::new(
            "nothing is changed",
            "a resistance to set or a conductor to add",
        ));
    }
    let wanted = states(vehicle, at)?;
    let changed = changed(vehicle, set, add)?;
    let added = (vehicle.conductors.len()..changed.conductors.len()).map(ConductorId::at);
    let added: Vec<ConductorId> = added.collect();
    let (mut before, mut after) = (Network::new(vehicle), Network::new(&changed));
    let states = wanted.into_iter().map(|at| {
        let (was, is) = (before.operating_point(at), after.operating_point(at));
        what_if::state(vehicle, &changed, &was, &is)
    });
    let states = states.collect();
    let cautions = crate::cautions::told(&what_if::cautions(&changed, &added));
    Ok(WhatIf { format: FORMAT, states, cautions })
}

/// A vehicle with changes tried on it, written as on the command line.
///
/// # Errors
///
/// When a change cannot be understood.
pub fn changed(vehicle: &Vehicle, set: &[String], add: &[String]) -> Result<Vehicle, Refusal> {
    let mut changed = vehicle.clone();
    for text in add {
        add_conductor(&mut changed, text).map_err(refused)?;
    }
    for text in set {
        set_resistance(&mut changed, text).map_err(refused)?;
    }
    Ok(changed)
}

/// A vehicle file with changes written into it; nothing else of it changes.
///
/// # Errors
///
/// When the file has an error, a change cannot be understood, or it cannot be written safely.
pub fn edit(text: &str, edits: Edits<'_>) -> Result<Edited, Refusal> {
    let Rewritten { text, added } = rewrite(text, edits).map_err(refused)?;
    Ok(Edited { format: FORMAT, text, added })
}

fn refused(error: EditError) -> Refusal {
    Refusal { what: error.what, expected: error.expected, hint: error.hint }
}

/// What is to change in a [`fn@column`].
#[derive(Debug, Clone, Copy)]
pub enum Grabbed<'a> {
    /// The resistance of a piece that is there.
    Piece(&'a str),
    /// A conductor drawn between two points.
    Between(&'a [String; 2]),
}

/// The column with which a page answers a changed resistance by itself.
///
/// # Errors
///
/// When there is no such state, piece or point, or the piece does not conduct.
pub fn column(vehicle: &Vehicle, at: &str, what: Grabbed<'_>) -> Result<Column, Refusal> {
    let mut network = Network::new(vehicle);
    let point = network.operating_point(state(vehicle, at)?);
    match what {
        Grabbed::Piece(name) => column::piece(vehicle, &network, &point, name),
        Grabbed::Between(ends) => column::between(vehicle, &network, &point, ends),
    }
}

/// Told which share of the most work is done; false stops it.
pub type Watch<'w> = &'w mut (dyn FnMut(f64) -> bool + Send);

/// Readings that were weighed: what `diagnose`, `next` and `repairs` begin with.
#[derive(Debug)]
pub struct Weighed<'v> {
    /// What counts of the readings.
    pub seen: Vec<Observation>,
    /// What has to be asked about them.
    pub questions: Vec<Question>,
    /// The vehicle, ready to be asked further.
    pub session: Session<'v>,
    /// What the readings say; worth nothing when [`Session::stopped`].
    pub diagnosis: Diagnosis,
}

/// Weighs readings; `watch` is told which share of the most work is done, and false from it stops.
pub fn weigh<'v>(
    vehicle: &'v Vehicle,
    readings: &[Reading],
    complaint: Option<Complaint>,
    watch: impl FnMut(f64) -> bool + Send + 'v,
) -> Weighed<'v> {
    let mut session = Session::with_clues(vehicle, &clues(vehicle, readings)).watched(watch);
    let Heeded { seen, questions } = session.heed(readings, complaint);
    let diagnosis = session.diagnose(&seen, complaint);
    Weighed { seen, questions, session, diagnosis }
}

/// Which joint is bad; nothing when stopped.
#[must_use]
pub fn diagnose(vehicle: &Vehicle, taken: Taken, watch: Watch<'_>) -> Option<Diagnosed> {
    let Weighed { seen, questions, mut session, diagnosis } =
        weigh(vehicle, &taken.readings.readings, taken.complaint, watch);
    if session.stopped() {
        return None;
    }
    let found = Found::of(&mut session, diagnosis, (seen, questions), taken.complaint);
    Some(diagnose::of(vehicle, &taken.readings, &taken.earlier, taken.problems, &found))
}

/// What to measure next; nothing when stopped.
#[must_use]
pub fn next(
    vehicle: &Vehicle,
    taken: Taken,
    practice: Practice,
    most: usize,
    watch: Watch<'_>,
) -> Option<NextReadings> {
    let Weighed { seen, questions, mut session, diagnosis } =
        weigh(vehicle, &taken.readings.readings, taken.complaint, watch);
    if session.stopped() {
        return None;
    }
    session.practise(practice);
    let mut proposals = session.next(&diagnosis, &seen, taken.complaint);
    proposals.truncate(most);
    Some(next::next_of(vehicle, &proposals, taken.problems, &questions))
}

/// A first plan of readings for a vehicle that nobody has measured.
#[must_use]
pub fn plan(vehicle: &Vehicle, practice: Practice, most: usize) -> ReadingPlan {
    let mut session = Session::new(vehicle);
    session.practise(practice);
    next::plan_of(vehicle, &session.survey(most))
}

/// What can be had when readings are taken: whether nobody helps, states that cannot be had, and covers
/// that are off already.
///
/// # Errors
///
/// When there is no such state or access group.
pub fn practice(
    vehicle: &Vehicle,
    alone: bool,
    without: &[String],
    open: &[String],
) -> Result<Practice, Refusal> {
    Ok(Practice {
        alone,
        without: without.iter().map(|name| state(vehicle, name)).collect::<Result<_, _>>()?,
        open: open.iter().map(|name| access_group(vehicle, name)).collect::<Result<_, _>>()?,
    })
}

/// What is worth doing; nothing when stopped.
#[must_use]
pub fn repairs(vehicle: &Vehicle, taken: Taken, most: usize, watch: Watch<'_>) -> Option<Repairs> {
    let Weighed { seen, mut session, diagnosis, .. } =
        weigh(vehicle, &taken.readings.readings, taken.complaint, watch);
    if session.stopped() {
        return None;
    }
    let worth = Worth::of(&mut session, &diagnosis, &seen, taken.complaint, most);
    Some(repairs::of(vehicle, &worth, taken.problems))
}

/// What fails when something fails, in a state or in all; nothing when stopped.
///
/// # Errors
///
/// When there is no such state.
pub fn failures(
    vehicle: &Vehicle,
    at: Option<&str>,
    most: usize,
    watch: Watch<'_>,
) -> Result<Option<FailureSurvey>, Refusal> {
    let states = states(vehicle, at)?;
    let told = Told::of(vehicle, &states, most, false, &mut |_, progress: Progress| {
        let share = progress.done as f64 / progress.all.max(1) as f64;
        if watch(share) { ControlFlow::Continue(()) } else { ControlFlow::Break(()) }
    });
    Ok(told.survey.complete.then(|| failures::of(&told)))
}

/// The sheet of a joint: its bolt and torque, faces, washers, stack, protection.
///
/// # Errors
///
/// When there is no such joint.
pub fn bolt(vehicle: &Vehicle, of: &str) -> Result<JointSheet, Refusal> {
    Ok(bolt::of_joint::of(vehicle, joint(vehicle, of)?))
}

/// How warm everything gets in a state: after a time, or after its usual duration when none is named;
/// with a duty, round after round.
///
/// # Errors
///
/// When there is no such state, or time or duty are none.
pub fn heat(
    vehicle: &Vehicle,
    at: &str,
    seconds: Option<f64>,
    duty: Option<HeatDuty>,
) -> Result<Heat, Refusal> {
    let state = state(vehicle, at)?;
    let time = seconds.map(heat::time).transpose()?;
    let time = time.unwrap_or_else(|| heat::usual_time(vehicle, state));
    let duty = duty.map(heat::duty).transpose()?;
    Ok(heat::of(vehicle, &Warmth::new(vehicle, state, time, duty), duty))
}
