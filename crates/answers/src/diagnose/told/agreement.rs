//! Whether readings and file fit together at all: said before anything is blamed.

use diagnosis::agreement::AT_ODDS;
use diagnosis::{Assumption, ChiSquare, Diagnosis, Moved, Observation, take_again_from};
use model::{Piece, Vehicle};
use units::Ratio;

use super::size;
use crate::diagnose::Found;
use crate::diagnose::found::oddest;
use crate::told::quantity::{percent, volts};
use crate::told::{Line, Quantity, Span, Told, Tone, name, names};

/// Two readings of one thing are at odds from so many standard uncertainties of their difference on: both
/// meters at the ends of their limits, away from each other, make 2.4.
const APART: f64 = 3.0;

/// A contradiction as a warning, or in passing that there is none.
pub(super) fn told(told: &mut Told, found: &Found<'_>) {
    let agreement = &found.diagnosis.agreement;
    let (Some(filed), Some(explained)) = (agreement.as_filed, agreement.explained) else {
        return;
    };
    let contradicts = explained.contradicts();
    let mut words = if contradicts {
        contradiction(found, &explained)
    } else if filed.contradicts() {
        file_or_fault(found, &filed, &explained)
    } else {
        say!("The readings fit the file as it stands: {}.", short(&filed))
    };
    if let Some((first, second)) = each_other(&found.seen) {
        words.extend(say!(
            " Readings {} and {} are of the same thing in the same state, and further \
             apart than their meters allow: one is wrong, or the fault comes and goes. \
             Take both again.",
            first.to_string(),
            second.to_string()
        ));
    }
    let tone = if contradicts { Tone::Warning } else { Tone::Aside };
    told.part("agreement", |told| told.toned(tone, words));
    told.gap();
}

/// Nothing explains these readings.
fn contradiction(found: &Found<'_>, explained: &ChiSquare) -> Line {
    let diagnosis = &found.diagnosis;
    let mut words = say!(
        "These readings do not fit together with this file under any explanation that was tried: \
         {}.",
        whole(explained)
    );
    if let Some((number, residual)) = oddest(diagnosis, &found.seen) {
        words.extend(say!(
            " Take reading {} again first: its normalised residual is {}, where 3 is the \
             usual limit.",
            number.to_string(),
            Quantity::Plain(residual.abs(), 2, "")
        ));
    }
    let one_wrong = diagnosis.take_again.first().is_some_and(|own| own.1 > take_again_from());
    if let Some(moved) = stated(diagnosis).filter(|_| !one_wrong) {
        let own = assumption(found.vehicle, moved);
        words.extend(say!(" Of what the file says, most at odds with them is {}.", own));
    }
    words
}

/// Either something is bad, or the file is wrong.
fn file_or_fault(found: &Found<'_>, filed: &ChiSquare, explained: &ChiSquare) -> Line {
    let mut words = say!(
        "With nothing wrong these readings do not fit the file: {}. The explanation below fits \
         them: {}.",
        whole(filed),
        short(explained)
    );
    if let Some(moved) = stated(&found.diagnosis) {
        let own = assumption(found.vehicle, moved);
        words.extend(say!(" If nothing is bad, then the file is wrong; most at odds is {}.", own));
    }
    words
}

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

fn short(test: &ChiSquare) -> Line {
    say!(
        "chi-square {} for {}{}",
        Quantity::Plain(test.statistic, 3, ""),
        test.degrees,
        if test.degrees == 1 { " reading" } else { " readings" }
    )
}

fn whole(test: &ChiSquare) -> Line {
    let chance = if test.p_value < 0.001 {
        Span::from("less than 0.1 %")
    } else {
        percent(Ratio(test.p_value)).into()
    };
    say!("{}; by chance it is so large in {} of cases", short(test), chance)
}

/// An assumption of the file and by how much the readings want it otherwise.
fn assumption(vehicle: &Vehicle, moved: &Moved) -> Line {
    let (what, by) = match moved.assumption {
        Assumption::Resistance(Piece::Conductor(id)) => {
            (say!("the size or length of {}", name(&vehicle.conductor(id).id)), "the resistance")
        }
        Assumption::Resistance(piece) => {
            (say!("the resistance of {}", names::piece(vehicle, piece)), "the resistance")
        }
        Assumption::Draw(id) => (say!("what {} draws", name(&vehicle.load(id).id)), "the current"),
        Assumption::BatteryVolts(id) => {
            (say!("the state of charge of battery {}", name(&vehicle.battery(id).id)), "")
        }
        Assumption::BatteryOhms(id) => {
            (say!("the resistance of battery {}", name(&vehicle.battery(id).id)), "the resistance")
        }
        Assumption::Held(id) => {
            (say!("the voltage that {} holds", name(&vehicle.regulated_source(id).id)), "")
        }
    };
    let by = if moved.assumption.in_volts() {
        say!("{}{}", volts(size(moved.by)), if moved.by < 0.0 { " less" } else { " more" })
    } else {
        say!("{}{} that follows from it", Quantity::Plain(moved.by.exp(), 2, " times "), by)
    };
    let deviations = Quantity::Plain(moved.deviations.abs(), 2, " standard deviations away");
    say!("{}: they want {}, {}", what, by, deviations)
}
