//! What is taught about a reading: its limit and where that comes from, beside the reading.

use std::fmt::Write;

use catalogue::{DropLimit, Row};
use diagnosis::{Observation, taught_limit};
use model::Vehicle;
use serde_json::{Value, json};
use units::{Amperes, Volts, print};

use crate::answer::Asked;
use crate::sources::{Sources, with_source};
use crate::style::{dim, wrapped};

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
    let mut sources = Sources::default();
    let mut lines = String::new();
    for own in seen {
        let Some(Beside { limit, allowed, above }) = beside(vehicle, own) else { continue };
        let allows = if allowed > Volts::ZERO {
            format!("at most {}", print::loss(allowed))
        } else {
            "no measurable drop".to_owned()
        };
        let line = format!(
            "reading {}: {} with {}, where {allows} is taught for {} {}",
            own.number,
            if above { "above" } else { "within" },
            print::loss(Volts(own.value.abs())),
            limit.test,
            sources.mark(&limit.provenance),
        );
        let _ = writeln!(lines, "  {}", wrapped(&line, asked.width.saturating_sub(4), 4));
    }
    if lines.is_empty() {
        return String::new();
    }
    let about = "Limits as taught. They are no law, they contradict one another (`groundloom limits`), and they have no part in what follows:";
    format!("{}\n{lines}{}\n", wrapped(about, asked.width, 0), dim(sources.list(asked.width)))
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
