//! What is said: the five sides, what each line is worth, what to measure next.

mod ending;
mod looks;
mod next;
mod sides;
mod verdict;
mod worth;

pub(super) use self::ending::commands;
pub(super) use self::next::{WORTH_TAKING, outcomes};
pub(super) use self::worth::worth_words;

use super::setup::EARTH_WORDS;
use super::symptom::{SYMPTOM_WORDS, SYMPTOMS};
use super::{Asked, Found};
use crate::arguments::word_for;
use crate::told::names::capital;
use crate::told::{Quantity, Said, Told, Tone, measuring, name};
use crate::unsettled;

/// A side that a reading moves by less than this is not spoken of.
const MOVED: f64 = 0.02;

/// Adds text whose lines are all set in.
fn set_in(told: &mut Told, indent: usize, text: impl Said) {
    told.item(say!("{}", " ".repeat(indent)), indent, text);
}

/// What is said between two readings.
#[must_use]
pub fn in_between(found: &Found) -> Told {
    let mut told = Told::default();
    told.gap();
    verdict::again_first(&mut told, found);
    sides::sides(&mut told, found);
    told.gap();
    next::next(&mut told, found);
    told
}

/// The whole answer.
pub(super) fn of(found: &Found, _: &Asked) -> Told {
    let mut told = Told::default();
    let setup = &found.setup;
    let word = word_for(&SYMPTOM_WORDS, found.symptom);
    let what = SYMPTOMS.iter().find(|own| own.0 == word).map_or("", |own| own.1);
    told.toned(Tone::Strong, say!("{}", capital(what)));
    let facts = say!(
        "taken as: {} layout, {}, {} earth, {}; a rough vehicle that nobody measured",
        name(setup.layout),
        nominal(found),
        word_for(&EARTH_WORDS, setup.earth),
        name(setup.surroundings)
    );
    told.toned(Tone::Aside, facts);
    told.gap();
    unsettled::told_states(&mut told, &found.vehicle, &found.unsettled);
    verdict::again_first(&mut told, found);
    sides::sides(&mut told, found);
    told.gap();
    verdict::acquittals(&mut told, found);
    worth::worth(&mut told, found);
    looks::told(&mut told, found);
    next::next(&mut told, found);
    let first = found.weighed.next.get(..1).unwrap_or_default();
    measuring::caution(&mut told, &found.vehicle, first);
    told.gap();
    ending::ending(&mut told, found);
    told
}

/// The nominal voltage, which is a whole number.
fn nominal(found: &Found) -> Quantity {
    Quantity::Fixed(found.setup.nominal.0, 0, " V")
}
