//! Did it work: the same readings before the work and after it.

use units::{Amperes, Volts};

use crate::diagnose::Found;
use crate::measured_at::MeasuredAt;
use crate::proof::ProvenReading;
use crate::told::quantity::{amperes, loss};
use crate::told::{Column, Line, Told, name, strong};

/// What was read before the work and again after it; nothing when nothing was.
pub(super) fn told(told: &mut Told, found: &Found<'_>) {
    if found.proof.is_empty() {
        return;
    }
    let columns = [
        Column::Left("state"),
        Column::Left("measured"),
        Column::Right("before"),
        Column::Right("after"),
        Column::Left("difference"),
    ];
    told.line(say!("{}", strong(say!("The same readings before the work and after it"))));
    told.table(columns, found.proof.iter().map(row).collect());
    told.gap();
}

fn row(own: &ProvenReading) -> Vec<Line> {
    let (place, amps) = match &own.measured {
        MeasuredAt::Amps { through, .. } => (say!("clamp round {}", name(through)), true),
        MeasuredAt::Volts { red, black } => (say!("{} to {}", name(red), name(black)), false),
        MeasuredAt::Ohms { .. } | MeasuredAt::JumpLead { .. } | MeasuredAt::Moved { .. } => {
            (Line::new(), false)
        }
    };
    let show = |value: f64| if amps { amperes(Amperes(value)) } else { loss(Volts(value)) };
    let sure = show(2.0 * own.uncertainty);
    let differs = if own.differs {
        let less = own.before.abs() - own.after.abs();
        say!("{}{}, ± {}", show(less.abs()), if less > 0.0 { " less" } else { " more" }, sure)
    } else {
        say!("no difference that these meters can tell, ± {}", sure)
    };
    vec![
        say!("{}", name(&own.state)),
        place,
        say!("{}", show(own.before)),
        say!("{}", show(own.after)),
        differs,
    ]
}
