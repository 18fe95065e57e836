//! Cautions that concern a piece of work, under it.

use catalogue::{Caution, Confidence};

use super::{Paragraph, Told, Tone};

/// Adds one paragraph each with where it comes from; nothing for none.
pub fn told(told: &mut Told, cautions: &[&'static Caution]) {
    for own in cautions {
        let from = match own.provenance.confidence {
            Confidence::CommonPractice => "common practice",
            _ => &own.provenance.source,
        };
        told.push(Paragraph {
            text: say!("! {} [{}]", own.caution.as_str(), from),
            hang: 2,
            tone: Tone::Warning,
            ..Paragraph::default()
        });
    }
}
