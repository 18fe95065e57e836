//! The two faces of a joint, where they live, and what they do to each other.

use catalogue::{AnodicGroup, Catalogue, ContactMetal, Row};
use physics::bolt::ClampRange;
use physics::contact::clean_resistance;
use physics::corrosion;
use units::{Ohms, Volts};

use super::sheet::Range;

/// The places that a file may name, with the allowance and the class of air read for them.
pub const ENVIRONMENTS: [(&str, Environment); 5] = [
    ("dry", Environment { word: "dry", allowance: "normal", air: "C2" }),
    ("inland", Environment { word: "inland", allowance: "normal", air: "C3" }),
    ("salted roads", Environment { word: "salted roads", allowance: "harsh", air: "C4" }),
    ("coast", Environment { word: "coast", allowance: "harsh", air: "C5" }),
    ("sea", Environment { word: "sea", allowance: "harsh", air: "CX" }),
];

/// Where the joint lives, and what that means (the assignment is ours).
#[derive(Debug, Clone, Copy)]
pub struct Environment {
    /// The file's word for it.
    pub word: &'static str,
    /// The row of galvanic allowances.
    pub allowance: &'static str,
    /// The ISO 9223 class of its air.
    pub air: &'static str,
}

impl Environment {
    /// What is taken where nobody says: inland.
    pub const USUAL: Self = ENVIRONMENTS[1].1;

    /// The place of that name.
    #[must_use]
    pub fn named(word: &str) -> Option<Self> {
        ENVIRONMENTS.iter().find(|(own, _)| *own == word).map(|(_, own)| *own)
    }
}

/// Words of the workshop that name a group in its list by less than its name.
const LOOSE_WORDS: [(&str, &str); 4] = [
    ("stainless", "stainless steel"),
    ("galvani", "hot-dip zinc"),
    ("iron", "grey cast iron"),
    ("chrom", "chromium plate"),
];

/// The metals that a finish in words speaks of, such as `tin on bare steel`.
#[must_use]
pub fn faces_in(finish: &str) -> Vec<&'static AnodicGroup> {
    let lower = finish.to_lowercase();
    let parts = [" on ", " against ", " to ", ", ", " and "]
        .into_iter()
        .find_map(|between| lower.split_once(between))
        .map_or_else(|| vec![lower.as_str()], |(one, other)| vec![one, other]);
    let named = |part: &str| {
        let words = |row: &'static AnodicGroup| {
            std::iter::once(row.key()).chain(row.aliases().iter().map(String::as_str))
        };
        let groups = Catalogue::standard().anodic_groups.iter();
        groups
            .flat_map(|row| words(row).map(move |word| (word, row)))
            .filter(|(word, _)| part.contains(&word.to_lowercase()))
            .max_by_key(|(word, _)| word.len())
            .map(|(_, row)| row)
            .or_else(|| {
                let (_, group) = LOOSE_WORDS.iter().find(|(word, _)| part.contains(word))?;
                Catalogue::standard().anodic_groups.find(group)
            })
    };
    parts.into_iter().filter_map(named).collect()
}

/// The faces and what they do to each other.
#[derive(Debug, Clone, Copy)]
pub struct Couple {
    /// One face.
    pub first: &'static AnodicGroup,
    /// The other face.
    pub second: &'static AnodicGroup,
    /// How far they are apart in the anodic index.
    pub difference: Volts,
    /// How far that is usually accepted in this place.
    pub allowed: Volts,
    /// What clean metal alone would have, where both are listed as contact metals and the clamp force
    /// is known.
    pub clean: Option<(Range<Ohms>, &'static ContactMetal)>,
}

impl Couple {
    /// What two faces do to each other in a place.
    #[must_use]
    pub fn of(
        faces: &[&'static AnodicGroup],
        environment: Environment,
        clamp: Option<ClampRange>,
    ) -> Option<Self> {
        let [first, second] = faces else { return None };
        let allowance = Catalogue::standard().galvanic_allowances.find(environment.allowance)?;
        Some(Self {
            first,
            second,
            difference: corrosion::anodic_difference(first.index, second.index),
            allowed: allowance.difference,
            clean: clamp.and_then(|clamp| clean(first, second, clamp)),
        })
    }

    /// True when they are no further apart than is usually accepted.
    #[must_use]
    pub fn suits(&self) -> bool {
        // Indices are multiples of 0.05 V; the margin absorbs the rounding of their difference.
        self.difference <= self.allowed + Volts(1e-9)
    }

    /// True when they are not the same in the anodic index.
    #[must_use]
    pub fn unlike(&self) -> bool {
        self.difference > Volts(1e-9)
    }

    /// The face that goes where water bridges them.
    #[must_use]
    pub fn goes(&self) -> &'static AnodicGroup {
        if self.first.index > self.second.index { self.first } else { self.second }
    }
}

fn clean(
    first: &AnodicGroup,
    second: &AnodicGroup,
    clamp: ClampRange,
) -> Option<(Range<Ohms>, &'static ContactMetal)> {
    let metals = &Catalogue::standard().contact_metals;
    let metal = |group: &AnodicGroup| {
        let words = std::iter::once(group.key()).chain(group.aliases().iter().map(String::as_str));
        words.filter_map(|word| metals.find(word)).next()
    };
    let (one, other) = metal(first).zip(metal(second))?;
    // The softer face yields.
    let soft = if one.hardness_low <= other.hardness_low { one } else { other };
    let at = |one_rho, other_rho, hardness, force| {
        clean_resistance(one_rho, other_rho, hardness, force).ok()
    };
    let low = at(one.resistivity_low, other.resistivity_low, soft.hardness_low, clamp.high)?;
    let high = at(one.resistivity_high, other.resistivity_high, soft.hardness_high, clamp.low)?;
    Some((Range { low, high }, soft))
}
