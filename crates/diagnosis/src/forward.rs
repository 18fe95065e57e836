//! What the meter would show for a vehicle that differs from its file, and how that changes.

use model::{Measured, Piece, PointId, Probe, StateId, Vehicle};
use network::{Deviations, Gradient, Network, OperatingPoint, Trial};
use units::{Amperes, Ohms, Volts};

use crate::observation::Observation;

/// Everything unknown as one list: pieces, draws, battery voltages, battery resistances, regulators, extra paths.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Layout {
    pub pieces: usize,
    pub loads: usize,
    pub batteries: usize,
    pub regulated: usize,
    pub extra: usize,
}

impl Layout {
    pub(crate) fn draw(&self, load: usize) -> usize {
        self.pieces + load
    }

    pub(crate) fn emf(&self, battery: usize) -> usize {
        self.pieces + self.loads + battery
    }

    pub(crate) fn battery(&self, battery: usize) -> usize {
        self.pieces + self.loads + self.batteries + battery
    }

    pub(crate) fn held(&self, source: usize) -> usize {
        self.pieces + self.loads + 2 * self.batteries + source
    }

    pub(crate) fn extra(&self, path: usize) -> usize {
        self.held(self.regulated) + path
    }

    pub(crate) fn len(&self) -> usize {
        self.extra(self.extra)
    }

    /// True for an unknown that is the logarithm of a resistance or draw, false for volts.
    pub(crate) fn is_logarithm(&self, at: usize) -> bool {
        at < self.emf(0) || (self.battery(0)..self.held(0)).contains(&at) || at >= self.extra(0)
    }

    /// As the network wants it. Extra paths not in `present` conduct nothing.
    fn deviations(&self, unknowns: &[f64], present: &[usize]) -> Deviations {
        let from = |begin: usize, n: usize| unknowns[begin..begin + n].to_vec();
        Deviations {
            pieces: from(0, self.pieces),
            draws: from(self.draw(0), self.loads),
            emf: from(self.emf(0), self.batteries).into_iter().map(Volts).collect(),
            batteries: from(self.battery(0), self.batteries),
            held: from(self.held(0), self.regulated).into_iter().map(Volts).collect(),
            extra: (0..self.extra)
                .map(|path| present.contains(&path).then(|| Ohms(unknowns[self.extra(path)].exp())))
                .collect(),
        }
    }

    fn flat(&self, gradient: &Gradient) -> Vec<f64> {
        let mut flat = Vec::with_capacity(self.len());
        flat.extend(&gradient.pieces);
        flat.extend(&gradient.draws);
        flat.extend(&gradient.emf);
        flat.extend(&gradient.batteries);
        flat.extend(&gradient.held);
        flat.extend(&gradient.extra);
        flat
    }
}

/// Amperes below which a piece stands still: the leak that ties open ends down, and rounding.
const STILL: f64 = 1e-7;

/// A vehicle laid out for being asked again and again.
#[derive(Debug)]
pub(crate) struct Forward<'v> {
    network: Network<'v>,
    pub points: Vec<Option<OperatingPoint>>,
    pieces: Vec<Piece>,
    pub layout: Layout,
    /// Paths that the file does not show: those that may be there, then straps that might be added.
    pub paths: Vec<(PointId, PointId)>,
    /// How many of them may be there.
    pub suspected: usize,
}

/// A solved guess: one trial for each state that was asked about.
#[derive(Debug, Clone)]
pub(crate) struct Guess {
    trials: Vec<Option<Trial>>,
}

impl<'v> Forward<'v> {
    /// Lays a vehicle out and solves every state as its file has it.
    pub(crate) fn new(
        vehicle: &'v Vehicle,
        mut paths: Vec<(PointId, PointId)>,
        straps: Vec<(PointId, PointId)>,
    ) -> Self {
        let suspected = paths.len();
        paths.extend(straps);
        let mut network = Network::with_extra_paths(vehicle, &paths);
        let points = network.operating_points().into_iter().map(Some).collect();
        let layout = Layout {
            pieces: vehicle.pieces().count(),
            loads: vehicle.loads.len(),
            batteries: vehicle.batteries.len(),
            regulated: vehicle.regulated.len(),
            extra: paths.len(),
        };
        let pieces = vehicle.pieces().collect();
        Self { network, points, pieces, layout, paths, suspected }
    }

    /// The same layout with straps that might be added behind the paths that it has already; those
    /// keep their places.
    pub(crate) fn with_straps(&self, straps: &[(PointId, PointId)]) -> Self {
        let (suspected, known) = self.paths.split_at(self.suspected);
        let new = straps.iter().filter(|strap| !self.paths.contains(strap));
        let all = known.iter().chain(new).copied().collect();
        Self::new(self.vehicle(), suspected.to_vec(), all)
    }

    pub(crate) fn vehicle(&self) -> &'v Vehicle {
        self.network.vehicle()
    }

    /// Solves the states in which something was or will be measured.
    pub(crate) fn guess(
        &mut self,
        unknowns: &[f64],
        present: &[usize],
        states: &[StateId],
        start: Option<&Guess>,
    ) -> Option<Guess> {
        let deviations = self.layout.deviations(unknowns, present);
        let mut trials = vec![None; self.points.len()];
        for state in states {
            let base = self.points.get(state.index())?.as_ref()?;
            let from = start.and_then(|guess| guess.trials[state.index()].as_ref());
            trials[state.index()] = Some(self.network.trial(base, &deviations, from)?);
        }
        Some(Guess { trials })
    }

    /// Solves for one unknown that differs from a solved guess: only the states that it can move.
    pub(crate) fn moved(
        &mut self,
        unknowns: &[f64],
        present: &[usize],
        at: usize,
        from: &Guess,
    ) -> Option<Guess> {
        let states: Vec<StateId> = (0..from.trials.len())
            .map(StateId::at)
            .filter(|state| {
                from.trials[state.index()].as_ref().is_some_and(|own| self.moves(at, own))
            })
            .collect();
        let mut moved = self.guess(unknowns, present, &states, Some(from))?;
        for (own, before) in moved.trials.iter_mut().zip(&from.trials) {
            if own.is_none() {
                own.clone_from(before);
            }
        }
        Some(moved)
    }

    /// False when an unknown cannot move anything: no current passes the piece, the load is off.
    fn moves(&self, at: usize, trial: &Trial) -> bool {
        let vehicle = self.vehicle();
        match self.pieces.get(at) {
            Some(piece) => self.network.trial_amps(trial, *piece).0.abs() > STILL,
            None if at < self.layout.emf(0) => {
                vehicle.loads[at - self.layout.draw(0)].is_on_in(trial.state)
            }
            None => true,
        }
    }

    /// What a meter would show; nothing for a state that was not solved.
    pub(crate) fn value(&self, guess: &Guess, state: StateId, measured: Measured) -> Option<f64> {
        self.network.trial_value(guess.trials.get(state.index())?.as_ref()?, measured)
    }

    /// What a sound vehicle would show, in volts or amperes; nothing where nothing holds the places
    /// together.
    pub(crate) fn sound_value(&self, state: StateId, measured: Measured) -> Option<f64> {
        // The sound vehicle is that of the file: its unknowns are all at their middle.
        let point = self.points.get(state.index())?.as_ref()?;
        let vehicle = self.vehicle();
        let probe = |own: Probe| point.probe(vehicle, own).map(|volts| volts.0);
        match measured {
            Measured::Volts { high, low } => Some(probe(high)? - probe(low)?),
            Measured::Amps { conductor } => {
                Some(point.piece(vehicle, Piece::Conductor(conductor)).amps.0)
            }
            _ => None,
        }
    }

    /// Current through a piece; nothing for a state that was not solved.
    pub(crate) fn amps(&self, guess: &Guess, state: StateId, piece: Piece) -> Option<Amperes> {
        Some(self.network.trial_amps(guess.trials.get(state.index())?.as_ref()?, piece))
    }

    /// Volts across a load.
    pub(crate) fn load_volts(
        &self,
        guess: &Guess,
        state: StateId,
        load: model::LoadId,
    ) -> Option<Volts> {
        let trial = guess.trials.get(state.index())?.as_ref()?;
        self.network.trial_load_volts(trial).get(load.index()).copied()
    }

    /// Voltage of one point against another; nothing for a state that was not solved.
    pub(crate) fn between(
        &self,
        guess: &Guess,
        state: StateId,
        high: PointId,
        low: PointId,
    ) -> Option<Volts> {
        let trial = guess.trials.get(state.index())?.as_ref()?;
        Some(self.network.trial_point(trial, high) - self.network.trial_point(trial, low))
    }

    /// How the values change with each unknown: one row for each question.
    pub(crate) fn rows(
        &self,
        guess: &Guess,
        questions: &[(StateId, Measured)],
    ) -> Option<Vec<Vec<f64>>> {
        let mut rows: Vec<Option<Vec<f64>>> = vec![None; questions.len()];
        for (state, trial) in guess.trials.iter().enumerate() {
            let Some(trial) = trial else { continue };
            let here: Vec<usize> =
                (0..questions.len()).filter(|at| questions[*at].0.index() == state).collect();
            let measured: Vec<Measured> = here.iter().map(|at| questions[*at].1).collect();
            for (at, gradient) in here.iter().zip(self.network.trial_gradients(trial, &measured)) {
                rows[*at] = gradient.map(|gradient| self.layout.flat(&gradient));
            }
        }
        rows.into_iter().collect()
    }
}

/// The states in which observations were made, each once.
pub(crate) fn states_of(observations: &[Observation]) -> Vec<StateId> {
    let mut states: Vec<StateId> =
        observations.iter().map(|observation| observation.state).collect();
    states.sort_unstable();
    states.dedup();
    states
}
