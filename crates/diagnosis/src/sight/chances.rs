//! The chances of each kind of sight, with a fault at its place and without one.

use model::{Condition, Done, LoadId, Occasion, Spot, Upset, Vehicle};
use units::Ratio;

use super::spot;
use crate::judged;
use crate::side::{Map, Side};
use crate::suspect::SuspectKind;

/// A chance with a fault at the place, and one without.
pub(super) type Two = (f64, f64);

/// The chance for a share of a fault at the place.
pub(super) fn either(share: f64, (itself, otherwise): Two) -> f64 {
    otherwise + (itself - otherwise) * share
}

/// How something is found.
pub(super) fn found(condition: Condition) -> Two {
    let own = judged::sights();
    let (itself, otherwise) = match condition {
        Condition::Loose => (own.loose_itself, own.loose_otherwise),
        Condition::Corroded => (own.corroded_itself, own.corroded_otherwise),
        Condition::Broken => (own.broken_itself, own.broken_otherwise),
        Condition::Missing => (own.missing_itself, own.missing_otherwise),
        Condition::Fine => (own.fine_itself, own.fine_otherwise),
    };
    (itself.0, otherwise.0)
}

/// What comes of work on a part that is at fault, and on one that is not.
pub(super) fn vain(done: Done, helped: bool) -> Two {
    let own = judged::sights();
    let symptoms = judged::symptoms();
    match (done, helped) {
        (Done::Replaced, false) => (own.vain_itself.0, own.vain_otherwise.0),
        (Done::Cleaned, false) => (own.cleaned_vain_itself.0, own.vain_otherwise.0),
        (Done::Replaced | Done::Cleaned, true) => (own.helped_itself.0, own.helped_otherwise.0),
        (Done::Moved, true) => (symptoms.moved_itself.0, symptoms.moved_elsewhere.0),
        (Done::Moved, false) => (1.0 - symptoms.moved_itself.0, 1.0 - symptoms.moved_elsewhere.0),
    }
}

/// Chance of what came of work on a part.
pub(super) fn worked(
    vehicle: &Vehicle,
    (spot, done, helped): (&Spot, Done, bool),
    heavy: Option<LoadId>,
    faults: &[SuspectKind],
) -> f64 {
    let two = vain(done, helped);
    let at = |kind: &SuspectKind| {
        let share = spot::at_fault(vehicle, spot, std::slice::from_ref(kind));
        let switched = *spot == Spot::Control && only_control(vehicle, heavy, *kind);
        if switched { 1.0 } else { share }
    };
    let shares = faults.iter().map(at);
    if helped {
        return either(shares.fold(0.0, f64::max), two);
    }
    // What is left of several faults still shows.
    let least = shares.fold(1.0, f64::min);
    if faults.is_empty() { two.1 } else { either(least, two) }
}

/// True for a fault of what switches the heavy load on.
fn only_control(vehicle: &Vehicle, heavy: Option<LoadId>, kind: SuspectKind) -> bool {
    let places = Map::new(vehicle, heavy).places(kind, Ratio(0.0));
    matches!(places.as_slice(), [(Side::Control, _)])
}

/// Chance that something else misbehaves.
pub(super) fn upset(
    vehicle: &Vehicle,
    (upset, device, heavy): (Upset, Option<LoadId>, Option<LoadId>),
    faults: &[SuspectKind],
) -> f64 {
    let own = judged::sights();
    let device = Map::new(vehicle, device);
    let heavy_map = Map::new(vehicle, heavy);
    let lies = |map: &Map<'_>, kind: SuspectKind, side: Side| {
        !spot::is_unseen(vehicle, kind)
            && map.places(kind, Ratio(0.0)).iter().any(|place| place.0 == side)
    };
    // A loss does it to both only where both lie behind it.
    let shared = |kind: SuspectKind| {
        lies(&device, kind, Side::Source)
            || [Side::Feed, Side::Return]
                .into_iter()
                .any(|side| lies(&device, kind, side) && lies(&heavy_map, kind, side))
    };
    let drags = |kind: SuspectKind| matches!(kind, SuspectKind::LoadDrags(id) if Some(id) == heavy);
    let one = |kind: SuspectKind| match upset {
        Upset::Moves if lies(&device, kind, Side::Return) => own.moves_return.0,
        Upset::Moves if lies(&device, kind, Side::Feed) => own.moves_feed.0,
        Upset::Moves if lies(&device, kind, Side::Source) => own.moves_source.0,
        Upset::Moves => own.moves_otherwise.0,
        Upset::Dims if shared(kind) => own.dims_shared.0,
        Upset::Dims if drags(kind) => own.dims_heavy_load.0,
        Upset::Dims => own.dims_otherwise.0,
        Upset::Dies if shared(kind) => own.dies_shared.0,
        Upset::Dies => own.dies_otherwise.0,
    };
    let least = match upset {
        Upset::Moves => own.moves_otherwise.0,
        Upset::Dims => own.dims_otherwise.0,
        Upset::Dies => own.dies_otherwise.0,
    };
    faults.iter().map(|kind| one(*kind)).fold(least, f64::max)
}

/// Chance that a fault comes just then.
pub(super) fn comes(occasion: Occasion, faults: &[SuspectKind]) -> f64 {
    let own = judged::sights();
    let joint = |kind: &SuspectKind| {
        matches!(
            kind,
            SuspectKind::Joint(_)
                | SuspectKind::Conductor(_)
                | SuspectKind::Open(_)
                | SuspectKind::Inline(_)
                | SuspectKind::ExtraPath { .. }
        )
    };
    let device =
        |kind: &SuspectKind| matches!(kind, SuspectKind::LoadDrags(_) | SuspectKind::LoadOpen(_));
    let source = |kind: &SuspectKind| {
        matches!(kind, SuspectKind::BatteryLow(_) | SuspectKind::BatteryWorn(_))
    };
    let one = |kind: &SuspectKind| match occasion {
        Occasion::Wet if joint(kind) => own.wet_joint,
        Occasion::Wet => own.wet_otherwise,
        Occasion::Hot if device(kind) => own.hot_device,
        Occasion::Hot => own.hot_weather_otherwise,
        Occasion::Cold if source(kind) => own.cold_source,
        Occasion::Cold if device(kind) => own.cold_device,
        Occasion::Cold => own.cold_otherwise,
        Occasion::Shaken if joint(kind) => own.shaken_joint,
        Occasion::Shaken => own.shaken_otherwise,
        Occasion::ComesAndGoes if joint(kind) => own.comes_and_goes_joint,
        Occasion::ComesAndGoes => own.comes_and_goes_otherwise,
    };
    let least = match occasion {
        Occasion::Wet => own.wet_otherwise,
        Occasion::Hot => own.hot_weather_otherwise,
        Occasion::Cold => own.cold_otherwise,
        Occasion::Shaken => own.shaken_otherwise,
        Occasion::ComesAndGoes => own.comes_and_goes_otherwise,
    };
    faults.iter().map(|kind| one(kind).0).fold(least.0, f64::max)
}
