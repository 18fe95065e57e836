//! The warmth of everything in a state.

use ::failures::{Duty, Warmth};
use model::{StateId, Vehicle};
use units::{Ratio, Seconds};

use super::{Asked, DutyAsked, HeatDuty};
use crate::Refusal;
use crate::arguments::Arguments;
use crate::refusal::{Refused, state};
use crate::room::Watch;

/// What a state of hours is followed for when no time is given: long enough for the thickest cable.
const HOURS: Seconds = Seconds(2.0 * 3600.0);

/// The warmth of everything in a state.
#[derive(Debug)]
pub struct Found<'v> {
    pub(super) vehicle: &'v Vehicle,
    pub(super) warmth: Warmth,
    /// The duty asked about; nothing for a constant current.
    pub(super) duty: Option<Duty>,
}

impl<'v> Found<'v> {
    pub(super) fn of(vehicle: &'v Vehicle, asked: &Asked, _: Watch<'_>) -> Result<Self, Refused> {
        let mut arguments = Arguments::default();
        let state = arguments.keep(state(vehicle, &asked.state));
        let time = time(&mut arguments, asked);
        let duty = duty(&mut arguments, asked);
        let state = arguments.0.unless(state)?;
        let time = time.unwrap_or_else(|| usual_time(vehicle, state));
        Ok(Self { vehicle, warmth: Warmth::new(vehicle, state, time, duty), duty })
    }

    /// True when something gets too hot, or no operating point was found.
    pub(super) fn wants_attention(&self) -> bool {
        !self.warmth.found
            || self.warmth.conductors.iter().any(|own| own.at_end > own.limit)
            || self.warmth.joints.iter().any(|own| own.contact.is_some())
    }
}

/// How long a state is followed when nobody says: its usual duration, or hours.
fn usual_time(vehicle: &Vehicle, state: StateId) -> Seconds {
    vehicle.state(state).duration.unwrap_or(HOURS)
}

/// How long the state is to be followed, as text or as a number.
fn time(arguments: &mut Arguments, asked: &Asked) -> Option<Seconds> {
    let written = asked.time.as_deref();
    if written.is_some() && asked.seconds.is_some() {
        arguments.refuse(Refusal::new("a time is asked for twice", "one of `for` and `seconds`"));
    }
    match (written, asked.seconds) {
        (Some(text), _) => arguments.positive::<Seconds>("for", text),
        (None, Some(seconds)) => above_zero(arguments, "`seconds`", seconds, "15"),
        (None, None) => None,
    }
}

fn above_zero(
    arguments: &mut Arguments,
    what: &str,
    seconds: f64,
    example: &str,
) -> Option<Seconds> {
    if seconds > 0.0 && seconds.is_finite() {
        return Some(Seconds(seconds));
    }
    let expected = format!("a time above zero, such as {example}");
    arguments.refuse(Refusal::new(format!("{what} is {seconds}"), expected));
    None
}

/// The current that comes and goes, as two texts or as numbers.
fn duty(arguments: &mut Arguments, asked: &Asked) -> Option<Duty> {
    let period = asked.period.as_deref();
    let read = period.and_then(|text| arguments.positive::<Seconds>("period", text));
    match (&asked.duty, period) {
        (Some(DutyAsked::Share(text)), Some(_)) => {
            let share = share(arguments, text);
            share.zip(read).map(|(share, period)| Duty { share, period })
        }
        (Some(DutyAsked::Share(text)), None) => {
            share(arguments, text);
            let expected = "`period` beside it, such as `2 min`";
            arguments.refused("duty", text, "has no period", expected)
        }
        (Some(DutyAsked::Round(own)), None) => round(arguments, *own),
        (Some(DutyAsked::Round(own)), Some(text)) => {
            round(arguments, *own);
            let expected = "a period in one place alone";
            arguments.refused("period", text, "stands in the duty too", expected)
        }
        (None, Some(text)) => {
            let expected = "`duty` beside it, such as `30 %`";
            arguments.refused("period", text, "has no duty", expected)
        }
        (None, None) => None,
    }
}

fn share(arguments: &mut Arguments, text: &str) -> Option<Ratio> {
    let share = arguments.positive::<Ratio>("duty", text)?;
    if share > Ratio(1.0) {
        let what = "is more than all the time";
        return arguments.refused("duty", text, what, "at most `100 %`");
    }
    Some(share)
}

fn round(arguments: &mut Arguments, own: HeatDuty) -> Option<Duty> {
    let HeatDuty { share, period_seconds } = own;
    let possible = share > 0.0 && share <= 1.0;
    if !possible {
        let what = format!("`share` of the duty is {share}");
        let expected = "above 0 and at most 1, which is all the time";
        arguments.refuse(Refusal::new(what, expected));
    }
    let what = "`period_seconds` of the duty";
    let period = above_zero(arguments, what, period_seconds, "120");
    period.filter(|_| possible).map(|period| Duty { share: Ratio(share), period })
}
