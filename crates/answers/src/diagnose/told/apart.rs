//! Joints that the readings cannot tell apart, and the reading that would.

use crate::diagnose::Found;
use crate::next::why_running;
use crate::separating::Apart;
use crate::told::{Line, Told, joined, measuring, name};

/// Joints named of one set.
const MOST_NAMED: usize = 6;

pub(super) fn told(told: &mut Told, found: &Found<'_>) {
    let vehicle = found.vehicle;
    for (at, Apart { joints, reading }) in found.apart.iter().enumerate() {
        let names =
            joints.iter().take(MOST_NAMED).map(|id| say!("{}", name(&vehicle.joint(*id).id)));
        let more = joints.len().saturating_sub(MOST_NAMED);
        let more = if more > 0 { say!(" and {} more", more) } else { Line::new() };
        let mut words = say!("These readings cannot tell {}{} apart", joined(names, ", "), more);
        match reading {
            Some(own) => {
                words.extend(say!(
                    ". What would: {}, in the state `{}`.",
                    measuring::placed(vehicle, own),
                    name(&vehicle.state(own.state).id)
                ));
                if let Some(why) = own.why {
                    words.extend(say!(" Engine running: {}.", why_running(why)));
                }
            }
            None => words.push(", and no reading in reach can.".into()),
        }
        told.part(format!("separating.{at}"), |told| told.paragraph(words));
        told.gap();
    }
}
