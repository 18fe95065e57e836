//! What a rough vehicle is made from: a few facts that anybody can tell by looking.

use model::{Earth, Vehicle};
use units::{Dimension, Volts};

use super::back::Choice;
use super::rough;
use crate::Refusal;
use crate::layouts::LAYOUTS;
use crate::refusal::Refused;

/// Where the battery is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// Beside the engine.
    Near,
    /// Away from it.
    Far,
}

/// Which bodies of metal there are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Metal {
    /// The engine alone.
    Engine,
    /// Engine and body.
    EngineBody,
    /// Engine and frame.
    EngineFrame,
    /// Engine, separate frame and body.
    EngineFrameBody,
}

/// Where a battery switch sits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Isolator {
    /// There is none.
    None,
    /// In the live cable.
    Live,
    /// In the earth cable.
    Earthed,
}

/// Everything that was asked about the vehicle.
#[derive(Debug, Clone)]
pub struct Setup {
    /// The layout that is nearest.
    pub layout: &'static str,
    /// The nominal voltage.
    pub nominal: Volts,
    /// Batteries side by side.
    pub batteries: u32,
    /// Where the battery is.
    pub place: Place,
    /// Which bodies of metal there are.
    pub metal: Metal,
    /// Where a battery switch sits.
    pub isolator: Isolator,
    /// Which pole is joined to the metal.
    pub earth: Earth,
    /// Where it lives.
    pub surroundings: &'static str,
}

/// Words a person may choose among.
pub(super) type Choices = &'static [Choice];

pub(super) const VOLTAGES: Choices = &[
    ("12 V", "cars, vans, small boats"),
    ("24 V", "lorries, plant; two 12 V batteries in series count as one"),
    ("6 V", "old vehicles"),
    ("48 V", "carts"),
];
pub(super) const BATTERIES: Choices =
    &[("one", "one battery, or two in series"), ("two", "two side by side, plus to plus")];
pub(super) const PLACES: Choices =
    &[("near", "beside the engine"), ("far", "away from it: boot, under a seat, under the floor")];
pub(super) const METALS: Choices = &[
    ("engine-body", "engine and body, as on most cars and vans"),
    ("engine-frame-body", "engine, separate frame and body or cab"),
    ("engine-frame", "engine and frame"),
    ("engine", "engine alone, as on a boat of plastic or wood"),
];
pub(super) const EARTHS: Choices = &[
    ("negative", "minus joined to the metal, as almost everywhere"),
    ("positive", "plus joined to it"),
];
pub(super) const SURROUNDINGS: Choices = &[
    ("inland", "ordinary roads"),
    ("salted roads", "salt in winter"),
    ("coast", "salt in the air"),
    ("sea", "a boat at sea"),
    ("dry", "dry places"),
];

pub(super) const PLACE_WORDS: [(&str, Place); 2] = [("near", Place::Near), ("far", Place::Far)];
pub(super) const METAL_WORDS: [(&str, Metal); 4] = [
    ("engine-body", Metal::EngineBody),
    ("engine", Metal::Engine),
    ("engine-frame", Metal::EngineFrame),
    ("engine-frame-body", Metal::EngineFrameBody),
];
pub(super) const ISOLATOR_WORDS: [(&str, Isolator); 3] =
    [("none", Isolator::None), ("live", Isolator::Live), ("earthed", Isolator::Earthed)];
pub(super) const EARTH_WORDS: [(&str, Earth); 2] =
    [("negative", Earth::Negative), ("positive", Earth::Positive)];

impl Setup {
    /// What a layout makes likely.
    pub(super) fn of_layout(layout: &'static str) -> Self {
        let usual = Self {
            layout,
            nominal: Volts(12.0),
            batteries: 1,
            place: Place::Near,
            metal: Metal::EngineBody,
            isolator: Isolator::None,
            earth: Earth::Negative,
            surroundings: "inland",
        };
        match layout {
            "two-batteries" => Self {
                batteries: 2,
                metal: Metal::EngineFrameBody,
                surroundings: "salted roads",
                ..usual
            },
            "rear-battery" => Self { place: Place::Far, ..usual },
            "plant" => Self {
                nominal: Volts(24.0),
                metal: Metal::EngineFrameBody,
                isolator: Isolator::Earthed,
                ..usual
            },
            "small-boat" => Self {
                metal: Metal::Engine,
                isolator: Isolator::Live,
                surroundings: "sea",
                ..usual
            },
            _ => usual,
        }
    }

    /// Blocks of 12 V.
    pub(super) fn blocks(&self) -> f64 {
        self.nominal.0 / 12.0
    }

    /// The rough vehicle that these facts make.
    ///
    /// # Errors
    ///
    /// When its file were wrong, which no answer makes it.
    pub fn vehicle(&self) -> Result<Vehicle, Refused> {
        let reading = file::read(rough::file(self, &[]).as_bytes());
        let refused = reading.problems.iter().map(|own| Refusal::new(&own.what, &own.expected));
        reading.vehicle.ok_or_else(|| Refused(refused.collect()))
    }
}

/// The layouts as choices.
pub(super) fn layouts() -> Vec<Choice> {
    LAYOUTS.iter().map(|(name, what, _)| (*name, *what)).collect()
}

/// The choice that an answer means: its number, its word, a beginning of it, a word of its meaning.
pub(super) fn chosen(answer: &str, choices: &[Choice]) -> Option<&'static str> {
    let said = answer.trim().trim_end_matches('.').to_lowercase();
    let exact = choices.iter().find(|(word, _)| word.to_lowercase() == said);
    if let Some((word, _)) = exact {
        return Some(*word);
    }
    if let Ok(number) = said.parse::<usize>()
        && let Some((word, _)) = number.checked_sub(1).and_then(|at| choices.get(at))
    {
        return Some(*word);
    }
    let one = |fits: &dyn Fn(&(&str, &str)) -> bool| {
        let mut found = choices.iter().filter(|own| fits(own));
        let first = found.next();
        first.filter(|_| found.next().is_none()).map(|(word, _)| *word)
    };
    if said.len() < 2 {
        return None;
    }
    one(&|(word, _)| word.to_lowercase().starts_with(&said))
        .or_else(|| {
            one(&|(word, _)| {
                let parts = word.split(['-', ' ']).map(str::to_lowercase);
                said.split_whitespace().all(|own| parts.clone().any(|part| part == own))
            })
        })
        .or_else(|| {
            one(&|(word, _)| strsim::damerau_levenshtein(word, &said) <= 1 + said.len() / 6)
        })
}

/// A voltage with or without its unit.
pub(super) fn voltage(answer: &str) -> Option<&'static str> {
    let said = answer.trim().trim_end_matches('.');
    let volts = units::parse(said, Dimension::Voltage)
        .or_else(|_| units::parse(&format!("{said} V"), Dimension::Voltage))
        .ok()?;
    let near = |word: &str| {
        units::parse(word, Dimension::Voltage).is_ok_and(|own| (own - volts).abs() < 0.5)
    };
    VOLTAGES.iter().map(|(word, _)| *word).find(|word| near(word))
}
