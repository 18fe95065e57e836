//! What a person tells: the symptom, and reading after reading.

use diagnosis::{Heard, Session, Symptom};
use model::{Measured, Problem, Reading, Seen, StateId, Vehicle};
use network::{Network, OperatingPoint};
use readings::{Vocabulary, What, Worthless, statement};

use super::back::{self, Back};
use super::places;
use super::setup::Setup;

/// What became of a line.
#[derive(Debug, Clone)]
pub(super) enum Outcome {
    Reading(Box<Reading>),
    /// Something seen, felt or tried without a meter.
    Seen(Vec<Seen>),
    Worthless(Worthless),
    /// It counts once its state is told: those that it may belong to, the likeliest first.
    WhichState {
        states: Vec<StateId>,
        /// True when the value lets guess the first of them.
        guessed: bool,
        problem: Box<Problem>,
    },
    /// It is a reading of a vehicle of another voltage.
    WhichVoltage(&'static str, Box<Problem>),
    NotUnderstood(Box<Problem>),
}

impl Outcome {
    /// The same, what is asked of the whole line placed in it as it was said.
    fn asked_of(mut self, line: &str) -> Self {
        match &mut self {
            Self::WhichState { problem, .. } | Self::WhichVoltage(_, problem) => {
                problem.place = 0..line.len();
            }
            Self::NotUnderstood(problem) if problem.place.end > line.len() => {
                problem.place = 0..line.len();
            }
            _ => {}
        }
        self
    }

    /// What is asked about it, when it is not weighed and might be.
    pub(super) fn problem(&self) -> Option<&Problem> {
        match self {
            Self::WhichState { problem, .. }
            | Self::WhichVoltage(_, problem)
            | Self::NotUnderstood(problem) => Some(problem),
            Self::Reading(_) | Self::Seen(_) | Self::Worthless(_) => None,
        }
    }
}

/// One line as typed, as read, and what became of it.
#[derive(Debug, Clone)]
pub(super) struct Said {
    pub number: u32,
    pub said: String,
    pub read: String,
    /// The state that was taken because none was told.
    pub assumed: Option<StateId>,
    /// True when the probes were taken the other way round than told.
    pub turned: bool,
    pub outcome: Outcome,
}

/// Everything told so far of a rough vehicle, line after line.
#[derive(Debug)]
pub struct Story<'v> {
    pub(super) vehicle: &'v Vehicle,
    pub(super) setup: Setup,
    pub(super) symptom: Symptom,
    pub(super) told: Vec<Said>,
    pub(super) words: Vocabulary,
    /// The rough vehicle as it would be if nothing were wrong, state by state.
    pub(super) points: Vec<OperatingPoint>,
    pub(super) session: Session<'v>,
    /// What is asked about the last line and not answered yet.
    asked: Option<AskedBack>,
}

/// What is asked about a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum AskedBack {
    When,
    Voltage(&'static str),
    Minus,
}

/// What an answer about a line leaves to do.
#[derive(Debug, Clone)]
pub enum Answered {
    /// Nothing more is asked about it.
    Settled,
    /// This is asked as well.
    Asks(Back),
    /// The vehicle is of another voltage: all is to be told anew of such a one.
    OfAnother(Box<Setup>),
}

/// The load that does not work as it should.
fn watched(symptom: Symptom) -> Option<&'static str> {
    match symptom {
        Symptom::SlowCrank | Symptom::NoCrank => Some("starter"),
        Symptom::Weak => Some("lamp"),
        Symptom::Disturbed => Some("module"),
        Symptom::NotCharging | Symptom::Hot => None,
    }
}

impl<'v> Story<'v> {
    /// Begins with the [vehicle](Setup::vehicle) of a setup, of which nothing but the symptom is told.
    #[must_use]
    pub fn new(vehicle: &'v Vehicle, setup: &Setup, symptom: Symptom) -> Self {
        Self {
            vehicle,
            setup: setup.clone(),
            symptom,
            told: Vec::new(),
            words: places::words(vehicle, setup, watched(symptom)),
            points: Network::new(vehicle).operating_points(),
            session: Session::new(vehicle),
            asked: None,
        }
    }

    /// Every line as it was said, to be told again of another vehicle.
    #[must_use]
    pub fn lines(&self) -> Vec<String> {
        self.told.iter().map(|own| own.said.clone()).collect()
    }

    /// What is said to be wrong, with the state in which it was measured if that fits.
    pub(super) fn heard(&self) -> Heard {
        let vehicle = self.vehicle;
        let usual = match self.symptom {
            Symptom::SlowCrank | Symptom::NoCrank | Symptom::Hot => "cranking",
            Symptom::Weak => "key-on",
            Symptom::NotCharging | Symptom::Disturbed => "running",
        };
        let load = watched(self.symptom).and_then(|name| vehicle.load_named(name));
        let measured = self.readings().filter_map(|own| own.state).find(|state| {
            let on = load.is_none_or(|id| vehicle.load(id).is_on_in(*state));
            let charges = vehicle.regulated.iter().any(|own| own.runs_in(*state));
            match self.symptom {
                Symptom::NotCharging => charges,
                Symptom::Weak | Symptom::Disturbed | Symptom::Hot => {
                    on && vehicle.state(*state).id != "resting"
                }
                Symptom::SlowCrank | Symptom::NoCrank => false,
            }
        });
        let state = measured.or_else(|| vehicle.state_named(usual)).unwrap_or(StateId::at(0));
        Heard { symptom: self.symptom, load, state }
    }

    pub(super) fn readings(&self) -> impl Iterator<Item = &Reading> {
        self.told.iter().filter_map(|own| match &own.outcome {
            Outcome::Reading(reading) => Some(reading.as_ref()),
            _ => None,
        })
    }

    /// The statements of a line in which several values are told, each as a line of its own.
    #[must_use]
    pub fn parts(&self, line: &str) -> Vec<String> {
        readings::parts(line, self.vehicle)
    }

    /// Takes a line, whatever it is; what is asked about it, if anything is.
    pub fn take(&mut self, line: &str) -> Option<Back> {
        let number = u32::try_from(self.told.len()).unwrap_or(u32::MAX - 1) + 1;
        let told = self.understood(line, number, None);
        self.told.push(told);
        self.ask()
    }

    /// Takes the word that answers what was asked about the last line.
    pub fn answer(&mut self, word: &str) -> Answered {
        match self.asked.take() {
            Some(AskedBack::When) => {
                let Some(state) = self.vehicle.state_named(word) else { return Answered::Settled };
                self.settle(state);
                self.ask().map_or(Answered::Settled, Answered::Asks)
            }
            Some(AskedBack::Voltage(volts)) => {
                let nominal = back::nominal(volts).filter(|_| word == "yes");
                let other = |nominal| {
                    Answered::OfAnother(Box::new(Setup { nominal, ..self.setup.clone() }))
                };
                nominal.map_or(Answered::Settled, other)
            }
            Some(AskedBack::Minus) => {
                if word == "no" {
                    self.without_a_minus();
                }
                Answered::Settled
            }
            None => Answered::Settled,
        }
    }

    /// What is asked about the last line.
    fn ask(&mut self) -> Option<Back> {
        let own = self.told.last()?;
        let (asked, back) = match &own.outcome {
            Outcome::WhichState { states, guessed, .. } => {
                let back = back::of_state(self.vehicle, (states, *guessed), &own.said);
                (AskedBack::When, back)
            }
            Outcome::WhichVoltage(volts, problem) => {
                (AskedBack::Voltage(volts), back::of_voltage(volts, &problem.what))
            }
            Outcome::Reading(reading) if own.turned => {
                (AskedBack::Minus, back::of_minus(&self.sound_as_told(reading)?))
            }
            _ => return None,
        };
        self.asked = Some(asked);
        Some(back)
    }

    /// Takes the last line again, now that its state is told.
    fn settle(&mut self, state: StateId) {
        if let Some(last) = self.told.pop() {
            let told = self.understood(&last.said, last.number, Some(state));
            self.told.push(told);
        }
    }

    fn understood(&self, line: &str, number: u32, state: Option<StateId>) -> Said {
        let text = state.map_or_else(|| line.to_owned(), |state| self.in_state(state, line));
        let own = statement(&text, self.vehicle, &self.words, number);
        let read = own.read;
        let (read, assumed, outcome) = match own.what {
            // What was tried was tried on what is said to be wrong.
            What::Reading { reading, .. }
                if reading.state.is_none()
                    && matches!(reading.measured, Measured::JumpLead { .. }) =>
            {
                let own = self.heard().state;
                let again = self.in_state(own, &read);
                match statement(&again, self.vehicle, &self.words, number).what {
                    What::Reading { reading, .. } => (again, Some(own), Outcome::Reading(reading)),
                    _ => (read, None, Outcome::Reading(reading)),
                }
            }
            What::Reading { reading, .. } => (read, None, Outcome::Reading(reading)),
            What::Seen(all) => (read, None, Outcome::Seen(all)),
            What::Worthless(own) => match self.not_weighed(&read, number) {
                Some(outcome) => (read, None, outcome),
                None => (read, None, Outcome::Worthless(own)),
            },
            What::Question(own) => (read, None, Outcome::NotUnderstood(Box::new(own.problem))),
            What::Remark(problem) => (read, None, Outcome::NotUnderstood(Box::new(problem))),
        };
        let outcome = match outcome {
            Outcome::Reading(reading) => match self
                .another_voltage(&reading, &read)
                .or_else(|| self.slipped(&reading, &read))
            {
                Some(other) => other,
                None => Outcome::Reading(reading),
            },
            other => other,
        };
        let (read, turned, outcome) = match outcome {
            Outcome::Reading(reading) => match self.turned(&reading) {
                Some(own) => (self.line_of(&own), true, Outcome::Reading(Box::new(own))),
                None => (read, false, Outcome::Reading(reading)),
            },
            other => (read, false, other),
        };
        let outcome = self.hot_and_sound(outcome, line).asked_of(line);
        Said { number, said: line.to_owned(), read, assumed, turned, outcome }
    }

    /// A line with its state in front.
    pub(super) fn in_state(&self, state: StateId, read: &str) -> String {
        format!("{}: {read}", self.vehicle.state(state).id)
    }

    /// Everything seen, felt or tried, in the order in which it was told.
    pub(super) fn sights(&self) -> impl Iterator<Item = &Seen> {
        self.told.iter().flat_map(|own| match &own.outcome {
            Outcome::Seen(all) => all.as_slice(),
            _ => &[],
        })
    }
}
