//! Two lines that cannot both be so: readings of one thing that contradict each other, a hot cable that loses
//! next to nothing.

use diagnosis::Proposal;
use model::{Code, ConductorId, Measured, Probe, Problem, Reading, Seen, Sight, Spot, Told};
use units::{Seconds, Volts, print};

use super::story::{Outcome, Story};

/// Two readings of one thing differ by no more than this share of the larger unless something changed or one is
/// wrong (our judgement: from one go of cranking to the next a battery falls by a tenth or two).
const ALIKE: f64 = 0.3;
/// Volts by which two of them may differ whatever they are (our judgement).
const ALIKE_VOLTS: f64 = 0.15;
/// A cable that loses less than this is felt as cold after some seconds of cranking (our judgement: at 200 A it
/// is 4 W along the whole cable).
const FELT: Volts = Volts(0.02);
/// What it tells which of two contradicting readings is right, in natural units of information (one of two).
const DOUBT: f64 = std::f64::consts::LN_2;
/// What a reading that is taken again takes.
const AGAIN: Seconds = Seconds(60.0);

/// What a meter showed, without its sign; a range by its middle.
fn shown(told: Told) -> Option<f64> {
    match told {
        Told::Value(own) | Told::About(own) | Told::Held(own) => Some(own.abs()),
        Told::Between(low, high) => Some(f64::midpoint(low, high).abs()),
        Told::Nothing => Some(0.0),
        Told::AtLeast(_) | Told::Gauge(_) | Told::Change(_) => None,
    }
}

/// True for one thing, whichever way round the leads stood.
fn same(a: Measured, b: Measured) -> bool {
    match (a, b) {
        (Measured::Volts { high, low }, Measured::Volts { high: red, low: black }) => {
            (high, low) == (red, black) || (high, low) == (black, red)
        }
        _ => a == b,
    }
}

/// True for two readings that cannot both be so.
fn contradict(a: &Reading, b: &Reading) -> bool {
    let Some((one, other)) = shown(a.told).zip(shown(b.told)) else { return false };
    let least = if matches!(a.measured, Measured::Volts { .. }) { ALIKE_VOLTS } else { 0.0 };
    let apart = (one - other).abs();
    a.state == b.state
        && same(a.measured, b.measured)
        && apart > least
        && apart > ALIKE * one.max(other)
}

impl Story<'_> {
    /// The first two readings that contradict each other, in their order.
    pub(super) fn contradicted(&self) -> Option<(Reading, Reading)> {
        let all: Vec<&Reading> = self.readings().collect();
        let pairs = (0..all.len()).flat_map(|later| (0..later).map(move |first| (first, later)));
        let found = pairs.map(|(a, b)| (all[a], all[b])).find(|(a, b)| contradict(a, b))?;
        Some((found.0.clone(), found.1.clone()))
    }

    /// That one taken again, before anything else is measured.
    pub(super) fn again(&self, own: &Reading) -> Option<Proposal> {
        let state = own.state?;
        let sound = self.session.sound_shows(state, own.measured)?;
        let towards = match own.measured {
            Measured::Amps { conductor } => Some(self.vehicle.conductor_ends(conductor).1),
            _ => None,
        };
        // The leads so that a sound vehicle shows no minus.
        let (measured, sound) = match own.measured {
            Measured::Volts { high, low } if sound < 0.0 => {
                (Measured::Volts { high: low, low: high }, -sound)
            }
            other => (other, sound),
        };
        let (why, outcomes) = (None, Vec::new());
        Some(Proposal { state, why, measured, towards, time: AGAIN, gain: DOUBT, sound, outcomes })
    }

    /// What is asked about a cable that is told as hot and loses next to nothing by another line.
    pub(super) fn hot_and_sound(&self, outcome: Outcome, line: &str) -> Outcome {
        let found = match &outcome {
            Outcome::Reading(reading) => {
                self.sights().find(|seen| self.is_felt(seen, reading)).map(|own| own.number)
            }
            Outcome::Seen(all) => {
                let reading =
                    self.readings().find(|own| all.iter().any(|seen| self.is_felt(seen, own)));
                reading.map(|own| own.number)
            }
            _ => None,
        };
        let Some(number) = found else { return outcome };
        let problem = Problem::error(
            Code::ValueUnreadable,
            0..line.len(),
            format!(
                "line {number} tells of the same cable: one that gets hot loses more than {} while it does",
                print::volts(FELT)
            ),
            "what is so of the two",
        )
        .hint("feel that cable again along its whole length, and take its volts from lug to lug while the load is on; then say the one that is so");
        Outcome::NotUnderstood(Box::new(problem))
    }

    /// True where the only cable that was felt to be hot is the one over which next to nothing was read.
    fn is_felt(&self, seen: &Seen, reading: &Reading) -> bool {
        let Sight::Heat { spot: Spot::Pieces(own), hot: true } = &seen.sight else { return false };
        let [cable] = own.conductors.as_slice() else { return false };
        let state = seen.state.is_none() || seen.state == reading.state;
        let little = shown(reading.told).is_some_and(|own| own < FELT.0);
        state && little && self.is_over(reading.measured, *cable)
    }

    fn is_over(&self, measured: Measured, cable: ConductorId) -> bool {
        let Measured::Volts { high, low } = measured else { return false };
        let (from, to) = self.vehicle.conductor_ends(cable);
        let own = self.vehicle.conductor(cable);
        let at = |probe: Probe, end, lug| match probe {
            Probe::Point(point) => point == end,
            Probe::Lug(joint) | Probe::Strand(joint) => joint == lug,
        };
        (at(high, from, own.from) && at(low, to, own.to))
            || (at(high, to, own.to) && at(low, from, own.from))
    }
}
