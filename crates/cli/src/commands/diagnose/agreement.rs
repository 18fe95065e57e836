//! Whether readings and file fit together at all: said before anything is blamed.

use answers::agreement::oddest;
use diagnosis::agreement::AT_ODDS;
use diagnosis::{Assumption, ChiSquare, Diagnosis, Moved, Observation, TAKE_AGAIN};
use model::{Piece, Vehicle};
use units::{Ratio, Volts, print};

use crate::answer::Asked;
use crate::names;
use crate::style::{dim, warning, wrapped};

/// A contradiction as a warning, or in passing that there is none.
pub(super) fn text(
    vehicle: &Vehicle,
    diagnosis: &Diagnosis,
    seen: &[Observation],
    asked: &Asked,
) -> String {
    let agreement = &diagnosis.agreement;
    let (Some(filed), Some(explained)) = (agreement.as_filed, agreement.explained) else {
        return String::new();
    };
    let (words, contradicts) = if explained.contradicts() {
        let mut words = format!(
            "These readings do not fit together with this file under any explanation that was tried: {}.",
            told(&explained)
        );
        if let Some((number, residual)) = oddest(diagnosis, seen) {
            words.push_str(&format!(
                " Take reading {number} again first: its normalised residual is {}, where 3 is the usual limit.",
                print::plain(residual.abs(), 2)
            ));
        }
        let one_wrong = diagnosis.take_again.first().is_some_and(|own| own.1 > TAKE_AGAIN);
        if let Some(moved) = stated(diagnosis).filter(|_| !one_wrong) {
            words.push_str(&format!(
                " Of what the file says, most at odds with them is {}.",
                assumption(vehicle, moved)
            ));
        }
        (words, true)
    } else if filed.contradicts() {
        let mut words = format!(
            "With nothing wrong these readings do not fit the file: {}. The explanation below fits them: {}.",
            told(&filed),
            short(&explained)
        );
        if let Some(moved) = stated(diagnosis) {
            words.push_str(&format!(
                " If nothing is bad, then the file is wrong; most at odds is {}.",
                assumption(vehicle, moved)
            ));
        }
        (words, false)
    } else {
        (format!("The readings fit the file as it stands: {}.", short(&filed)), false)
    };
    let words = match each_other(seen) {
        Some((first, second)) => format!(
            "{words} Readings {first} and {second} are of the same thing in the same state, and further apart than their meters allow: one is wrong, or the fault comes and goes. Take both again."
        ),
        None => words,
    };
    let words = wrapped(&words, asked.width, 0);
    if contradicts { format!("{}\n\n", warning(words)) } else { format!("{}\n\n", dim(words)) }
}

/// Two readings of one thing are at odds from so many standard uncertainties of their difference on: both
/// meters at the ends of their limits, away from each other, make 2.4.
const APART: f64 = 3.0;

/// What the file states and is most at odds, if it had to move far. That a joint is clean is no
/// statement of the file: one that is not is what the diagnosis is about.
fn stated(diagnosis: &Diagnosis) -> Option<&Moved> {
    diagnosis.agreement.at_odds.iter().find(|own| {
        let contacts =
            matches!(own.assumption, Assumption::Resistance(Piece::Joint(_) | Piece::Inline(_)));
        !contacts && own.deviations.abs() > AT_ODDS
    })
}

/// Two readings of the same thing in the same state that cannot both be right.
fn each_other(seen: &[Observation]) -> Option<(u32, u32)> {
    seen.iter().enumerate().find_map(|(at, first)| {
        let same = seen[at + 1..]
            .iter()
            .filter(|own| own.state == first.state && own.measured == first.measured);
        same.map(|own| (own.number, (own.value - first.value).abs() / own.sigma.hypot(first.sigma)))
            .find(|(_, deviations)| *deviations > APART)
            .map(|(number, _)| (first.number, number))
    })
}

fn short(test: &ChiSquare) -> String {
    let readings = if test.degrees == 1 { "reading" } else { "readings" };
    format!("chi-square {} for {} {readings}", print::plain(test.statistic, 3), test.degrees)
}

fn told(test: &ChiSquare) -> String {
    let chance = if test.p_value < 0.001 {
        "less than 0.1 %".to_owned()
    } else {
        print::percent(Ratio(test.p_value))
    };
    format!("{}; by chance it is so large in {chance} of cases", short(test))
}

/// An assumption of the file and by how much the readings want it otherwise.
fn assumption(vehicle: &Vehicle, moved: &Moved) -> String {
    let (what, by) = match moved.assumption {
        Assumption::Resistance(Piece::Conductor(id)) => {
            (format!("the size or length of {}", vehicle.conductor(id).id), "the resistance")
        }
        Assumption::Resistance(piece) => {
            (format!("the resistance of {}", names::piece(vehicle, piece)), "the resistance")
        }
        Assumption::Draw(id) => (format!("what {} draws", vehicle.load(id).id), "the current"),
        Assumption::BatteryVolts(id) => {
            (format!("the state of charge of battery {}", vehicle.battery(id).id), "")
        }
        Assumption::BatteryOhms(id) => {
            (format!("the resistance of battery {}", vehicle.battery(id).id), "the resistance")
        }
        Assumption::Held(id) => {
            (format!("the voltage that {} holds", vehicle.regulated_source(id).id), "")
        }
    };
    let by = if moved.assumption.in_volts() {
        let more = if moved.by < 0.0 { "less" } else { "more" };
        format!("{} {more}", print::volts(Volts(moved.by.abs())))
    } else {
        format!("{} times {by} that follows from it", print::plain(moved.by.exp(), 2))
    };
    format!(
        "{what}: they want {by}, {} standard deviations away",
        print::plain(moved.deviations.abs(), 2)
    )
}
