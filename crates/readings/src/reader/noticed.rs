//! Readings without a meter: what a jump lead changed, what moving a joint changed.

use model::{Accuracy, Code, LoadId, Measured, PointId, Probe, Problem, StateId, Told};

use super::advice::worthless;
use super::known::{Said, Thing};
use super::meaning::{Account, Context, Outcome, Remarks, reading};
use super::value::Value;

/// Where no meter was read.
const NO_METER: Accuracy = Accuracy { share: units::Ratio(0.0), counts: 0, resolution: 0.0 };

impl Context<'_> {
    pub(super) fn jump_lead(
        &self,
        account: &Account,
        value: &Value,
        remarks: &mut Remarks,
    ) -> Result<Outcome, Problem> {
        if !matches!(value.told, Told::Change(_) | Told::Nothing) {
            return Err(Problem::error(
                Code::ValueUnreadable,
                value.place.clone(),
                "a jump lead tells better, worse or the same",
                "`better`, `worse` or `same`; what the meter showed is a reading of its own",
            ));
        }
        let mut names: Vec<&Said> = account.names.iter().collect();
        let told = match &account.load {
            Some(load) => Some(load),
            None => names
                .iter()
                .position(|said| self.known.load(&said.text).is_some())
                .map(|at| names.remove(at)),
        };
        let complaint = self.complaint.as_ref().and_then(|complaint| complaint.load);
        let load = match (told, complaint) {
            (Some(said), _) => self
                .known
                .load(&said.text)
                .ok_or_else(|| self.known.not_known(Code::UnknownLoad, said, "load"))?,
            (None, Some(load)) => load,
            (None, None) => {
                return Err(Problem::error(
                    Code::LoadMissing,
                    account.place.clone(),
                    "which load was watched is not told",
                    "the load at the end, as in `better with a jump lead from block/front to main/-: starter`",
                ));
            }
        };
        let [from, to] = names.as_slice() else {
            return Err(Problem::error(
                Code::TwoPointsWanted,
                account.place.clone(),
                format!("a jump lead has two ends, {} told", are(names.len())),
                "the two points that it joined",
            ));
        };
        let (from, to) = (self.metal_point(from)?, self.metal_point(to)?);
        let name = &self.vehicle.load(load).id;
        if from == to {
            return Ok(worthless(
                "both ends of the jump lead are at the same point",
                "join two different points",
            ));
        }
        if let Some(state) = account.state
            && !self.vehicle.load(load).is_on_in(state)
        {
            return Ok(worthless(
                format!(
                    "`{name}` is off in `{}`: no lead changes it",
                    self.vehicle.state(state).id
                ),
                "watch a load that is on, or name the state in which it was tried",
            ));
        }
        let told = if value.told == Told::Nothing { Told::Change(0) } else { value.told };
        let value = Value { told, ..value.clone() };
        let measured = Measured::JumpLead { from, to, load };
        let state = account.state.or_else(|| self.watched(account, load, remarks));
        Ok(Outcome::Reading(reading(account, state, measured, &value, NO_METER)))
    }

    /// The complaint's state for a trial that tells none; where a load is on in several and nobody
    /// complains of one, the first of them counts, and that is said.
    fn watched(&self, account: &Account, load: LoadId, remarks: &mut Remarks) -> Option<StateId> {
        let load = self.vehicle.load(load);
        let complaint = self.complaint.as_ref().and_then(|own| own.state);
        let state = complaint.filter(|state| load.is_on_in(*state));
        if let (None, [first, _, ..]) = (state, load.on.as_slice()) {
            remarks.warnings.push(Problem::warning(
                Code::StateAssumed,
                account.place.clone(),
                format!(
                    "no state is told; `{}` is assumed, the first in which `{}` is on",
                    self.vehicle.state(*first).id,
                    load.id
                ),
                "the state in which it was tried",
            ));
        }
        state
    }

    fn metal_point(&self, said: &Said) -> Result<PointId, Problem> {
        match self.known.probe(said)? {
            Probe::Point(point) => Ok(point),
            Probe::Lug(joint) | Probe::Strand(joint) => {
                let joint = self.vehicle.joint(joint);
                Err(Problem::error(
                    Code::WhichTerminal,
                    said.place.clone(),
                    format!("`{}` is a lug, and a jump lead joins two points", said.text),
                    format!("a point, such as `{}`", self.vehicle.point(joint.point).id),
                ))
            }
        }
    }

    pub(super) fn moved(&self, account: &Account, value: &Value) -> Result<Outcome, Problem> {
        let told = match value.told {
            Told::Nothing => Told::Change(0),
            told @ Told::Change(_) => told,
            _ => {
                return Err(Problem::error(
                    Code::ValueUnreadable,
                    value.place.clone(),
                    "moving a joint tells whether the fault went or came",
                    "`cured`, `came` or `same`; what the meter showed is a reading of its own",
                ));
            }
        };
        let [said] = account.names.as_slice() else {
            return Err(Problem::error(
                Code::JointMissing,
                account.place.clone(),
                format!("one joint is moved at a time, {} told", are(account.names.len())),
                "the joint, as in `cured by pushing on main-negative.to`",
            ));
        };
        let Some(joint) = self.known.joint(&said.text) else {
            return Err(self.which_joint(said));
        };
        let value = Value { told, ..value.clone() };
        Ok(Outcome::Reading(reading(
            account,
            account.state,
            Measured::Moved { joint },
            &value,
            NO_METER,
        )))
    }

    /// A conductor or a point was named where a joint is wanted.
    fn which_joint(&self, said: &Said) -> Problem {
        let vehicle = self.vehicle;
        let joints: Vec<&str> = match self.known.place(&said.text) {
            Some(Thing::Conductor(id)) => {
                let ends = vehicle.conductor(id);
                vec![&vehicle.joint(ends.from).id, &vehicle.joint(ends.to).id]
            }
            Some(Thing::Point(point)) => {
                let there = vehicle.joints.iter().filter(|joint| joint.point == point);
                there.map(|joint| joint.id.as_str()).collect()
            }
            _ => Vec::new(),
        };
        if joints.is_empty() {
            return self.known.not_known(Code::UnknownJoint, said, "joint");
        }
        Problem::error(
            Code::WhichJoint,
            said.place.clone(),
            format!("`{}` is not one joint", said.text),
            format!("the joint that was moved: {}", file::suggest::listed(joints)),
        )
    }
}

fn are(count: usize) -> String {
    match count {
        0 => "none is".to_owned(),
        1 => "one is".to_owned(),
        many => format!("{many} are"),
    }
}
