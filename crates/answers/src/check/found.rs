//! What is in a file, and on what it rests.

use catalogue::Confidence;
use model::Vehicle;

use super::Asked;
use crate::refusal::Refused;
use crate::room::{File, Watch};

/// A file, and what its vehicle rests on without a published source.
#[derive(Debug)]
pub struct Found<'v> {
    pub(super) file: File<'v>,
    /// Values that no published source confirms; none where the file has errors.
    pub(super) unconfirmed: Vec<String>,
}

impl<'v> Found<'v> {
    pub(super) fn of(file: File<'v>, _: &Asked, _: Watch<'_>) -> Result<Self, Refused> {
        let vehicle = file.reading.vehicle.as_ref();
        Ok(Self { file, unconfirmed: vehicle.map_or_else(Vec::new, unconfirmed) })
    }

    pub(super) fn wants_attention(&self) -> bool {
        self.file.reading.errors() > 0
    }
}

/// Catalogue rows that this vehicle uses and that are unconfirmed or only practice.
fn unconfirmed(vehicle: &Vehicle) -> Vec<String> {
    let weak = |confidence: Confidence| {
        matches!(confidence, Confidence::Unconfirmed | Confidence::CommonPractice)
    };
    let mut words = Vec::new();
    let mut note = |word: String| {
        if !words.contains(&word) {
            words.push(word);
        }
    };
    for joint in vehicle.joints.iter().filter(|joint| !joint.stated) {
        if weak(joint.kind.provenance.confidence) {
            note(format!("clean resistance of a {}", joint.kind));
        }
    }
    for path in &vehicle.incidentals {
        if weak(path.kind.provenance.confidence) {
            note("resistance of incidental paths".to_owned());
        }
    }
    for filled in &vehicle.filled {
        if filled.key.ends_with(".resistance") && filled.why.contains("from memory") {
            note("resistance of fuses and batteries".to_owned());
        }
    }
    words
}
