//! What an action gains everybody, as means over the explanations.

use model::{LoadId, StateId, Vehicle};
use units::Volts;

use super::{Action, Consumer, Gain, Repair, price, work_time};
use crate::forward::{Forward, Guess};
use crate::judged;
use crate::suspect::Complaint;

/// Expected gains of one action, and for each the chance that it helps.
pub(super) struct Gained {
    pub gains: Vec<(Gain, f64)>,
    pub mends: f64,
}

impl Gained {
    /// Nothing gained yet by anybody.
    pub(super) fn nothing(vehicle: &Vehicle, states: &[StateId]) -> Self {
        let on = states.iter().flat_map(|state| {
            Consumer::on(vehicle, *state).map(|consumer| {
                let (volts, after) = (Volts::ZERO, Volts::ZERO);
                (Gain { consumer, state: *state, volts, after }, 0.0)
            })
        });
        Self { gains: on.collect(), mends: 0.0 }
    }

    /// Adds a case solved before and after, by its weight; `worth` is what counts as help.
    pub(super) fn add(
        &mut self,
        forward: &Forward<'_>,
        weight: f64,
        reached: f64,
        worth: Volts,
        [before, after]: [&Guess; 2],
    ) -> Option<()> {
        for (gain, helps) in &mut self.gains {
            let before = gain.consumer.volts(forward, before, gain.state)?;
            let after = gain.consumer.volts(forward, after, gain.state)?;
            let gained = (after - before) * reached;
            gain.volts += gained * weight;
            gain.after += (before + gained) * weight;
            if after - before > worth {
                *helps += weight * reached;
            }
        }
        Some(())
    }

    /// As means over this weight, the largest gain first.
    pub(super) fn over(mut self, total: f64) -> Self {
        for (gain, helps) in &mut self.gains {
            gain.volts = gain.volts / total;
            gain.after = gain.after / total;
            *helps /= total;
        }
        self.gains.sort_by(|a, b| units::larger_first(a.0.volts.0, b.0.volts.0));
        self.mends /= total;
        self
    }

    pub(super) fn repair(
        self,
        vehicle: &Vehicle,
        action: Action,
        complaint: Option<Complaint>,
        by_make: &[(LoadId, StateId)],
    ) -> Option<Repair> {
        let counts = |gain: &Gain| counts(gain, action, complaint, by_make);
        let (best, helps) = *self.gains.iter().find(|(gain, _)| counts(gain))?;
        let short = |gain: &Gain| {
            gain.consumer.minimum(vehicle).is_some_and(|minimum| gain.after < minimum)
        };
        let gains: Vec<Gain> = self.gains.into_iter().map(|(gain, _)| gain).collect();
        let still_short = gains
            .iter()
            .filter(|gain| short(gain))
            .map(|gain| (gain.consumer, gain.state, gain.after))
            .collect();
        let telling = judged::repairs().gain_worth_telling;
        Some(Repair {
            action,
            best,
            gains: gains.into_iter().filter(|gain| gain.volts.abs() > telling).collect(),
            helps,
            mends: self.mends,
            time: work_time(vehicle, &[action]),
            price: price(vehicle, action),
            still_short,
        })
    }
}

/// Whether an action is weighed by what it gains somebody.
fn counts(
    gain: &Gain,
    action: Action,
    complaint: Option<Complaint>,
    by_make: &[(LoadId, StateId)],
) -> bool {
    let load = match gain.consumer {
        Consumer::Load(load) => Some(load),
        Consumer::Converter(_) => None,
    };
    let asked = |own: Complaint| Some(own.load) == load && gain.state == own.state;
    // A new way or a larger one is weighed by the loads for which the vehicle is made too small.
    let short = |load| by_make.contains(&(load, gain.state));
    complaint.is_none_or(asked) && (!action.is_design() || load.is_some_and(short))
}
