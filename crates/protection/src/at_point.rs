//! Prospective fault current at one point: how much, in which state, and what opens.

use model::{InlineId, Piece, PointId, StateId, Vehicle};
use physics::protection::Opening;
use units::{Amperes, Ohms};

use crate::curves::Curves;
use crate::feeds::Clearing;
use crate::protect::Scope;
use crate::returns::clearing;
use crate::shorts::{Fault, Shorts, without_loads};
use crate::state_view::{fuses, see};

/// A fuse that carries part of a fault.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Through {
    /// The fuse.
    pub fuse: InlineId,
    /// What it carries.
    pub amps: Amperes,
    /// When it opens, if its curve is known.
    pub opening: Option<Opening>,
}

/// A fault at a point in one state.
#[derive(Debug, Clone)]
pub struct AtPoint {
    /// The state.
    pub state: StateId,
    /// The fault.
    pub fault: Fault,
    /// Current through it.
    pub total: Amperes,
    /// The fuses that carry at least a hundredth of it, the largest current first.
    pub through: Vec<Through>,
    /// When it is cleared for certain.
    pub clearing: Clearing,
}

/// Every fault at a point, through a path of some resistance ([`DEAD`](crate::shorts::DEAD) for a
/// dead short), in the states in which the point is live; and how many of them have no solution.
#[must_use]
pub fn at_point(
    vehicle: &Vehicle,
    point: PointId,
    through: Ohms,
    scope: &Scope,
) -> (Vec<AtPoint>, usize) {
    let quiet = without_loads(vehicle);
    let curves = Curves::of(vehicle, scope.recalled);
    let mut shorts = Shorts::new(&quiet, &[point], &[]);
    let states = scope.states(vehicle);
    let (mut all, mut unsolved) = (Vec::new(), 0);
    for state in states {
        let seen = see(vehicle, state);
        for fault in shorts.faults().to_vec() {
            let reached = seen.views.iter().any(|(_, _, view)| view.reaches(fault.at));
            if !reached || seen.graph.joined(fault.at, fault.home) {
                continue;
            }
            let Some(short) = shorts.solve(state, fault, through) else {
                unsolved += 1;
                continue;
            };
            let mut carried: Vec<Through> = fuses(vehicle)
                .map(|fuse| {
                    let amps = shorts.amps(&short, Piece::Inline(fuse));
                    let opening = curves.curve(fuse).map(|curve| curve.opening(amps));
                    Through { fuse, amps, opening }
                })
                .filter(|own| own.amps > short.total * 0.01)
                .collect();
            // Fuses in one line carry the same but for rounding; they keep the order of the file.
            let thousandths = |own: &Through| (own.amps / short.total * 1e3).round();
            carried.sort_by(|a, b| thousandths(b).total_cmp(&thousandths(a)));
            let clearing = clearing(vehicle, &seen, &shorts, &short, fault, &curves);
            all.push(AtPoint { state, fault, total: short.total, through: carried, clearing });
        }
    }
    (all, unsolved)
}
