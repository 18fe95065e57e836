//! What was noticed of one vehicle without a meter, as evidence about a guess.

use model::{LoadId, Seen, StateId, Vehicle};

use crate::clue::{self, Clue};
use crate::forward::{Forward, Guess};
use crate::judged;
use crate::sight::Sighting;
use crate::suspect::{Complaint, SuspectKind};

/// A clue, with the place of its jump lead among the paths.
#[derive(Debug, Clone, Copy)]
struct Heard {
    clue: Clue,
    path: usize,
}

/// All that was noticed.
#[derive(Debug, Clone, Default)]
pub(crate) struct Hearsay {
    clues: Vec<Heard>,
    sights: Vec<Sighting>,
}

impl Hearsay {
    /// Lays a vehicle out with these paths that its file lacks, and with the leads of the clues.
    pub(crate) fn lay_out<'v>(
        vehicle: &'v Vehicle,
        suspected: Vec<(model::PointId, model::PointId)>,
        clues: &[Clue],
    ) -> (Self, Forward<'v>) {
        let mut added = Vec::new();
        let mut heard = Vec::new();
        for clue in clues {
            let path = suspected.len() + added.len();
            if let Clue::JumpLead { from, to, .. } = clue {
                added.push((*from, *to));
            }
            heard.push(Heard { clue: *clue, path });
        }
        (Self { clues: heard, sights: Vec::new() }, Forward::new(vehicle, suspected, added))
    }

    /// Takes in what was seen, felt and tried.
    pub(crate) fn see(&mut self, forward: &Forward<'_>, seen: &[Seen]) {
        self.sights = seen.iter().map(|own| Sighting::of(forward, own)).collect();
    }

    /// True where anything was seen, felt or tried.
    pub(crate) fn has_seen(&self) -> bool {
        !self.sights.is_empty()
    }

    /// True where something was felt to be hot.
    pub(crate) fn has_felt_heat(&self) -> bool {
        self.sights.iter().any(Sighting::is_heat)
    }

    /// How many times as likely all that was tried is where a load is not switched on, and where it is
    /// dead itself, against what it is without telling the two apart.
    pub(crate) fn of_control(&self, load: LoadId) -> (f64, f64) {
        self.sights.iter().fold((1.0, 1.0), |(control, dead), own| {
            let (more_control, more_dead) = own.of_control(load);
            (control * more_control, dead * more_dead)
        })
    }

    /// The states in which something was noticed.
    pub(crate) fn states(&self) -> impl Iterator<Item = StateId> {
        let seen = self.sights.iter().filter_map(Sighting::state);
        seen.chain(self.of_clues())
    }

    fn of_clues(&self) -> impl Iterator<Item = StateId> {
        self.clues.iter().filter_map(|heard| match heard.clue {
            Clue::JumpLead { state, .. } => Some(state),
            Clue::Moved { .. } => None,
        })
    }

    /// Logarithm of the chance of the complaint and of all clues when the vehicle is like this.
    pub(crate) fn log_chance(
        &self,
        forward: &mut Forward<'_>,
        complaint: Option<Complaint>,
        guess: &Guess,
        (unknowns, present): (&[f64], &[usize]),
        faults: &[SuspectKind],
    ) -> f64 {
        let mut log = complained(forward, complaint, guess);
        for Heard { clue, path } in &self.clues {
            log += match *clue {
                Clue::Moved { joint, change } => {
                    clue::moved_log(forward.vehicle(), joint, change, faults)
                }
                Clue::JumpLead { load, state, change, .. } => {
                    let mut with = unknowns.to_vec();
                    with[forward.layout.extra(*path)] = judged::symptoms().lead_resistance.0.ln();
                    let present: Vec<usize> = present.iter().copied().chain([*path]).collect();
                    let joined = forward.guess(&with, &present, &[state], Some(guess));
                    let before = forward.load_volts(guess, state, load);
                    let after = joined.and_then(|own| forward.load_volts(&own, state, load));
                    let gain = before.zip(after).map(|(before, after)| after - before);
                    gain.map_or(0.0, |gain| clue::lead_log(change, gain / blocks(forward)))
                }
            };
        }
        for own in &self.sights {
            log += own.log_chance(forward, guess, faults);
        }
        log
    }
}

/// Logarithm of the chance of the complaint in such a vehicle.
fn complained(forward: &Forward<'_>, complaint: Option<Complaint>, guess: &Guess) -> f64 {
    let Some(Complaint { load, state }) = complaint else { return 0.0 };
    let sound = forward.points.get(state.index()).and_then(Option::as_ref);
    let volts = forward.load_volts(guess, state, load);
    sound.zip(volts).map_or(0.0, |(point, volts)| {
        clue::complaint_log((point.load(load).volts - volts) / blocks(forward))
    })
}

/// How many times 12 V the vehicle has.
fn blocks(forward: &Forward<'_>) -> f64 {
    forward.vehicle().nominal.0 / 12.0
}
