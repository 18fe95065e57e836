//! What is taught about a reading: its limit and where that comes from, beside the reading.

use std::fmt::Write;

use catalogue::{Confidence, DropLimit, Row};
use diagnosis::{Observation, taught_limit};
use model::Vehicle;
use serde_json::{Value, json};
use units::{Amperes, Volts, print};

use crate::answer::Asked;
use crate::sources::with_source;
use crate::style::wrapped;

/// A reading beside its limit.
struct Beside {
    limit: &'static DropLimit,
    allowed: Volts,
    /// More than the limit, by more than the meter's own uncertainty.
    above: bool,
}

fn beside(vehicle: &Vehicle, own: &Observation) -> Option<Beside> {
    let limit = taught_limit(vehicle, own.state, own.measured)?;
    // Defaults do not follow the current (a test of the catalogue says so).
    let allowed = limit.limit.allowed(Amperes::ZERO, vehicle.nominal);
    let above = own.value.abs() - 2.0 * own.sigma > allowed.0;
    Some(Beside { limit, allowed, above })
}

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

/// The limit of one reading for programs; null for a reading that is no taught test.
pub(super) fn json(vehicle: &Vehicle, own: &Observation) -> Value {
    beside(vehicle, own).map_or(Value::Null, |Beside { limit, allowed, above }| {
        let row = json!({
            "key": limit.key(),
            "rule_set": limit.rule_set,
            "test": limit.test,
            "allowed_volts": allowed.0,
            "above": above,
        });
        with_source(row, &limit.provenance)
    })
}
