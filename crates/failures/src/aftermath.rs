//! A failure that has happened: what carried the current, how warm it got, what to inspect.

use endurance::Endurance;
use model::{ConductorId, IncidentalId, JointId, LoadId, Piece, StateId};
use network::{Convergence, LoadStatus, OperatingPoint};
use units::{Amperes, Kelvin, Ratio, Seconds, Volts};

use crate::analysis::Analysis;
use crate::fault::Fault;
use crate::finding::{Contact, Finding};
use crate::hidden::{delivered, share_of};
use crate::judge::Judge;
use crate::survey::weighed;

/// Less of the whole current than this is not told.
const LEAST_SHARE: f64 = 0.005;
/// Less than this is nothing, whatever its share.
const LEAST_AMPS: Amperes = Amperes(0.05);
/// A conductor is told of when it carries so much more than before.
const TAKES_OVER: f64 = 1.2;
/// From this part of its limit's rise on, a conductor is to be looked at.
const WARM: f64 = 0.7;

/// What a conductor or path carried in one state after the failure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Carried {
    /// The conductor or incidental path.
    pub piece: Piece,
    /// Its current before the failure.
    pub before: Amperes,
    /// Its current after it.
    pub amps: Amperes,
    /// Its share of what all sources deliver.
    pub share: Ratio,
    /// For a conductor, what that does to it.
    pub endurance: Option<Endurance>,
}

/// Something to look at.
#[derive(Debug, Clone, PartialEq)]
pub enum Inspect {
    /// A conductor that was warmer than its insulation bears, or nearly.
    Conductor {
        /// The conductor.
        conductor: ConductorId,
        /// State in which it was warmest.
        state: StateId,
        /// Its temperature at the end of that state.
        reached: Kelvin,
        /// Its limit.
        limit: Kelvin,
        /// Time until the limit.
        limit_after: Option<Seconds>,
    },
    /// A path that was never meant to carry current.
    Path {
        /// The path.
        path: IncidentalId,
        /// State in which it carried most.
        state: StateId,
        /// Its current there.
        amps: Amperes,
        /// Current from which damage is to be feared.
        damage: Option<Amperes>,
        /// What to look at, in words; from the catalogue.
        look: &'static str,
    },
    /// A joint that was too hot for its metal or for the insulation beside it.
    Joint {
        /// The joint.
        joint: JointId,
        /// State in which it lost most.
        state: StateId,
        /// Volts across it there.
        volts: Volts,
        /// How hot that made it: an estimate.
        reaches: Kelvin,
        /// What became of it.
        contact: Contact,
    },
}

/// What one state was like after the failure.
#[derive(Debug, Clone, PartialEq)]
pub struct Aftermath {
    /// The state.
    pub state: StateId,
    /// False when no operating point was found, with the failure or even before it; nothing is known of
    /// such a state, and nothing of it is told.
    pub settled: bool,
    /// What took the current over, largest share first.
    pub carried: Vec<Carried>,
    /// What goes wrong, worst first.
    pub findings: Vec<Finding>,
}

impl Aftermath {
    /// Loads that get next to nothing, or switch themselves off.
    #[must_use]
    pub fn dead(&self) -> Vec<LoadId> {
        self.loads(true)
    }

    /// Loads that get less than their minimum.
    #[must_use]
    pub fn short(&self) -> Vec<LoadId> {
        self.loads(false)
    }

    fn loads(&self, gone: bool) -> Vec<LoadId> {
        let loads = self.findings.iter().filter_map(|finding| match *finding {
            Finding::Load { load, status, dead, .. } => {
                let low = matches!(status, LoadStatus::BelowMinimum | LoadStatus::BelowUsual);
                (gone == (dead || !low)).then_some(load)
            }
            _ => None,
        });
        loads.collect()
    }
}

impl Analysis<'_> {
    /// What each state was like after a failure, in the order in which they were asked for, and what to
    /// inspect for hidden damage, the most harmful first.
    #[must_use]
    pub fn aftermath(&mut self, fault: Fault) -> (Vec<Aftermath>, Vec<Inspect>) {
        let vehicle = self.vehicle;
        let (mut all, mut inspect) = (Vec::new(), Vec::new());
        for state in self.asked.clone() {
            let solved = self.solved(state, &[fault]);
            let settled = solved.filter(|(after, _)| after.convergence == Convergence::Reached);
            let (Some((after, findings)), Some(judge)) = (settled, self.judge(state)) else {
                let findings = vec![Finding::Unsettled];
                all.push(Aftermath { state, settled: false, carried: Vec::new(), findings });
                continue;
            };
            let carried = carried(judge, &after, fault);
            inspect.extend(carried.iter().filter_map(|own| own.inspect(judge)));
            let (findings, _) = weighed(vehicle, findings);
            for finding in &findings {
                if let Finding::Joint { joint, volts, reaches, contact, .. } = *finding {
                    inspect.push(Inspect::Joint { joint, state, volts, reaches, contact });
                }
            }
            all.push(Aftermath { state, settled: true, carried, findings });
        }
        (all, worst_first(inspect))
    }
}

/// What took over the current of what failed, largest first.
fn carried(judge: &Judge<'_>, after: &OperatingPoint, fault: Fault) -> Vec<Carried> {
    let vehicle = judge.vehicle;
    let whole = delivered(after);
    let endurance = |piece: Piece, amps: Amperes| match piece {
        Piece::Conductor(id) => {
            judge.bearings[id.index()].map(|bearing| bearing.endurance(amps, Ratio(1.0)))
        }
        _ => None,
    };
    let mut carried: Vec<Carried> = vehicle
        .pieces()
        .filter(|piece| matches!(piece, Piece::Conductor(_) | Piece::Incidental(_)))
        .filter(|piece| fault.piece() != Some(*piece))
        .filter_map(|piece| {
            let slot = vehicle.piece_slot(piece);
            let before = judge.base.pieces[slot].amps.abs();
            let amps = after.pieces[slot].amps.abs();
            let share = share_of(amps, whole);
            let told = share.0 >= LEAST_SHARE && amps > LEAST_AMPS.max(before * TAKES_OVER);
            told.then(|| Carried { piece, before, amps, share, endurance: endurance(piece, amps) })
        })
        .collect();
    carried.sort_by(|a, b| units::larger_first(a.amps.0, b.amps.0));
    carried
}

impl Carried {
    /// What there is to look for where it took the current over.
    fn inspect(&self, judge: &Judge<'_>) -> Option<Inspect> {
        let state = judge.state();
        match (self.piece, self.endurance) {
            (Piece::Conductor(conductor), Some(endurance)) => {
                let bearing = judge.bearings[conductor.index()]?;
                let warm = bearing.start + (bearing.limit() - bearing.start) * WARM;
                (endurance.at_end > warm).then(|| Inspect::Conductor {
                    conductor,
                    state,
                    reached: endurance.at_end,
                    limit: bearing.limit(),
                    limit_after: endurance.limit_after,
                })
            }
            (Piece::Incidental(path), _) => {
                let incidental = judge.vehicle.incidental(path);
                Some(Inspect::Path {
                    path,
                    state,
                    amps: self.amps,
                    damage: incidental.damage,
                    look: incidental.kind.row().inspect.as_str(),
                })
            }
            _ => None,
        }
    }
}

/// Each thing once, in its worst state; the most harmful first.
fn worst_first(inspect: Vec<Inspect>) -> Vec<Inspect> {
    let mut kept: Vec<Inspect> = Vec::new();
    for new in inspect {
        match kept.iter_mut().find(|known| known.thing() == new.thing()) {
            Some(known) if known.severity() < new.severity() => *known = new,
            Some(_) => {}
            None => kept.push(new),
        }
    }
    kept.sort_by(|a, b| units::larger_first(a.severity(), b.severity()));
    kept
}

impl Inspect {
    fn thing(&self) -> Piece {
        match *self {
            Self::Conductor { conductor, .. } => Piece::Conductor(conductor),
            Self::Path { path, .. } => Piece::Incidental(path),
            Self::Joint { joint, .. } => Piece::Joint(joint),
        }
    }

    /// How far beyond what it bears: one at the limit.
    fn severity(&self) -> f64 {
        match self {
            Self::Conductor { reached, limit, .. } => {
                1.0 + (reached.celsius() - limit.celsius()) / 100.0
            }
            Self::Path { amps, damage, .. } => damage.map_or(0.5, |damage| amps.0 / damage.0),
            Self::Joint { contact: Contact::Melts, .. } => 1.5,
            Self::Joint { .. } => 0.8,
        }
    }
}
