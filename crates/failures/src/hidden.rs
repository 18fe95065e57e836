//! Hidden fuses: conductors that burn through when another way home is gone; and the paths that
//! were never meant to carry current but then do.

use std::collections::BTreeSet;

use endurance::{Bearing, Endurance};
use model::{ConductorId, IncidentalId, LoadKind, Piece, StateId};
use network::{Convergence, Network, OperatingPoint};
use units::{Amperes, Ratio};

use crate::analysis::Analysis;
use crate::fault::{Fault, singles};
use crate::finding::Finding;
use crate::judge::{Judge, more};
use crate::protection::Protection;
use crate::screen::Screen;
use crate::survey::Survey;

/// Less of the whole current than this is not worth a line.
const LEAST_SHARE: f64 = 0.005;
/// From this share of what a conductor carried that comes over another when it opens, the other is beside
/// it and has to bear all of it alone.
const GOOD_PART: f64 = 0.3;

/// A conductor that is damaged when something else fails.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HiddenFuse {
    /// The conductor.
    pub conductor: ConductorId,
    /// The failure that damages it soonest.
    pub fault: Fault,
    /// The state in which it does.
    pub state: StateId,
    /// What the current then does to it.
    pub endurance: Endurance,
    /// How many single failures damage it, each counted once.
    pub faults: usize,
}

/// What an incidental path carries after a failure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HiddenPath {
    /// The path.
    pub path: IncidentalId,
    /// Its current, and its share of what all sources deliver, while cranking.
    pub cranking: Option<(Amperes, Ratio)>,
    /// The same while charging.
    pub charging: Option<(Amperes, Ratio)>,
    /// Current from which damage is to be feared.
    pub damage: Option<Amperes>,
}

/// What all sources deliver together, what they put into batteries included.
pub(crate) fn delivered(point: &OperatingPoint) -> Amperes {
    let batteries = point.batteries.iter().map(|battery| battery.amps.max(Amperes::ZERO));
    let sources = point.regulated.iter().map(|source| source.amps.max(Amperes::ZERO));
    batteries.chain(sources).sum()
}

/// A share of what is delivered; none where next to nothing is.
pub(crate) fn share_of(amps: Amperes, whole: Amperes) -> Ratio {
    if whole > Amperes(1e-6) { Ratio(amps / whole) } else { Ratio::ZERO }
}

impl Analysis<'_> {
    /// Every conductor that some single failure elsewhere takes past its limit within the state's
    /// usual duration, soonest first. A conductor worn itself is no hidden fuse.
    #[must_use]
    pub fn hidden_fuses(&self, survey: &Survey) -> Vec<HiddenFuse> {
        let mut hidden: Vec<HiddenFuse> = Vec::new();
        let mut counted: BTreeSet<(ConductorId, Fault)> = BTreeSet::new();
        for case in &survey.cases {
            for finding in &case.findings {
                let Finding::Conductor { conductor, endurance, .. } = *finding else { continue };
                let own = case.fault.piece() == Some(Piece::Conductor(conductor));
                if own || !endurance.passes_limit() {
                    continue;
                }
                let new = usize::from(counted.insert((conductor, case.fault)));
                let found = HiddenFuse {
                    conductor,
                    fault: case.fault,
                    state: case.state,
                    endurance,
                    faults: new,
                };
                match hidden.iter_mut().find(|known| known.conductor == conductor) {
                    Some(known) => {
                        let faults = known.faults + new;
                        if soonest(&found.endurance) < soonest(&known.endurance) {
                            *known = found;
                        }
                        known.faults = faults;
                    }
                    None => hidden.push(found),
                }
            }
        }
        hidden.sort_by(|a, b| units::larger_first(soonest(&b.endurance), soonest(&a.endurance)));
        hidden
    }

    /// How one conductor would be a hidden fuse: the single failure elsewhere that takes it past its
    /// limit soonest, unless a fuse opens before. Nothing where none does, or where its size or length
    /// is not known.
    #[must_use]
    pub fn burnt_by(&mut self, conductor: ConductorId) -> Option<HiddenFuse> {
        self.burnt(conductor, false)
    }

    /// The same for a conductor that is yet to be fitted, held to what a ground has to bear
    /// ([`network::duty`]): three cranks from warm, and alone what the one that fails carried, where a good
    /// part of that comes over it.
    #[must_use]
    pub fn burnt_on_duty(&mut self, conductor: ConductorId) -> Option<HiddenFuse> {
        self.burnt(conductor, true)
    }

    fn burnt(&mut self, conductor: ConductorId, duty: bool) -> Option<HiddenFuse> {
        let vehicle = self.vehicle;
        let mut faults = singles(vehicle);
        faults.retain(|fault| fault.piece() != Some(Piece::Conductor(conductor)));
        let mut found: Vec<HiddenFuse> = Vec::new();
        for judge in &self.judges {
            let Some(usual) = judge.bearings[conductor.index()] else { continue };
            let state = judge.state();
            let bearing = if duty { usual.for_duty(vehicle, conductor, state) } else { usual };
            let screen = Screen::new(&self.network, judge);
            let watched = Watched { judge, screen, conductor, bearing, duty };
            let burnt = |fault: &Fault| watched.burnt_by(&mut self.network, *fault);
            found.extend(faults.iter().filter_map(burnt));
        }
        found.retain(|own| {
            let saved = self.protection(own.fault, own.state, conductor, &own.endurance);
            !matches!(saved, Protection::OpensFirst { .. })
        });
        let faults: BTreeSet<Fault> = found.iter().map(|own| own.fault).collect();
        let first = found
            .into_iter()
            .min_by(|a, b| units::larger_first(soonest(&b.endurance), soonest(&a.endurance)))?;
        Some(HiddenFuse { faults: faults.len(), ..first })
    }

    /// The incidental paths that carry current after a failure, in cranking and in charging.
    #[must_use]
    pub fn hidden_paths(&mut self, fault: Fault) -> Vec<HiddenPath> {
        let vehicle = self.vehicle;
        let (cranking, charging) = (self.cranking(), self.charging());
        let [cranking, charging] = [cranking, charging].map(|state| {
            let point = self.settled(state?, &[fault])?;
            let whole = delivered(&point);
            let amps = (0..vehicle.incidentals.len()).map(move |at| {
                let slot = vehicle.piece_slot(Piece::Incidental(IncidentalId::at(at)));
                let amps = point.pieces[slot].amps.abs();
                (amps, share_of(amps, whole))
            });
            Some(amps.collect::<Vec<_>>())
        });
        let of = |flows: &Option<Vec<(Amperes, Ratio)>>, at: usize| {
            flows.as_ref().map(|flows| flows[at])
        };
        let mut paths: Vec<HiddenPath> = (0..vehicle.incidentals.len())
            .map(|at| HiddenPath {
                path: IncidentalId::at(at),
                cranking: of(&cranking, at),
                charging: of(&charging, at),
                damage: vehicle.incidentals[at].damage,
            })
            .filter(|path| {
                let most = path.cranking.into_iter().chain(path.charging).map(|(_, share)| share.0);
                most.fold(0.0, f64::max) >= LEAST_SHARE
            })
            .collect();
        let key = |path: &HiddenPath| path.cranking.or(path.charging).map_or(0.0, |(a, _)| a.0);
        paths.sort_by(|a, b| units::larger_first(key(a), key(b)));
        paths
    }

    /// The state in which a starter turns, if there is one.
    #[must_use]
    pub fn cranking(&self) -> Option<StateId> {
        self.states().into_iter().find(|state| {
            let mut loads = self.vehicle.loads.iter();
            loads.any(|load| load.kind == LoadKind::Starter && load.is_on_in(*state))
        })
    }

    /// The state in which most flows into batteries, if any does.
    #[must_use]
    pub fn charging(&self) -> Option<StateId> {
        let into = |point: &OperatingPoint| -> Amperes {
            point.batteries.iter().map(|battery| (-battery.amps).max(Amperes::ZERO)).sum()
        };
        let best = self
            .judges
            .iter()
            .max_by(|a, b| units::larger_first(into(&b.base).0, into(&a.base).0))?;
        (into(&best.base) > Amperes(1.0)).then(|| best.state())
    }
}

/// A conductor in a state, watched while something else fails.
struct Watched<'a> {
    judge: &'a Judge<'a>,
    screen: Option<Screen>,
    conductor: ConductorId,
    bearing: Bearing,
    /// Whether it is held to what a ground has to bear.
    duty: bool,
}

impl Watched<'_> {
    /// What a failure elsewhere does to it; nothing where it stays within its limit.
    fn burnt_by(&self, network: &mut Network<'_>, fault: Fault) -> Option<HiddenFuse> {
        let Self { judge, conductor, bearing, .. } = *self;
        let gone = self.left_alone_with(fault);
        let in_hand = if self.duty { network::duty::judged().in_hand.0 } else { 1.0 };
        let bears = bearing.conductor.lasting * (1.0 / in_hand);
        let spares = |screen: &Screen| screen.spares(fault, conductor, bears);
        if gone <= bears && self.screen.as_ref().is_some_and(spares) {
            return None;
        }
        let after = network.failed_point(&judge.base, &fault.failed());
        if after.convergence != Convergence::Reached {
            return None;
        }
        let mut amps = after.pieces[conductor.index()].amps.abs();
        let was = judge.base.pieces[conductor.index()].amps.abs();
        if amps - was > gone * GOOD_PART {
            amps = amps.max(gone);
        }
        let held = bearing.endurance(amps * in_hand, Ratio(1.0));
        let endurance = Endurance { amps, ..held };
        let state = judge.state();
        (more(amps, was) && endurance.passes_limit()).then_some(HiddenFuse {
            conductor,
            fault,
            state,
            endurance,
            faults: 1,
        })
    }

    /// What it may have to carry alone, more than the network would send: the screen knows only the latter.
    fn left_alone_with(&self, fault: Fault) -> Amperes {
        match fault {
            Fault::Open(piece @ Piece::Conductor(_)) if self.duty => {
                self.judge.base.pieces[self.judge.vehicle.piece_slot(piece)].amps.abs()
            }
            _ => Amperes::ZERO,
        }
    }
}

fn soonest(endurance: &Endurance) -> f64 {
    endurance.limit_after.map_or(f64::INFINITY, |time| time.0)
}
