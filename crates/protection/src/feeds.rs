//! Feed conductors: what opens when one of them touches metal, over the whole range of currents.
//!
//! A fault anywhere along a conductor, through a path of any resistance, sends a current between
//! nothing and the short at its beginning through it. For each current the fuses that cut it off from
//! its sources have their latest opening time, and the conductor its temperature by then. Where the
//! one is too late for the other lies the gap.

use endurance::{Harm, Thermal};
use model::{BatteryId, ConductorId, InlineId, PointId, RegulatedId, StateId, Vehicle};
use units::{Amperes, Kelvin, Ohms, Ratio, Seconds, Volts};

use crate::curves::Curves;

/// Currents looked at between the lasting one and the largest.
const STEPS: u32 = 60;

/// A current this close to the edge of a gap is its edge.
const EDGE: f64 = 1e-3;

/// A source that feeds a fault.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Source {
    /// A battery.
    Battery(BatteryId),
    /// An alternator, charger or converter.
    Regulated(RegulatedId),
}

/// A fuse between a source and a conductor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Guard {
    /// The fuse.
    pub fuse: InlineId,
    /// Its share of the conductor's current: above one where it feeds others too, below one where
    /// other sources do.
    pub share: Ratio,
}

/// A source and what stands between it and a conductor.
#[derive(Debug, Clone, PartialEq)]
pub struct Supply {
    /// The source.
    pub source: Source,
    /// The most it delivers by itself; nothing for a battery.
    pub limit: Option<Amperes>,
    /// Fuses any one of which cuts it off.
    pub guards: Vec<Guard>,
}

/// A conductor fed from one end, in one state.
#[derive(Debug, Clone)]
pub struct Fed {
    /// The conductor.
    pub conductor: ConductorId,
    /// The state.
    pub state: StateId,
    /// The end at which current comes in.
    pub near: PointId,
    /// The other end.
    pub far: PointId,
    /// Current through its beginning when it touches metal right there.
    pub near_short: Amperes,
    /// Current through the whole of it when its far end touches metal well joined to home.
    pub far_short: Amperes,
    /// The same where the metal is worst joined, or inside the load that it feeds.
    pub least_short: Amperes,
    /// Voltage behind the short at the far end.
    pub volts: Volts,
    /// What feeds it.
    pub supplies: Vec<Supply>,
}

/// When a fault is cleared for certain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Clearing {
    /// By then.
    By(Seconds),
    /// Not at all: nothing has to open.
    Never,
    /// Nobody has stated when the fuse opens.
    Unknown,
}

impl Clearing {
    /// When the last of several is over.
    pub(crate) fn last(all: impl Iterator<Item = Self>) -> Self {
        all.fold(Self::By(Seconds::ZERO), |known, own| match (known, own) {
            (Self::Never, _) | (_, Self::Never) => Self::Never,
            (Self::Unknown, _) | (_, Self::Unknown) => Self::Unknown,
            (Self::By(known), Self::By(own)) => Self::By(known.max(own)),
        })
    }

    /// When the first of some fuses opens, each with the current that it carries.
    pub(crate) fn first(
        vehicle: &Vehicle,
        curves: &Curves,
        fuses: impl Iterator<Item = (InlineId, Amperes)>,
    ) -> Self {
        let mut best: Option<Seconds> = None;
        let mut unknown = false;
        for (fuse, amps) in fuses {
            match curves.curve(fuse) {
                Some(curve) => {
                    best = best.into_iter().chain(curve.opening(amps).latest).reduce(Seconds::min);
                }
                // A fuse carries its rating for ever; what it does above it nobody has said.
                None => unknown |= rating(vehicle, fuse).is_none_or(|rating| amps > rating),
            }
        }
        match best {
            Some(time) => Self::By(time),
            None if unknown => Self::Unknown,
            None => Self::Never,
        }
    }
}

/// Currents for which protection is lacking: all between two, and perhaps others above.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gap {
    /// The least of them.
    pub from: Amperes,
    /// The most of them.
    pub to: Amperes,
    /// The worst that happens between the two.
    pub harm: Harm,
    /// Where a second gap begins, above the first.
    pub again: Option<Amperes>,
    /// Resistance of the fault's path, at the far end, with which these currents flow: that of the
    /// most and that of the least.
    pub path: Option<(Ohms, Ohms)>,
}

/// What protection a conductor has.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Verdict {
    /// Whatever current flows, it is cut off before the conductor suffers.
    Protected,
    /// No current that can flow harms it.
    Harmless,
    /// Some currents age it and nothing opens for certain; none of them burns it.
    Ages(Gap),
    /// Some currents burn it before anything opens.
    Burns(Gap),
    /// Nothing stands between it and a battery.
    Nothing {
        /// When a short at its far end has destroyed its insulation.
        burns: Harm,
    },
    /// It has a fuse whose curve nobody has stated; below its rating there is no gap.
    CurveMissing,
    /// Its size or length is not known.
    Unjudged,
}

impl Verdict {
    /// How bad it is, for choosing the worst of several.
    #[must_use]
    pub fn rank(&self) -> u8 {
        match self {
            Self::Harmless => 0,
            Self::Protected => 1,
            Self::Unjudged => 2,
            Self::CurveMissing => 3,
            Self::Ages(_) => 4,
            Self::Burns(_) => 5,
            Self::Nothing { .. } => 6,
        }
    }
}

impl Fed {
    /// When a current in the conductor is cut off, all its sources together.
    #[must_use]
    pub fn clearing(&self, current: Amperes, curves: &Curves, vehicle: &Vehicle) -> Clearing {
        // What a source cannot deliver by itself must be cut off on another side first.
        let delivers = |own: &&Supply| own.limit.is_none_or(|limit| limit >= current);
        Clearing::last(self.supplies.iter().filter(delivers).map(|own| {
            let guards = own.guards.iter().map(|guard| (guard.fuse, current * guard.share.0));
            Clearing::first(vehicle, curves, guards)
        }))
    }

    /// Judges the whole range of currents.
    #[must_use]
    pub fn judge(&self, vehicle: &Vehicle, curves: &Curves) -> Verdict {
        let Some(endurance) = Thermal::of(vehicle, self.conductor, self.state) else {
            return Verdict::Unjudged;
        };
        let most = self.near_short.max(self.far_short);
        if most <= endurance.lasting {
            return Verdict::Harmless;
        }
        let bare = |supply: &Supply| {
            supply.guards.is_empty() && supply.limit.is_none_or(|limit| limit > endurance.lasting)
        };
        if self.supplies.iter().any(|supply| bare(supply) && supply.limit.is_none()) {
            return Verdict::Nothing { burns: endurance.harm(self.far_short, None) };
        }
        self.scan(&endurance, most, vehicle, curves)
    }

    fn scan(
        &self,
        endurance: &Thermal,
        most: Amperes,
        vehicle: &Vehicle,
        curves: &Curves,
    ) -> Verdict {
        let harm = |amps: Amperes| harm(endurance, amps, self.clearing(amps, curves, vehicle));
        let low = endurance.lasting * (1.0 + EDGE);
        let ratio = (most / low).max(1.0);
        let at = |step: u32| low * ratio.powf(f64::from(step) / f64::from(STEPS));
        let harms: Vec<(Amperes, Option<Harm>)> =
            (0..=STEPS).map(at).map(|amps| (amps, harm(amps))).collect();
        let unknown = harms.iter().any(|(_, harm)| harm.is_none());
        let worst = harms.iter().map(|(_, harm)| level(harm)).max().unwrap_or(0);
        if worst == 0 {
            return if unknown { Verdict::CurveMissing } else { Verdict::Protected };
        }
        let bad = |harm: &Option<Harm>| level(harm) == worst;
        let (first, last) = first_gap(&harms, bad);
        let edge = |inside: usize, outside: Option<usize>| match outside {
            Some(outside) => edge(harms[inside].0, harms[outside].0, |amps| bad(&harm(amps))),
            None => harms[inside].0,
        };
        let from = edge(first, first.checked_sub(1));
        let to = edge(last, (last + 1 < harms.len()).then_some(last + 1));
        let from = if first == 0 { endurance.lasting } else { from };
        let second = (last + 1..harms.len()).find(|at| bad(&harms[*at].1));
        let again = second.map(|at| edge(at, Some(at - 1)));
        let found = harms[first..=last].iter().filter_map(|(_, harm)| *harm);
        let harm = found.reduce(worse).unwrap_or(Harm::None);
        let gap = Gap { from, to, harm, again, path: self.path(from, to) };
        if worst == 2 { Verdict::Burns(gap) } else { Verdict::Ages(gap) }
    }

    /// Resistances of a fault path at the far end with which the currents of a gap flow.
    fn path(&self, from: Amperes, to: Amperes) -> Option<(Ohms, Ohms)> {
        let extra = |amps: Amperes| {
            Ohms((self.volts.0 / amps.0 - self.volts.0 / self.far_short.0).max(0.0))
        };
        (self.far_short > Amperes::ZERO && from < self.far_short).then(|| (extra(to), extra(from)))
    }
}

/// The marked current of a fuse.
#[must_use]
pub fn rating(vehicle: &Vehicle, fuse: InlineId) -> Option<Amperes> {
    match &vehicle.inline(fuse).kind {
        model::InlineKind::Fuse { rating, .. } => *rating,
        _ => None,
    }
}

/// What a current does until it is cleared; nothing where nobody knows when that is.
fn harm(endurance: &Thermal, amps: Amperes, clearing: Clearing) -> Option<Harm> {
    match clearing {
        Clearing::By(time) => Some(endurance.harm(amps, Some(time))),
        Clearing::Never => Some(endurance.harm(amps, None)),
        Clearing::Unknown => None,
    }
}

/// How bad a harm is, for finding where the worst begins and ends.
fn level(harm: &Option<Harm>) -> u8 {
    match harm {
        Some(Harm::Burns { .. }) => 2,
        Some(Harm::Ages { .. }) => 1,
        _ => 0,
    }
}

/// The first and the last of the lowest currents that are bad.
fn first_gap(
    harms: &[(Amperes, Option<Harm>)],
    bad: impl Fn(&Option<Harm>) -> bool,
) -> (usize, usize) {
    let first = harms.iter().position(|(_, harm)| bad(harm)).unwrap_or(0);
    let length = harms[first..].iter().position(|(_, harm)| !bad(harm));
    (first, length.map_or(harms.len() - 1, |length| first + length - 1))
}

/// The worse of two harms.
pub(crate) fn worse(a: Harm, b: Harm) -> Harm {
    let hottest = |harm: &Harm| match harm {
        Harm::Ages { hottest } => *hottest,
        _ => Kelvin::ZERO,
    };
    let soonest = |harm: &Harm| match harm {
        Harm::Burns { after, .. } => *after,
        _ => Seconds(f64::INFINITY),
    };
    let later_is_worse = match (&a, &b) {
        (Harm::Burns { .. }, _) | (_, Harm::Burns { .. }) => soonest(&b) < soonest(&a),
        _ => hottest(&b) > hottest(&a),
    };
    if later_is_worse { b } else { a }
}

/// The current between one inside a gap and one outside at which it ends.
fn edge(inside: Amperes, outside: Amperes, is_bad: impl Fn(Amperes) -> bool) -> Amperes {
    let (mut inside, mut outside) = (inside.0, outside.0);
    while (inside - outside).abs() > EDGE * inside {
        let middle = (inside * outside).sqrt();
        if is_bad(Amperes(middle)) { inside = middle } else { outside = middle }
    }
    Amperes(inside)
}
