//! A vehicle laid out once and asked again and again; what is asked is answered by other modules.

use model::{Seen, Vehicle};

use crate::clue::Clue;
use crate::estimator::Estimator;
use crate::practice::Practice;
use crate::watch::Watch;

/// A vehicle ready to be asked again and again as readings come in.
#[derive(Debug)]
pub struct Session<'v> {
    pub(crate) estimator: Estimator<'v>,
    pub(crate) practice: Practice,
}

impl<'v> Session<'v> {
    /// Lays a vehicle out.
    #[must_use]
    pub fn new(vehicle: &'v Vehicle) -> Self {
        Self::with_clues(vehicle, &[])
    }

    /// Lays a vehicle out of which something was noticed without a meter.
    #[must_use]
    pub fn with_clues(vehicle: &'v Vehicle, clues: &[Clue]) -> Self {
        Self { estimator: Estimator::new(vehicle, clues), practice: Practice::default() }
    }

    /// The same, of which also this was seen, felt or tried.
    #[must_use]
    pub fn seeing(mut self, seen: &[Seen]) -> Self {
        let Estimator { forward, hearsay, .. } = &mut self.estimator;
        hearsay.see(forward, seen);
        self
    }

    /// The same, telling `watch` before each fit about which share of the most that can be needed is
    /// done; false from it ends the work early, and what is answered then is worth nothing.
    #[must_use]
    pub fn watched(mut self, watch: impl FnMut(f64) -> bool + Send + 'v) -> Self {
        self.estimator.watch = Watch::new(watch);
        self
    }

    /// True when whoever watches wanted it stopped.
    #[must_use]
    pub fn stopped(&self) -> bool {
        self.estimator.watch.stopped()
    }

    /// The vehicle.
    #[must_use]
    pub fn vehicle(&self) -> &'v Vehicle {
        self.estimator.vehicle()
    }

    /// From here on only readings that can be had so are proposed.
    pub fn practise(&mut self, practice: Practice) {
        self.practice = practice;
    }
}
