//! Failures and what they do, as plain sentences without their ends.

use ::failures::{Contact, Endurance, Fault, Finding, Inspect, Protection, Wear, fuses};
use model::{LoadId, Piece, StateId, Vehicle};
use network::LoadStatus;
use units::{Amperes, Kelvin, Ratio, Seconds, Volts};

use crate::told::quantity::{
    amperes, duration, loss, percent, soon, temperature, volts as supply, watts as power,
};
use crate::told::{Line, Quantity, name, names};

/// `main-negative opens`, `main-negative.to wears to 100 times its resistance`.
#[must_use]
pub fn fault(vehicle: &Vehicle, fault: Fault) -> Line {
    let own = name(fault.name(vehicle));
    match fault {
        Fault::Open(_) => say!("{} opens", own),
        Fault::Worn(_, Wear::Ten) => say!("{} wears to 10 times its resistance", own),
        Fault::Worn(_, Wear::Hundred) => say!("{} wears to 100 times its resistance", own),
        Fault::Blown(_) => say!("{} blows", own),
        Fault::BatteryLost(_) => say!("battery {} is lost", own),
        Fault::SourceLost(_) => say!("{} delivers nothing", own),
    }
}

/// `while cranking`.
#[must_use]
pub fn during(vehicle: &Vehicle, state: StateId) -> Line {
    say!("while {}", name(&vehicle.state(state).id))
}

/// So many of something, or none.
pub(super) fn count(number: usize, word: &str) -> Line {
    match number {
        0 => say!("no {}s", word),
        1 => say!("{} {}", 1_usize, word),
        many => say!("{} {}s", many, word),
    }
}

/// One finding.
#[must_use]
pub fn finding(vehicle: &Vehicle, finding: &Finding) -> Line {
    match *finding {
        Finding::Load { load, status, volts, dead } => of_load(vehicle, load, status, volts, dead),
        Finding::Conductor { conductor, endurance, .. } => {
            let piece = names::piece(vehicle, Piece::Conductor(conductor));
            let insulated = vehicle.conductor(conductor).insulation_limit.is_some();
            let becomes = overload(&endurance, insulated);
            say!("{} through {}: {}", amperes(endurance.amps), piece, becomes)
        }
        Finding::Path { path, amps, damage } => say!(
            "{} through {}, where damage is to be feared from {}",
            amperes(amps),
            names::piece(vehicle, Piece::Incidental(path)),
            amperes(damage)
        ),
        Finding::Joint { joint, volts, watts, reaches, contact } => say!(
            "{}, {} in {}: {}",
            loss(volts),
            power(watts),
            names::piece(vehicle, Piece::Joint(joint)),
            hot(reaches, contact)
        ),
        Finding::Fuse { fuse, amps, rating, opening } => {
            let fuse = name(&vehicle.inline(fuse).id);
            let when = match opening.and_then(|opening| opening.latest) {
                Some(latest) => say!("opens within {}", soon(latest)),
                None if amps <= rating => say!(
                    "{} of what it is marked with for hours, at most {} is usual: it and its holder warm and age",
                    percent(Ratio(amps / rating)),
                    percent(fuses::held_share())
                ),
                None => say!("need not open"),
            };
            say!("{} through fuse {} of {}: {}", amperes(amps), fuse, amperes(rating), when)
        }
        Finding::Battery { battery, share, fair } => say!(
            "battery {} gives {} of the current with {} of the capacity",
            name(&vehicle.battery(battery).id),
            percent(share),
            percent(fair)
        ),
        Finding::Unsettled => say!(
            "the network cannot settle: loads ask for more than it can deliver or switch to and fro"
        ),
    }
}

fn of_load(vehicle: &Vehicle, id: LoadId, status: LoadStatus, volts: Volts, dead: bool) -> Line {
    let load = vehicle.load(id);
    let own = name(&load.id);
    match status {
        _ if dead => say!("{} is dead ({})", own, supply(volts)),
        LoadStatus::DroppedOut => say!("{} switches itself off", own),
        LoadStatus::Starved { most } => {
            say!("{} cannot be fed; it could get {} at most", own, power(most))
        }
        _ => {
            let mut words = say!("{} gets {}", own, supply(volts));
            if let Some(least) = load.minimum {
                words.extend(say!(", its minimum is {}", supply(least)));
            }
            words
        }
    }
}

/// `about 140 °C, too hot for its plating or insulation`.
fn hot(reaches: Kelvin, contact: Contact) -> Line {
    match contact {
        Contact::Softens => {
            say!("about {}, too hot for its plating or insulation", temperature(reaches))
        }
        Contact::Melts => say!("past {}, its metal melts", temperature(reaches)),
    }
}

/// `insulation limit in 2.1 s, melts in 9 s`.
fn overload(endurance: &Endurance, insulated: bool) -> Line {
    let limit = if insulated { "insulation limit" } else { "too hot to be safe" };
    let lasts = |time: Seconds| {
        endurance
            .lasts
            .filter(|lasts| time > *lasts)
            .map_or_else(Line::new, |lasts| say!(" (the state usually lasts {})", duration(lasts)))
    };
    match (endurance.limit_after, endurance.melts_after) {
        (Some(first), Some(second)) if first.0 <= 0.0 => {
            say!("past its limit before, melts in {}{}", soon(second), lasts(second))
        }
        (Some(first), Some(second)) => {
            say!("{} in {}{}, melts in {}", limit, soon(first), lasts(first), soon(second))
        }
        (Some(first), None) => say!(
            "{} in {}{}, at the end {}",
            limit,
            soon(first),
            lasts(first),
            temperature(endurance.at_end)
        ),
        (None, _) => say!("stays at {}", temperature(endurance.at_end)),
    }
}

/// What stands in the way.
#[must_use]
pub fn protection(vehicle: &Vehicle, protection: Protection) -> Line {
    let fuse = |id| name(&vehicle.inline(id).id);
    match protection {
        Protection::None => say!("nothing opens first"),
        Protection::OpensFirst { fuse: id, latest } => {
            say!("fuse {} opens first, within {}", fuse(id), soon(latest))
        }
        Protection::TooLate { fuse: id, latest: Some(latest) } => {
            say!("fuse {} may open too late, within {}", fuse(id), soon(latest))
        }
        Protection::TooLate { fuse: id, latest: None } => {
            say!("fuse {} need not open at all", fuse(id))
        }
    }
}

/// A current with its share: `12.3 A, 4 %`.
pub(super) fn with_share(amps: Amperes, share: Ratio) -> Line {
    say!("{}, {}", amperes(amps), percent(share))
}

/// How likely something is: in per cent, or one in so many.
pub(super) fn chance(value: Ratio) -> Line {
    match value.0 {
        share if share >= 0.01 => say!("{}", percent(value)),
        share if share > 0.0 => say!("1 in {}", Quantity::Plain(1.0 / share, 1, "")),
        _ => say!("never"),
    }
}

/// Something to look at, and what to look for.
pub(super) fn inspection(vehicle: &Vehicle, own: &Inspect) -> Line {
    match own {
        Inspect::Conductor { conductor, state, reached, limit, limit_after } => {
            let bare = vehicle.conductor(*conductor).insulation.is_none();
            let look = if bare {
                "discoloured or broken strands, burnt sleeve, joints at both ends, whatever it \
                 touched"
            } else {
                "insulation hard, cracked, melted or stuck to its neighbours; lugs and joints at \
                 both ends"
            };
            let mut words = names::piece(vehicle, Piece::Conductor(*conductor));
            words.extend(say!(": {} {}", temperature(*reached), during(vehicle, *state)));
            words.extend(say!(" (bears {})", temperature(*limit)));
            if let Some(time) = *limit_after {
                words.extend(say!(", past its limit after {}", soon(time)));
            }
            words.extend(say!(". Look for {}.", look));
            words
        }
        Inspect::Path { path, state, amps, damage, look } => {
            let mut words = names::piece(vehicle, Piece::Incidental(*path));
            words.extend(say!(": {} {}", amperes(*amps), during(vehicle, *state)));
            if let Some(damage) = *damage {
                words.extend(say!(" (damage is to be feared from {})", amperes(damage)));
            }
            words.extend(say!(". Look at {}.", *look));
            words
        }
        Inspect::Joint { joint, state, volts, reaches, contact } => say!(
            "{}: {} {}, {}. Open it, look for blueing, flow and pits, and make it anew.",
            names::piece(vehicle, Piece::Joint(*joint)),
            loss(*volts),
            during(vehicle, *state),
            hot(*reaches, *contact)
        ),
    }
}
