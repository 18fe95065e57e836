//! Beliefs about single unknowns, mixed over hypotheses.

use model::Piece;
use units::{Ohms, Ratio, Volts};

use crate::diagnose::{Diagnosis, JointBelief};
use crate::session::Session;

/// A belief in three numbers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval<T> {
    /// As likely more as less.
    pub median: T,
    /// Less with a probability of 5 %.
    pub low: T,
    /// More with a probability of 5 %.
    pub high: T,
}

impl<T> Interval<T> {
    fn map<U>(self, change: impl Fn(T) -> U) -> Interval<U> {
        Interval { median: change(self.median), low: change(self.low), high: change(self.high) }
    }
}

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
        let vehicle = self.vehicle();
        let layout = self.forward.layout;
        let of = |at: usize| interval(&self.views(at, &diagnosis.explanations));
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

/// One hypothesis' view of an unknown: weight, middle and spread.
pub(crate) struct View {
    pub weight: f64,
    pub middle: f64,
    pub spread: f64,
}

/// Median, 5 % and 95 % of a mixture of views of the logarithm of a joint's part of its ohms as written.
pub(crate) fn mixed(views: &[View], written: Ohms, bad: f64) -> JointBelief {
    let Interval { median, low, high } = interval(views).map(|log| written * log.exp());
    JointBelief { median, low, high, bad }
}

/// Median, 5 % and 95 % of a mixture of normal views.
fn interval(views: &[View]) -> Interval<f64> {
    let total: f64 = views.iter().map(|view| view.weight).sum();
    let below = |x: f64| -> f64 {
        views
            .iter()
            .map(|view| view.weight / total * normal_below((x - view.middle) / view.spread))
            .sum()
    };
    let quantile = |share: f64| {
        let (mut low, mut high) = views.iter().fold((f64::MAX, f64::MIN), |(low, high), view| {
            (low.min(view.middle - 8.0 * view.spread), high.max(view.middle + 8.0 * view.spread))
        });
        for _ in 0..60 {
            let middle = f64::midpoint(low, high);
            if below(middle) < share { low = middle } else { high = middle }
        }
        f64::midpoint(low, high)
    };
    Interval { median: quantile(0.5), low: quantile(0.05), high: quantile(0.95) }
}

/// Share of a standard normal distribution below a value.
pub(crate) fn normal_below(x: f64) -> f64 {
    0.5 * libm::erfc(-x / std::f64::consts::SQRT_2)
}
