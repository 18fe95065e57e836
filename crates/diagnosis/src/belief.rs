//! Beliefs about single unknowns, mixed over hypotheses.

use model::Piece;
use units::{Ohms, Ratio, Volts};

use crate::diagnose::Diagnosis;
use crate::estimator::Estimator;
use crate::explanation::views;
use crate::mixture::{Interval, interval};
use crate::session::Session;

/// What is believed after the readings of everything that is no joint; joints are in
/// [`Diagnosis::joints`].
#[derive(Debug, Clone, PartialEq)]
pub struct Beliefs {
    /// Conductors, stretches of structures, incidental paths, fuses and switches, in the vehicle's order.
    pub pieces: Vec<(Piece, Interval<Ohms>)>,
    /// What each load draws, times what the file says.
    pub draws: Vec<Interval<Ratio>>,
    /// What each battery has at rest, at the file's state of charge.
    pub battery_volts: Vec<Interval<Volts>>,
    /// The resistance of each battery when discharging.
    pub battery_ohms: Vec<Interval<Ohms>>,
    /// What each regulated source holds.
    pub held: Vec<Interval<Volts>>,
}

impl Session<'_> {
    /// What is believed of conductors, structures, loads, batteries and regulated sources.
    #[must_use]
    pub fn beliefs(&self, diagnosis: &Diagnosis) -> Beliefs {
        let Estimator { forward, prior, .. } = &self.estimator;
        let sound = &prior.sound;
        let vehicle = forward.vehicle();
        let layout = forward.layout;
        let of = |at: usize| interval(&views(sound, at, &diagnosis.explanations));
        let factor = |at: usize| of(at).map(|log| Ratio(log.exp()));
        let pieces = vehicle.pieces().filter(|piece| !matches!(piece, Piece::Joint(_)));
        Beliefs {
            pieces: pieces
                .map(|piece| {
                    let written = vehicle.piece_resistance(piece);
                    let own = of(vehicle.piece_slot(piece)).map(|log| written * log.exp());
                    (piece, own)
                })
                .collect(),
            draws: (0..layout.loads).map(|at| factor(layout.draw(at))).collect(),
            battery_volts: (0..layout.batteries)
                .map(|at| of(layout.emf(at)).map(|more| vehicle.batteries[at].rested + Volts(more)))
                .collect(),
            battery_ohms: (0..layout.batteries)
                .map(|at| {
                    of(layout.battery(at)).map(|log| vehicle.batteries[at].resistance * log.exp())
                })
                .collect(),
            held: (0..layout.regulated)
                .map(|at| {
                    of(layout.held(at)).map(|more| vehicle.regulated[at].set_point + Volts(more))
                })
                .collect(),
        }
    }
}
