//! Two ways open at once: where together they do what neither does alone.
//!
//! Every pair of openings is first seen by low rank; only those are solved fully that come near a
//! limit to which neither comes alone. Of the pairs passed over an even sample is solved as well, which bounds
//! how many were missed.

use std::ops::ControlFlow;

use model::StateId;
use network::{Failed, Network};
use units::Ratio;

use crate::analysis::{Analysis, Progress, Watch};
use crate::bound::missed_share;
use crate::fault::{Fault, openings};
use crate::finding::Finding;
use crate::judge::Judge;
use crate::likelihood::chance;
use crate::screen::Screen;
use crate::survey::weighed;

/// Pairs of those passed over that are solved all the same, over all states.
const SAMPLE: usize = 2000;

/// Together they must come nearer to a limit than the worse alone by this share.
const WORSE: f64 = 1.002;

/// Two failures in one state, with what only both together make wrong.
#[derive(Debug, Clone, PartialEq)]
pub struct PairCase {
    /// What fails.
    pub faults: [Fault; 2],
    /// In which state.
    pub state: StateId,
    /// What neither alone makes wrong, worst first.
    pub findings: Vec<Finding>,
    /// How much harm that is.
    pub harm: f64,
    /// How likely both are, each by itself.
    pub chance: Ratio,
    /// Harm times likelihood.
    pub risk: f64,
}

/// All pairs that do more harm together than each alone.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Pairs {
    /// By harm times likelihood, largest first.
    pub cases: Vec<PairCase>,
    /// Pairs times states gone through.
    pub tried: usize,
    /// Of those, how many were solved fully because they came near a limit.
    pub solved: usize,
    /// Of those passed over, how many were solved to see whether any was missed.
    pub sampled: usize,
    /// How many of the sample did harm that the quick prediction had not seen.
    pub missed: usize,
    /// Share of those passed over that was missed, at most, with 95 % confidence.
    pub missed_at_most: Ratio,
    /// False when it was stopped before the end.
    pub complete: bool,
}

impl Pairs {
    /// Counts a pair that was solved: because it comes near a limit, or for the sample.
    fn add(&mut self, near: bool, found: Option<PairCase>) {
        if near {
            self.solved += 1;
        } else {
            self.sampled += 1;
            self.missed += usize::from(found.is_some());
        }
        self.cases.extend(found);
    }

    fn share_missed_at_most(&self) -> Ratio {
        // Where the sample is all of them, nothing is left to be missed.
        if self.tried == self.solved + self.sampled {
            Ratio(0.0)
        } else {
            missed_share(self.missed, self.sampled)
        }
    }
}

/// Findings of one failure alone, to tell what is new.
struct Alone {
    fault: Fault,
    findings: Vec<Finding>,
    /// How near everything comes to its limit; nothing where the quick way has no answer.
    levels: Option<Vec<f64>>,
}

impl Alone {
    fn of(fault: Fault, network: &mut Network<'_>, judge: &Judge<'_>, screen: &Screen) -> Self {
        let failed = fault.failed();
        let after = network.failed_point(&judge.base, &failed);
        let shift = screen.change(fault).and_then(|change| screen.outages.one(change));
        let levels = shift.map(|shift| screen.levels(&shift).collect());
        Self { fault, findings: judge.judge(&after, &failed), levels }
    }
}

impl Analysis<'_> {
    /// Goes through every pair of openings in every state.
    pub fn pairs(&mut self, watch: Watch<'_>) -> Pairs {
        self.pairs_with_sample(watch, SAMPLE)
    }

    /// The same, with about so many of those passed over solved as well.
    pub(crate) fn pairs_with_sample(&mut self, watch: Watch<'_>, sample: usize) -> Pairs {
        let faults = openings(self.vehicle);
        let each = faults.len() * faults.len().saturating_sub(1) / 2;
        let all = each * self.judges.len();
        let every = (all / sample.max(1)).max(1);
        let mut pairs = Pairs { complete: true, ..Pairs::default() };
        'states: for judge in &self.judges {
            let Some(screen) = Screen::new(&self.network, judge) else { continue };
            let alone: Vec<Alone> = faults
                .iter()
                .map(|fault| Alone::of(*fault, &mut self.network, judge, &screen))
                .collect();
            for first in 0..alone.len() {
                if watch(Progress { done: pairs.tried, all }) == ControlFlow::Break(()) {
                    pairs.complete = false;
                    break 'states;
                }
                for second in first + 1..alone.len() {
                    pairs.tried += 1;
                    let both = [&alone[first], &alone[second]];
                    let near = near(&screen, both);
                    if near || pairs.tried.is_multiple_of(every) {
                        pairs.add(near, together(&mut self.network, judge, both));
                    }
                }
            }
        }
        pairs.missed_at_most = pairs.share_missed_at_most();
        pairs.cases.sort_by(|a, b| units::larger_first(a.risk, b.risk));
        pairs
    }
}

/// True when together they come nearer to a limit than either alone, and near enough to matter.
fn near(screen: &Screen, alone: [&Alone; 2]) -> bool {
    let levels = alone.map(|own| &own.levels);
    let changes = alone.map(|own| screen.change(own.fault));
    let ([Some(a), Some(b)], [Some(first), Some(second)]) = (changes, levels) else {
        // Where nothing passes, the quick way has no answer, and opening does nothing.
        let idle = |at: usize| changes[at].is_none_or(|(branch, _)| screen.idle(branch));
        return (0..2).any(|at| levels[at].is_none() && !idle(at));
    };
    if a.0 == b.0 {
        return false;
    }
    let Some(shift) = screen.outages.two(a, b) else { return true };
    let singles = first.iter().zip(second);
    screen
        .levels(&shift)
        .zip(singles)
        .any(|(both, (first, second))| both >= 1.0 && both > WORSE * first.max(*second))
}

/// Both together, solved fully; nothing when neither is made worse by the other.
fn together(network: &mut Network<'_>, judge: &Judge<'_>, alone: [&Alone; 2]) -> Option<PairCase> {
    let mut failed = Failed::default();
    for own in alone {
        own.fault.add_to(&mut failed);
    }
    let after = network.failed_point(&judge.base, &failed);
    let known = |finding: &Finding| {
        alone.iter().flat_map(|own| &own.findings).any(|other| same(finding, other))
    };
    let vehicle = judge.vehicle;
    let new: Vec<Finding> =
        judge.judge(&after, &failed).into_iter().filter(|finding| !known(finding)).collect();
    let (findings, harm) = weighed(vehicle, new);
    let faults = alone.map(|own| own.fault);
    let chance = Ratio(faults.map(|fault| chance(vehicle, fault).0).iter().product());
    (!findings.is_empty()).then_some(PairCase {
        faults,
        state: judge.state(),
        findings,
        harm,
        chance,
        risk: harm * chance.0,
    })
}

/// True when `known` is the same harm, or more of it.
fn same(finding: &Finding, known: &Finding) -> bool {
    match (finding, known) {
        (Finding::Load { load, dead, .. }, Finding::Load { load: other, dead: was, .. }) => {
            load == other && (*was || !dead)
        }
        (
            Finding::Conductor { conductor, endurance, .. },
            Finding::Conductor { conductor: other, endurance: was, .. },
        ) => {
            conductor == other
                && (was.melts() || !endurance.melts())
                && (was.passes_limit() || !endurance.passes_limit())
        }
        (Finding::Path { path, .. }, Finding::Path { path: other, .. }) => path == other,
        (Finding::Joint { joint, .. }, Finding::Joint { joint: other, .. }) => joint == other,
        (Finding::Fuse { fuse, .. }, Finding::Fuse { fuse: other, .. }) => fuse == other,
        (Finding::Battery { battery, .. }, Finding::Battery { battery: other, .. }) => {
            battery == other
        }
        (Finding::Unsettled, Finding::Unsettled) => true,
        _ => false,
    }
}
