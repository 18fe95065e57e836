//! What people say is wrong, in their words and in ours.

use diagnosis::Symptom;

use super::setup::{Choices, chosen};

pub(super) const SYMPTOMS: Choices = &[
    ("slow-crank", "the starter turns the engine slowly"),
    ("no-crank", "the starter does not turn: nothing, or a click"),
    ("weak", "a lamp or accessory is weak or flickers"),
    ("not-charging", "the battery is not charged"),
    ("disturbed", "gauges or modules misbehave when something comes on"),
    ("hot", "something gets hot"),
];

/// Words by which people name a symptom.
const OTHER_WORDS: [(&str, &str); 6] = [
    ("slow-crank", "slow, slowly, sluggish, lazy"),
    ("no-crank", "click, clicks, nothing, dead, no crank, won't turn, does not turn"),
    ("weak", "dim, flicker, flickers, flickering, lamp, light, accessory"),
    ("not-charging", "charge, charging, charged, alternator"),
    ("disturbed", "gauge, gauges, module, modules, misbehave"),
    ("hot", "heat, heats, burns, smoke, smokes, warm, melted"),
];

/// The symptom that an answer means.
pub(super) fn symptom(answer: &str) -> Option<&'static str> {
    if let Some(word) = chosen(answer, SYMPTOMS) {
        return Some(word);
    }
    let said = answer.to_lowercase();
    let said: Vec<&str> = said.split(|c: char| !c.is_alphanumeric() && c != '\'').collect();
    let mut found = OTHER_WORDS.iter().filter(|(_, words)| {
        words.split(", ").any(|word| {
            let parts: Vec<&str> = word.split(' ').collect();
            said.windows(parts.len()).any(|own| own == parts.as_slice())
        })
    });
    let first = found.next();
    first.filter(|_| found.next().is_none()).map(|(word, _)| *word)
}

/// The symptoms by their words.
pub(super) const SYMPTOM_WORDS: [(&str, Symptom); 6] = [
    ("slow-crank", Symptom::SlowCrank),
    ("no-crank", Symptom::NoCrank),
    ("weak", Symptom::Weak),
    ("not-charging", Symptom::NotCharging),
    ("disturbed", Symptom::Disturbed),
    ("hot", Symptom::Hot),
];
