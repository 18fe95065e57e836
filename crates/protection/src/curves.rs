//! The curve that each fuse of a vehicle is judged by, and where it comes from.

use catalogue::Catalogue;
use model::{Inline, InlineId, InlineKind, Vehicle};
use network::time_current;
use physics::protection::{OpeningPoint, TimeCurrent};
use units::Amperes;

/// Largest rating of the small blade types C and F (ISO 8820-3 scope; from memory for each type).
const LARGEST_SMALL_BLADE: Amperes = Amperes(40.0);
/// Largest rating of 30 mm strip fuses (from memory).
const LARGEST_SHORT_STRIP: Amperes = Amperes(200.0);

/// Where a fuse's curve comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Origin {
    /// The vehicle file, with its source.
    File(String),
    /// Recalled by the catalogue and never compared with its standard; used only when asked for.
    Recalled(String),
    /// Nobody has stated one.
    Missing,
}

/// The curves of all fuses.
#[derive(Debug)]
pub struct Curves(Vec<(Option<TimeCurrent>, Origin)>);

impl Curves {
    /// The curves of a vehicle. `recalled` lets those of the catalogue stand in, which are unconfirmed.
    #[must_use]
    pub fn of(vehicle: &Vehicle, recalled: bool) -> Self {
        Self(vehicle.inlines.iter().map(|part| curve(part, recalled)).collect())
    }

    /// The curve of a fuse.
    #[must_use]
    pub fn curve(&self, fuse: InlineId) -> Option<&TimeCurrent> {
        self.0[fuse.index()].0.as_ref()
    }

    /// Where it comes from.
    #[must_use]
    pub fn origin(&self, fuse: InlineId) -> &Origin {
        &self.0[fuse.index()].1
    }
}

fn curve(part: &Inline, recalled: bool) -> (Option<TimeCurrent>, Origin) {
    let InlineKind::Fuse { curve, rating, .. } = &part.kind else {
        return (None, Origin::Missing);
    };
    if let (Some(found), Some(curve)) = (time_current(part), curve) {
        return (Some(found), Origin::File(curve.source.clone()));
    }
    let kind = rating.and_then(|rating| recalled_kind(&part.make, rating));
    match (recalled, *rating, kind) {
        (true, Some(rating), Some(kind)) => match recalled_curve(kind, rating) {
            Some(found) => (Some(found), Origin::Recalled(kind.to_owned())),
            None => (None, Origin::Missing),
        },
        _ => (None, Origin::Missing),
    }
}

/// The kind of the catalogue's recalled table that a fuse would be.
fn recalled_kind(make: &str, rating: Amperes) -> Option<&'static str> {
    match make {
        "blade fuse" if rating > LARGEST_SMALL_BLADE => Some("large blade"),
        "blade fuse" => Some("blade"),
        "fuse" if rating <= LARGEST_SMALL_BLADE => Some("blade"),
        "strip fuse" if rating <= LARGEST_SHORT_STRIP => Some("strip 30 mm"),
        "strip fuse" => Some("strip 51 mm"),
        _ => None,
    }
}

fn recalled_curve(kind: &str, rating: Amperes) -> Option<TimeCurrent> {
    let rows = Catalogue::standard().fuse_times.iter().filter(|row| row.kind == kind);
    let points: Vec<OpeningPoint> = rows
        .map(|row| OpeningPoint {
            current: rating * row.of_rating.0,
            not_before: Some(row.least),
            not_after: row.most,
        })
        .collect();
    TimeCurrent::new(&points).ok()
}
