//! Curves of a file that several fuses share.

use std::collections::BTreeMap;

use model::{Curve, CurvePoint};
use units::Amperes;

/// The unit in which a curve counts its currents.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Scale {
    Amperes,
    OfRating,
}

/// A curve whose points hold together; currents are amperes or shares of the rating.
#[derive(Debug, Clone)]
pub(crate) struct Written {
    pub scale: Scale,
    pub points: Vec<CurvePoint>,
    pub source: String,
}

impl Written {
    /// The curve of a fuse with this rating; nothing when it wants a rating and has none.
    pub(crate) fn at_rating(&self, rating: Option<Amperes>) -> Option<Curve> {
        let unit = match self.scale {
            Scale::Amperes => Amperes(1.0),
            Scale::OfRating => rating?,
        };
        let points = self.points.iter();
        Some(Curve {
            points: points
                .map(|point| CurvePoint { current: point.current * unit.0, ..*point })
                .collect(),
            source: self.source.clone(),
        })
    }
}

/// The curves of a file by name, and the one that holds for a kind.
#[derive(Debug, Default)]
pub(crate) struct SharedCurves {
    pub named: BTreeMap<String, Option<Written>>,
    pub of_kind: BTreeMap<String, String>,
}
