//! Cautions that concern a piece of work, under it.

use catalogue::{Caution, Confidence};

use super::{Line, Paragraph, Told, Tone};

/// Adds one paragraph each with where it comes from; nothing for none.
pub fn told(told: &mut Told, cautions: &[&'static Caution]) {
    for own in cautions {
        let from = match own.provenance.confidence {
            Confidence::CommonPractice => "common practice",
            _ => &own.provenance.source,
        };
        let words = say!("! {} [{}]", own.caution.as_str(), from);
        told.push(Paragraph::item(Line::new(), 2, words).toned(Tone::Warning));
    }
}
