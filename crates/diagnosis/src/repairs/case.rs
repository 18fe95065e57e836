//! One explanation of the readings as a vehicle on which steps are tried.

use model::{JointId, Piece, StateId, Vehicle};

use super::Action;
use crate::diagnose::Diagnosis;
use crate::explanation::Explanation;
use crate::forward::{Forward, Guess};
use crate::suspect::SuspectKind;

/// Explanations that count.
const MOST: usize = 8;
const LEAST_WEIGHT: f64 = 0.01;

/// An explanation, solved before anything is done.
pub(super) struct Case {
    pub weight: f64,
    pub unknowns: Vec<f64>,
    present: Vec<usize>,
    pub guess: Guess,
    /// What is at fault in it.
    faults: Vec<SuspectKind>,
}

impl Case {
    /// The likeliest explanations; those that cannot be solved are left out.
    pub(super) fn of(
        forward: &mut Forward<'_>,
        diagnosis: &Diagnosis,
        states: &[StateId],
    ) -> Vec<Self> {
        let counting = diagnosis.explanations.iter().filter(|own| own.weight > LEAST_WEIGHT);
        counting.take(MOST).filter_map(|own| Self::one(forward, own, states)).collect()
    }

    fn one(forward: &mut Forward<'_>, own: &Explanation, states: &[StateId]) -> Option<Self> {
        let mut unknowns = own.unknowns.clone();
        // Straps that were laid out since conduct nothing until one is added.
        unknowns.resize(forward.layout.len(), 0.0);
        let present = own.belief.present.clone();
        let guess = forward.guess(&unknowns, &present, states, None)?;
        let faults = own.faults.clone();
        Some(Self { weight: own.weight, unknowns, present, guess, faults })
    }

    /// True when something that an action reaches is bad here.
    ///
    /// Larger and added conductors mend no fault; they are tried only where the vehicle is made too small.
    pub(super) fn mended_by(&self, vehicle: &Vehicle, action: Action) -> bool {
        match action {
            Action::Clean(_) | Action::ReplaceEnd(_) | Action::CleanBoth(_) => {
                action.joints(vehicle).into_iter().any(|joint| self.is_bad(vehicle, joint))
            }
            Action::Replace(id) => {
                self.faults.contains(&SuspectKind::Conductor(id))
                    || self.faults.contains(&SuspectKind::Open(id))
                    || vehicle
                        .conductor(id)
                        .crimps
                        .iter()
                        .flatten()
                        .any(|own| self.is_bad(vehicle, *own))
            }
            Action::Enlarge { .. } | Action::Add { .. } => true,
        }
    }

    /// True when a joint is at fault here, or has more than its kind or the file's range allows.
    pub(super) fn is_bad(&self, vehicle: &Vehicle, joint: JointId) -> bool {
        let own = vehicle.joint(joint);
        let ohms = own.resistance * self.unknowns[vehicle.piece_slot(Piece::Joint(joint))].exp();
        let usual = own.kind.clean_high;
        let most = own.likely.map_or(usual, |range| range.high.max(usual));
        self.faults.contains(&SuspectKind::Joint(joint)) || ohms > most
    }

    /// The same vehicle after some actions.
    pub(super) fn after(
        &self,
        forward: &mut Forward<'_>,
        states: &[StateId],
        actions: &[Action],
    ) -> Option<Guess> {
        let mut unknowns = self.put_right(forward.vehicle(), actions);
        let mut present = self.present.clone();
        for action in actions {
            let Action::Add { from, to, ohms, .. } = *action else { continue };
            let path = forward.paths.iter().position(|own| *own == (from, to))?;
            let at = forward.layout.extra(path);
            // Beside a path that is there already, both conduct.
            let already = if present.contains(&path) { 1.0 / unknowns[at].exp() } else { 0.0 };
            unknowns[at] = -(already + 1.0 / ohms.0).ln();
            if !present.contains(&path) {
                present.push(path);
            }
        }
        forward.guess(&unknowns, &present, states, Some(&self.guess))
    }

    /// What is unknown after what some actions do to the pieces that are there.
    fn put_right(&self, vehicle: &Vehicle, actions: &[Action]) -> Vec<f64> {
        let mut unknowns = self.unknowns.clone();
        // Work does not make anything worse than it is.
        let mut at_most = |piece: Piece, logarithm: f64| {
            let at = vehicle.piece_slot(piece);
            unknowns[at] = unknowns[at].min(logarithm);
        };
        for action in actions {
            for joint in action.joints(vehicle) {
                at_most(Piece::Joint(joint), clean(vehicle, joint));
            }
            match *action {
                Action::Clean(_) | Action::ReplaceEnd(_) | Action::CleanBoth(_) => {}
                Action::Add { .. } => {}
                Action::Replace(id) => at_most(Piece::Conductor(id), 0.0),
                Action::Enlarge { conductor, ohms, .. } => {
                    let written = vehicle.conductor(conductor).resistance_at_20;
                    at_most(Piece::Conductor(conductor), (ohms / written).ln());
                }
            }
        }
        unknowns
    }
}

/// Logarithm of a clean joint's resistance over that of the file: as good as a typical clean one of
/// its kind, or as the file has it when that is better.
pub(super) fn clean(vehicle: &Vehicle, joint: JointId) -> f64 {
    let own = vehicle.joint(joint);
    (own.kind.clean_typical / own.resistance).ln().min(0.0)
}
