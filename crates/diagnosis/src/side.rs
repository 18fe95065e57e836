//! The sides of a load's circuit, and on which of them each thing of a vehicle lies.

use std::collections::BTreeSet;

use model::{ConductorId, JointId, JointOf, LoadId, Measured, PointId, PointOwner, Probe, Vehicle};
use units::Ratio;

use crate::explanation::{Bystander, Explanation};
use crate::judged;
use crate::metal::Metal;
use crate::suspect::SuspectKind;

/// Share of what looks like a dead load that is a load not switched on, where something switches it.
#[must_use]
pub fn not_switched_on() -> Ratio {
    judged::symptoms().not_switched_on
}

/// A side of a load's circuit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Side {
    /// Batteries and what charges them.
    Source,
    /// From the source to the load.
    Feed,
    /// From the load back to the source, straps and metal included.
    Return,
    /// What the current is for.
    Load,
    /// What switches the load on: trigger wire, relay coil, switch.
    Control,
}

impl Side {
    /// All of them, along the circuit.
    pub const ALL: [Self; 5] = [Self::Source, Self::Feed, Self::Return, Self::Load, Self::Control];

    /// Its word in answers.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Source => "source",
            Self::Feed => "feed",
            Self::Return => "return",
            Self::Load => "load",
            Self::Control => "control",
        }
    }
}

/// Where each thing of a vehicle lies, seen from a load.
pub(crate) struct Map<'v> {
    vehicle: &'v Vehicle,
    metal: Metal,
    load: Option<LoadId>,
    coil: Option<LoadId>,
    /// Points whose metal is joined to structures or to where loads return.
    earthed: BTreeSet<usize>,
}

impl<'v> Map<'v> {
    pub(crate) fn new(vehicle: &'v Vehicle, load: Option<LoadId>) -> Self {
        let metal = Metal::of(vehicle);
        let homes = (0..vehicle.points.len()).map(PointId::at).filter(|id| {
            matches!(vehicle.point(*id).owner, PointOwner::Structure(_))
                || (0..vehicle.loads.len())
                    .any(|at| vehicle.load_terminals(LoadId::at(at)).1 == *id)
        });
        let earthed = metal.reached(homes, None);
        let coil = load.and_then(|id| vehicle.load(id).control);
        Self { vehicle, metal, load, coil, earthed }
    }

    /// How far faults lie on each side, and whether one lies outside the circuit.
    pub(crate) fn touched(&self, faults: &[SuspectKind], control: Ratio) -> ([f64; 5], bool) {
        let mut touched = [0.0_f64; 5];
        let mut outside = false;
        for kind in faults {
            let places = self.places(*kind, control);
            outside |= places.is_empty();
            // Beside a fault elsewhere a second way home that is not there does no harm.
            if self.unseen(*kind) && !self.spoils_the_return(faults, *kind, control) {
                continue;
            }
            for (side, share) in places {
                let known = &mut touched[side as usize];
                *known = known.max(share);
            }
        }
        (touched, outside)
    }

    /// The same for an explanation: nothing where it is idle, and of what only stands by no more than it
    /// accounts for.
    pub(crate) fn touched_by(&self, own: &Explanation, control: Ratio) -> ([f64; 5], bool) {
        if own.idle {
            return ([0.0; 5], false);
        }
        let (mut touched, outside) = self.touched(&own.faults, control);
        let Some(Bystander { guilt, .. }) = own.bystander else { return (touched, outside) };
        let (found, found_outside) = self.touched(&own.found(), control);
        for (all, found) in touched.iter_mut().zip(found) {
            *all = found + guilt * (*all - found).max(0.0);
        }
        (touched, found_outside)
    }

    /// True for the absence of a conductor that nobody has seen.
    fn unseen(&self, kind: SuspectKind) -> bool {
        let gone = |id: ConductorId| self.vehicle.conductor(id).missing.is_some();
        matches!(kind, SuspectKind::Open(id) if gone(id))
    }

    /// True when it is the only fault, or another one lies on the way home too.
    fn spoils_the_return(&self, faults: &[SuspectKind], kind: SuspectKind, control: Ratio) -> bool {
        let home = |other: &SuspectKind| {
            *other != kind
                && self.places(*other, control).iter().any(|(side, _)| *side == Side::Return)
        };
        faults.len() == 1 || faults.iter().any(home)
    }

    /// The sides on which a fault lies, with the share of its chance for each; none when it is no
    /// part of this load's circuit.
    pub(crate) fn places(&self, kind: SuspectKind, control: Ratio) -> Vec<(Side, f64)> {
        let all = |side: Option<Side>| side.map(|side| (side, 1.0)).into_iter().collect();
        match kind {
            SuspectKind::BatteryLow(_)
            | SuspectKind::BatteryWorn(_)
            | SuspectKind::SourceLow(_) => all(Some(Side::Source)),
            SuspectKind::ExtraPath { .. } => all(Some(Side::Return)),
            SuspectKind::LoadDrags(id) => all(self.device(id)),
            SuspectKind::LoadOpen(id) if self.vehicle.load(id).control.is_some() => {
                match self.device(id) {
                    Some(Side::Load) => {
                        vec![(Side::Load, 1.0 - control.0), (Side::Control, control.0)]
                    }
                    other => all(other),
                }
            }
            SuspectKind::LoadOpen(id) => all(self.device(id)),
            SuspectKind::Conductor(id) | SuspectKind::Open(id) => all(self.conductor(id)),
            SuspectKind::Joint(id) => all(self.joint(id)),
            SuspectKind::Inline(id) => {
                let part = self.vehicle.inline(id);
                all(self.piece(self.metal.inline(id), part.from))
            }
        }
    }

    fn device(&self, id: LoadId) -> Option<Side> {
        match self.load {
            _ if self.coil == Some(id) => Some(Side::Control),
            None => Some(Side::Load),
            Some(load) => (load == id).then_some(Side::Load),
        }
    }

    fn conductor(&self, id: ConductorId) -> Option<Side> {
        let conductor = self.vehicle.conductor(id);
        self.piece(self.metal.conductor(id), self.vehicle.joint(conductor.from).point)
    }

    fn joint(&self, id: JointId) -> Option<Side> {
        match self.vehicle.joint(id).of {
            JointOf::From(own)
            | JointOf::To(own)
            | JointOf::FromCrimp(own)
            | JointOf::ToCrimp(own) => self.conductor(own),
            JointOf::LoadCase(load) if self.coil == Some(load) => Some(Side::Control),
            JointOf::LoadCase(load) => {
                self.load.is_none_or(|own| own == load).then_some(Side::Return)
            }
            JointOf::SourceCase(_) => Some(Side::Return),
            JointOf::Between(point) => self.piece(self.metal.standing(id)?, point),
        }
    }

    /// Feed or return; control when only what switches the load on hangs by it; nothing when only
    /// other loads do.
    fn piece(&self, edge: usize, point: PointId) -> Option<Side> {
        let home = self.earthed.contains(&point.index());
        let side = if home { Side::Return } else { Side::Feed };
        let Some(load) = self.load else { return Some(side) };
        let terminal = |id: LoadId| {
            let (live, back) = self.vehicle.load_terminals(id);
            if home { back } else { live }
        };
        let posts = (0..self.vehicle.batteries.len()).map(|at| {
            let (live, back) = self.vehicle.battery_terminals(model::BatteryId::at(at));
            if home { back } else { live }
        });
        let left = self.metal.reached(posts, Some(edge));
        let cut = |id: LoadId| !left.contains(&terminal(id).index());
        if cut(load) {
            Some(side)
        } else if self.coil.is_some_and(cut) {
            Some(Side::Control)
        } else {
            let others = (0..self.vehicle.loads.len()).map(LoadId::at).any(cut);
            (!others).then_some(side)
        }
    }
}

/// The side over which a voltage is taken: both probes on the way home, or both before the load.
pub(crate) fn side_measured(
    vehicle: &Vehicle,
    load: Option<LoadId>,
    measured: Measured,
) -> Option<Side> {
    let Measured::Volts { high, low } = measured else { return None };
    let map = Map::new(vehicle, load);
    let home = |probe: Probe| map.earthed.contains(&vehicle.touches(probe).index());
    match (home(high), home(low)) {
        (true, true) => Some(Side::Return),
        (false, false) => Some(Side::Feed),
        _ => None,
    }
}

/// The side on which a fault lies, seen from a load or from the whole vehicle; nothing when it is no
/// part of that load's circuit. What may lie on two is put on the likelier.
#[must_use]
pub fn side_of(
    vehicle: &Vehicle,
    load: Option<LoadId>,
    control: Ratio,
    kind: SuspectKind,
) -> Option<Side> {
    let places = Map::new(vehicle, load).places(kind, control);
    places.into_iter().max_by(|a, b| a.1.total_cmp(&b.1)).map(|(side, _)| side)
}
