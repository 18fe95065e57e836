//! What was seen, felt and tried without a meter, as evidence: how likely it is with each fault.
//!
//! Each row of the catalogue's `sight-judgements` is one chance. No single sight makes one fault more than
//! some twenty times as likely beside another, and all of them together make nothing certain.

mod chances;
mod spot;

use model::{LoadId, Seen, Sight, Spot, StateId};
use units::Ratio;

use crate::explanation::Explanation;
use crate::forward::{Forward, Guess};
use crate::judged;
use crate::side::{Map, Side, not_switched_on};
use crate::suspect::SuspectKind;
use chances::{either, vain};

/// A sight with the state in which it counts.
#[derive(Debug, Clone)]
pub(crate) struct Sighting {
    sight: Sight,
    /// The state that was told, or the one with most current.
    state: Option<StateId>,
    /// The load that draws most there: the one whose way home matters.
    heavy: Option<LoadId>,
}

impl Sighting {
    pub(crate) fn of(forward: &Forward<'_>, seen: &Seen) -> Self {
        let amps = |state: &StateId| {
            let point = forward.points.get(state.index()).and_then(Option::as_ref);
            point.map_or(0.0, |own| own.loads.iter().map(|load| load.amps.0.abs()).sum::<f64>())
        };
        let states = (0..forward.vehicle().states.len()).map(StateId::at);
        let most = states.max_by(|a, b| units::larger_first(amps(b), amps(a)));
        let state = seen.state.or(most).filter(|own| amps(own) > 0.0).or(most);
        let heavy = most.and_then(|own| {
            let point = forward.points.get(own.index())?.as_ref()?;
            let loads = (0..point.loads.len()).map(LoadId::at);
            loads.max_by(|a, b| {
                let drawn = |id: &LoadId| point.loads[id.index()].amps.0.abs();
                units::larger_first(drawn(b), drawn(a))
            })
        });
        Self { sight: seen.sight.clone(), state, heavy }
    }

    /// True where something was felt to be hot.
    pub(crate) fn is_heat(&self) -> bool {
        matches!(self.sight, Sight::Heat { hot: true, .. })
    }

    /// The state that has to be solved for it.
    pub(crate) fn state(&self) -> Option<StateId> {
        matches!(self.sight, Sight::Heat { .. }).then_some(self.state).flatten()
    }

    /// Logarithm of the chance of this sight in such a vehicle with these faults.
    pub(crate) fn log_chance(
        &self,
        forward: &Forward<'_>,
        guess: &Guess,
        faults: &[SuspectKind],
    ) -> f64 {
        let chance = match &self.sight {
            Sight::Heat { spot: Spot::Undrawn, hot } => {
                told(self.undrawn_hot(forward, guess, faults), *hot)
            }
            Sight::Heat { spot, hot } => told(self.hot(forward, guess, spot, faults), *hot),
            Sight::Condition { spot, condition, so } => {
                let own = chances::found(*condition);
                let share = spot::found_at(forward.vehicle(), (spot, *condition), faults);
                told(either(share, own), *so)
            }
            Sight::Upset { upset, device, so } => {
                told(chances::upset(forward.vehicle(), (*upset, *device, self.heavy), faults), *so)
            }
            Sight::Worked { spot, done, helped } => {
                chances::worked(forward.vehicle(), (spot, *done, *helped), self.heavy, faults)
            }
            Sight::Comes(occasion) => chances::comes(*occasion, faults),
        };
        chance.clamp(1e-6, 1.0).ln()
    }

    /// How many times as likely it is of a load that is not switched on, and of a dead one, against what it
    /// is where the two are not told apart.
    pub(crate) fn of_control(&self, load: LoadId) -> (f64, f64) {
        let Sight::Worked { spot, done, helped } = &self.sight else { return (1.0, 1.0) };
        let at_load = *spot == Spot::Load(load);
        if !at_load && *spot != Spot::Control {
            return (1.0, 1.0);
        }
        let own = vain(*done, *helped);
        let (control, dead) =
            (either(f64::from(u8::from(!at_load)), own), either(f64::from(u8::from(at_load)), own));
        let share = not_switched_on().0;
        let mean = share * control + (1.0 - share) * dead;
        (control / mean, dead / mean)
    }

    /// Chance that metal which was never meant to carry current gets hot: the current that seeks it.
    fn undrawn_hot(&self, forward: &Forward<'_>, guess: &Guess, faults: &[SuspectKind]) -> f64 {
        let own = judged::sights();
        let vehicle = forward.vehicle();
        let through = self.state.and_then(|state| spot::through_incidental(forward, guess, state));
        let solved = through.map_or(0.0, |amps| {
            let times = (amps / own.undrawn_hot_amperes.0).max(1e-6).ln();
            logistic(times / own.undrawn_hot_sharpness.0)
        });
        let map = Map::new(vehicle, self.heavy);
        let seen = |kind: &&SuspectKind| !spot::is_unseen(vehicle, **kind);
        let home = faults.iter().filter(seen).any(|kind| {
            !matches!(kind, SuspectKind::ExtraPath { .. })
                && map.places(*kind, Ratio(0.0)).iter().any(|place| place.0 == Side::Return)
        });
        let unsolved = if home { own.undrawn_hot_unsolved.0 } else { 0.0 };
        let (bad, otherwise) = (own.undrawn_hot_return.0, own.undrawn_hot_otherwise.0);
        otherwise + (bad - otherwise) * solved.max(unsolved)
    }

    /// Chance that a piece or device gets hot.
    fn hot(
        &self,
        forward: &Forward<'_>,
        guess: &Guess,
        spot: &Spot,
        faults: &[SuspectKind],
    ) -> f64 {
        let own = judged::sights();
        let vehicle = forward.vehicle();
        if !matches!(spot, Spot::Pieces(_)) {
            let two = (own.hot_itself.0, own.device_hot_otherwise.0);
            return either(spot::at_fault(vehicle, spot, faults), two);
        }
        let itself =
            either(spot::at_fault(vehicle, spot, faults), (own.hot_itself.0, own.hot_otherwise.0));
        let beside = either(
            f64::from(u8::from(spot::beside(vehicle, spot, faults))),
            (own.hot_beside.0, own.hot_otherwise.0),
        );
        let times = self.state.map_or(1.0, |state| spot::heat_times(forward, guess, state, spot));
        let much =
            logistic((times / own.hot_watts_times.0).max(1e-6).ln() / own.hot_watts_sharpness.0);
        let current = either(much, (own.hot_large_current.0, own.hot_otherwise.0));
        itself.max(beside).max(current)
    }
}

/// The chance of what was told, or of its contrary.
fn told(chance: f64, so: bool) -> f64 {
    if so { chance } else { 1.0 - chance }
}

fn logistic(x: f64) -> f64 {
    1.0 / (1.0 + (-x).exp())
}

/// Takes from every side what goes beyond the most that may be believed of it without any reading.
pub(crate) fn at_most(map: &Map<'_>, explanations: &mut [Explanation], control: Ratio) {
    let most = judged::sights().most_without_reading.0;
    for side in Side::ALL {
        let share = |own: &Explanation| map.touched_by(own, control).0[side as usize];
        let now: f64 = explanations.iter().map(|own| own.weight * share(own)).sum();
        if now <= most || now >= 1.0 {
            continue;
        }
        let (times, others) = (most / now, (1.0 - most) / (1.0 - now));
        for own in explanations.iter_mut() {
            let on = share(own);
            own.weight *= on * times + (1.0 - on) * others;
        }
    }
}

#[cfg(test)]
mod tests;
