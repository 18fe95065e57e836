//! What one entry means: a reading, or something that proves nothing, or a problem.

use std::cell::OnceCell;
use std::ops::Range;

use model::{Accuracy, Code, Filled, Measured, Probe, Problem, Reading, StateId, Told, Vehicle};
use units::Dimension;

use super::accuracy::Instruments;
use super::flow::Flow;
use super::known::{Known, Said, Thing};
use super::meter::unit_missing;
use super::value::{Value, most};
use super::{BesideWork, Complaint, Side};

/// What an entry is about, as far as its form tells.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) enum About {
    /// Volts, amperes or ohms; the unit or the names decide.
    #[default]
    Meter,
    /// The current in the conductor that is named.
    Through,
    /// A jump lead was held to two points.
    JumpLead,
    /// A joint was moved.
    Moved,
}

/// One entry, its words found but not yet understood. Names are in order, the red probe's first.
#[derive(Debug, Clone, Default)]
pub(super) struct Account {
    pub number: u32,
    pub text: String,
    pub place: Range<usize>,
    pub about: About,
    pub state: Option<StateId>,
    pub names: Vec<Said>,
    /// The point towards which a clamp's arrow points.
    pub towards: Option<Said>,
    pub value: Option<Value>,
    pub load: Option<Said>,
    pub instrument: Option<Said>,
    pub time: Option<String>,
    pub note: Option<String>,
    pub work: Option<(Side, Said)>,
    /// True for a line as a person types it, false for keys and cells that say what they hold.
    pub typed: bool,
    /// That nothing was joined to what was measured.
    pub open: Option<Said>,
    /// True when the value is told as volts lost.
    pub loss: bool,
    /// Words that change nothing and are kept as a note.
    pub noted: Vec<Said>,
    /// Words that were not understood and may change what the rest means.
    pub unread: Vec<Said>,
}

/// What came of an entry.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Outcome {
    Reading(Reading),
    Worthless { why: String, instead: String },
}

/// What was said and taken on the way.
#[derive(Debug, Default)]
pub(super) struct Remarks {
    pub warnings: Vec<Problem>,
    pub filled: Vec<Filled>,
    pub work: Option<BesideWork>,
}

/// What entries are read against.
pub(super) struct Context<'v> {
    pub vehicle: &'v Vehicle,
    pub known: Known<'v>,
    pub instruments: Instruments,
    pub complaint: Option<Complaint>,
    flows: Vec<OnceCell<Flow>>,
    metal: OnceCell<Flow>,
}

impl<'v> Context<'v> {
    pub(super) fn new(vehicle: &'v Vehicle) -> Self {
        Self {
            vehicle,
            known: Known::new(vehicle),
            instruments: Instruments::default(),
            complaint: None,
            flows: vehicle.states.iter().map(|_| OnceCell::new()).collect(),
            metal: OnceCell::new(),
        }
    }

    /// True when nothing can flow in the state between two places that metal joins.
    pub(super) fn still(&self, state: StateId, a: Probe, b: Probe) -> bool {
        self.flows.get(state.index()).is_some_and(|flow| {
            flow.get_or_init(|| Flow::in_state(self.vehicle, state)).joins(self.vehicle, a, b)
        })
    }

    pub(super) fn joined_by_metal(&self, a: Probe, b: Probe) -> bool {
        self.metal.get_or_init(|| Flow::metal(self.vehicle)).joins(self.vehicle, a, b)
    }

    /// States in which something flows between the two places, for advice.
    pub(super) fn busy_states(&self, a: Probe, b: Probe) -> Vec<String> {
        let states = (0..self.vehicle.states.len()).map(StateId::at);
        let busy = states.filter(|state| !self.still(*state, a, b)).take(4);
        busy.map(|state| format!("`{}`", self.vehicle.state(state).id)).collect()
    }

    pub(super) fn name(&self, probe: Probe) -> String {
        self.vehicle.probe_name(probe)
    }

    /// Understands an entry.
    pub(super) fn understand(
        &self,
        account: &Account,
        remarks: &mut Remarks,
    ) -> Result<Outcome, Problem> {
        if let Some((side, piece)) = &account.work {
            remarks.work = Some(self.beside_work(account.number, *side, piece, remarks)?);
        }
        let Some(value) = &account.value else {
            return Err(self.first_unknown(account).unwrap_or_else(|| value_missing(account)));
        };
        let outcome = self.outcome(account, value, remarks);
        let lacking = [Code::LoadMissing, Code::JointMissing, Code::TwoPointsWanted];
        if outcome.as_ref().is_err_and(|problem| lacking.contains(&problem.code))
            && let Some(problem) = self.first_unknown(account)
        {
            return Err(problem);
        }
        // A word that was not understood may be why a place does not fit.
        let misread = [Code::WhichTerminal, Code::TooManyPlaces];
        if outcome.as_ref().is_err_and(|problem| misread.contains(&problem.code))
            && let Some(problem) = self.unread(account, value)
        {
            return Err(problem);
        }
        let outcome = outcome?;
        // Ohms that prove nothing prove nothing whatever else was said.
        let proves_nothing = matches!(outcome, Outcome::Worthless { .. })
            && value.dimension == Some(Dimension::Resistance);
        match self.unread(account, value) {
            Some(problem) if !proves_nothing => Err(problem),
            _ => Ok(outcome),
        }
    }

    fn outcome(
        &self,
        account: &Account,
        value: &Value,
        remarks: &mut Remarks,
    ) -> Result<Outcome, Problem> {
        match account.about {
            About::JumpLead => self.jump_lead(account, value, remarks),
            About::Moved => self.moved(account, value),
            About::Through => self.amps(account, value, remarks),
            About::Meter => match self.dimension(account, value, remarks)? {
                Dimension::Current => self.amps(account, value, remarks),
                Dimension::Resistance => self.ohms(account, value, remarks),
                _ => self.volts(account, value, remarks),
            },
        }
    }

    /// The quantity: by its unit, else by what is named, with a warning when volts are guessed.
    fn dimension(
        &self,
        account: &Account,
        value: &Value,
        remarks: &mut Remarks,
    ) -> Result<Dimension, Problem> {
        if let Some(dimension) = value.dimension {
            return Ok(dimension);
        }
        if let Told::Change(_) = value.told {
            return Err(Problem::error(
                Code::ValueUnreadable,
                value.place.clone(),
                "better, worse or the same: by what?",
                "`better with a jump lead from … to …: load`, or `cured by pushing on` a joint",
            ));
        }
        let conductor = match account.names.as_slice() {
            [only] => matches!(self.known.place(&only.text), Some(Thing::Conductor(_))),
            _ => false,
        };
        match (conductor, value.told) {
            (true, Told::Nothing) => Ok(Dimension::Current),
            (true, _) => Err(unit_missing(value)),
            (false, Told::Nothing) => Ok(Dimension::Voltage),
            // In a line the number may be anything: a year, a test's number, millivolts.
            (false, _) if account.typed => Err(unit_missing(value)),
            (false, _) => {
                remarks.warnings.push(Problem::warning(
                    Code::UnitAssumed,
                    value.place.clone(),
                    "the value has no unit; volts are assumed",
                    "a unit: `V`, `mV`, `A`, `Ω`",
                ));
                Ok(Dimension::Voltage)
            }
        }
    }

    /// The state that was told, or the only one in which what was told can be between the two places.
    ///
    /// Between places that metal joins a loss needs a current; anywhere else a vehicle at rest has volts
    /// too, though its file may not list that state.
    pub(super) fn state(
        &self,
        account: &Account,
        (a, b): (Probe, Probe),
        nothing: bool,
        remarks: &mut Remarks,
    ) -> Option<StateId> {
        if account.state.is_some() {
            return account.state;
        }
        if nothing || !self.joined_by_metal(a, b) {
            return None;
        }
        let states = (0..self.vehicle.states.len()).map(StateId::at);
        let mut busy = states.filter(|state| !self.still(*state, a, b));
        let (only, None) = (busy.next()?, busy.next()) else { return None };
        remarks.warnings.push(Problem::warning(
            Code::StateAssumed,
            account.place.clone(),
            format!(
                "no state is told; `{}` is assumed, the vehicle's only one in which anything flows there",
                self.vehicle.state(only).id
            ),
            "the state in which it was taken",
        ));
        Some(only)
    }

    pub(super) fn accuracy(
        &self,
        account: &Account,
        dimension: Dimension,
        value: &Value,
        remarks: &mut Remarks,
    ) -> Accuracy {
        let name = account.instrument.as_ref().map(|said| said.text.as_str());
        let shown = most(value.told);
        let (accuracy, filled) = self.instruments.accuracy(name, dimension, shown);
        remarks.filled.extend(filled);
        let Some(said) = &account.instrument else { return accuracy };
        if !self.instruments.has(&said.text) && self.instruments.names().next().is_some() {
            let mut problem = Problem::warning(
                Code::UnknownInstrument,
                said.place.clone(),
                format!("there is no instrument `{}`; some multimeter is assumed", said.text),
                "one of the tables `[instruments.NAME]`",
            );
            problem.hint = file::suggest::did_you_mean(&said.text, self.instruments.names());
            remarks.warnings.push(problem);
        }
        if self.instruments.largest(&said.text, dimension).is_some_and(|most| shown > most) {
            remarks.warnings.push(Problem::warning(
                Code::AboveEveryRange,
                value.place.clone(),
                format!(
                    "`{}` has no range for this value; the accuracy of its largest is taken",
                    said.text
                ),
                "a value inside the ranges of the instrument",
            ));
        }
        accuracy
    }

    fn beside_work(
        &self,
        number: u32,
        side: Side,
        said: &Said,
        remarks: &mut Remarks,
    ) -> Result<BesideWork, Problem> {
        let mut words = said.text.split_whitespace();
        let on = words.next().unwrap_or_default();
        let date = words.next();
        if self.known.joint(on).is_none()
            && self.known.conductor(on).is_none()
            && !matches!(self.known.place(on), Some(Thing::Inline(_)))
        {
            let said = Said { text: on.to_owned(), place: said.place.clone() };
            return Err(self.known.not_known(Code::UnknownPiece, &said, "joint or conductor"));
        }
        let work = self.vehicle.work.iter().rposition(|work| {
            work.on == on && date.is_none_or(|date| work.date.as_deref() == Some(date))
        });
        if work.is_none() && date.is_some() {
            remarks.warnings.push(Problem::warning(
                Code::UnknownWork,
                said.place.clone(),
                format!("no work on `{on}` with this date is written in the vehicle file"),
                "a piece, and a date of one of its `[[work]]` entries if there are several",
            ));
        }
        Ok(BesideWork { number, side, on: on.to_owned(), work })
    }
}

/// The reading that an entry is.
pub(super) fn reading(
    account: &Account,
    state: Option<StateId>,
    measured: Measured,
    value: &Value,
    accuracy: Accuracy,
) -> Reading {
    let noted: Vec<&str> = account.noted.iter().map(|said| said.text.as_str()).collect();
    let note = [noted.join(" "), account.note.clone().unwrap_or_default()];
    let note: Vec<String> = note.into_iter().filter(|part| !part.is_empty()).collect();
    Reading {
        number: account.number,
        state,
        measured,
        told: value.told,
        signed: value.signed,
        accuracy,
        time: account.time.clone(),
        note: (!note.is_empty()).then(|| note.join("; ")),
    }
}

fn value_missing(account: &Account) -> Problem {
    let problem = Problem::error(
        Code::ValueMissing,
        account.place.clone(),
        "no value is told",
        "a value such as `0.41 V`, `about 0.4 V`, `no drop`, `better`, `cured`",
    );
    let open =
        |said: &Said| ["ol", "open", "infinite"].contains(&said.text.to_lowercase().as_str());
    if account.unread.iter().any(open) {
        return problem.hint("an open way shows under load: measure the volts across it");
    }
    if account.names.is_empty() {
        // It is no reading that lacks something: whoever said it may not know what may be said.
        return problem.hint(
            "what was seen, felt or tried may be told as well, such as `the earth strap gets hot while cranking` or `new battery, no change`",
        );
    }
    problem
}
