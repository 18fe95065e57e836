//! One examination: the program asks, the meter answers, the diagnosis is told.
//!
//! The only file that calls the diagnosis.

use std::fmt::Write;

use diagnosis::{Complaint, Diagnosis, JointBelief, Observation, Proposal, Session, SuspectKind};
use model::{JointId, LoadId, Measured, PointId, Probe, Reading, StateId, Vehicle};

use crate::dice::Dice;
use crate::fault::Faulty;
use crate::meter::{self, Slip};

/// A person stops measuring when something is surer than this.
pub const SURE: f64 = 0.95;
/// Joints that are reported as not to be told apart count as one place up to this number.
pub const LARGEST_SET: usize = 2;

/// One vehicle of a scenario.
#[derive(Debug, Clone, Copy)]
pub struct Case {
    /// Where chance begins.
    pub seed: u64,
    /// The vehicle's number.
    pub number: u64,
    /// Whether every step is to be told.
    pub told: bool,
}

/// An examination of one vehicle by one meter.
#[derive(Debug)]
pub struct Examination<'v> {
    session: Session<'v>,
    known: &'v Vehicle,
    faulty: &'v Faulty,
    case: Case,
    slip_at: Option<u32>,
    /// The slip that was made, if any.
    pub slip: Option<Slip>,
    /// The readings taken.
    pub readings: Vec<Reading>,
    /// What was measured and then thought, step by step, when that is wanted.
    pub told: Option<String>,
}

/// What an examination came to.
#[derive(Debug, Clone)]
pub struct Verdict {
    diagnosis: Diagnosis,
}

impl<'v> Examination<'v> {
    /// Begins; the meter's errors follow from the seed and the vehicle's number.
    #[must_use]
    pub fn new(known: &'v Vehicle, faulty: &'v Faulty, case: Case) -> Self {
        Self {
            session: Session::new(known),
            known,
            faulty,
            case,
            slip_at: None,
            slip: None,
            readings: Vec::new(),
            told: case.told.then(String::new),
        }
    }

    /// The reading with this number, or the first after it that can be, will be taken wrongly.
    pub fn slip_at(&mut self, reading: u32) {
        self.slip_at = Some(reading);
    }

    /// The number of the reading that was taken wrongly.
    #[must_use]
    pub fn slipped(&self) -> Option<u32> {
        self.slip.and(self.slip_at)
    }

    fn observations(&self) -> Vec<Observation> {
        diagnosis::observations(self.known, &self.readings)
    }

    /// True when the program does not weigh the reading with this number: it cannot be, or waits for its sign.
    #[must_use]
    pub fn sets_aside(&self, reading: u32) -> bool {
        self.observations().iter().all(|own| own.number != reading)
    }

    fn take(&mut self, proposal: &Proposal) -> bool {
        let number = u32::try_from(self.readings.len() + 1).unwrap_or(u32::MAX);
        let mut dice =
            Dice::new(self.case.seed, "reading", self.case.number * 1000 + u64::from(number));
        let real = (&self.faulty.real, self.faulty.points.as_slice());
        let (state, measured) = (proposal.state, proposal.measured);
        let Some(right) = meter::read(real, number, state, measured, &mut dice) else {
            return false;
        };
        let due = self.slip.is_none() && self.slip_at.is_some_and(|at| number >= at);
        let wrong =
            if due { meter::slipped(real, number, state, measured, &mut dice) } else { None };
        self.readings.push(match wrong {
            Some((reading, slip)) => {
                self.slip = Some(slip);
                self.slip_at = Some(number);
                reading
            }
            None => right,
        });
        true
    }

    /// Notes the last reading and what is thought after it.
    fn tell(&mut self, observations: &[Observation], diagnosis: &Diagnosis) {
        let Some(told) = &mut self.told else { return };
        let last = observations.last().zip(diagnosis.expected.last());
        let reading = last.map_or_else(String::new, |(own, (sound, explained))| {
            format!(
                "{} {} {}: {:.4} ± {:.4}, sound {sound:.4}, explained {explained:.4}",
                own.number,
                self.known.state(own.state).id,
                measured(self.known, own.measured),
                own.value,
                own.sigma,
            )
        });
        let words = Verdict { diagnosis: diagnosis.clone() }.words(self.known);
        let _ = writeln!(told, "    {reading}\n      {words}");
    }

    /// Takes what the program asks for, step by step, until it is sure, asks nothing more, or so many
    /// readings have been taken in all.
    pub fn ask(&mut self, complaint: Option<(LoadId, StateId)>, most: usize) -> Verdict {
        self.ask_until(complaint, most, |diagnosis| diagnosis.surer_than(SURE))
    }

    /// The same, but goes on when one fault is sure, until all readings are used.
    pub fn ask_on(&mut self, complaint: Option<(LoadId, StateId)>, most: usize) -> Verdict {
        self.ask_until(complaint, most, |_| false)
    }

    fn ask_until(
        &mut self,
        complaint: Option<(LoadId, StateId)>,
        most: usize,
        enough: impl Fn(&Diagnosis) -> bool,
    ) -> Verdict {
        let complaint = complaint.map(|(load, state)| Complaint { load, state });
        loop {
            let observations = self.observations();
            let diagnosis = self.session.diagnose(&observations, complaint);
            self.tell(&observations, &diagnosis);
            if self.readings.len() >= most || enough(&diagnosis) {
                return Verdict { diagnosis };
            }
            let proposals = self.session.next(&diagnosis, &observations, complaint);
            if !proposals.iter().any(|proposal| self.take(proposal)) {
                return Verdict { diagnosis };
            }
        }
    }

    /// Takes a first plan of at most so many readings, with no complaint.
    pub fn survey(&mut self, most: usize) -> Verdict {
        for proposal in self.session.survey(most) {
            self.take(&proposal);
            if self.told.is_some() {
                let observations = self.observations();
                let diagnosis = self.session.diagnose(&observations, None);
                self.tell(&observations, &diagnosis);
            }
        }
        let observations = self.observations();
        Verdict { diagnosis: self.session.diagnose(&observations, None) }
    }
}

impl Verdict {
    /// At which place a joint stands among the suspects, the first being zero. Joints that are
    /// reported as not to be told apart, at most two, share a place.
    #[must_use]
    pub fn place(&self, joint: JointId) -> Option<usize> {
        let mut places: Vec<Vec<SuspectKind>> = Vec::new();
        for suspect in &self.diagnosis.suspects {
            if places.iter().flatten().any(|kind| *kind == suspect.kind) {
                continue;
            }
            let mut place = vec![suspect.kind];
            if let SuspectKind::Joint(id) = suspect.kind {
                let set = self
                    .diagnosis
                    .sets
                    .iter()
                    .find(|set| set.len() <= LARGEST_SET && set.contains(&id));
                place.extend(set.into_iter().flatten().map(|id| SuspectKind::Joint(*id)));
            }
            if place.contains(&SuspectKind::Joint(joint)) {
                return Some(places.len());
            }
            places.push(place);
        }
        None
    }

    /// What is believed of every joint.
    #[must_use]
    pub fn beliefs(&self) -> &[JointBelief] {
        &self.diagnosis.joints
    }

    /// The largest probability that any single joint is bad, and the joint.
    #[must_use]
    pub fn worst_joint(&self) -> Option<(JointId, f64)> {
        self.diagnosis
            .joints
            .iter()
            .enumerate()
            .map(|(at, belief)| (JointId::at(at), belief.bad))
            .max_by(|a, b| a.1.total_cmp(&b.1))
    }

    /// The reading most likely wrong, with the probability.
    #[must_use]
    pub fn take_again(&self) -> Option<(u32, f64)> {
        self.diagnosis.take_again.first().copied()
    }

    /// Probability of a path that the file does not show: between any structures, and between those
    /// of which `same` says that they are the right ones.
    #[must_use]
    pub fn undrawn(&self, same: impl Fn(PointId, PointId) -> bool) -> (f64, f64) {
        let (mut any, mut right) = (0.0, 0.0);
        for suspect in &self.diagnosis.suspects {
            if let SuspectKind::ExtraPath { from, to } = suspect.kind {
                any += suspect.probability;
                if same(from, to) {
                    right += suspect.probability;
                }
            }
        }
        (any, right)
    }

    /// The first suspects in words.
    #[must_use]
    pub fn words(&self, vehicle: &Vehicle) -> String {
        let mut words = Vec::new();
        for suspect in self.diagnosis.suspects.iter().take(4) {
            let name = match suspect.kind {
                SuspectKind::Joint(id) => vehicle.joint(id).id.clone(),
                SuspectKind::Conductor(id) => vehicle.conductor(id).id.clone(),
                SuspectKind::Open(id) => format!("{} open", vehicle.conductor(id).id),
                SuspectKind::Inline(id) => vehicle.inline(id).id.clone(),
                SuspectKind::LoadDrags(id) => format!("{} drags", vehicle.load(id).id),
                SuspectKind::LoadOpen(id) => format!("{} open", vehicle.load(id).id),
                SuspectKind::BatteryLow(id) => format!("{} low", vehicle.battery(id).id),
                SuspectKind::SourceLow(id) => format!("{} low", vehicle.regulated_source(id).id),
                SuspectKind::BatteryWorn(id) => format!("{} worn", vehicle.battery(id).id),
                SuspectKind::ExtraPath { from, to } => {
                    format!("path {} to {}", vehicle.point(from).id, vehicle.point(to).id)
                }
            };
            words.push(format!("{name} {:.0} %", 100.0 * suspect.probability));
        }
        format!("{}; nothing {:.0} %", words.join(", "), 100.0 * self.diagnosis.nothing_bad)
    }
}

/// A question in words.
fn measured(vehicle: &Vehicle, measured: Measured) -> String {
    let probe = |probe: Probe| match probe {
        Probe::Point(id) => vehicle.point(id).id.clone(),
        Probe::Lug(id) => format!("lug {}", vehicle.joint(id).id),
        Probe::Strand(id) => format!("strand {}", vehicle.joint(id).id),
    };
    match measured {
        Measured::Volts { high, low } => format!("{} to {}", probe(high), probe(low)),
        Measured::Amps { conductor } => format!("clamp {}", vehicle.conductor(conductor).id),
        _ => String::new(),
    }
}
