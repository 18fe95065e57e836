//! What is taught about a reading: its limit and where that comes from, beside the reading.

use catalogue::Confidence;
use diagnosis::{Beside, Observation, beside};
use units::Volts;

use super::size;
use crate::diagnose::Found;
use crate::told::quantity::loss;
use crate::told::{Line, Paragraph, Told};

/// A line for each reading that is one of the tests that are taught; nothing when none is.
pub(super) fn told(told: &mut Told, found: &Found<'_>) {
    let taught = |own| beside(found.vehicle, own).map(|limit| line(own, &limit));
    let lines: Vec<Line> = found.seen.iter().filter_map(taught).collect();
    if lines.is_empty() {
        return;
    }
    told.paragraph(
        "Taught limits beside them, no law and no part of what follows (`groundloom \
         limits` has those that contradict them):",
    );
    for text in lines {
        told.push(Paragraph::item("  ", 4, text).narrower(2));
    }
    told.gap();
}

fn line(own: &Observation, Beside { limit, allowed, above }: &Beside) -> Line {
    let taught = if *allowed > Volts::ZERO {
        let side = if *above { "above the " } else { "not above the " };
        say!("{}{} taught", side, loss(*allowed))
    } else {
        say!("where no measurable drop is taught")
    };
    let source = match limit.provenance.confidence {
        Confidence::CommonPractice => "common practice",
        _ => &limit.provenance.source,
    };
    say!(
        "reading {}: {}, {} for {} ({})",
        own.number.to_string(),
        loss(size(own.value)),
        taught,
        limit.test.as_str(),
        source
    )
}
