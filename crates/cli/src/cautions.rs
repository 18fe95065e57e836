//! Cautions that concern a piece of work, under it.

use std::fmt::Write as _;

use catalogue::{Caution, Confidence};

use crate::answer::Asked;
use crate::style::{warning, wrapped};

/// One paragraph each with where it comes from; nothing for none.
pub(crate) fn paragraphs(cautions: &[&'static Caution], asked: &Asked) -> String {
    let mut text = String::new();
    for own in cautions {
        let from = match own.provenance.confidence {
            Confidence::CommonPractice => "common practice",
            _ => &own.provenance.source,
        };
        let words = format!("! {} [{from}]", own.caution);
        let _ = writeln!(text, "{}", warning(wrapped(&words, asked.width, 2)));
    }
    text
}
