//! Why a line is not weighed before more is told: when it was taken, or of which vehicle.

use diagnosis::Symptom;
use model::{Code, Measured, Probe, Problem, Reading, StateId, Told as Value};
use readings::{What, statement};
use units::{Volts, print};

use super::back::when;
use super::story::{Outcome, Story};

/// Volts of a 12 V vehicle at rest, about (common practice: a charged battery has some 12.7, a flat one 12.0).
const RESTED: std::ops::RangeInclusive<f64> = 12.0..=13.0;
/// No vehicle gives more than this share of its nominal voltage, however it is charged (our judgement).
const MOST: f64 = 1.35;
/// Shares of the nominal voltage that a vehicle shows from cranking to charging (our judgement).
const SHOWN: std::ops::RangeInclusive<f64> = 0.7..=1.3;
/// Shares that its battery shows while nothing heavy is drawn (our judgement).
const UNLOADED: std::ops::RangeInclusive<f64> = 0.95..=1.22;
/// Share of the nominal voltage below which no battery turns a starter (our judgement: a solenoid lets go well
/// above it), and shares that a battery shows while it does.
const TURNS_NOTHING: f64 = 0.25;
const WHILE_TURNING: std::ops::RangeInclusive<f64> = 0.4..=1.2;
/// Voltages of vehicles that are told apart by their readings.
pub(super) const NOMINAL: [(&str, f64); 3] = [("12 V", 12.0), ("24 V", 24.0), ("48 V", 48.0)];

/// The value of a reading between two points, a range by its middle.
fn volts(reading: &Reading) -> Option<f64> {
    Some(match reading.told {
        Value::Value(value)
        | Value::About(value)
        | Value::Held(value)
        | Value::AtLeast(value)
        | Value::Gauge(value) => value,
        Value::Between(low, high) => f64::midpoint(low, high),
        Value::Nothing | Value::Change(_) => return None,
    })
    .filter(|_| matches!(reading.measured, Measured::Volts { .. }))
}

/// `a, b or c`.
fn either(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [only] => only.clone(),
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
    }
}

impl Story<'_> {
    /// What is asked about a line that proves nothing because its state is not told; nothing when a
    /// state would not help it.
    pub(super) fn not_weighed(&self, read: &str, number: u32) -> Option<Outcome> {
        let states = (0..self.vehicle.states.len()).map(StateId::at);
        let readings: Vec<Reading> = states
            .filter_map(|state| {
                let line = self.in_state(state, read);
                match statement(&line, self.vehicle, &self.words, number).what {
                    What::Reading { reading, warnings, .. }
                        if warnings.iter().all(|own| own.code != Code::FlowUnexplained) =>
                    {
                        Some(*reading).filter(|own| self.is_on(own))
                    }
                    _ => None,
                }
            })
            .collect();
        let first = readings.first()?;
        if let Some(other) = self.another_voltage(&Reading { state: None, ..first.clone() }, read) {
            return Some(other);
        }
        let mut states: Vec<StateId> = readings.iter().filter_map(|own| own.state).collect();
        let guess = self
            .guess(first)
            .filter(|guess| states.iter().any(|state| self.vehicle.state(*state).id == *guess));
        let first = guess.unwrap_or(&self.vehicle.state(self.heard().state).id);
        states.sort_by_key(|state| self.vehicle.state(*state).id != first);
        let problem = Box::new(self.which_state(&states, read));
        Some(Outcome::WhichState { states, guessed: guess.is_some(), problem })
    }

    /// False for the volts of a load that is off: what stands at it then is no reading of its circuit.
    /// What a coil switches, such as a starter, has its volts all the same.
    fn is_on(&self, reading: &Reading) -> bool {
        let (Measured::Volts { high: Probe::Point(a), low: Probe::Point(b) }, Some(state)) =
            (reading.measured, reading.state)
        else {
            return true;
        };
        self.vehicle.loads.iter().all(|load| {
            let own = [load.positive, load.negative];
            let at_it = own.contains(&a) && own.contains(&b);
            !at_it || load.control.is_some() || load.is_on_in(state)
        })
    }

    /// The state that a value lets guess: at rest a battery has some 12.0 to 13.0 V of 12, charged more.
    fn guess(&self, reading: &Reading) -> Option<&'static str> {
        let volts = volts(reading).filter(|_| self.is_supply(reading))?;
        match volts.abs() * 12.0 / self.setup.nominal.0 {
            volts if RESTED.contains(&volts) => Some("resting"),
            volts if volts > *RESTED.end() => Some("running"),
            _ => None,
        }
    }

    /// True when a sound vehicle has most of its volts there, and not a loss.
    fn is_supply(&self, reading: &Reading) -> bool {
        let Measured::Volts { high: Probe::Point(high), low: Probe::Point(low) } = reading.measured
        else {
            return false;
        };
        self.points.iter().any(|point| {
            let between = point.point(high).zip(point.point(low)).map(|(a, b)| (a - b).0.abs());
            between.is_some_and(|volts| volts > 0.5 * self.setup.nominal.0)
        })
    }

    fn which_state(&self, states: &[StateId], read: &str) -> Problem {
        let name = |state: &StateId| self.vehicle.state(*state).id.as_str();
        let words: Vec<String> = states.iter().map(|state| when(name(state))).collect();
        let (first, others) = states.split_first().map_or(("", states), |(a, b)| (name(a), b));
        let others: Vec<String> = others.iter().map(|own| format!("`{}`", name(own))).collect();
        let way = format!("say `{first}: {read}`");
        let hint = match others.as_slice() {
            [] => way,
            others => format!("{way}, or the same with {} in front", either(others)),
        };
        Problem::error(
            Code::WhichState,
            0..read.len(),
            format!("when it was taken is not told; it may be {}", either(&words)),
            "the state in front",
        )
        .hint(hint)
    }

    /// What is asked about volts that a vehicle of another voltage has.
    pub(super) fn another_voltage(&self, reading: &Reading, read: &str) -> Option<Outcome> {
        let own = self.setup.nominal.0;
        let volts = volts(reading)?.abs();
        let above = volts > MOST * own;
        let loaded = reading.state.is_some_and(|state| self.vehicle.state(state).id == "cranking");
        let below = !loaded && self.over_a_battery(reading);
        let fits = |nominal: f64| {
            let share = volts / nominal;
            (nominal > own && above && SHOWN.contains(&share))
                || (nominal < own && below && UNLOADED.contains(&share))
        };
        let (word, nominal) = NOMINAL.into_iter().find(|(_, nominal)| fits(*nominal))?;
        let more = if nominal < own {
            "; of one battery of several in series it says nothing of the whole"
        } else {
            ""
        };
        let problem = Problem::error(
            Code::WhichVoltage,
            0..read.len(),
            format!(
                "{} is what a {word} vehicle shows, and this one is taken as {own} V{more}",
                print::volts(Volts(volts))
            ),
            format!("volts of a {own} V vehicle"),
        )
        .hint(format!("is this a {word} vehicle? Then say `--voltage '{word}'`"));
        Some(Outcome::WhichVoltage(word, Box::new(problem)))
    }

    /// What is asked about a battery that would have too little to turn the starter, which it turns: with
    /// the decimal point one place on it would be what such a battery shows.
    pub(super) fn slipped(&self, reading: &Reading, read: &str) -> Option<Outcome> {
        let cranks = reading.state.is_some_and(|state| self.vehicle.state(state).id == "cranking");
        if self.symptom != Symptom::SlowCrank || !cranks || !self.over_a_battery(reading) {
            return None;
        }
        let own = volts(reading)?.abs();
        let (share, meant) = (own / self.setup.nominal.0, Volts(10.0 * own));
        if share >= TURNS_NOTHING || !WHILE_TURNING.contains(&(10.0 * share)) {
            return None;
        }
        let problem = Problem::error(
            Code::ValueUnreadable,
            0..read.len(),
            format!(
                "a battery with {} turns no starter, and yours turns",
                print::volts(Volts(own))
            ),
            "what the meter showed at its posts",
        )
        .hint(format!("is it {}? Then say the line again so", print::volts(meant)));
        Some(Outcome::NotUnderstood(Box::new(problem)))
    }

    fn over_a_battery(&self, reading: &Reading) -> bool {
        let Measured::Volts { high: Probe::Point(high), low: Probe::Point(low) } = reading.measured
        else {
            return false;
        };
        self.vehicle.batteries.iter().any(|own| {
            let posts = [own.positive, own.negative];
            posts.contains(&high) && posts.contains(&low)
        })
    }
}
