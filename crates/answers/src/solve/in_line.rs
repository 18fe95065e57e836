//! What in-line parts do in a state: fuses that carry more than they are marked with, and split relays.

use model::{BatteryId, Inline, InlineId, InlineKind, Piece, PointId, StateId, Vehicle};
use network::OperatingPoint;
use protection::{Curves, Origin};
use units::{Amperes, Ratio, Seconds};

use crate::told::quantity::{amperes, percent, soon};
use crate::told::{Line, Told, attention, left, name, right};

/// What a relay between two batteries may be called.
const RELAYS: [&str; 2] = ["split relay", "relay"];

/// Share above the marked current that is no more than rounding.
const ROUNDING: f64 = 1e-6;

/// A fuse that carries more than it is marked with.
#[derive(Debug, Clone)]
pub(crate) struct Overloaded {
    fuse: InlineId,
    amps: Amperes,
    rating: Amperes,
    /// It does not open sooner than this, where that is known.
    earliest: Option<Seconds>,
    /// It has opened by then; nothing where that is not known or it need not open.
    latest: Option<Seconds>,
    origin: Origin,
    /// The state is over before it may open.
    holds: bool,
}

impl Overloaded {
    /// True unless the state is over before it may open.
    pub(super) fn wants_attention(&self) -> bool {
        !self.holds
    }
}

shape! {
    /// A fuse that carries more than it is marked with.
    pub struct OverloadedFuse from pub(super) (vehicle: &Vehicle, own: &Overloaded) {
        /// Its name.
        pub fuse: String = vehicle.inline(own.fuse).id.clone(),
        /// What it carries.
        pub amps: f64 = own.amps.0,
        /// What it is marked with.
        pub rating_amps: f64 = own.rating.0,
        /// It does not open sooner than this; null where that is not known.
        pub holds_seconds: Option<f64> = own.earliest.map(|own| own.0),
        /// It has opened by then; null where that is not known or it need not open.
        pub opens_by_seconds: Option<f64> = own.latest.map(|own| own.0),
        /// Where these times come from: `file`, `recalled` (by the catalogue, unconfirmed) or `missing`.
        pub curve: &'static str = match own.origin {
            Origin::File(_) => "file",
            Origin::Recalled(_) => "recalled",
            Origin::Missing => "missing",
        },
        /// True when the state is over before it may open.
        pub outlasts_state: bool = own.holds,
    }

    /// What a split relay does.
    pub struct SplitRelay from pub(super) (part: &Inline, state: StateId) {
        /// True when it joins its two sides.
        pub closed: bool = closed(part, state),
    }
}

/// The fuses that carry more than they are marked with, in the order of the file.
pub(super) fn overloaded(vehicle: &Vehicle, point: &OperatingPoint) -> Vec<Overloaded> {
    let curves = Curves::of(vehicle, true);
    let lasts = vehicle.state(point.state).duration;
    let all = vehicle.inlines.iter().enumerate().map(|(at, part)| (InlineId::at(at), part));
    all.filter_map(|(fuse, part)| {
        let InlineKind::Fuse { rating: Some(rating), .. } = part.kind else { return None };
        let amps = point.piece(vehicle, Piece::Inline(fuse)).amps.abs();
        if amps <= rating * (1.0 + ROUNDING) {
            return None;
        }
        let opening = curves.curve(fuse).map(|curve| curve.opening(amps));
        let earliest = opening.and_then(|own| own.earliest);
        Some(Overloaded {
            fuse,
            amps,
            rating,
            earliest,
            latest: opening.and_then(|own| own.latest),
            origin: curves.origin(fuse).clone(),
            holds: earliest.zip(lasts).is_some_and(|(holds, lasts)| holds >= lasts),
        })
    })
    .collect()
}

/// The relays without which a battery on the one side is parted from one on the other.
pub(super) fn split_relays(vehicle: &Vehicle) -> impl Iterator<Item = &Inline> {
    let relays = vehicle.inlines.iter().enumerate();
    relays.filter(|(_, part)| RELAYS.contains(&part.make.as_str())).filter_map(|(at, part)| {
        let itself = Piece::Inline(InlineId::at(at));
        let mut parts = vehicle.parts(|piece| piece != itself);
        let mut has_battery = |side: PointId| {
            let mut all = (0..vehicle.batteries.len()).map(BatteryId::at);
            all.any(|id| parts.joined(vehicle.battery_terminals(id).0.index(), side.index()))
        };
        let both = has_battery(part.from) && has_battery(part.to);
        (both && !parts.joined(part.from.index(), part.to.index())).then_some(part)
    })
}

fn closed(part: &Inline, state: StateId) -> bool {
    matches!(&part.kind, InlineKind::Switch { closed } if closed.contains(&state))
}

pub(super) fn told(told: &mut Told, vehicle: &Vehicle, point: &OperatingPoint) {
    let fuses = overloaded(vehicle, point);
    if !fuses.is_empty() {
        told.rows(&fuses, |own| {
            [
                left("overloaded fuse", name(&vehicle.inline(own.fuse).id)),
                right("carries", amperes(own.amps)),
                right("marked", amperes(own.rating)),
                right("of it", percent(Ratio(own.amps.0 / own.rating.0))),
                left("", attention(own.wants_attention(), opens(own))),
            ]
        });
        told.gap();
    }
    let mut relays = split_relays(vehicle).peekable();
    if relays.peek().is_none() {
        return;
    }
    for part in relays {
        told.line(match closed(part, point.state) {
            true => say!(
                "split relay {} is closed: the batteries on its two sides are joined",
                name(&part.id)
            ),
            false => say!(
                "split relay {} is open: the batteries on its two sides are parted",
                name(&part.id)
            ),
        });
    }
    told.gap();
}

/// What becomes of it.
fn opens(own: &Overloaded) -> Line {
    let mut line = match (own.earliest, own.latest) {
        _ if own.holds => say!("bears it for as long as the state lasts"),
        (_, Some(latest)) => say!("opens within {}", soon(latest)),
        _ if own.origin == Origin::Missing => say!("when it opens is not known"),
        (Some(earliest), None) => {
            say!("may open after {}, need not, and gets hot", soon(earliest))
        }
        (None, None) => say!("need not open, and gets hot"),
    };
    if let Origin::Recalled(kind) = &own.origin {
        line.extend(say!(" (times of a {} fuse from memory, unconfirmed)", kind.as_str()));
    }
    line
}
