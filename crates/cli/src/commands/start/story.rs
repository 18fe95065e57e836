//! What a person tells: the symptom, and reading after reading.

use diagnosis::{Account, Heard, Observation, Session, Side, SideBelief, Symptom, observations};
use file::readings::plain::{Phrase, translated};
use file::readings::{self, Line, Worthless};
use model::{Measured, Probe, Problem, Reading, StateId, Told as Value, Vehicle};
use network::{Network, OperatingPoint};
use units::Ratio;

use super::rough;
use super::setup::{Choices, Setup, chosen};
use crate::measuring;
use crate::problems::rendered;
use crate::style::wrapped;

pub(crate) const SYMPTOMS: Choices = &[
    ("slow-crank", "the starter turns the engine slowly"),
    ("no-crank", "the starter does not turn: nothing, or a click"),
    ("weak", "a lamp or accessory is weak or flickers"),
    ("not-charging", "the battery is not charged"),
    ("disturbed", "gauges or modules misbehave when something comes on"),
    ("hot", "something gets hot"),
];

/// Words by which people name a symptom.
const OTHER_WORDS: [(&str, &[&str]); 6] = [
    ("slow-crank", &["slow", "slowly", "sluggish", "lazy"]),
    (
        "no-crank",
        &["click", "clicks", "nothing", "dead", "no crank", "won't turn", "does not turn"],
    ),
    ("weak", &["dim", "flicker", "flickers", "flickering", "lamp", "light", "accessory"]),
    ("not-charging", &["charge", "charging", "charged", "alternator"]),
    ("disturbed", &["gauge", "gauges", "module", "modules", "misbehave"]),
    ("hot", &["heat", "heats", "burns", "smoke", "smokes", "warm", "melted"]),
];

/// The symptom that an answer means.
pub(crate) fn symptom(answer: &str) -> Option<&'static str> {
    if let Some(word) = chosen(answer, SYMPTOMS) {
        return Some(word);
    }
    let said = answer.to_lowercase();
    let said: Vec<&str> = said.split(|c: char| !c.is_alphanumeric() && c != '\'').collect();
    let mut found = OTHER_WORDS.iter().filter(|(_, words)| {
        words.iter().any(|word| {
            let parts: Vec<&str> = word.split(' ').collect();
            said.windows(parts.len()).any(|own| own == parts.as_slice())
        })
    });
    let first = found.next();
    first.filter(|_| found.next().is_none()).map(|(word, _)| *word)
}

pub(crate) fn symptom_named(word: &str) -> Symptom {
    match word {
        "no-crank" => Symptom::NoCrank,
        "weak" => Symptom::Weak,
        "not-charging" => Symptom::NotCharging,
        "disturbed" => Symptom::Disturbed,
        "hot" => Symptom::Hot,
        _ => Symptom::SlowCrank,
    }
}

pub(crate) fn symptom_word(symptom: Symptom) -> &'static str {
    match symptom {
        Symptom::SlowCrank => "slow-crank",
        Symptom::NoCrank => "no-crank",
        Symptom::Weak => "weak",
        Symptom::NotCharging => "not-charging",
        Symptom::Disturbed => "disturbed",
        Symptom::Hot => "hot",
    }
}

/// What became of a line.
#[derive(Debug, Clone)]
pub(crate) enum Outcome {
    Reading(Box<Reading>),
    Worthless(Worthless),
    NotUnderstood(Box<Problem>),
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
    points: Vec<OperatingPoint>,
    session: Session<'v>,
}

/// A reading of the symptom's own state that is expected to tell at least this comes first.
const WORTH_HOLDING: f64 = 0.05;

/// Lets a sound vehicle show a positive value: the probes change places.
fn upright(own: &mut diagnosis::Proposal) {
    if let Measured::Volts { high, low } = own.measured
        && own.sound < 0.0
    {
        own.measured = Measured::Volts { high: low, low: high };
        own.sound = -own.sound;
        for outcome in &mut own.outcomes {
            outcome.1 = -outcome.1;
        }
    }
}

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
    /// For each reading that counts.
    pub steps: Vec<Step>,
    pub next: Vec<diagnosis::Proposal>,
}

impl Weighed {
    /// What was believed of a side before any reading.
    pub(crate) fn first(&self, side: Side) -> Ratio {
        self.before.sides.probability(side)
    }

    /// How a side stands.
    pub(crate) fn standing(&self, own: &SideBelief) -> diagnosis::Standing {
        own.standing(self.first(own.side))
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
            Outcome::Worthless(_) | Outcome::NotUnderstood(_) => None,
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
        let read = translated(line, &self.phrases);
        let first = readings::one_line(&read, self.vehicle, number);
        let settled =
            matches!(&first, Ok(Line::Reading { reading, .. }) if reading.state.is_some());
        let heard = self.heard();
        let state = &self.vehicle.state(heard.state).id;
        let again = format!("{state}: {read}");
        let second = (!settled)
            .then(|| readings::one_line(&again, self.vehicle, number).ok())
            .flatten()
            .filter(|own| matches!(own, Line::Reading { .. }));
        let (read, assumed, outcome) = match (second, first) {
            (Some(Line::Reading { reading, .. }), _) => {
                (again, Some(heard.state), Outcome::Reading(reading))
            }
            (_, Ok(Line::Reading { reading, .. })) => (read, None, Outcome::Reading(reading)),
            (_, Ok(Line::Worthless(own))) => (read, None, Outcome::Worthless(own)),
            (_, Err(problem)) => (read, None, Outcome::NotUnderstood(Box::new(problem))),
        };
        let (read, turned, outcome) = match outcome {
            Outcome::Reading(reading) => match self.turned(&reading) {
                Some(own) => (self.line_of(&own), true, Outcome::Reading(Box::new(own))),
                None => (read, false, Outcome::Reading(reading)),
            },
            other => (read, false, other),
        };
        self.told.push(Told { number, said: line.to_owned(), read, assumed, turned, outcome });
    }

    /// The reading with its probes changed, when people who leave out the sign can only mean that: a
    /// sound vehicle would show the value below zero.
    fn turned(&self, reading: &Reading) -> Option<Reading> {
        let Measured::Volts { high: Probe::Point(high), low: Probe::Point(low) } = reading.measured
        else {
            return None;
        };
        let above = match reading.told {
            Value::Value(value) | Value::About(value) | Value::Held(value) => value > 0.0,
            Value::Between(low, _) => low > 0.0,
            Value::Nothing | Value::Gauge(_) | Value::Change(_) => false,
        };
        let point = self.points.get(reading.state?.index())?;
        let sound = (point.point(high)? - point.point(low)?).0;
        let measured = Measured::Volts { high: Probe::Point(low), low: Probe::Point(high) };
        (above && sound < -0.001).then(|| Reading { measured, ..reading.clone() })
    }

    /// A reading as a line that reads the same.
    fn line_of(&self, reading: &Reading) -> String {
        let state = reading.state.map_or("", |state| self.vehicle.state(state).id.as_str());
        format!(
            "{state}: {} {}",
            measuring::measured(self.vehicle, reading.measured),
            measuring::told(reading)
        )
    }

    /// True when a line could not be used.
    pub(crate) fn not_understood(&self) -> bool {
        self.told.iter().any(|own| matches!(own.outcome, Outcome::NotUnderstood(_)))
    }

    /// How the last line was understood, where that is not plain.
    pub(crate) fn said_of_the_last(&self, width: usize) -> Option<String> {
        let own = self.told.last()?;
        Some(match &own.outcome {
            Outcome::NotUnderstood(problem) => {
                let shown = rendered(std::slice::from_ref(problem), "your line", &own.read, width);
                let shown = shown.rsplit_once("\n\n").map_or(shown.as_str(), |(first, _)| first);
                format!("{shown}\nKept as a note. Say it again in other words, or go on.\n")
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

    fn seen(&self) -> Vec<Observation> {
        let readings: Vec<Reading> = self.readings().cloned().collect();
        observations(self.vehicle, &readings)
    }

    /// Weighs everything told so far, reading after reading.
    pub(crate) fn weigh(&mut self) -> Weighed {
        let heard = self.heard();
        let seen = self.seen();
        let before = self.session.hear(&[], heard);
        let mut account = before.clone();
        let mut steps = Vec::new();
        for last in 1..=seen.len() {
            let now = self.session.hear(&seen[..last], heard);
            let sides = Side::ALL
                .map(|side| (side, account.sides.probability(side), now.sides.probability(side)));
            steps.push(Step { number: seen[last - 1].number, sides });
            account = now;
        }
        let mut next = self.session.split(&account, &seen, heard);
        // Whoever has told of no clamp may have none.
        if !seen.iter().any(|own| matches!(own.measured, Measured::Amps { .. })) {
            next.retain(|own| !matches!(own.measured, Measured::Amps { .. }));
        }
        // The state in which it shows tells most, unless nothing is left to tell there.
        if next.iter().any(|own| own.state == heard.state && own.gain > WORTH_HOLDING) {
            next.retain(|own| own.state == heard.state);
        }
        if let Some(first) = next.first_mut() {
            upright(first);
        }
        Weighed { heard, account, before, steps, next }
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
                _ if own.read == own.said || own.said.contains('#') => own.read.clone(),
                _ => format!("{}  # said: {}", own.read, own.said),
            };
            text.push_str(&line.replace(['\n', '\r'], " "));
            text.push('\n');
        }
        Some(text)
    }
}
