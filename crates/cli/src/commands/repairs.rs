//! `groundloom repairs`: what is worth doing, ranked by volts gained for a minute of work.

use std::fmt::Write;
use std::path::PathBuf;

use answers::arguments::at_least_one;
use answers::repairs::{Nothing, Worth};
use answers::separating::Apart;
use diagnosis::{Action, Repair};
use model::Vehicle;
use units::{Ratio, UnitSystem, Volts, print};

use crate::answer::{Answer, Asked, Failure, json};
use crate::cautions;
use crate::measuring::{self, Source, Weighed};
use crate::sides;
use crate::style::{bold, dim, wrapped};
use crate::vehicle_file;

/// Below this probability a gain is too small to be noticed at the load.
const NOTICED: f64 = 0.05;

/// Repairs and additions ranked by what they gain for a minute of work.
#[derive(clap::Args, Debug)]
pub(crate) struct Arguments {
    /// The vehicle file.
    file: PathBuf,
    #[command(flatten)]
    source: Source,
    /// How many to show.
    #[arg(long, default_value_t = 8, value_parser = at_least_one)]
    most: usize,
}

pub(crate) fn run(arguments: &Arguments, asked: &Asked) -> Result<Answer, Failure> {
    let opened = vehicle_file::open(&arguments.file)?;
    let Weighed { vehicle, taken, seen, questions, mut session, diagnosis } =
        measuring::weighed(&opened, &arguments.source, asked)?;
    let worth = Worth::of(&mut session, &diagnosis, &seen, taken.complaint, arguments.most);
    let repairs = &worth.repairs;
    let shop = &vehicle.workshop;
    let mut text = taken.problems.clone();
    let _ = writeln!(text, "{}: what is worth doing\n", bold(&vehicle.name));
    text.push_str(&measuring::questions(vehicle, &questions, asked));
    text.push_str(&elsewhere_text(vehicle, &worth, asked));
    text.push_str(&first_text(vehicle, &worth.first, asked));
    text.push_str(&steps_text(vehicle, repairs, asked));
    text.push_str(&nothing_text(vehicle, &worth, asked));
    if let Some(first) = repairs.first() {
        text.push_str(&after_the_first(vehicle, first, asked));
        text.push_str(&then_text(vehicle, worth.then.as_ref(), asked));
    }
    let all = answers::cautions::Cautions::of(vehicle);
    let concern = repairs.iter().chain(&worth.then).map(|own| all.of_action(own.action));
    let concern = answers::cautions::together(concern);
    if !concern.is_empty() {
        let _ = writeln!(text, "{}", cautions::paragraphs(&concern, asked));
    }
    let prices = if shop.stated { "the file" } else { "our judgement (`[workshop]` states yours)" };
    let words = format!(
        "Gains are expected values over what the readings leave possible, the best for a minute of work first; an hour of work is taken at {}, prices and times are from {prices}. Clean: bare bright metal, the maker's torque, protection afterwards; grounded side off first and on last, after the maker's wait. A larger or added conductor needs the protection that its size asks for: `groundloom size FILE` weighs both, and whether it would burn when something else fails; `groundloom bolt FILE --joint NAME` is the sheet of a joint. Take the same reading again when it is done.",
        print::money(shop.labour, &shop.currency)
    );
    if !repairs.is_empty() {
        let _ = writeln!(text, "{}", dim(wrapped(&words, asked.width, 0)));
    }
    let exit = taken.exit();
    let json = json(&answers::repairs::of(vehicle, &worth, taken.told));
    Ok(Answer { text, json, exit })
}

/// What is likelier at fault than anything that a step reaches.
fn elsewhere_text(vehicle: &Vehicle, worth: &Worth, asked: &Asked) -> String {
    let Some(own) = &worth.elsewhere else { return String::new() };
    let words = format!(
        "Likeliest at fault: {}, {}. No work on a joint or a cable mends that; `groundloom diagnose` says why.",
        measuring::suspect(vehicle, own.kind),
        sides::chance(Ratio(own.probability))
    );
    format!("{}\n\n", wrapped(&words, asked.width, 0))
}

/// The reading that comes before any part, where two joints look alike.
fn first_text(vehicle: &Vehicle, first: &[Apart], asked: &Asked) -> String {
    let mut text = String::new();
    // Of many that no single reading divides `diagnose` tells; nobody cleans them all.
    let telling = |own: &&Apart| own.reading.is_some() || own.joints.len() == 2;
    for Apart { joints, reading } in first.iter().filter(telling) {
        let names: Vec<&str> = joints.iter().map(|id| vehicle.joint(*id).id.as_str()).collect();
        let alike = format!("{} look alike so far", names.join(" and "));
        let words = match reading {
            Some(own) => format!(
                "First a reading, before any part: {alike}. In the state `{}`, {} tells which.",
                vehicle.state(own.state).id,
                measuring::probes(vehicle, own.measured)
            ),
            None => format!(
                "Before any part: {alike}, and no reading in reach tells which. Clean both in one go."
            ),
        };
        let _ = writeln!(text, "{}\n", wrapped(&words, asked.width, 0));
    }
    text
}

/// Why there is no step.
fn nothing_text(vehicle: &Vehicle, worth: &Worth, asked: &Asked) -> String {
    let words = match worth.nothing {
        None => return String::new(),
        Some(Nothing::Sound) => {
            "Nothing worth doing: no joint is beyond what its kind usually has. What the cables lose is the \
             drop they were made with: leave it."
        }
        Some(Nothing::Elsewhere) => "Nothing worth doing on joints and cables.",
        Some(Nothing::MeasureFirst) => {
            "Nothing worth doing yet: no single step is likely to help. Measure first: `groundloom next` says \
             what."
        }
    };
    let mut text = format!("{}\n", wrapped(words, asked.width, 0));
    for (load, state) in &worth.made_too_small {
        let own = vehicle.load(*load);
        let words = format!(
            "{} falls short of its {} while {} with everything sound: it was made so, and no cable that is worth \
             adding changes it.",
            own.id,
            print::volts(own.minimum.unwrap_or_default()),
            vehicle.state(*state).name
        );
        let _ = writeln!(text, "{}", wrapped(&words, asked.width, 0));
    }
    text
}

/// Two lines for each step: what to do, and what it is worth.
fn steps_text(vehicle: &Vehicle, repairs: &[Repair], asked: &Asked) -> String {
    let mut text = String::new();
    for (rank, own) in repairs.iter().enumerate() {
        let what = format!("{}. {}", rank + 1, action(vehicle, own.action, asked.units));
        let _ = writeln!(text, "{}", bold(wrapped(&what, asked.width, 3)));
        let helps = if own.helps < NOTICED {
            "too little to be noticed".to_owned()
        } else {
            format!("helps with a probability of {}", sides::chance(Ratio(own.helps)))
        };
        let mut worth = format!(
            "gains {} at {} while {}; {helps}",
            print::loss(own.best.volts),
            own.best.consumer.told(vehicle),
            vehicle.state(own.best.state).name,
        );
        if let Some(most) = own.gains.last().filter(|gain| gain.volts < Volts::ZERO) {
            let _ = write!(
                worth,
                "; takes {} from {} while {}",
                print::loss(most.volts.abs()),
                most.consumer.told(vehicle),
                vehicle.state(most.state).name
            );
        }
        let shop = &vehicle.workshop;
        let price = print::money(own.price, &shop.currency);
        let mut effort = format!(
            "{}, {price}: {} per minute",
            print::duration(own.time),
            print::loss(own.per_minute())
        );
        if let Some(per_money) = own.per_money() {
            let _ = write!(effort, ", {} per {}", print::loss(per_money), shop.currency);
        }
        for line in [worth, effort] {
            let _ = writeln!(text, "   {}", wrapped(&line, asked.width.saturating_sub(3), 3));
        }
    }
    if !repairs.is_empty() {
        text.push('\n');
    }
    text
}

/// What still falls short when the best single step is done.
fn after_the_first(vehicle: &Vehicle, first: &Repair, asked: &Asked) -> String {
    let mut text = String::new();
    for (consumer, state, volts) in &first.still_short {
        let minimum = consumer.minimum(vehicle).unwrap_or_default();
        let words = format!(
            "After the first, {} while {} still falls short: {} of at least {}.",
            consumer.told(vehicle),
            vehicle.state(*state).name,
            print::volts(*volts),
            print::volts(minimum)
        );
        let _ = writeln!(text, "{}", wrapped(&words, asked.width, 0));
    }
    if first.still_short.is_empty() {
        text.push_str("After the first, no load that states a minimum falls short of it.\n");
    }
    text
}

/// What to do with the same covers off, when the first is done.
fn then_text(vehicle: &Vehicle, second: Option<&Repair>, asked: &Asked) -> String {
    let Some(second) = second else { return "\n".to_owned() };
    let words = format!(
        "Then, in the same go: {}; gains {} more at {} while {}, in {} more for {}.",
        action(vehicle, second.action, asked.units),
        print::loss(second.best.volts),
        second.best.consumer.told(vehicle),
        vehicle.state(second.best.state).name,
        print::duration(second.time),
        print::money(second.price, &vehicle.workshop.currency)
    );
    format!("{}\n\n", wrapped(&words, asked.width, 0))
}

fn action(vehicle: &Vehicle, action: Action, units: UnitSystem) -> String {
    match action {
        Action::Clean(id) => {
            let joint = vehicle.joint(id);
            let torque = joint
                .torque
                .map_or_else(String::new, |torque| format!(" to {}", units.torque(torque)));
            format!("clean and tighten {}{torque}", joint.id)
        }
        Action::CleanBoth(id) => {
            format!("clean and tighten both ends of {} in one go", vehicle.conductor(id).id)
        }
        Action::ReplaceEnd(id) => {
            format!("cut back and fix a new lug at {}, joint cleaned", vehicle.joint(id).id)
        }
        Action::Replace(id) => format!("replace {} with its ends", vehicle.conductor(id).id),
        Action::Enlarge { conductor, size, .. } => {
            let own = vehicle.conductor(conductor);
            let was = own.size.map_or_else(String::new, |was| format!(" instead of {was}"));
            format!("replace {} with its ends by {size}{was}", own.id)
        }
        Action::Add { from, to, size, length, amps, .. } => format!(
            "add {} of {size} from {} to {} (carries up to {})",
            units.length(length),
            vehicle.point(from).id,
            vehicle.point(to).id,
            print::amperes(amps)
        ),
    }
}

#[cfg(test)]
mod tests;
