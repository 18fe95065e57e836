//! What is taught about a reading: its limit and where that comes from, beside the reading.

use std::fmt::Write;

use answers::taught::{Beside, beside};
use catalogue::Confidence;
use diagnosis::Observation;
use model::Vehicle;
use units::{Volts, print};

use crate::answer::Asked;
use crate::style::wrapped;

/// A line for each reading that is one of the tests that are taught; empty when none is.
pub(super) fn text(vehicle: &Vehicle, seen: &[Observation], asked: &Asked) -> String {
    let mut lines = String::new();
    for own in seen {
        let Some(Beside { limit, allowed, above }) = beside(vehicle, own) else { continue };
        let limit_words = if allowed > Volts::ZERO {
            let side = if above { "above" } else { "not above" };
            format!("{side} the {} taught", print::loss(allowed))
        } else {
            "where no measurable drop is taught".to_owned()
        };
        let source = match limit.provenance.confidence {
            Confidence::CommonPractice => "common practice",
            _ => &limit.provenance.source,
        };
        let line = format!(
            "reading {}: {}, {limit_words} for {} ({source})",
            own.number,
            print::loss(Volts(own.value.abs())),
            limit.test,
        );
        let _ = writeln!(lines, "  {}", wrapped(&line, asked.width.saturating_sub(4), 4));
    }
    if lines.is_empty() {
        return String::new();
    }
    let about = "Taught limits beside them, no law and no part of what follows (`groundloom limits` has those that contradict them):";
    format!("{}\n{lines}\n", wrapped(about, asked.width, 0))
}
