//! The scenarios: what is hidden in each vehicle, how it is examined, what counts as right.

use model::{JointId, Measured, Piece, PointId, PointOwner, Probe, StateId, Vehicle};
use network::OperatingPoint;
use rayon::prelude::*;

use crate::anything;
use crate::dice::Dice;
use crate::fault::{self, Faulty};
use crate::meter::{self, accuracy};
use crate::run::{Case, Examination, Verdict};
use crate::score::Calibration;
use crate::vehicle::{self, Subject};

/// Most readings for one bad joint, for two, and in a first plan.
pub const SINGLE: usize = 10;
/// Most readings for two bad joints.
pub const PAIR: usize = 16;
/// Most readings of a first plan.
pub const PLAN: usize = 20;
/// Readings asked for one by one after a first plan, in search of an undrawn path.
pub const AFTER_PLAN: usize = 10;

/// What came of one vehicle.
#[derive(Debug, Clone)]
pub struct Outcome {
    /// The vehicle's number.
    pub number: u64,
    /// Whether the answer was right in the sense of the scenario.
    pub right: bool,
    /// A second, stricter or looser, sense that the scenario names.
    pub also: bool,
    /// Whether a path was reported that the file does not show.
    pub path: bool,
    /// Readings taken.
    pub readings: usize,
    /// Beliefs against the truth.
    pub calibration: Calibration,
    /// What was hidden, and what was said.
    pub words: String,
}

/// All vehicles of a scenario, and how many were left out because the scenario cannot be had in them.
#[derive(Debug, Clone)]
pub struct Outcomes {
    /// Vehicles that count.
    pub outcomes: Vec<Outcome>,
    /// Vehicles left out.
    pub left_out: usize,
}

/// What a scenario does with one vehicle.
pub type One = fn(Case) -> Option<Outcome>;

/// Runs a scenario over so many vehicles, on all cores; the answer does not depend on how many.
#[must_use]
pub fn run(one: One, seed: u64, vehicles: u64) -> Outcomes {
    let all: Vec<Option<Outcome>> = (0..vehicles)
        .into_par_iter()
        .map(|number| one(Case { seed, number, told: false }))
        .collect();
    let left_out = all.iter().filter(|own| own.is_none()).count();
    Outcomes { outcomes: all.into_iter().flatten().collect(), left_out }
}

fn subject(case: Case, scenario: &str) -> Option<(Subject, Dice)> {
    let mut dice = Dice::new(case.seed, scenario, case.number);
    vehicle::draw(&mut dice).map(|subject| (subject, dice))
}

fn hidden(faulty: &Faulty) -> Vec<JointId> {
    faulty.faults.iter().map(|fault| fault.joint).collect()
}

fn words(subject: &Subject, faulty: &Faulty, readings: usize, verdict: &Verdict) -> String {
    let known = &subject.known;
    let faults: Vec<String> = (faulty.faults.iter())
        .map(|fault| {
            format!(
                "{} {:.2} mΩ costs {} {:.2} V {}",
                known.joint(fault.joint).id,
                1e3 * fault.resistance.0,
                known.load(fault.hurts.0).id,
                fault.cost.0,
                known.state(fault.hurts.1).id
            )
        })
        .collect();
    format!("[{}] after {readings}: {}", faults.join(" | "), verdict.words(known))
}

fn outcome(
    case: Case,
    (subject, faulty): (&Subject, &Faulty),
    examination: &Examination<'_>,
    verdict: &Verdict,
    (right, also): (bool, bool),
) -> Outcome {
    let readings = examination.readings.len();
    let mut words = words(subject, faulty, readings, verdict);
    if let Some(told) = &examination.told {
        words = format!("{words}\n{told}");
    }
    Outcome {
        number: case.number,
        right,
        also,
        path: verdict.undrawn(|_, _| false).0 > 0.5,
        readings,
        calibration: Calibration::of(verdict.beliefs(), &faulty.real, &hidden(faulty)),
        words,
    }
}

/// One bad joint; right when it is the first suspect, or one of two that stand there together.
/// Also: a reading was called wrong although none was.
#[must_use]
pub fn single(case: Case) -> Option<Outcome> {
    let (subject, mut dice) = subject(case, "single")?;
    let faulty = fault::joints(&fault::all_joints(&subject.known), 1, &subject, &mut dice)?;
    let mut examination = Examination::new(&subject.known, &faulty, case);
    let verdict = examination.ask(faulty.complaint, SINGLE);
    let right = verdict.place(faulty.faults[0].joint) == Some(0);
    let doubted = verdict.take_again().is_some_and(|(_, probability)| probability > 0.5);
    Some(outcome(case, (&subject, &faulty), &examination, &verdict, (right, doubted)))
}

/// A fault of any kind, or none and a complaint; what is believed of every joint is held against the
/// truth. Right when a bad joint is the first suspect, or none is called bad where none is.
#[must_use]
pub fn anything(case: Case) -> Option<Outcome> {
    let (subject, mut dice) = subject(case, "calibration")?;
    let faulty = anything::any(&subject, &mut dice)?;
    let mut examination = Examination::new(&subject.known, &faulty, case);
    let verdict = examination.ask(faulty.complaint, SINGLE);
    let joint = faulty.faults.first().map(|fault| fault.joint);
    let right = match joint {
        Some(joint) => verdict.place(joint) == Some(0),
        None => verdict.worst_joint().is_none_or(|(_, probability)| probability <= 0.5),
    };
    Some(outcome(case, (&subject, &faulty), &examination, &verdict, (right, joint.is_some())))
}

/// Two bad joints; right when both are among the first three suspects. Also: one of them is.
///
/// The customer tells first of what suffers most, and when the first fault is named or half of the
/// readings are taken, of what the other fault hurts most.
#[must_use]
pub fn pair(case: Case) -> Option<Outcome> {
    let (subject, mut dice) = subject(case, "pair")?;
    let faulty = fault::joints(&fault::all_joints(&subject.known), 2, &subject, &mut dice)?;
    let mut examination = Examination::new(&subject.known, &faulty, case);
    let first = faulty.complaint;
    let second = (faulty.faults.iter().map(|fault| fault.hurts))
        .find(|hurts| first.is_some_and(|(load, _)| load != hurts.0))
        .or(first);
    let _ = examination.ask(first, PAIR / 2);
    let verdict = examination.ask_on(second, PAIR);
    let among = |joint: JointId| verdict.place(joint).is_some_and(|place| place < 3);
    let found = faulty.faults.iter().filter(|fault| among(fault.joint)).count();
    Some(outcome(case, (&subject, &faulty), &examination, &verdict, (found == 2, found >= 1)))
}

/// A bad shared joint, no complaint, a first plan; right as for one bad joint. Also: it is among
/// the first three.
#[must_use]
pub fn survey(case: Case) -> Option<Outcome> {
    let (subject, mut dice) = subject(case, "survey")?;
    let shared = fault::shared_joints(&subject.known);
    let faulty = fault::joints(&shared, 1, &subject, &mut dice)?;
    let mut examination = Examination::new(&subject.known, &faulty, case);
    let verdict = examination.survey(PLAN);
    let place = verdict.place(faulty.faults[0].joint);
    let senses = (place == Some(0), place.is_some_and(|place| place < 3));
    Some(outcome(case, (&subject, &faulty), &examination, &verdict, senses))
}

/// Nothing bad; right when no joint is called bad with more than one half. Every second vehicle has
/// a customer who complains of some load all the same, the others get a first plan. Also: it had the
/// complaint.
#[must_use]
pub fn healthy(case: Case) -> Option<Outcome> {
    let (subject, mut dice) = subject(case, "healthy")?;
    let faulty = fault::nothing(&subject);
    let mut examination = Examination::new(&subject.known, &faulty, case);
    let complains = case.number.is_multiple_of(2);
    let verdict = if complains {
        let at = dice.count(0, subject.known.loads.len() - 1);
        let state = *dice.pick(&subject.known.loads[at].on)?;
        examination.ask(Some((model::LoadId::at(at), state)), SINGLE)
    } else {
        examination.survey(PLAN)
    };
    let right = verdict.worst_joint().is_none_or(|(_, probability)| probability <= 0.5);
    let mut own = outcome(case, (&subject, &faulty), &examination, &verdict, (right, complains));
    if let Some((joint, probability)) = verdict.worst_joint() {
        let known = &subject.known;
        let real = 1e3 * faulty.real.joint(joint).resistance.0;
        own.words = format!(
            "{}: {:.0} % bad, really {real:.3} mΩ; {}",
            known.joint(joint).id,
            100.0 * probability,
            own.words
        );
    }
    Some(own)
}

/// A path that the file does not show, where a reading could show it; right when paths that are not
/// shown have more than one half together. Also: the one between the right two structures has.
#[must_use]
pub fn extra_path(case: Case) -> Option<Outcome> {
    let (subject, mut dice) = subject(case, "extra-path")?;
    let (faulty, path) = fault::undrawn_path(&subject, &mut dice)?;
    if !shows(&subject, &faulty) {
        return None;
    }
    let mut examination = Examination::new(&subject.known, &faulty, case);
    let _ = examination.survey(PLAN);
    let verdict = examination.ask(None, PLAN + AFTER_PLAN);
    let owner = |point: PointId| match subject.known.point(point).owner {
        PointOwner::Structure(structure) => Some(structure),
        _ => None,
    };
    let wanted = [owner(path.from), owner(path.to)];
    let (any, right) = verdict.undrawn(|from, to| {
        let own = [owner(from), owner(to)];
        own == wanted || own == [wanted[1], wanted[0]]
    });
    let mut own =
        outcome(case, (&subject, &faulty), &examination, &verdict, (any > 0.5, right > 0.5));
    own.words = format!(
        "{} to {} {:.2} mΩ; {}",
        subject.known.point(path.from).id,
        subject.known.point(path.to).id,
        1e3 * path.resistance.0,
        own.words
    );
    Some(own)
}

/// True when an undrawn path moves some practicable reading by more than three times its standard
/// uncertainty.
fn shows(subject: &Subject, faulty: &Faulty) -> bool {
    let known = &subject.known;
    let value = |vehicle: &Vehicle, points: &[OperatingPoint], state, measured| {
        meter::truth(vehicle, points, state, measured)
    };
    (0..known.states.len()).map(StateId::at).any(|state| {
        practicable(known, &subject.points, state).into_iter().any(|measured| {
            let before = value(&subject.real, &subject.points, state, measured);
            let after = value(&faulty.real, &faulty.points, state, measured);
            before.zip(after).is_some_and(|(before, after)| {
                let limit = accuracy(measured, before).limit(before);
                (after - before).abs() > 3.0 * meter::standard_uncertainty(limit)
            })
        })
    })
}

/// Volts of every point in reach against the first battery's negative post, volts over every
/// conductor, and a clamp around every conductor with two amperes or more.
fn practicable(known: &Vehicle, points: &[OperatingPoint], state: StateId) -> Vec<Measured> {
    let low = Probe::Point(known.batteries[0].negative);
    let reach = |point: PointId| !known.point(point).access.out_of_reach;
    let mut all: Vec<Measured> = (0..known.points.len())
        .map(PointId::at)
        .filter(|point| reach(*point))
        .map(|point| Measured::Volts { high: Probe::Point(point), low })
        .collect();
    for conductor in &known.conductors {
        let ends = [known.joint(conductor.from).point, known.joint(conductor.to).point];
        if ends.into_iter().all(reach) {
            let [high, low] = ends.map(Probe::Point);
            all.push(Measured::Volts { high, low });
        }
        let piece = Piece::Conductor(conductor.this);
        if points[state.index()].piece(known, piece).amps.0.abs() >= 2.0 {
            all.push(Measured::Amps { conductor: conductor.this });
        }
    }
    all
}

/// One bad joint and one reading taken wrongly; right when that reading is the first to be taken
/// again. Also: its being wrong has more than one half. One that the program set aside at once, because it
/// cannot be or because its sign is asked for, counts as both: nothing is concluded from it.
///
/// Which reading: any of those that the same examination takes when all go well.
#[must_use]
pub fn corrupted(case: Case) -> Option<Outcome> {
    let (subject, mut dice) = subject(case, "corrupted")?;
    let faulty = fault::joints(&fault::all_joints(&subject.known), 1, &subject, &mut dice)?;
    let mut well = Examination::new(&subject.known, &faulty, case);
    let _ = well.ask(faulty.complaint, SINGLE);
    let taken = well.readings.len();
    if taken == 0 {
        return None;
    }
    let mut examination = Examination::new(&subject.known, &faulty, case);
    examination.slip_at(u32::try_from(dice.count(1, taken)).ok()?);
    let verdict = examination.ask(faulty.complaint, SINGLE);
    let slipped = examination.slipped()?;
    let named = verdict.take_again().filter(|(reading, _)| *reading == slipped);
    let aside = examination.sets_aside(slipped);
    let also = aside || named.is_some_and(|(_, probability)| probability > 0.5);
    let senses = (aside || named.is_some(), also);
    let mut own = outcome(case, (&subject, &faulty), &examination, &verdict, senses);
    own.words = format!(
        "reading {slipped} {:?}, called wrong {:?}; {}",
        examination.slip,
        verdict.take_again(),
        own.words
    );
    Some(own)
}
