//! Every single failure in every state, ranked by harm and likelihood.

use std::ops::ControlFlow;

use catalogue::Judgements;
use model::{StateId, Vehicle};
use units::Ratio;

use crate::analysis::{Analysis, Progress, Watch};
use crate::fault::{Fault, singles};
use crate::finding::Finding;
use crate::likelihood::chance;
use crate::screen::Screen;

/// One failure in one state, with what it makes wrong.
#[derive(Debug, Clone, PartialEq)]
pub struct Case {
    /// What fails.
    pub fault: Fault,
    /// In which state.
    pub state: StateId,
    /// What goes wrong, worst first.
    pub findings: Vec<Finding>,
    /// How much harm that is.
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
                if survey.tried.is_multiple_of(64)
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

/// Findings by harm, and the harm of all together. Of loads that fail together the worst counts whole, each other
/// one a part.
pub(crate) fn weighed(vehicle: &Vehicle, mut findings: Vec<Finding>) -> (Vec<Finding>, f64) {
    findings.sort_by(|a, b| units::larger_first(a.harm(vehicle), b.harm(vehicle)));
    let part = Judgements::standard().harm_further_load_part.0;
    let (mut loads, mut rest) = (0.0, 0.0);
    for finding in &findings {
        let harm = finding.harm(vehicle);
        match finding {
            // Sorted, so the first load is the worst.
            Finding::Load { .. } if loads == 0.0 => loads = harm,
            Finding::Load { .. } => loads += part * harm,
            _ => rest += harm,
        }
    }
    (findings, loads + rest)
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
            own.sort_by(|a, b| units::larger_first(cases[*a].harm, cases[*b].harm));
            let (chance, harm) = (chance(vehicle, fault), cases[own[0]].harm);
            Ranked { fault, chance, harm, risk: harm * chance.0, cases: own }
        })
        .collect();
    // Equal risks stay in the order of the file.
    ranked.sort_by(|a, b| units::larger_first(a.risk, b.risk));
    ranked
}
