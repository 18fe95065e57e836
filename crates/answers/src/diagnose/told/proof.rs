//! Did it work: the same readings before the work and after it.

use units::{Amperes, Volts};

use crate::diagnose::Found;
use crate::measured_at::MeasuredAt;
use crate::proof::ProvenReading;
use crate::told::quantity::{amperes, loss};
use crate::told::{Column, Line, Told, left, name, right, strong};

/// What was read before the work and again after it; nothing when nothing was.
pub(super) fn told(told: &mut Told, found: &Found<'_>) {
    if found.proof.is_empty() {
        return;
    }
    told.line(strong("The same readings before the work and after it"));
    told.rows(&found.proof, row);
    told.gap();
}

fn row(own: &ProvenReading) -> [(Column, Line); 5] {
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
    [
        left("state", name(&own.state)),
        left("measured", place),
        right("before", show(own.before)),
        right("after", show(own.after)),
        left("difference", differs),
    ]
}
