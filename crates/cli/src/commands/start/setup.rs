//! What a rough vehicle is made from: a few facts that anybody can tell by looking.

use model::Earth;
use units::{Dimension, Volts};

use crate::commands::new::LAYOUTS;

/// Where the battery is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Place {
    Near,
    Far,
}

/// Which bodies of metal there are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Metal {
    Engine,
    EngineBody,
    EngineFrame,
    EngineFrameBody,
}

/// Where a battery switch sits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Isolator {
    None,
    Live,
    Earthed,
}

/// Everything that was asked about the vehicle.
#[derive(Debug, Clone)]
pub(crate) struct Setup {
    pub layout: &'static str,
    pub nominal: Volts,
    pub batteries: u32,
    pub place: Place,
    pub metal: Metal,
    pub isolator: Isolator,
    pub earth: Earth,
    pub surroundings: &'static str,
}

/// Words a person may choose among: the word, what it means.
pub(crate) type Choices = &'static [(&'static str, &'static str)];

pub(crate) const VOLTAGES: Choices = &[
    ("12 V", "cars, vans, small boats"),
    ("24 V", "lorries, plant; two 12 V batteries in series count as one"),
    ("6 V", "old vehicles"),
    ("48 V", "carts"),
];
pub(crate) const BATTERIES: Choices =
    &[("one", "one battery, or two in series"), ("two", "two side by side, plus to plus")];
pub(crate) const PLACES: Choices =
    &[("near", "beside the engine"), ("far", "away from it: boot, under a seat, under the floor")];
pub(crate) const METALS: Choices = &[
    ("engine-body", "engine and body, as on most cars and vans"),
    ("engine-frame-body", "engine, separate frame and body or cab"),
    ("engine-frame", "engine and frame"),
    ("engine", "engine alone, as on a boat of plastic or wood"),
];
pub(crate) const EARTHS: Choices = &[
    ("negative", "minus joined to the metal, as almost everywhere"),
    ("positive", "plus joined to it"),
];
pub(crate) const SURROUNDINGS: Choices = &[
    ("inland", "ordinary roads"),
    ("salted roads", "salt in winter"),
    ("coast", "salt in the air"),
    ("sea", "a boat at sea"),
    ("dry", "dry places"),
];

impl Setup {
    /// What a layout makes likely.
    pub(crate) fn of_layout(layout: &'static str) -> Self {
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
    pub(crate) fn blocks(&self) -> f64 {
        self.nominal.0 / 12.0
    }
}

/// The layouts as choices.
pub(crate) fn layouts() -> Vec<(&'static str, &'static str)> {
    LAYOUTS.iter().map(|(name, what, _)| (*name, *what)).collect()
}

/// The choice that an answer means: its number, its word, a beginning of it, a word of its meaning.
pub(crate) fn chosen(
    answer: &str,
    choices: &[(&'static str, &'static str)],
) -> Option<&'static str> {
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
pub(crate) fn voltage(answer: &str) -> Option<&'static str> {
    let said = answer.trim().trim_end_matches('.');
    let volts = units::parse(said, Dimension::Voltage)
        .or_else(|_| units::parse(&format!("{said} V"), Dimension::Voltage))
        .ok()?;
    let near = |word: &str| {
        units::parse(word, Dimension::Voltage).is_ok_and(|own| (own - volts).abs() < 0.5)
    };
    VOLTAGES.iter().map(|(word, _)| *word).find(|word| near(word))
}
