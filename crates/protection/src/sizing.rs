//! Whether a new conductor is large enough for everything asked of it, in the network as it is.
//!
//! The conductor is part of the vehicle already; other sizes of it are other vehicles. Parallel paths
//! take their share because the whole network is solved.

use model::{ConductorId, LoadId, Piece, PointId, StateId, Vehicle};
use network::{Convergence, Network, OperatingPoint};
use units::{Amperes, Kelvin, Volts};

use crate::Harm;
use crate::feeds::Verdict;
use crate::protect::{Scope, protect};
use crate::returns::Worst;

/// A figure this little beyond what is allowed is the rounding of the numbers.
const ROUNDING: f64 = 1e-9;

/// What is asked of a new conductor.
#[derive(Debug, Clone, Default)]
pub struct Asked {
    /// The most between the two points that it joins.
    pub drop: Option<(PointId, PointId, Volts)>,
    /// The least that a load has while it is on.
    pub load: Option<(LoadId, Volts)>,
    /// Where to look, and whether recalled curves may stand in.
    pub scope: Scope,
}

/// Why a conductor is too small.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Reason {
    /// More is lost between its points than allowed.
    Drop {
        /// What is lost.
        found: Volts,
        /// In this state.
        state: StateId,
    },
    /// The load has less than it must.
    Load {
        /// What it has.
        found: Volts,
        /// In this state.
        state: StateId,
    },
    /// It grows warmer than its insulation bears.
    TooWarm {
        /// How warm.
        found: Kelvin,
        /// In this state.
        state: StateId,
    },
    /// Faults harm it before they are cleared.
    Fault(Verdict),
    /// As a return it suffers from a short elsewhere before that is cleared.
    Return(Worst),
    /// With it no operating point is found.
    Unsolved {
        /// In this state.
        state: StateId,
    },
}

/// A conductor that was tried.
#[derive(Debug, Clone)]
pub struct Tried {
    /// Everything for which it is too small; empty when it is large enough.
    pub reasons: Vec<Reason>,
    /// The most that it carries, and in which state.
    pub carries: (Amperes, StateId),
    /// The most between its points, and in which state.
    pub drop: (Volts, StateId),
    /// The warmest it gets, and in which state, where size and length are known.
    pub warmest: Option<(Kelvin, StateId)>,
    /// The least that the load has while it is on, and in which state.
    pub load: Option<(Volts, StateId)>,
    /// What protection it has where it is a feed.
    pub verdict: Option<Verdict>,
    /// The worst short that it carries as a return and that is cleared, if it is one.
    pub returned: Option<Worst>,
    /// The worst short that harms it as a return, and that nothing clears.
    pub unfused: Option<Worst>,
    /// The same for a fuse whose opening times nobody has stated.
    pub unknown: Option<Worst>,
}

/// Tries a conductor of a vehicle.
#[must_use]
pub fn try_conductor(vehicle: &Vehicle, id: ConductorId, asked: &Asked) -> Tried {
    let states = asked.scope.states(vehicle);
    let first = states.first().copied().unwrap_or(StateId(0));
    let mut tried = Tried {
        reasons: Vec::new(),
        carries: (Amperes::ZERO, first),
        drop: (Volts::ZERO, first),
        warmest: None,
        load: None,
        verdict: None,
        returned: None,
        unfused: None,
        unknown: None,
    };
    let mut network = Network::new(vehicle);
    for state in states {
        let point = network.operating_point(state);
        if point.convergence != Convergence::Reached {
            tried.reasons.push(Reason::Unsolved { state });
            continue;
        }
        tried.note(vehicle, id, asked, &point);
    }
    tried.judge_running(vehicle, id, asked);
    tried.judge_faults(vehicle, id, asked);
    tried
}

impl Tried {
    /// Notes what a state makes of it, where that is the worst so far.
    fn note(&mut self, vehicle: &Vehicle, id: ConductorId, asked: &Asked, point: &OperatingPoint) {
        let state = point.state;
        let own = point.piece(vehicle, Piece::Conductor(id));
        if own.amps.abs() > self.carries.0 {
            self.carries = (own.amps.abs(), state);
        }
        let warmest = self.warmest.map_or(Kelvin::ZERO, |own| own.0);
        if let Some(temperature) = own.temperature.filter(|own| *own > warmest) {
            self.warmest = Some((temperature, state));
        }
        let across =
            asked.drop.and_then(|(from, to, _)| Some(point.point(from)? - point.point(to)?));
        if let Some(drop) = across.map(Volts::abs).filter(|own| *own > self.drop.0) {
            self.drop = (drop, state);
        }
        let load = asked.load.map(|own| own.0).filter(|load| vehicle.load(*load).is_on_in(state));
        let least = self.load.map_or(Volts(f64::INFINITY), |own| own.0);
        if let Some(volts) = load.map(|load| point.load(load).volts).filter(|own| *own < least) {
            self.load = Some((volts, state));
        }
    }

    fn judge_running(&mut self, vehicle: &Vehicle, id: ConductorId, asked: &Asked) {
        if let Some((_, _, allowed)) = asked.drop
            && self.drop.0 > allowed * (1.0 + ROUNDING)
        {
            self.reasons.push(Reason::Drop { found: self.drop.0, state: self.drop.1 });
        }
        if let (Some((_, least)), Some((found, state))) = (asked.load, self.load)
            && found < least * (1.0 - ROUNDING)
        {
            self.reasons.push(Reason::Load { found, state });
        }
        if let (Some(limit), Some((found, state))) =
            (vehicle.conductor(id).insulation_limit, self.warmest)
            && found > limit
        {
            self.reasons.push(Reason::TooWarm { found, state });
        }
    }

    fn judge_faults(&mut self, vehicle: &Vehicle, id: ConductorId, asked: &Asked) {
        let scope = Scope { conductors: vec![id], ..asked.scope.clone() };
        let found = protect(vehicle, &scope);
        if let Some(feed) = found.feeds.first() {
            self.verdict = Some(feed.verdict);
            // Where nothing stands before it no size helps; where a fuse does, a larger one may.
            if let Some(verdict @ (Verdict::Ages(_) | Verdict::Burns(_))) = feed.guarded {
                self.reasons.push(Reason::Fault(verdict));
            }
        }
        let Some(own) = found.returns.first() else { return };
        self.unfused = own.unfused.as_ref().map(|(worst, _)| *worst);
        self.unknown = own.unknown;
        if let Some(worst) = own.fused {
            self.returned = Some(worst);
            if worst.harm != Harm::None {
                self.reasons.push(Reason::Return(worst));
            }
        }
    }
}
