//! Joints that the readings cannot tell apart, and the reading that would.

use answers::separating::Apart;
use model::Vehicle;

use crate::measuring;
use crate::style::wrapped;

/// Joints named of one set.
const MOST_NAMED: usize = 6;

pub(super) fn text(vehicle: &Vehicle, apart: &[Apart], asked: &crate::answer::Asked) -> String {
    let mut text = String::new();
    for Apart { joints, reading } in apart {
        let names: Vec<&str> =
            joints.iter().take(MOST_NAMED).map(|id| vehicle.joint(*id).id.as_str()).collect();
        let more = joints.len().saturating_sub(MOST_NAMED);
        let more = if more > 0 { format!(" and {more} more") } else { String::new() };
        let mut words = format!("These readings cannot tell {}{more} apart", names.join(", "));
        match reading {
            Some(own) => {
                let place = measuring::placed(vehicle, own);
                words.push_str(&format!(
                    ". What would: {place}, in the state `{}`.",
                    vehicle.state(own.state).id
                ));
                if let Some(why) = own.why {
                    words.push_str(&format!(
                        " Engine running: {}.",
                        answers::next::why_running(why)
                    ));
                }
            }
            None => words.push_str(", and no reading in reach can."),
        }
        text.push_str(&wrapped(&words, asked.width, 0));
        text.push_str("\n\n");
    }
    text
}
