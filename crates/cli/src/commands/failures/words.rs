//! Failures and what they do, as plain sentences.

use failures::{Contact, Endurance, Fault, Finding, Protection, Wear};
use model::{Piece, StateId, Vehicle};
use network::LoadStatus;
use units::{Amperes, Kelvin, Seconds, UnitSystem, print};

use crate::names;

/// `main-negative opens`, `main-negative.to is worn to 100 times its resistance`.
pub(crate) fn fault(vehicle: &Vehicle, fault: Fault) -> String {
    let name = fault.name(vehicle);
    match fault {
        Fault::Open(_) => format!("{name} opens"),
        Fault::Worn(_, Wear::Ten) => format!("{name} wears to 10 times its resistance"),
        Fault::Worn(_, Wear::Hundred) => format!("{name} wears to 100 times its resistance"),
        Fault::Blown(_) => format!("{name} blows"),
        Fault::BatteryLost(_) => format!("battery {name} is lost"),
        Fault::SourceLost(_) => format!("{name} delivers nothing"),
    }
}

/// `while cranking`.
pub(crate) fn during(vehicle: &Vehicle, state: StateId) -> String {
    format!("while {}", vehicle.state(state).id)
}

/// How soon, in two digits: more would promise too much.
pub(crate) fn soon(time: Seconds) -> String {
    match time.0 {
        seconds if seconds < 0.1 => "under 0.1 s".to_owned(),
        seconds if seconds < 100.0 => format!("{} s", print::plain(seconds, 2)),
        seconds if seconds < 6000.0 => format!("{} min", print::plain(seconds / 60.0, 2)),
        seconds => format!("{} h", print::plain(seconds / 3600.0, 2)),
    }
}

/// One finding as a sentence without its end.
pub(crate) fn finding(vehicle: &Vehicle, finding: &Finding, units: UnitSystem) -> String {
    match *finding {
        Finding::Load { load, status, volts, dead } => {
            let own = vehicle.load(load);
            let volts = print::volts(volts);
            match status {
                _ if dead => format!("{} is dead ({volts})", own.id),
                LoadStatus::DroppedOut => format!("{} switches itself off", own.id),
                LoadStatus::Starved { most } => {
                    format!("{} cannot be fed; it could get {} at most", own.id, print::watts(most))
                }
                _ => {
                    let least = own.minimum.map_or_else(String::new, |least| {
                        format!(", its minimum is {}", print::volts(least))
                    });
                    format!("{} gets {volts}{least}", own.id)
                }
            }
        }
        Finding::Conductor { conductor, endurance, .. } => {
            let name = names::piece(vehicle, Piece::Conductor(conductor));
            let limit = vehicle.conductor(conductor).insulation_limit;
            format!(
                "{} through {name}: {}",
                print::amperes(endurance.amps),
                overload(&endurance, limit.is_some(), units)
            )
        }
        Finding::Path { path, amps, damage } => format!(
            "{} through {}, where damage is to be feared from {}",
            print::amperes(amps),
            names::piece(vehicle, Piece::Incidental(path)),
            print::amperes(damage)
        ),
        Finding::Joint { joint, volts, watts, reaches, contact } => {
            let name = names::piece(vehicle, Piece::Joint(joint));
            format!(
                "{}, {} in {name}: {}",
                print::loss(volts),
                print::watts(watts),
                hot(reaches, contact, units)
            )
        }
        Finding::Fuse { fuse, amps, rating, opening } => {
            let when = match opening.and_then(|opening| opening.latest) {
                Some(latest) => format!("opens within {}", soon(latest)),
                None => "need not open".to_owned(),
            };
            format!(
                "{} through fuse {} of {}: {when}",
                print::amperes(amps),
                vehicle.inline(fuse).id,
                print::amperes(rating)
            )
        }
        Finding::Battery { battery, share, fair } => format!(
            "battery {} gives {} of the current with {} of the capacity",
            vehicle.battery(battery).id,
            print::percent(share),
            print::percent(fair)
        ),
        Finding::Unsettled => "the network cannot settle: loads ask for more than it can deliver \
                               or switch to and fro"
            .to_owned(),
    }
}

/// `about 140 °C, too hot for its plating or insulation`.
pub(crate) fn hot(reaches: Kelvin, contact: Contact, units: UnitSystem) -> String {
    match contact {
        Contact::Softens => {
            format!("about {}, too hot for its plating or insulation", units.temperature(reaches))
        }
        Contact::Melts => format!("past {}, its metal melts", units.temperature(reaches)),
    }
}

/// `insulation limit in 2.1 s, melts in 9 s`.
pub(crate) fn overload(endurance: &Endurance, insulated: bool, units: UnitSystem) -> String {
    let limit = if insulated { "insulation limit" } else { "too hot to be safe" };
    let lasts = |time: Seconds| {
        endurance.lasts.filter(|lasts| time > *lasts).map_or_else(String::new, |lasts| {
            format!(" (the state usually lasts {})", print::duration(lasts))
        })
    };
    match (endurance.limit_after, endurance.melts_after) {
        (Some(first), Some(second)) if first.0 <= 0.0 => {
            format!("past its limit before, melts in {}{}", soon(second), lasts(second))
        }
        (Some(first), Some(second)) => {
            format!("{limit} in {}{}, melts in {}", soon(first), lasts(first), soon(second))
        }
        (Some(first), None) => format!(
            "{limit} in {}{}, at the end {}",
            soon(first),
            lasts(first),
            units.temperature(endurance.at_end)
        ),
        (None, _) => format!("stays at {}", units.temperature(endurance.at_end)),
    }
}

/// What stands in the way.
pub(crate) fn protection(vehicle: &Vehicle, protection: Protection) -> String {
    match protection {
        Protection::None => "nothing opens first".to_owned(),
        Protection::OpensFirst { fuse, latest } => {
            format!("fuse {} opens first, within {}", vehicle.inline(fuse).id, soon(latest))
        }
        Protection::TooLate { fuse, latest: Some(latest) } => {
            format!("fuse {} may open too late, within {}", vehicle.inline(fuse).id, soon(latest))
        }
        Protection::TooLate { fuse, latest: None } => {
            format!("fuse {} need not open at all", vehicle.inline(fuse).id)
        }
    }
}

/// A current with its share: `12.3 A, 4 %`.
pub(crate) fn with_share(amps: Amperes, share: units::Ratio) -> String {
    format!("{}, {}", print::amperes(amps), print::percent(share))
}
