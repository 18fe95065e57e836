//! Return conductors: what the shorts of others send home through them.
//!
//! Nothing stands in the return to open it. What protects a strap are the fuses before the fault, so
//! each short is let flow until the last of them has opened, and the strap's temperature is looked at
//! by then. Only dead shorts are tried here; the low currents of a corroded path are those of the feed.

use std::collections::{BTreeMap, BTreeSet};

use endurance::{Harm, Thermal};
use model::{ConductorId, InlineId, Piece, PointId, StateId, Vehicle};
use units::Amperes;

use crate::curves::Curves;
use crate::feeds::{Clearing, worse};
use crate::shorts::{Fault, Short, Shorts};
use crate::state_view::{Seen, Solved, is_return};

/// The worst short for a return conductor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Worst {
    /// The fault.
    pub fault: Fault,
    /// The state.
    pub state: StateId,
    /// Current through the conductor.
    pub amps: Amperes,
    /// When the fault is cleared.
    pub clearing: Clearing,
    /// What that does.
    pub harm: Harm,
}

/// A return conductor under the shorts of others.
#[derive(Debug, Clone)]
pub struct Carried {
    /// The conductor.
    pub conductor: ConductorId,
    /// The current that it bears for ever, in the state of the worst short.
    pub lasting: Option<Amperes>,
    /// The worst among faults that a fuse of known curve, or none, has to clear.
    pub fused: Option<Worst>,
    /// The worst among faults that nothing clears, with the live points from which it suffers.
    pub unfused: Option<(Worst, BTreeSet<PointId>)>,
    /// The most current among faults whose fuse has no stated curve and that would harm it in the end.
    pub unknown: Option<Worst>,
    /// The most that any short sends through it.
    pub most: Amperes,
}

/// Return conductors and the worst that was found of each.
#[derive(Debug, Default)]
pub(crate) struct Returns(BTreeMap<ConductorId, Carried>);

impl Returns {
    /// Looks at the shorts of a state.
    pub(crate) fn look(
        &mut self,
        vehicle: &Vehicle,
        seen: &Seen,
        shorts: &Shorts<'_>,
        solved: &Solved,
        curves: &Curves,
        wanted: &dyn Fn(&ConductorId) -> bool,
    ) {
        let conductors: Vec<(ConductorId, Option<Thermal>)> = (0..vehicle.conductors.len())
            .map(ConductorId::at)
            .filter(|id| wanted(id) && is_return(vehicle, seen, *id))
            .map(|id| (id, Thermal::of(vehicle, id, seen.state)))
            .collect();
        for (&(at, touch), short) in solved {
            let Some(fault) = shorts.fault(at, touch) else { continue };
            let clearing = clearing(vehicle, seen, shorts, short, fault, curves);
            let until = match clearing {
                Clearing::By(time) => Some(time),
                Clearing::Never | Clearing::Unknown => None,
            };
            for (id, endurance) in &conductors {
                let amps = shorts.amps(short, Piece::Conductor(*id));
                let lasting = endurance.as_ref().map(|own| own.lasting);
                let carried = self.0.entry(*id).or_insert_with(|| Carried::nothing(*id, lasting));
                carried.most = carried.most.max(amps);
                let Some(endurance) = endurance else { continue };
                let harm = endurance.harm(amps, until);
                let worst = Worst { fault, state: seen.state, amps, clearing, harm };
                carried.add(worst, endurance.lasting);
            }
        }
    }

    /// In the order of the file.
    pub(crate) fn all(self) -> Vec<Carried> {
        self.0.into_values().collect()
    }
}

impl Carried {
    fn nothing(conductor: ConductorId, lasting: Option<Amperes>) -> Self {
        let (fused, unfused, unknown) = (None, None, None);
        Self { conductor, lasting, fused, unfused, unknown, most: Amperes::ZERO }
    }
    fn add(&mut self, new: Worst, lasting: Amperes) {
        let beats = |known: &Worst| {
            worse(known.harm, new.harm) != known.harm
                || (known.harm == new.harm && new.amps > known.amps)
        };
        match new.clearing {
            Clearing::By(_) => {
                if self.fused.as_ref().is_none_or(beats) {
                    self.fused = Some(new);
                    self.lasting = Some(lasting);
                }
            }
            _ if new.harm == Harm::None => {}
            Clearing::Never => match &mut self.unfused {
                Some((known, points)) => {
                    points.insert(new.fault.at);
                    if beats(known) {
                        *known = new;
                    }
                }
                None => self.unfused = Some((new, BTreeSet::from([new.fault.at]))),
            },
            Clearing::Unknown => {
                if self.unknown.as_ref().is_none_or(|known| new.amps > known.amps) {
                    self.unknown = Some(new);
                }
            }
        }
    }
}

/// When the last source of a fault has been cut off.
pub(crate) fn clearing(
    vehicle: &Vehicle,
    seen: &Seen,
    shorts: &Shorts<'_>,
    short: &Short,
    fault: Fault,
    curves: &Curves,
) -> Clearing {
    let views = seen.views.iter().filter(|(_, _, view)| view.reaches(fault.at));
    Clearing::last(views.filter_map(|(_, limit, view)| {
        let fuses = view.fuses(fault.at);
        // A source that limits itself is left out where nothing stands before it: it goes on with
        // what it can, which the conductors of the vehicle are made for.
        let carried = |fuse: InlineId| (fuse, shorts.amps(short, Piece::Inline(fuse)));
        (!fuses.is_empty() || limit.is_none())
            .then(|| Clearing::first(vehicle, curves, fuses.into_iter().map(carried)))
    }))
}
