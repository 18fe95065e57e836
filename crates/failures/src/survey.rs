//! Every single failure in every state, ranked by harm and likelihood.

use std::ops::ControlFlow;

use model::{LoadId, Piece, RegulatedId, StateId, Vehicle};
use network::{BranchId, LoadStatus, Network, Outages, Shift};
use units::{Amperes, Ratio, Volts};

use crate::analysis::{Analysis, Progress, Watch};
use crate::fault::{Fault, singles};
use crate::finding::Finding;
use crate::judge::Judge;
use crate::likelihood::chance;
use crate::protection;

/// Part of a limit from which the quick prediction counts as reaching it: what the curvature of
/// loads may hide. Found by trying: see the law `the_screen_misses_nothing_on_the_example`.
const SCREEN: f64 = 0.8;
/// Part above its minimum within which a load is looked at fully.
const SCREEN_VOLTS: f64 = 1.05;
/// A load without a minimum is looked at fully when it loses more than a quarter.
const SCREEN_DEAD: f64 = 0.75;

/// What carries more than this is always solved fully: how batteries share hangs on it.
const ALWAYS: Amperes = Amperes(20.0);

/// One failure in one state, with what it makes wrong.
#[derive(Debug, Clone, PartialEq)]
pub struct Case {
    /// What fails.
    pub fault: Fault,
    /// In which state.
    pub state: StateId,
    /// What goes wrong, worst first.
    pub findings: Vec<Finding>,
    /// How much harm that is: the sum over its findings.
    pub harm: f64,
}

/// A failure with its worst state.
#[derive(Debug, Clone, PartialEq)]
pub struct Ranked {
    /// What fails.
    pub fault: Fault,
    /// How likely it is.
    pub chance: Ratio,
    /// Harm in its worst state.
    pub harm: f64,
    /// Harm times likelihood.
    pub risk: f64,
    /// Its cases in [`Survey::cases`], worst first.
    pub cases: Vec<usize>,
}

/// All single failures that do harm.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Survey {
    /// Every failure and state with findings.
    pub cases: Vec<Case>,
    /// Failures by harm times likelihood, largest first.
    pub ranked: Vec<Ranked>,
    /// Failures times states gone through.
    pub tried: usize,
    /// Of those, how many were solved fully; the others were seen to be harmless by low rank.
    pub solved: usize,
    /// False when it was stopped before the end.
    pub complete: bool,
}

impl<'v> Analysis<'v> {
    /// Goes through every single failure in every state.
    pub fn survey(&mut self, watch: Watch<'_>) -> Survey {
        let vehicle = self.vehicle;
        let faults = singles(vehicle);
        let all = faults.len() * self.judges.len();
        let mut survey = Survey { complete: true, ..Survey::default() };
        'states: for judge in &self.judges {
            let screen = Screen::new(&self.network, judge);
            for fault in &faults {
                if survey.tried % 64 == 0
                    && watch(Progress { done: survey.tried, all }) == ControlFlow::Break(())
                {
                    survey.complete = false;
                    break 'states;
                }
                survey.tried += 1;
                if screen.as_ref().is_some_and(|screen| screen.harmless(*fault)) {
                    continue;
                }
                survey.solved += 1;
                let failed = fault.failed();
                let after = self.network.failed_point(&judge.base, &failed);
                let findings = judge.judge(&after, &failed);
                if let Some(case) = case(vehicle, *fault, judge.state(), findings) {
                    survey.cases.push(case);
                }
            }
        }
        survey.ranked = ranked(vehicle, &survey.cases);
        survey
    }
}

fn case(vehicle: &Vehicle, fault: Fault, state: StateId, findings: Vec<Finding>) -> Option<Case> {
    let (findings, harm) = weighed(vehicle, findings);
    (!findings.is_empty()).then_some(Case { fault, state, findings, harm })
}

/// Findings by harm, and their sum.
pub(crate) fn weighed(vehicle: &Vehicle, mut findings: Vec<Finding>) -> (Vec<Finding>, f64) {
    findings.sort_by(|a, b| b.harm(vehicle).total_cmp(&a.harm(vehicle)));
    let harm = findings.iter().map(|finding| finding.harm(vehicle)).sum();
    (findings, harm)
}

fn ranked(vehicle: &Vehicle, cases: &[Case]) -> Vec<Ranked> {
    let mut of_fault: std::collections::BTreeMap<Fault, Vec<usize>> =
        std::collections::BTreeMap::new();
    for (at, case) in cases.iter().enumerate() {
        of_fault.entry(case.fault).or_default().push(at);
    }
    let mut ranked: Vec<Ranked> = of_fault
        .into_iter()
        .map(|(fault, mut own)| {
            own.sort_by(|a, b| cases[*b].harm.total_cmp(&cases[*a].harm));
            let (chance, harm) = (chance(vehicle, fault), cases[own[0]].harm);
            Ranked { fault, chance, harm, risk: harm * chance.0, cases: own }
        })
        .collect();
    // Equal risks stay in the order of the file.
    ranked.sort_by(|a, b| b.risk.total_cmp(&a.risk));
    ranked
}

/// Everything in a state that could pass a limit, by branch, ready for quick predictions.
pub(crate) struct Screen {
    pub(crate) outages: Outages,
    /// Branch, current before, and the current that must not be passed.
    limits: Vec<(BranchId, Amperes, Amperes)>,
    /// Load, volts before, and the volts that must not be fallen below.
    loads: Vec<(LoadId, Volts)>,
    /// Alternators, chargers and converters that run, with the most they deliver.
    sources: Vec<(RegulatedId, Amperes)>,
    own: Vec<(Piece, BranchId, Ratio)>,
}

impl Screen {
    pub(crate) fn new(network: &Network<'_>, judge: &Judge<'_>) -> Option<Self> {
        let vehicle = judge.vehicle;
        let outages = network.outages(&judge.base)?;
        let mut limits = Vec::new();
        let mut own = Vec::new();
        for (slot, piece) in vehicle.pieces().enumerate() {
            let Some(branch) = outages.branch_in_slot(slot) else { continue };
            let resistance = judge.base.pieces[slot].resistance;
            let limit = match piece {
                Piece::Conductor(id) => judge.bearings[id.index()].map(|bearing| bearing.steady),
                Piece::Incidental(id) => vehicle.incidental(id).damage,
                Piece::Joint(id) => {
                    let contact = crate::judge::softest(vehicle.joint(id).finish.as_deref());
                    contact.map(|contact| contact.softening / resistance)
                }
                Piece::Inline(id) => protection::rating(vehicle.inline(id)),
                Piece::Stretch(_) => None,
            };
            if let Some(limit) = limit {
                limits.push((branch, outages.amps_before(branch).abs(), limit * SCREEN));
            }
            if matches!(piece, Piece::Conductor(_) | Piece::Joint(_) | Piece::Inline(_)) {
                own.push((piece, branch, Ratio(resistance.0)));
            }
        }
        let loads = judge
            .base
            .loads
            .iter()
            .enumerate()
            .filter(|(_, point)| point.status == LoadStatus::Fed)
            .map(|(at, point)| {
                let load = &vehicle.loads[at];
                let least = load.minimum.into_iter().chain(load.dropout).reduce(Volts::max);
                let least = least.map_or(point.volts * SCREEN_DEAD, |least| least * SCREEN_VOLTS);
                (LoadId::at(at), least.min(point.volts * 0.999))
            })
            .collect();
        let sources = vehicle
            .regulated
            .iter()
            .enumerate()
            .filter(|(_, source)| source.runs_in(judge.state()))
            .map(|(at, source)| (RegulatedId::at(at), source.limit[judge.state().index()]))
            .filter(|(id, limit)| judge.base.source(*id).amps < *limit * 0.999)
            .collect();
        Some(Self { outages, limits, loads, sources, own })
    }

    /// The branch that a fault changes, and the share of its conductance that is left.
    pub(crate) fn change(&self, fault: Fault) -> Option<(BranchId, Ratio)> {
        let piece = fault.piece()?;
        let (_, branch, resistance) = self.own.iter().find(|(own, ..)| *own == piece)?;
        let left = match fault {
            Fault::Worn(_, wear) => {
                let whole = self.outages.siemens(*branch).resistance();
                whole.0 / (whole.0 + resistance.0 * (wear.times().0 - 1.0))
            }
            _ => 0.0,
        };
        Some((*branch, Ratio(left)))
    }

    /// True when nothing comes near a limit, by the linear network alone.
    pub(crate) fn harmless(&self, fault: Fault) -> bool {
        let Some((branch, left)) = self.change(fault) else { return false };
        let before = self.outages.amps_before(branch).abs();
        if before > ALWAYS {
            return false;
        }
        match self.outages.one((branch, left)) {
            Some(shift) => !self.reaches(&shift) && !self.own_harm(fault, branch, &shift),
            // What hangs on a branch without current does not miss it.
            None => before < Amperes(1e-6),
        }
    }

    /// A worn piece may harm itself: its own limits fall.
    fn own_harm(&self, fault: Fault, branch: BranchId, shift: &Shift) -> bool {
        let Fault::Worn(piece, wear) = fault else { return false };
        let amps = self.outages.amps(shift, branch).abs();
        let own = self.own.iter().find(|(own, ..)| *own == piece);
        match (piece, own) {
            (Piece::Joint(_), Some((_, _, resistance))) => {
                // Tin softens first of all finishes, at 0.07 V.
                amps.0 * resistance.0 * wear.times().0 > SCREEN * 0.07
            }
            _ => {
                let limit = self.limits.iter().find(|(own, ..)| *own == branch);
                limit.is_some_and(|(_, _, limit)| amps > *limit * (1.0 / wear.times().0.sqrt()))
            }
        }
    }

    /// True when something comes near its limit that was not there before.
    pub(crate) fn reaches(&self, shift: &Shift) -> bool {
        self.reached(shift).any(|near| near)
    }

    /// Of everything with a limit, whether it comes near it.
    pub(crate) fn reached<'s>(&'s self, shift: &'s Shift) -> impl Iterator<Item = bool> + 's {
        let currents = self.limits.iter().map(|(branch, before, limit)| {
            let amps = self.outages.amps(shift, *branch).abs();
            amps > *limit && amps > *before * 1.01 + Amperes(0.25)
        });
        let loads = self.loads.iter();
        let loads = loads.map(|(load, least)| self.outages.load_volts(shift, *load) < *least);
        let sources = self.sources.iter();
        let sources = sources.map(|(id, most)| self.outages.source_amps(shift, *id) > *most);
        currents.chain(loads).chain(sources)
    }
}
