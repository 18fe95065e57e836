//! What is said of steps worth doing, and of why there is none.

use diagnosis::{Action, Consumer, Repair};
use model::{JointId, StateId, Vehicle};
use units::{Ratio, Volts};

use super::found::Worth;
use super::{Asked, Found, Nothing};
use crate::cautions::{Cautions, together};
use crate::question;
use crate::separating::Apart;
use crate::told::quantity::{amperes, duration, length, loss, money, torque, volts};
use crate::told::sides::chance;
use crate::told::{Line, Paragraph, Span, Told, Tone, cautions, joined, measuring, name, strong};
use crate::unsettled;

/// Below this probability a gain is too small to be noticed at the load.
const NOTICED: f64 = 0.05;

pub(super) fn of(found: &Found<'_>, _: &Asked) -> Told {
    let Found { vehicle, taken, questions, worth, unsettled } = found;
    let mut told = Told::default();
    measuring::earlier(&mut told, &taken.earlier);
    told.line(say!("{}: what is worth doing", strong(name(&vehicle.name))));
    told.gap();
    unsettled::told_states(&mut told, vehicle, unsettled);
    question::told(&mut told, vehicle, questions);
    told.part("elsewhere", |told| elsewhere(told, vehicle, worth));
    first_readings(&mut told, vehicle, &worth.first);
    over_the_crimps(&mut told, vehicle, &worth.repairs);
    steps(&mut told, vehicle, &worth.repairs);
    told.part("nothing", |told| nothing(told, vehicle, worth));
    if let Some(first) = worth.repairs.first() {
        told.part("after", |told| after_the_first(told, vehicle, first));
        told.part("then", |told| then(told, vehicle, worth.then.as_ref()));
    }
    let all = Cautions::of(vehicle);
    let steps = worth.repairs.iter().chain(&worth.then);
    let concern = together(steps.map(|own| all.of_action(own.action)));
    if !concern.is_empty() {
        cautions::told(&mut told, &concern);
        told.gap();
    }
    if !worth.repairs.is_empty() {
        told.part("reckoned", |told| reckoned(told, vehicle));
    }
    told
}

/// What gains and prices rest on, and what the work asks for.
fn reckoned(told: &mut Told, vehicle: &Vehicle) {
    let shop = &vehicle.workshop;
    let prices = if shop.stated { "the file" } else { "our judgement (`[workshop]` states yours)" };
    let words = say!(
        "Gains are expected values over what the readings leave possible, the best for a minute \
         of work first; an hour of work is taken at {}, prices and times are from {}. Clean: bare \
         bright metal, the maker's torque, protection afterwards; grounded side off first and on \
         last, after the maker's wait. A larger or added conductor needs the protection that its \
         size asks for: `groundloom size FILE` weighs both, and whether it would burn when \
         something else fails; `groundloom bolt FILE --joint NAME` is the sheet of a joint. Take \
         the same reading again when it is done.",
        money(shop.labour, &shop.currency),
        prices
    );
    told.toned(Tone::Aside, words);
}

/// What is likelier at fault than anything that a step reaches.
fn elsewhere(told: &mut Told, vehicle: &Vehicle, worth: &Worth) {
    let Some(own) = &worth.elsewhere else { return };
    told.paragraph(say!(
        "Likeliest at fault: {}, {}. No work on a joint or a cable mends that; \
         `groundloom diagnose` says why.",
        measuring::suspect(vehicle, own.kind),
        chance(Ratio(own.probability))
    ));
    told.gap();
}

/// The reading that comes before any part, where two joints look alike.
fn first_readings(told: &mut Told, vehicle: &Vehicle, first: &[Apart]) {
    // Of many that no single reading divides `diagnose` tells; nobody cleans them all.
    let telling = |own: &&Apart| own.reading.is_some() || own.joints.len() == 2;
    for (at, Apart { joints, reading }) in first.iter().filter(telling).enumerate() {
        let names = joints.iter().map(|id| say!("{}", name(&vehicle.joint(*id).id)));
        let alike = say!("{} look alike so far", joined(names, " and "));
        let words = match reading {
            Some(own) => say!(
                "First a reading, before any part: {}. In the state `{}`, {} tells which.",
                alike,
                name(&vehicle.state(own.state).id),
                measuring::probes(vehicle, own.measured)
            ),
            None if joints.iter().any(|id| vehicle.joint(*id).of.is_crimp()) => say!(
                "Before any part: {}, and no reading in reach tells which. Clean the faces, and \
                 measure again before a lug is cut off.",
                alike
            ),
            None => say!(
                "Before any part: {}, and no reading in reach tells which. Clean both in one go.",
                alike
            ),
        };
        told.part(format!("first_readings.{at}"), |told| told.paragraph(words));
        told.gap();
    }
}

/// What tells a bad crimp from bad strands, before a cable is bought, and the work for each.
fn over_the_crimps(told: &mut Told, vehicle: &Vehicle, repairs: &[Repair]) {
    let open = repairs.iter().filter_map(|own| match own.action {
        Action::Replace(id) if !vehicle.is_told_apart(id) => Some((id, own.best.state)),
        _ => None,
    });
    for (at, (id, state)) in open.enumerate() {
        let own = vehicle.conductor(id);
        let in_reach = |joint: &JointId| vehicle.reach_time(vehicle.joint(*joint).point).is_some();
        let ends: Vec<JointId> = [own.from, own.to].into_iter().filter(in_reach).collect();
        let (then, none) = match ends.as_slice() {
            [] => continue,
            [_] => (Line::new(), "If not, its strands are, or the other crimp"),
            [_, other, ..] => {
                let other = name(&vehicle.joint(*other).id);
                (say!("; then the same at {}", other), "If it is at neither, its strands are")
            }
        };
        let words = say!(
            "First a reading, before a new {} is bought: the fault may be in {}. In the state `{}`, \
             red on the lug of {}, black on the bare strand behind it{}. If the loss is there, that \
             crimp is bad: cut back and fix a new lug. {}: replace the cable.",
            name(&own.id),
            measuring::inside(own),
            name(&vehicle.state(state).id),
            name(&vehicle.joint(ends[0]).id),
            then,
            none
        );
        told.part(format!("over_the_crimps.{at}"), |told| told.paragraph(words));
        told.gap();
    }
}

/// Why there is no step.
fn nothing(told: &mut Told, vehicle: &Vehicle, worth: &Worth) {
    let words = match worth.nothing {
        None => return,
        Some(Nothing::Sound) => {
            "Nothing worth doing: no joint is beyond what its kind usually has. What the cables \
             lose is the drop they were made with: leave it."
        }
        Some(Nothing::Elsewhere) => "Nothing worth doing on joints and cables.",
        Some(Nothing::MeasureFirst) => {
            "Nothing worth doing yet: no single step is likely to help. Measure first: \
             `groundloom next` says what."
        }
    };
    told.paragraph(say!("{}", words));
    for (load, state) in &worth.made_too_small {
        let own = vehicle.load(*load);
        told.paragraph(say!(
            "{} falls short of its {} while {} with everything sound: it was made so, \
             and no cable that is worth adding changes it.",
            name(&own.id),
            volts(own.minimum.unwrap_or_default()),
            state_name(vehicle, *state)
        ));
    }
}

/// For each step what to do, what it is worth, and what it costs.
fn steps(told: &mut Told, vehicle: &Vehicle, repairs: &[Repair]) {
    for (rank, own) in repairs.iter().enumerate() {
        told.titled(format!("repairs.{rank}"), action(vehicle, own.action), |told| {
            let step = say!("{}. {}", rank + 1, action(vehicle, own.action));
            told.push(Paragraph::item(Line::new(), 3, step).toned(Tone::Strong));
            told.part(format!("repairs.{rank}.worth"), |told| {
                told.item(say!("   "), 3, gains(vehicle, own));
                told.item(say!("   "), 3, effort(vehicle, own));
            });
        });
    }
    if !repairs.is_empty() {
        told.gap();
    }
}

/// Who gains by a step, how likely it helps, and who loses most.
fn gains(vehicle: &Vehicle, own: &Repair) -> Line {
    let helps = if own.helps < NOTICED {
        say!("too little to be noticed")
    } else {
        say!("helps with a probability of {}", chance(Ratio(own.helps)))
    };
    let mut words = say!(
        "gains {} at {} while {}; {}",
        loss(own.best.volts),
        consumer(vehicle, own.best.consumer),
        state_name(vehicle, own.best.state),
        helps
    );
    if let Some(most) = own.gains.last().filter(|gain| gain.volts < Volts::ZERO) {
        words.extend(say!(
            "; takes {} from {} while {}",
            loss(most.volts.abs()),
            consumer(vehicle, most.consumer),
            state_name(vehicle, most.state)
        ));
    }
    words
}

/// What a step costs, and what it gains for that.
fn effort(vehicle: &Vehicle, own: &Repair) -> Line {
    let currency = vehicle.workshop.currency.as_str();
    let mut words = say!(
        "{}, {}: {} per minute",
        duration(own.time),
        money(own.price, currency),
        loss(own.per_minute())
    );
    if let Some(per_money) = own.per_money() {
        words.extend(say!(", {} per {}", loss(per_money), currency));
    }
    words
}

/// What still falls short when the best single step is done.
fn after_the_first(told: &mut Told, vehicle: &Vehicle, first: &Repair) {
    for (short, state, left) in &first.still_short {
        told.paragraph(say!(
            "After the first, {} while {} still falls short: {} of at least {}.",
            consumer(vehicle, *short),
            state_name(vehicle, *state),
            volts(*left),
            volts(short.minimum(vehicle).unwrap_or_default())
        ));
    }
    if first.still_short.is_empty() {
        told.line("After the first, no load that states a minimum falls short of it.");
    }
}

/// What to do with the same covers off, when the first is done.
fn then(told: &mut Told, vehicle: &Vehicle, second: Option<&Repair>) {
    if let Some(second) = second {
        told.paragraph(say!(
            "Then, in the same go: {}; gains {} more at {} while {}, in {} more for {}.",
            action(vehicle, second.action),
            loss(second.best.volts),
            consumer(vehicle, second.best.consumer),
            state_name(vehicle, second.best.state),
            duration(second.time),
            money(second.price, &vehicle.workshop.currency)
        ));
    }
    told.gap();
}

fn state_name(vehicle: &Vehicle, state: StateId) -> Span {
    name(&vehicle.state(state).name)
}

/// Who gains, as told beside volts: those at a converter's input are not the ones it gives.
pub(super) fn consumer(vehicle: &Vehicle, own: Consumer) -> Line {
    match own {
        Consumer::Load(id) => say!("{}", name(&vehicle.load(id).id)),
        Consumer::Converter(id) => say!("the input of {}", name(&vehicle.regulated_source(id).id)),
    }
}

pub(super) fn action(vehicle: &Vehicle, action: Action) -> Line {
    match action {
        Action::Clean(id) => {
            let joint = vehicle.joint(id);
            let to = joint.torque.map_or_else(Line::new, |own| say!(" to {}", torque(own)));
            say!("clean and tighten {}{}", name(&joint.id), to)
        }
        Action::CleanBoth(id) => {
            let own = name(&vehicle.conductor(id).id);
            say!("clean and tighten both ends of {} in one go", own)
        }
        Action::ReplaceEnd(id) => {
            let own = name(&vehicle.joint(id).id);
            say!("cut back and fix a new lug at {}, joint cleaned", own)
        }
        Action::Replace(id) => {
            say!("replace {} with its ends", name(&vehicle.conductor(id).id))
        }
        Action::Enlarge { conductor, size, .. } => {
            let own = vehicle.conductor(conductor);
            let was = own.size.map_or_else(String::new, |was| format!(" instead of {was}"));
            say!("replace {} with its ends by {}{}", name(&own.id), size.to_string(), was)
        }
        Action::Add { from, to, size, length: metres, amps, .. } => say!(
            "add {} of {} from {} to {} (carries up to {})",
            length(metres),
            size.to_string(),
            name(&vehicle.point(from).id),
            name(&vehicle.point(to).id),
            amperes(amps)
        ),
    }
}
