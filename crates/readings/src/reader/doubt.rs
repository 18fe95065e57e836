//! Values that nobody believes as they stand: a slipped decimal point, a slipped unit.

use model::{Code, Measured, Probe, Problem, Reading, Told, Vehicle};
use units::{Dimension, Volts, print};

use super::statement::Question;
use super::value::electrical;
use super::words::{Sort, tokens};

/// No vehicle gives more than this share of its nominal voltage, however it is charged (our judgement).
const MOST: f64 = 1.35;
/// Shares of its nominal voltage that a battery shows from cranking to charging (our judgement).
const SHOWN: std::ops::RangeInclusive<f64> = 0.6..=1.25;
/// Share below which a battery is told as empty as no meter at a battery shows it by itself (our judgement).
const NEXT_TO_NOTHING: f64 = 0.02;
/// What a slip makes of a value: a decimal point one or two places on, millivolts for volts.
const SLIPS: [f64; 3] = [0.1, 0.01, 1000.0];

/// What is asked about volts of a battery that no battery has, where one slip would make them what a battery
/// shows.
pub(super) fn of(reading: &Reading, line: &str, vehicle: &Vehicle) -> Option<Question> {
    let Measured::Volts { high: Probe::Point(high), low: Probe::Point(low) } = reading.measured
    else {
        return None;
    };
    let posts = |own: &model::Battery| {
        [(own.positive, own.negative), (own.negative, own.positive)].contains(&(high, low))
    };
    let own = vehicle.batteries.iter().find(|own| posts(own))?;
    let (Told::Value(volts) | Told::About(volts) | Told::Held(volts)) = reading.told else {
        return None;
    };
    let share = volts.abs() / own.nominal.0;
    if (NEXT_TO_NOTHING..=MOST).contains(&share) || share == 0.0 {
        return None;
    }
    let slip = SLIPS.into_iter().find(|slip| SHOWN.contains(&(share * slip)))?;
    Some(question(line, volts, slip * volts))
}

/// A question whether one value was meant for another.
fn question(line: &str, told: f64, meant: f64) -> Question {
    let place = value_at(line);
    let meant = print::volts(Volts(meant));
    let told = place.clone().map_or_else(|| print::volts(Volts(told)), |own| line[own].to_owned());
    let problem = Problem::error(
        Code::ValueUnreadable,
        0..line.len(),
        format!("no battery of such a vehicle has {told}"),
        "what the meter showed at its posts",
    )
    .hint(format!(
        "did a decimal point or a unit slip? If it was {meant}, say the line again so; if it was {told}, say between which places"
    ));
    let meanings = place.map(|place| {
        let other = format!("{}{meant}{}", &line[..place.start], &line[place.end..]);
        vec![other, line.to_owned()]
    });
    Question { problem, meanings: meanings.unwrap_or_default() }
}

/// Where the volts stand in a line.
fn value_at(line: &str) -> Option<std::ops::Range<usize>> {
    let words = tokens(line, &|_| false);
    let volts = |at: usize| {
        let unit = words.get(at + 1)?;
        let own =
            words[at].sort == Sort::Number && electrical(unit.text) == Some(Dimension::Voltage);
        own.then_some(words[at].place.start..unit.place.end)
    };
    (0..words.len()).find_map(volts)
}
