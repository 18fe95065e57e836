//! The two faces of a joint, where they live, and what they do to each other.

use catalogue::{AnodicGroup, Catalogue, ContactMetal, Environment, Known, Row};
use physics::bolt::ClampRange;
use physics::contact::clean_resistance;
use physics::corrosion;
use units::{Ohms, Volts};

use super::sheet::Range;

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
        faces: &[Known<AnodicGroup>],
        environment: &Environment,
        clamp: Option<ClampRange>,
    ) -> Option<Self> {
        let [first, second] = faces else { return None };
        let (first, second) = (first.row(), second.row());
        let allowance = Catalogue::standard().galvanic_allowances.find(&environment.allowance)?;
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
