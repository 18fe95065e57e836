//! Did it work: the same readings before the work and after it.

use std::fmt::Write;

use answers::meaning::MeasuredAt;
use model::Vehicle;
use units::{Amperes, Volts, print};

use crate::answer::Asked;
use crate::measuring::Taken;
use crate::style::bold;
use crate::table::{Column, table};

/// What was read before the work and again after it; empty when nothing was.
pub(super) fn text(vehicle: &Vehicle, taken: &Taken, asked: &Asked) -> String {
    let proof = answers::proof::of(vehicle, &taken.earlier.readings, &taken.readings.readings);
    if proof.is_empty() {
        return String::new();
    }
    let rows = proof.iter().map(|own| {
        let (place, amps) = match &own.measured {
            MeasuredAt::Amps { through, .. } => (format!("clamp round {through}"), true),
            MeasuredAt::Volts { red, black } => (format!("{red} to {black}"), false),
            MeasuredAt::Ohms { .. } | MeasuredAt::JumpLead { .. } | MeasuredAt::Moved { .. } => {
                (String::new(), false)
            }
        };
        let show = |value: f64| {
            if amps { print::amperes(Amperes(value)) } else { print::loss(Volts(value)) }
        };
        let sure = show(2.0 * own.uncertainty);
        let differs = if own.differs {
            let less = own.before.abs() - own.after.abs();
            let word = if less > 0.0 { "less" } else { "more" };
            format!("{} {word}, ± {sure}", show(less.abs()))
        } else {
            format!("no difference that these meters can tell, ± {sure}")
        };
        vec![own.state.clone(), place, show(own.before), show(own.after), differs]
    });
    let columns = [
        Column::Left("state"),
        Column::Left("measured"),
        Column::Right("before"),
        Column::Right("after"),
        Column::Left("difference"),
    ];
    let mut text = String::new();
    let _ = writeln!(text, "{}", bold("The same readings before the work and after it"));
    let _ = writeln!(text, "{}", table(&columns, rows.collect(), asked.width));
    text
}
