//! What is worth doing: each repair's expected gain in volts, its chance to help, its minutes.

use model::{ConductorId, JointId, LoadId, Piece, PointId, StateId};
use units::{Metres, Ohms, Seconds, Volts};

use crate::diagnose::{Complaint, Diagnosis, Explanation};
use crate::prior::BAD_DROP_12_V;
use crate::session::Session;

/// One thing that could be done.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Action {
    /// Open the joint, clean the faces, tighten it with its torque, protect it.
    Clean(JointId),
    /// Replace the conductor with its ends.
    Replace(ConductorId),
    /// Add a conductor of this resistance, lugs included, between two points.
    Add {
        /// One end.
        from: PointId,
        /// The other end.
        to: PointId,
        /// Its length, as the crow flies and a third more.
        length: Metres,
        /// Its resistance.
        ohms: Ohms,
    },
}

/// What a load gains in a state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gain {
    /// The load.
    pub load: LoadId,
    /// The state.
    pub state: StateId,
    /// Expected gain.
    pub volts: Volts,
    /// Expected voltage after it.
    pub after: Volts,
}

/// A repair and what it is worth.
#[derive(Debug, Clone, PartialEq)]
pub struct Repair {
    /// What to do.
    pub action: Action,
    /// The gain that matters: at the complaint's load, or the largest.
    pub best: Gain,
    /// Every gain above ten millivolts, the largest first.
    pub gains: Vec<Gain>,
    /// Probability that it gains the load at least a third of what makes a joint bad.
    pub helps: f64,
    /// Work.
    pub time: Seconds,
    /// Loads that stay below their minimum after it, with their expected voltage.
    pub still_short: Vec<(LoadId, StateId, Volts)>,
}

/// Resistance of a metre of 25 mm² copper cable (IEC 60228 class 5) and of two clean lugs
/// (unconfirmed), for a conductor that might be added.
const ADDED_OHMS_PER_METRE: f64 = 0.78e-3;
const ADDED_LUGS: f64 = 0.2e-3;
/// Minutes of work (our judgement): clean a joint, replace a conductor, add one.
const CLEAN_MIN: f64 = 15.0;
const REPLACE_MIN: f64 = 40.0;
const ADD_MIN: f64 = 45.0;
/// Candidates that are worked out.
const MOST_JOINTS: usize = 14;
/// Explanations that count.
const MOST_EXPLANATIONS: usize = 8;

impl Session<'_> {
    /// Repairs ranked by what they gain for a minute of work, best first.
    #[must_use]
    pub fn repairs(&mut self, diagnosis: &Diagnosis, complaint: Option<Complaint>) -> Vec<Repair> {
        let vehicle = self.vehicle();
        let explanations: Vec<&Explanation> = diagnosis
            .explanations
            .iter()
            .filter(|own| own.weight > 0.01)
            .take(MOST_EXPLANATIONS)
            .collect();
        let states: Vec<StateId> = match complaint {
            Some(complaint) => vec![complaint.state],
            None => (0..vehicle.states.len()).map(StateId::at).collect(),
        };
        let mut joints: Vec<(f64, JointId)> = (0..vehicle.joints.len())
            .map(|at| {
                let belief = &diagnosis.joints[at];
                (
                    belief.bad
                        + 0.05 * (belief.median.0 / vehicle.joints[at].resistance.0).ln().max(0.0),
                    JointId::at(at),
                )
            })
            .collect();
        joints.sort_by(|a, b| b.0.total_cmp(&a.0));
        let mut actions: Vec<(Action, f64)> = joints
            .iter()
            .take(MOST_JOINTS)
            .map(|(_, id)| (Action::Clean(*id), self.minutes_at(*id)))
            .collect();
        let mut replaced: Vec<ConductorId> = Vec::new();
        for (_, id) in joints.iter().take(6) {
            if let model::JointOf::From(conductor) | model::JointOf::To(conductor) =
                vehicle.joint(*id).of
                && !replaced.contains(&conductor)
            {
                replaced.push(conductor);
                actions.push((Action::Replace(conductor), REPLACE_MIN));
            }
        }
        for &(from, to) in &self.forward.paths {
            let length = match (vehicle.point(from).place, vehicle.point(to).place) {
                (Some(a), Some(b)) => {
                    Metres((1.33 * (a.forward - b.forward).0.hypot((a.left - b.left).0)).max(0.3))
                }
                _ => Metres(1.5),
            };
            let ohms = Ohms(ADDED_OHMS_PER_METRE * length.0 + ADDED_LUGS);
            actions.push((Action::Add { from, to, length, ohms }, ADD_MIN));
        }
        let before: Vec<Option<Vec<Vec<Volts>>>> =
            explanations.iter().map(|own| self.volts_after(own, &states, None)).collect();
        let mut repairs: Vec<Repair> = actions
            .into_iter()
            .filter_map(|(action, minutes)| {
                self.repair(action, minutes, &explanations, &before, &states, complaint)
            })
            .collect();
        repairs.sort_by(|a, b| (b.best.volts.0 / b.time.0).total_cmp(&(a.best.volts.0 / a.time.0)));
        repairs
    }

    fn minutes_at(&self, joint: JointId) -> f64 {
        let reach = self.vehicle().reach_time(self.vehicle().joint(joint).point);
        CLEAN_MIN + reach.map_or(0.0, |time| time.0 / 60.0)
    }

    /// Volts across every load in every state asked for, after an action.
    fn volts_after(
        &mut self,
        own: &Explanation,
        states: &[StateId],
        action: Option<Action>,
    ) -> Option<Vec<Vec<Volts>>> {
        let vehicle = self.vehicle();
        let mut unknowns = own.unknowns.clone();
        let mut present = own.belief.present.clone();
        let mut sound = |joint: JointId| {
            let at = vehicle.piece_slot(Piece::Joint(joint));
            // Work does not make a joint worse than it is.
            unknowns[at] = unknowns[at].min(0.0);
        };
        match action {
            None => {}
            Some(Action::Clean(joint)) => sound(joint),
            Some(Action::Replace(conductor)) => {
                sound(vehicle.conductor(conductor).from);
                sound(vehicle.conductor(conductor).to);
                let at = vehicle.piece_slot(Piece::Conductor(conductor));
                unknowns[at] = unknowns[at].min(0.0);
            }
            Some(Action::Add { from, to, ohms, .. }) => {
                let path = self.forward.paths.iter().position(|own| *own == (from, to))?;
                let at = self.forward.layout.extra(path);
                // Beside a path that is there already, both conduct.
                let already = if present.contains(&path) { 1.0 / unknowns[at].exp() } else { 0.0 };
                unknowns[at] = -(already + 1.0 / ohms.0).ln();
                if !present.contains(&path) {
                    present.push(path);
                }
            }
        }
        let guess = self.forward.guess(&unknowns, &present, states, None)?;
        states
            .iter()
            .map(|state| {
                (0..vehicle.loads.len())
                    .map(|at| self.forward.load_volts(&guess, *state, LoadId::at(at)))
                    .collect::<Option<Vec<Volts>>>()
            })
            .collect()
    }

    fn repair(
        &mut self,
        action: Action,
        minutes: f64,
        explanations: &[&Explanation],
        before: &[Option<Vec<Vec<Volts>>>],
        states: &[StateId],
        complaint: Option<Complaint>,
    ) -> Option<Repair> {
        let vehicle = self.vehicle();
        let mut gains: Vec<Gain> = Vec::new();
        let mut total = 0.0;
        let worth = BAD_DROP_12_V.0 / 3.0 * vehicle.nominal.0 / 12.0;
        let (mut helps, mut helped) = (vec![0.0; vehicle.loads.len() * states.len()], 0.0_f64);
        for (own, before) in explanations.iter().zip(before) {
            let (Some(before), Some(after)) = (before, self.volts_after(own, states, Some(action)))
            else {
                continue;
            };
            total += own.weight;
            for (at, state) in states.iter().enumerate() {
                for load in
                    (0..vehicle.loads.len()).filter(|load| vehicle.loads[*load].is_on_in(*state))
                {
                    let gained = after[at][load] - before[at][load];
                    let id = LoadId::at(load);
                    match gains.iter_mut().find(|gain| gain.load == id && gain.state == *state) {
                        Some(gain) => {
                            gain.volts += gained * own.weight;
                            gain.after += after[at][load] * own.weight;
                        }
                        None => gains.push(Gain {
                            load: id,
                            state: *state,
                            volts: gained * own.weight,
                            after: after[at][load] * own.weight,
                        }),
                    }
                    if gained.0 > worth {
                        helps[at * vehicle.loads.len() + load] += own.weight;
                    }
                }
            }
        }
        if total <= 0.0 {
            return None;
        }
        for gain in &mut gains {
            gain.volts = gain.volts / total;
            gain.after = gain.after / total;
        }
        gains.sort_by(|a, b| b.volts.0.total_cmp(&a.volts.0));
        let best = match complaint {
            Some(complaint) => *gains
                .iter()
                .find(|gain| gain.load == complaint.load && gain.state == complaint.state)?,
            None => *gains.first()?,
        };
        if let Some(at) = states.iter().position(|state| *state == best.state) {
            helped = helps[at * vehicle.loads.len() + best.load.index()] / total;
        }
        let still_short = gains
            .iter()
            .filter(|gain| {
                vehicle.load(gain.load).minimum.is_some_and(|minimum| gain.after < minimum)
            })
            .map(|gain| (gain.load, gain.state, gain.after))
            .collect();
        gains.retain(|gain| gain.volts > Volts(0.01));
        Some(Repair {
            action,
            best,
            gains,
            helps: helped,
            time: Seconds(minutes * 60.0),
            still_short,
        })
    }
}
