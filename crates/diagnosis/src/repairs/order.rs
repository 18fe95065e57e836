//! Steps put in their order.

use model::{ConductorId, Vehicle};

use super::{Action, Repair};
use crate::judged;

/// Of several sizes for the same place only the one that ranks first is kept.
pub(super) fn one_size_each(repairs: &mut Vec<Repair>) {
    let mut seen: Vec<ConductorId> = Vec::new();
    repairs.retain(|own| match own.action {
        Action::Enlarge { conductor, .. } => {
            let new = !seen.contains(&conductor);
            seen.push(conductor);
            new
        }
        _ => true,
    });
}

/// Puts each step with new parts behind the cleaning of the same ends, where that helps as well or nearly; a new
/// way behind any cleaning that does.
pub(super) fn cleaning_first(vehicle: &Vehicle, repairs: &mut Vec<Repair>) {
    let parts = |action: Action| match action {
        Action::Add { .. } => Some(None),
        Action::Clean(_) | Action::CleanBoth(_) => None,
        _ => Some(Some(action.joints(vehicle))),
    };
    let cleans = |action: Action| {
        let cleaning = matches!(action, Action::Clean(_) | Action::CleanBoth(_));
        cleaning.then(|| action.joints(vehicle))
    };
    let as_well = judged::repairs().cleaning_as_well.0;
    let mut at = 0;
    while at < repairs.len() {
        let own = &repairs[at];
        let later = parts(own.action).and_then(|of| {
            repairs.iter().skip(at + 1).rposition(|other| {
                let same = cleans(other.action).is_some_and(|cleaned| {
                    of.as_ref().is_none_or(|of| of.iter().any(|end| cleaned.contains(end)))
                });
                same && other.mends >= as_well * own.mends
            })
        });
        match later {
            Some(behind) => {
                let own = repairs.remove(at);
                repairs.insert(at + 1 + behind, own);
            }
            None => at += 1,
        }
    }
}
