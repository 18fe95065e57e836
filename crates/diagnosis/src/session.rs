//! A vehicle laid out once and asked again and again; what is asked is answered by other modules.

use model::{JointId, LoadId, Measured, Reading, Seen, StateId, Vehicle};
use units::Ratio;

use crate::account::{self, Finding};
use crate::acquittal::{self, Hold};
use crate::agreement::{self, ChiSquare};
use crate::belief::{self, Beliefs};
use crate::clue::Clue;
use crate::conclude;
use crate::diagnose::Diagnosis;
use crate::estimator::Estimator;
use crate::next_reading;
use crate::observation::Observation;
use crate::practice::Practice;
use crate::proposal::Proposal;
use crate::repairs::{self, Repair};
use crate::sign::{self, Heeded};
use crate::suspect::Complaint;
use crate::symptom::{self, Account, Heard};
use crate::watch::Watch;

/// A vehicle ready to be asked again and again as readings come in.
#[derive(Debug)]
pub struct Session<'v> {
    pub(crate) estimator: Estimator<'v>,
    practice: Practice,
}

/// Diagnoses once; see [`Session`] for asking again.
#[must_use]
pub fn diagnose(
    vehicle: &Vehicle,
    observations: &[Observation],
    complaint: Option<Complaint>,
) -> Diagnosis {
    Session::new(vehicle).diagnose(observations, complaint)
}

/// The readings that tell most per minute, best first.
#[must_use]
pub fn next(
    vehicle: &Vehicle,
    diagnosis: &Diagnosis,
    observations: &[Observation],
    complaint: Option<Complaint>,
) -> Vec<Proposal> {
    Session::new(vehicle).next(diagnosis, observations, complaint)
}

/// A first plan for a vehicle that nobody has measured: the shared feed and return, body by body.
#[must_use]
pub fn survey(vehicle: &Vehicle, most: usize) -> Vec<Proposal> {
    Session::new(vehicle).survey(most)
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

    /// What the readings say, with a complaint or without one.
    #[must_use]
    pub fn diagnose(
        &mut self,
        observations: &[Observation],
        complaint: Option<Complaint>,
    ) -> Diagnosis {
        conclude::diagnose(&mut self.estimator, observations, complaint)
    }

    /// How well readings fit the file with nothing wrong: a single fit, without any weighing.
    ///
    /// Nothing without readings, and where no operating point is found.
    #[must_use]
    pub fn fits_file(&mut self, observations: &[Observation]) -> Option<ChiSquare> {
        let Estimator { forward, prior, .. } = &mut self.estimator;
        agreement::fits_file(forward, &prior.sound, observations)
    }

    /// What is believed of conductors, structures, loads, batteries and regulated sources.
    #[must_use]
    pub fn beliefs(&self, diagnosis: &Diagnosis) -> Beliefs {
        belief::beliefs(&self.estimator.forward, &self.estimator.prior.sound, diagnosis)
    }

    /// Why the faults of the best explanation are believed; empty when nothing is.
    #[must_use]
    pub fn account(&mut self, diagnosis: &Diagnosis, observations: &[Observation]) -> Vec<Finding> {
        account::account(&mut self.estimator, diagnosis, observations)
    }

    /// The readings that tell most per minute, best first. One in doubt comes before all others;
    /// those taken already are left out.
    ///
    /// Where the engine would have to run, only what nothing without it tells as well; what is set up
    /// already stays set up where that tells as much.
    #[must_use]
    pub fn next(
        &mut self,
        diagnosis: &Diagnosis,
        observations: &[Observation],
        complaint: Option<Complaint>,
    ) -> Vec<Proposal> {
        let Self { estimator, practice } = self;
        next_reading::next(estimator, practice, diagnosis, observations, complaint)
    }

    /// The reading that best tells apart joints which the readings so far do not: `first`, which is to be
    /// taken next anyway, where it tells them apart as well as any.
    #[must_use]
    pub fn separating(
        &mut self,
        diagnosis: &Diagnosis,
        joints: &[JointId],
        observations: &[Observation],
        (complaint, first): (Option<Complaint>, Option<&Proposal>),
    ) -> Option<Proposal> {
        let Self { estimator, practice } = self;
        let next = (complaint, first);
        next_reading::separating(estimator, practice, diagnosis, joints, observations, next)
    }

    /// A first plan of at most so many readings, one state after the other.
    ///
    /// Where the engine would have to run, only what nothing without it shows as well.
    #[must_use]
    pub fn survey(&mut self, most: usize) -> Vec<Proposal> {
        crate::survey::survey(&mut self.estimator, &self.practice, most)
    }

    /// What a sound vehicle would show, in volts or amperes; nothing where nothing holds the places
    /// together.
    #[must_use]
    pub fn sound_shows(&self, state: StateId, measured: Measured) -> Option<f64> {
        sign::sound_shows(&self.estimator.forward, state, measured)
    }

    /// Settles signs that were not told, and leaves out what cannot be.
    #[must_use]
    pub fn heed(&mut self, readings: &[Reading], complaint: Option<Complaint>) -> Heeded {
        sign::heed(&mut self.estimator, readings, complaint)
    }

    /// What keeps sides from being called cleared, seen from a load or from the whole vehicle.
    #[must_use]
    pub fn holds(
        &mut self,
        diagnosis: &Diagnosis,
        observations: &[Observation],
        load: Option<LoadId>,
    ) -> Vec<Hold> {
        acquittal::holds(&mut self.estimator, diagnosis, observations, load)
    }

    /// Weighs readings and what a person says is wrong.
    ///
    /// A reading at the coil that switches the load on is direct evidence of its control when the
    /// load does not work at all; it says nothing of the network then, in which the load is on.
    ///
    /// A reading above the limit that is taught for it never speaks for its side: that side keeps at
    /// least the chance that all other readings leave it. A file that nobody measured believes more of
    /// a sound vehicle's losses than what is taught of them.
    #[must_use]
    pub fn hear(&mut self, observations: &[Observation], heard: Heard) -> Account {
        symptom::hear(&mut self.estimator, observations, heard)
    }

    /// The same, with nothing said from a reading that is more likely wrong than not: the account is what
    /// the others leave, and the reading stands first among those to take again. Its number and how surely
    /// it is wrong come beside the account.
    #[must_use]
    pub fn hear_undoubted(
        &mut self,
        observations: &[Observation],
        heard: Heard,
    ) -> (Account, Option<(u32, Ratio)>) {
        symptom::hear_undoubted(&mut self.estimator, observations, heard)
    }

    /// The readings that split best what is left, best first, the coil's among them.
    #[must_use]
    pub fn split(
        &mut self,
        account: &Account,
        observations: &[Observation],
        heard: Heard,
    ) -> Vec<Proposal> {
        symptom::split(&mut self.estimator, &self.practice, account, observations, heard)
    }

    /// Steps ranked by what they gain for a minute of work, best first; empty when nothing is worth doing.
    ///
    /// With a complaint only its state counts; without one every state does. A step is worth doing when what
    /// it reaches is bad: a joint beyond what its kind usually has, or the file's own range, or a conductor
    /// that is rotten or open. What a sound cable loses is the drop it was made with and is left; a larger or
    /// a second one is offered only where a load falls short of its minimum with everything sound.
    #[must_use]
    pub fn repairs(&mut self, diagnosis: &Diagnosis, complaint: Option<Complaint>) -> Vec<Repair> {
        repairs::repairs(&mut self.estimator.forward, diagnosis, complaint)
    }

    /// Loads that fall short of their minimum with everything sound, and where: the vehicle is made too small
    /// for them.
    #[must_use]
    pub fn made_too_small(&mut self, complaint: Option<Complaint>) -> Vec<(LoadId, StateId)> {
        repairs::made_too_small(&mut self.estimator.forward, complaint)
    }

    /// The step that gains most for a minute when the first of these is done: its gains are what comes
    /// on top, its time is what it adds, with what the first took off still off.
    #[must_use]
    pub fn then(
        &mut self,
        diagnosis: &Diagnosis,
        complaint: Option<Complaint>,
        repairs: &[Repair],
    ) -> Option<Repair> {
        repairs::then(&mut self.estimator.forward, diagnosis, complaint, repairs)
    }
}
