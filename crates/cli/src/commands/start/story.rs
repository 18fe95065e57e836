//! What a person tells: the symptom, and reading after reading.

use diagnosis::{
    Account, Clue, Heard, Heeded, Hold, Observation, Question, Session, Side, SideBelief, Symptom,
    clues,
};
use file::readings::plain::{Phrase, translated};
use file::readings::{self, Line, Worthless};
use model::{Code, Measured, Problem, Reading, StateId, Told as Value, Vehicle};
use network::{Network, OperatingPoint};
use units::Ratio;

use super::rough;
use super::setup::Setup;
use crate::measuring;
use crate::problems::rendered;
use crate::style::wrapped;

/// What became of a line.
#[derive(Debug, Clone)]
pub(crate) enum Outcome {
    Reading(Box<Reading>),
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
    /// What is asked about it, when it is not weighed and might be.
    pub(crate) fn problem(&self) -> Option<&Problem> {
        match self {
            Self::WhichState { problem, .. }
            | Self::WhichVoltage(_, problem)
            | Self::NotUnderstood(problem) => Some(problem),
            Self::Reading(_) | Self::Worthless(_) => None,
        }
    }
}

/// One line as typed, as read, and what became of it.
#[derive(Debug, Clone)]
pub(crate) struct Told {
    pub number: u32,
    pub said: String,
    pub read: String,
    /// The state that was taken because none was told.
    pub assumed: Option<StateId>,
    /// True when the probes were taken the other way round than told.
    pub turned: bool,
    pub outcome: Outcome,
}

/// Everything told so far.
pub(crate) struct Story<'v> {
    pub vehicle: &'v Vehicle,
    pub setup: &'v Setup,
    pub symptom: Symptom,
    pub told: Vec<Told>,
    phrases: Vec<Phrase>,
    /// The rough vehicle as it would be if nothing were wrong, state by state.
    pub(super) points: Vec<OperatingPoint>,
    session: Session<'v>,
}

/// A reading of the symptom's own state that is expected to tell at least this comes first.
const WORTH_HOLDING: f64 = 0.05;

/// What one reading did: its number, and each side before and after it.
pub(crate) struct Step {
    pub number: u32,
    pub sides: [(Side, Ratio, Ratio); 5],
}

/// What the readings leave, and what each of them did.
pub(crate) struct Weighed {
    pub heard: Heard,
    pub account: Account,
    pub before: Account,
    /// For each reading or trial that counts.
    pub steps: Vec<Step>,
    pub next: Vec<diagnosis::Proposal>,
    /// What keeps sides from being called cleared, and the readings that it is about.
    pub holds: Vec<Hold>,
    pub seen: Vec<Observation>,
    /// What has to be asked about readings.
    pub questions: Vec<Question>,
    /// The reading that is more likely wrong than not, from which nothing is said, and how likely.
    pub doubted: Option<(u32, Ratio)>,
}

impl Weighed {
    /// What was believed of a side before any reading.
    pub(crate) fn first(&self, side: Side) -> Ratio {
        self.before.sides.probability(side)
    }

    /// How a side stands.
    pub(crate) fn standing(&self, own: &SideBelief) -> diagnosis::Standing {
        own.standing(self.first(own.side), &self.holds)
    }

    /// What is asked about a reading that is kept and not weighed.
    pub(crate) fn left_out(&self, number: u32) -> Option<&Question> {
        self.questions.iter().find(|own| own.number == number && !own.doubt.is_weighed())
    }

    /// True when something is more likely wrong than not.
    pub(crate) fn suspicious(&self) -> bool {
        self.account.diagnosis.nothing_bad < 0.5
    }
}

impl<'v> Story<'v> {
    pub(crate) fn new(vehicle: &'v Vehicle, setup: &'v Setup, symptom: Symptom) -> Self {
        Self {
            vehicle,
            setup,
            symptom,
            told: Vec::new(),
            phrases: rough::phrases(setup),
            points: Network::new(vehicle).operating_points(),
            session: Session::new(vehicle),
        }
    }

    /// What is said to be wrong, with the state in which it was measured if that fits.
    pub(crate) fn heard(&self) -> Heard {
        let vehicle = self.vehicle;
        let (load, usual) = match self.symptom {
            Symptom::SlowCrank | Symptom::NoCrank => (Some("starter"), "cranking"),
            Symptom::Weak => (Some("lamp"), "key-on"),
            Symptom::NotCharging => (None, "running"),
            Symptom::Disturbed => (Some("module"), "running"),
            Symptom::Hot => (None, "cranking"),
        };
        let load = load.and_then(|name| vehicle.load_named(name));
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

    pub(crate) fn readings(&self) -> impl Iterator<Item = &Reading> {
        self.told.iter().filter_map(|own| match &own.outcome {
            Outcome::Reading(reading) => Some(reading.as_ref()),
            _ => None,
        })
    }

    /// Two readings as somebody with this symptom would say them.
    pub(crate) fn examples(&self) -> (&'static str, &'static str) {
        match self.symptom {
            Symptom::SlowCrank | Symptom::NoCrank | Symptom::Hot => {
                ("battery 10.4 V while cranking", "cranking: engine to battery minus 0.6 V")
            }
            Symptom::Weak => ("key on: lamp 9.8 V", "key on: lamp earth to battery minus 0.9 V"),
            Symptom::NotCharging => {
                ("battery 12.6 V running", "running: alternator stud to battery plus 1.2 V")
            }
            Symptom::Disturbed => {
                ("running: module earth to battery minus 0.4 V", "battery 14.1 V running")
            }
        }
    }

    /// Takes a line, whatever it is.
    pub(crate) fn take(&mut self, line: &str) {
        let number = u32::try_from(self.told.len()).unwrap_or(u32::MAX - 1) + 1;
        let told = self.understood(line, number, None);
        self.told.push(told);
    }

    /// Takes the last line again, now that its state is told.
    pub(crate) fn settle(&mut self, state: StateId) {
        if let Some(last) = self.told.pop() {
            let told = self.understood(&last.said, last.number, Some(state));
            self.told.push(told);
        }
    }

    fn understood(&self, line: &str, number: u32, state: Option<StateId>) -> Told {
        let read = translated(line, &self.phrases);
        let read = state.map_or(read.clone(), |state| self.in_state(state, &read));
        let (read, first) = self.with_the_load(read, number);
        let (read, assumed, outcome) = match first {
            // What was tried was tried on what is said to be wrong.
            Ok(Line::Reading { reading, .. })
                if reading.state.is_none()
                    && matches!(reading.measured, Measured::JumpLead { .. }) =>
            {
                let own = self.heard().state;
                let again = self.in_state(own, &read);
                match readings::one_line(&again, self.vehicle, number) {
                    Ok(Line::Reading { reading, .. }) => {
                        (again, Some(own), Outcome::Reading(reading))
                    }
                    _ => (read, None, Outcome::Reading(reading)),
                }
            }
            Ok(Line::Reading { reading, .. }) => (read, None, Outcome::Reading(reading)),
            Ok(Line::Worthless(own)) => match self.open(&read, number) {
                Some(outcome) => (read, None, outcome),
                None => (read, None, Outcome::Worthless(own)),
            },
            Err(problem) => (read, None, Outcome::NotUnderstood(Box::new(problem))),
        };
        let outcome = match outcome {
            Outcome::Reading(reading) => match self.another_voltage(&reading, &read) {
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
        Told { number, said: line.to_owned(), read, assumed, turned, outcome }
    }

    /// A line with its state in front.
    pub(crate) fn in_state(&self, state: StateId, read: &str) -> String {
        format!("{}: {read}", self.vehicle.state(state).id)
    }

    /// Reads a line; a trial that names no load watched the one that does not work as it should.
    fn with_the_load(&self, read: String, number: u32) -> (String, Result<Line, Problem>) {
        let first = readings::one_line(&read, self.vehicle, number);
        let load = self.heard().load.map(|load| &self.vehicle.load(load).id);
        if let (Err(problem), Some(load)) = (&first, load)
            && problem.code == Code::LoadMissing
        {
            let (body, note) = read.split_at(read.find('#').unwrap_or(read.len()));
            let again = format!(
                "{}: {load}{}{note}",
                body.trim_end(),
                if note.is_empty() { "" } else { "  " }
            );
            let second = readings::one_line(&again, self.vehicle, number);
            if second.is_ok() {
                return (again, second);
            }
        }
        (read, first)
    }

    /// The reading with its probes changed, or its clamp turned, when people who leave out the sign can
    /// only mean that: a sound vehicle would show the value below zero.
    fn turned(&self, reading: &Reading) -> Option<Reading> {
        let above = match reading.told {
            Value::Value(value) | Value::About(value) | Value::Held(value) => value > 0.0,
            Value::Between(low, high) => low >= 0.0 && high > 0.0,
            Value::Nothing | Value::Gauge(_) | Value::Change(_) => false,
        };
        let sound = self.session.sound_shows(reading.state?, reading.measured)?;
        if reading.signed || !above || sound > -0.001 {
            return None;
        }
        match reading.measured {
            Measured::Volts { high, low } => {
                let measured = Measured::Volts { high: low, low: high };
                Some(Reading { measured, signed: true, ..reading.clone() })
            }
            Measured::Amps { .. } => {
                Some(Reading { told: reading.told.turned(), signed: true, ..reading.clone() })
            }
            _ => None,
        }
    }

    /// What to ask about the last line: whether the meter showed the minus that was taken for it.
    pub(crate) fn asked_of_the_last(&self) -> Option<String> {
        let own = self.told.last().filter(|own| own.turned)?;
        let Outcome::Reading(reading) = &own.outcome else { return None };
        let sound = self.session.sound_shows(reading.state?, reading.measured)?;
        let volts = matches!(reading.measured, Measured::Volts { .. });
        // As it was told: the leads stood the other way round.
        let sound = measuring::value(reading.measured, if volts { -sound } else { sound });
        Some(format!("Did the meter show a minus? A sound vehicle shows about {sound} there."))
    }

    /// Takes the last line as it was told: the meter showed no minus.
    pub(crate) fn without_a_minus(&mut self) {
        if let Some(own) = self.told.last_mut().filter(|own| own.turned)
            && let Outcome::Reading(reading) = &mut own.outcome
        {
            match reading.measured {
                Measured::Volts { high, low } => {
                    reading.measured = Measured::Volts { high: low, low: high };
                }
                _ => reading.told = reading.told.turned(),
            }
            own.turned = false;
            let reading = reading.clone();
            let read = self.line_of(&reading);
            if let Some(own) = self.told.last_mut() {
                own.read = read;
            }
        }
    }

    /// A reading as a line that reads the same, its sign told.
    fn line_of(&self, reading: &Reading) -> String {
        let vehicle = self.vehicle;
        let state = reading.state.map_or("", |state| vehicle.state(state).id.as_str());
        let told = measuring::told(reading);
        let sign =
            if reading.signed && told.starts_with(|c: char| c.is_ascii_digit()) { "+" } else { "" };
        let place = match reading.measured {
            Measured::Volts { high, low } => {
                let [red, black] = [high, low].map(|own| measuring::probe_name(vehicle, own));
                format!("{red} to {black}")
            }
            Measured::Amps { conductor } => vehicle.conductor(conductor).id.clone(),
            other => measuring::measured(vehicle, other),
        };
        format!("{state}: {place} {sign}{told}")
    }

    /// True when a line could not be used.
    pub(crate) fn not_understood(&self) -> bool {
        self.told.iter().any(|own| own.outcome.problem().is_some())
    }

    /// How the last line was understood, where that is not plain.
    pub(crate) fn said_of_the_last(&self, width: usize) -> Option<String> {
        let own = self.told.last()?;
        Some(match &own.outcome {
            Outcome::WhichState { problem, .. }
            | Outcome::WhichVoltage(_, problem)
            | Outcome::NotUnderstood(problem) => {
                let shown = rendered(std::slice::from_ref(problem), "your line", &own.read, width);
                let shown = shown.rsplit_once("\n\n").map_or(shown.as_str(), |(first, _)| first);
                let kept = if matches!(own.outcome, Outcome::NotUnderstood(_)) {
                    "Kept as a note. Say it again in other words, or go on."
                } else {
                    "Kept, and not weighed. Say it again with what is missing, or go on."
                };
                format!("{shown}\n{kept}\n")
            }
            Outcome::Worthless(worthless) => {
                let words = format!(
                    "This proves nothing: {}. Instead: {}",
                    worthless.why, worthless.instead
                );
                format!("{}\n", wrapped(&words, width, 0))
            }
            Outcome::Reading(_) if own.read != own.said => {
                format!("{}\n", wrapped(&format!("Read as: {}", own.read), width, 0))
            }
            Outcome::Reading(_) => return None,
        })
    }

    /// What counts of the readings, and what has to be asked about them.
    fn heeded(&mut self) -> Heeded {
        let readings: Vec<Reading> = self.readings().cloned().collect();
        self.session = Session::new(self.vehicle);
        self.session.heed(&readings, None)
    }

    /// What a jump lead or a push did, each with its number.
    fn noticed(&self) -> Vec<(u32, Clue)> {
        let one = |own: &Reading| {
            clues(self.vehicle, std::slice::from_ref(own)).pop().map(|clue| (own.number, clue))
        };
        self.readings().filter_map(one).collect()
    }

    /// Weighs everything told so far, one after the other.
    pub(crate) fn weigh(&mut self) -> Weighed {
        let heard = self.heard();
        let Heeded { mut seen, questions } = self.heeded();
        let noticed = self.noticed();
        self.session = Session::new(self.vehicle);
        let before = self.session.hear(&[], heard);
        let mut account = before.clone();
        let mut steps = Vec::new();
        let mut numbers: Vec<u32> = seen.iter().map(|own| own.number).collect();
        numbers.extend(noticed.iter().map(|own| own.0));
        numbers.sort_unstable();
        let mut tried: Vec<Clue> = Vec::new();
        let mut doubted = None;
        for number in numbers {
            if let Some((_, clue)) = noticed.iter().find(|own| own.0 == number) {
                tried.push(*clue);
                self.session = Session::with_clues(self.vehicle, &tried);
            }
            let last = seen.partition_point(|own| own.number <= number);
            let (now, again) = self.session.hear_undoubted(&seen[..last], heard);
            doubted = again;
            let sides = Side::ALL
                .map(|side| (side, account.sides.probability(side), now.sides.probability(side)));
            steps.push(Step { number, sides });
            account = now;
        }
        seen.retain(|own| doubted.is_none_or(|(number, _)| own.number != number));
        let mut next = self.session.split(&account, &seen, heard);
        // Whoever has told of no clamp may have none.
        if !seen.iter().any(|own| matches!(own.measured, Measured::Amps { .. })) {
            next.retain(|own| !matches!(own.measured, Measured::Amps { .. }));
        }
        // The state in which it shows tells most, unless nothing is left to tell there.
        if next.iter().any(|own| own.state == heard.state && own.gain > WORTH_HOLDING) {
            next.retain(|own| own.state == heard.state);
        }
        let holds = self.session.holds(&account.diagnosis, &seen, heard.load);
        Weighed { heard, account, before, steps, next, holds, seen, questions, doubted }
    }

    /// The file of readings; nothing when none was told.
    pub(crate) fn file(&self) -> Option<String> {
        if self.told.is_empty() {
            return None;
        }
        let mut text = String::from(
            "# Readings told to `groundloom start`, one a line; as they were said behind `#`.\n",
        );
        for own in &self.told {
            let line = match &own.outcome {
                Outcome::NotUnderstood(_) => format!("# not understood: {}", own.said),
                Outcome::WhichVoltage(volts, _) => {
                    format!("# of a {volts} vehicle: {}", own.said)
                }
                _ if own.read == own.said || own.said.contains('#') => own.read.clone(),
                _ => format!("{}  # said: {}", own.read, own.said),
            };
            text.push_str(&line.replace(['\n', '\r'], " "));
            text.push('\n');
        }
        Some(text)
    }
}
