//! What a failure could do, seen from the linear network alone: quick, and good enough to pass over
//! what is harmless.

use model::{BatteryId, ConductorId, LoadId, Piece, RegulatedId};
use network::{BranchId, LoadStatus, Network, Outages, Shift};
use units::{Amperes, Ohms, Ratio, Volts, Watts};

use crate::fault::Fault;
use crate::fuses;
use crate::judge::{Judge, LEAST_BATTERY_AMPS, UNFAIR};

/// Part of a limit from which the quick prediction counts as reaching it, for what the curvature of
/// loads may hide. A test holds it to full solutions of the example.
const NEAR: f64 = 0.8;
/// Part above its minimum within which a load is looked at fully.
const NEAR_VOLTS: f64 = 1.05;
/// A battery that is to give so many times what it gave is looked at fully.
const MUCH_MORE: f64 = 1.5;
/// A load without a minimum is looked at fully when it loses more than a quarter.
const NEAR_DEAD: f64 = 0.75;
/// What changes by less than this share is not made worse.
const WORSE: f64 = 1.01;

/// A current that must not pass a limit.
struct Limit {
    branch: BranchId,
    before: Amperes,
    most: Amperes,
}

/// A piece that can fail, with its branch and resistance; for a joint, that of a sound one too.
struct Own {
    piece: Piece,
    branch: BranchId,
    resistance: Ohms,
    sound: Ohms,
    /// Heat beyond a sound joint's that hurts it.
    softens: Watts,
}

/// The current that makes so much heat in a resistance.
fn heats_it(heat: Watts, beyond: Ohms) -> Amperes {
    Amperes((heat.0 / beyond.0).sqrt())
}

/// The limits of currents, and the pieces that can fail.
fn limits_and_own(outages: &Outages, judge: &Judge<'_>) -> (Vec<Limit>, Vec<Own>) {
    let vehicle = judge.vehicle;
    let (mut limits, mut own) = (Vec::new(), Vec::new());
    for (slot, piece) in vehicle.pieces().enumerate() {
        let Some(branch) = outages.branch_in_slot(slot) else { continue };
        let resistance = judge.base.pieces[slot].resistance;
        let (mut sound, mut softens) = (Ohms::ZERO, Watts(f64::INFINITY));
        let most = match piece {
            Piece::Conductor(id) => {
                judge.bearings[id.index()].map(|bearing| bearing.conductor.lasting)
            }
            Piece::Incidental(id) => vehicle.incidental(id).damage,
            Piece::Joint(id) => judge.heat(id).and_then(|heat| {
                (sound, softens) = (heat.sound, heat.softens_from());
                (resistance > sound).then(|| heats_it(softens, resistance - sound))
            }),
            Piece::Inline(id) => fuses::rating(vehicle.inline(id)),
            Piece::Stretch(_) => None,
        };
        if let Some(most) = most {
            let before = outages.amps_before(branch).abs();
            limits.push(Limit { branch, before, most: most * NEAR });
        }
        if matches!(piece, Piece::Conductor(_) | Piece::Joint(_) | Piece::Inline(_)) {
            own.push(Own { piece, branch, resistance, sound, softens });
        }
    }
    (limits, own)
}

/// The loads that are fed at all, each with the volts that it must not fall below.
fn loads(judge: &Judge<'_>) -> Vec<(LoadId, Volts)> {
    (judge.base.loads.iter().enumerate())
        .filter(|(_, point)| {
            let worse = [LoadStatus::Fed, LoadStatus::BelowMinimum, LoadStatus::BelowUsual];
            worse.contains(&point.status)
        })
        .map(|(at, point)| {
            let load = &judge.vehicle.loads[at];
            let least = load.minimum.into_iter().chain(load.dropout).reduce(Volts::max);
            // One that is short already is looked at where it may die.
            let least = least.filter(|_| point.status == LoadStatus::Fed);
            let least = least.map_or_else(
                || (point.volts * NEAR_DEAD).max(load.usual_minimum * NEAR_VOLTS),
                |least| least * NEAR_VOLTS,
            );
            (LoadId::at(at), least.min(point.volts * 0.999))
        })
        .collect()
}

/// The regulated sources that run below their limits.
fn running(judge: &Judge<'_>) -> Vec<(RegulatedId, Amperes)> {
    let state = judge.state();
    (judge.vehicle.regulated.iter().enumerate())
        .filter(|(_, source)| source.runs_in(state))
        .map(|(at, source)| (RegulatedId::at(at), source.limit[state.index()]))
        .filter(|(id, limit)| judge.base.source(*id).amps < *limit * 0.999)
        .collect()
}

/// Batteries in parallel with others.
fn banks(judge: &Judge<'_>) -> Vec<(BatteryId, Vec<BatteryId>, Ratio)> {
    let vehicle = judge.vehicle;
    (0..vehicle.batteries.len())
        .map(|at| (BatteryId::at(at), judge.bank(at)))
        .filter(|(_, alike)| alike.len() > 1)
        .map(|(id, alike)| {
            let all: f64 = alike.iter().map(|own| vehicle.battery(*own).capacity.0).sum();
            (id, alike, Ratio(vehicle.battery(id).capacity.0 / all))
        })
        .collect()
}

/// Everything in a state that could pass a limit.
pub(crate) struct Screen {
    pub(crate) outages: Outages,
    /// What each battery gives before anything fails.
    given: Vec<Amperes>,
    limits: Vec<Limit>,
    /// Load, and the volts that must not be fallen below.
    loads: Vec<(LoadId, Volts)>,
    /// Alternators, chargers and converters that run, with the most they deliver.
    sources: Vec<(RegulatedId, Amperes)>,
    /// Batteries in parallel with others: which, and its fair share.
    banks: Vec<(BatteryId, Vec<BatteryId>, Ratio)>,
    own: Vec<Own>,
}

impl Screen {
    pub(crate) fn new(network: &Network<'_>, judge: &Judge<'_>) -> Option<Self> {
        let outages = network.outages(&judge.base)?;
        let (limits, own) = limits_and_own(&outages, judge);
        let given = judge.base.batteries.iter().map(|own| own.amps).collect();
        let (loads, sources, banks) = (loads(judge), running(judge), banks(judge));
        Some(Self { given, outages, limits, loads, sources, banks, own })
    }

    /// True when a battery comes so far from what it gave that another slope of its law holds there: it was
    /// being charged and is no more, or gave little and polarises.
    fn turns(&self, id: BatteryId, now: Amperes) -> bool {
        let before = self.given.get(id.index()).copied().unwrap_or(Amperes::ZERO);
        if before < Amperes::ZERO {
            now > before / MUCH_MORE
        } else {
            now > LEAST_BATTERY_AMPS * NEAR && now > before * MUCH_MORE
        }
    }

    fn own(&self, piece: Piece) -> Option<&Own> {
        self.own.iter().find(|own| own.piece == piece)
    }

    /// The branch that a fault changes, and the share of its conductance that is left.
    pub(crate) fn change(&self, fault: Fault) -> Option<(BranchId, Ratio)> {
        let own = self.own(fault.piece()?)?;
        let left = match fault {
            Fault::Worn(_, wear) => {
                let whole = self.outages.siemens(own.branch).resistance();
                whole.0 / (whole.0 + own.resistance.0 * (wear.times().0 - 1.0))
            }
            _ => 0.0,
        };
        Some((own.branch, Ratio(left)))
    }

    /// True when nothing comes near a limit, by the linear network alone.
    pub(crate) fn harmless(&self, fault: Fault) -> bool {
        let Some((branch, left)) = self.change(fault) else { return false };
        match self.outages.one((branch, left)) {
            Some(shift) => {
                self.levels(&shift).all(|level| level < 1.0) && !self.own_harm(fault, &shift)
            }
            None => self.idle(branch),
        }
    }

    /// True when a failure leaves a conductor well below what it bears, by the linear network alone.
    pub(crate) fn spares(&self, fault: Fault, conductor: ConductorId, bears: Amperes) -> bool {
        let Some((branch, left)) = self.change(fault) else { return false };
        let Some(own) = self.own(Piece::Conductor(conductor)) else { return false };
        match self.outages.one((branch, left)) {
            Some(shift) => self.outages.amps(&shift, own.branch).abs() < bears * NEAR,
            None => self.idle(branch),
        }
    }

    /// True when next to nothing passes: what hangs on such a branch does not miss it.
    pub(crate) fn idle(&self, branch: BranchId) -> bool {
        self.outages.amps_before(branch).abs() < Amperes(1e-6)
    }

    /// A worn piece may harm itself: its own limits fall.
    fn own_harm(&self, fault: Fault, shift: &Shift) -> bool {
        let Fault::Worn(piece, wear) = fault else { return false };
        let Some(own) = self.own(piece) else { return true };
        let amps = self.outages.amps(shift, own.branch).abs();
        if matches!(piece, Piece::Joint(_)) {
            let beyond = own.resistance * wear.times().0 - own.sound;
            return beyond > Ohms::ZERO && amps > heats_it(own.softens, beyond) * NEAR;
        }
        // Conductors come before joints, so the first limit of a branch is its conductor's.
        let limit = self.limits.iter().find(|limit| limit.branch == own.branch);
        limit.is_some_and(|limit| amps > limit.most * (1.0 / wear.times().0.sqrt()))
    }

    /// How near everything with a limit comes to it; one and above is near.
    pub(crate) fn levels<'s>(&'s self, shift: &'s Shift) -> impl Iterator<Item = f64> + 's {
        let currents = self.limits.iter().map(|limit| {
            let amps = self.outages.amps(shift, limit.branch).abs();
            let worse = amps > limit.before * WORSE + Amperes(0.25);
            if worse { amps / limit.most } else { 0.0 }
        });
        let loads = self.loads.iter().map(|(load, least)| {
            let volts = self.outages.load_volts(shift, *load);
            // A dead load is as near as can be; a hundredth of a volt keeps the share finite.
            *least / volts.max(Volts(0.01))
        });
        let sources = self.sources.iter();
        let sources = sources.map(|(id, most)| self.outages.source_amps(shift, *id) / *most);
        let banks = self.banks.iter().map(|(id, alike, fair)| {
            let giving = |id: BatteryId| self.outages.battery_amps(shift, id).max(Amperes::ZERO);
            let own = giving(*id);
            if self.turns(*id, self.outages.battery_amps(shift, *id)) {
                return 1.0;
            }
            let all: Amperes = alike.iter().map(|id| giving(*id)).sum();
            if own > LEAST_BATTERY_AMPS * NEAR { own / all / (fair.0 * UNFAIR * NEAR) } else { 0.0 }
        });
        currents.chain(loads).chain(sources).chain(banks)
    }
}
