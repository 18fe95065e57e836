//! What proves nothing or looks odd, why, and what to do instead.

use model::{Code, Impossible, Measured, Probe, Problem, StateId};
use units::{Amperes, Volts, print};

use super::known::Said;
use super::meaning::{Context, Outcome, Remarks};
use super::value::{Value, most};

/// That an entry proves nothing.
pub(super) fn worthless(why: impl Into<String>, instead: impl Into<String>) -> Outcome {
    Outcome::Worthless { why: why.into(), instead: instead.into() }
}

impl Context<'_> {
    pub(super) fn second_unknown(&self, probe: Probe) -> Outcome {
        let home = self.vehicle.batteries.first().map_or("the battery's post", |battery| {
            self.vehicle.point(battery.negative).id.as_str()
        });
        let mut instead =
            format!("hold the second probe to a named point such as `{home}`, and say so");
        if let Probe::Lug(joint) | Probe::Strand(joint) = probe {
            let point = &self.vehicle.point(self.vehicle.joint(joint).point).id;
            instead.push_str(&format!("; for the joint alone, to `{point}`"));
        }
        worthless(
            format!(
                "unknown second point: against what `{}` was measured is not told, and a \"good ground\" may itself be on the bad path",
                self.name(probe)
            ),
            instead,
        )
    }

    /// Both probes at the same metal.
    pub(super) fn one_place(&self, a: Probe, b: Probe) -> Outcome {
        let other = [a, b].into_iter().find_map(|probe| match probe {
            Probe::Lug(joint) | Probe::Strand(joint) => Some(self.vehicle.joint(joint).point),
            Probe::Point(_) => None,
        });
        let instead = match other {
            Some(point) => format!(
                "for the joint itself, hold the second probe to `{}`",
                self.vehicle.point(point).id
            ),
            None => "put the second probe on the other side of what you want to test".to_owned(),
        };
        let (a, b) = (self.name(a), self.name(b));
        let at = if a == b { format!("`{a}`") } else { format!("`{a}` and `{b}`, the same metal") };
        worthless(
            format!("both probes are at {at}: a meter shows nothing there, whatever is wrong"),
            instead,
        )
    }

    pub(super) fn no_state(&self, what: &str) -> Outcome {
        let states = self.vehicle.states.iter().map(|state| state.id.as_str());
        worthless(
            format!("no state is told: {what} mean something else at rest and while cranking"),
            format!("say what was switched on: one of {}", file::suggest::listed(states)),
        )
    }

    /// With nothing joined no current flows.
    pub(super) fn open_circuit(&self, open: &Said) -> Outcome {
        worthless(
            format!(
                "`{}`: nothing flows through what is not joined, and without a current even a bad joint loses no volts",
                open.text
            ),
            "take it with everything joined and switched on, so that the current of its load flows",
        )
    }

    pub(super) fn no_current(&self, state: StateId, a: Probe, b: Probe) -> Outcome {
        let busy = self.busy_states(a, b);
        let instead = if busy.is_empty() {
            "no state of the file sends a current through there: switch on a load that does, and add it to the file".to_owned()
        } else {
            format!("take it while a current flows there: {}", busy.join(", "))
        };
        worthless(
            format!(
                "no load: in `{}` nothing flows between `{}` and `{}`, and without a current even a bad joint loses no volts",
                self.vehicle.state(state).id,
                self.name(a),
                self.name(b)
            ),
            instead,
        )
    }

    /// A value where the file lets nothing flow proves that something else is going on.
    pub(super) fn flows_unexplained(
        &self,
        state: StateId,
        value: &Value,
        a: Probe,
        b: Probe,
    ) -> Problem {
        Problem::warning(
            Code::FlowUnexplained,
            value.place.clone(),
            format!(
                "by the file nothing flows between `{}` and `{}` in `{}`, and yet there is this value",
                self.name(a),
                self.name(b),
                self.vehicle.state(state).id
            ),
            "nothing, within the meter's accuracy",
        )
        .hint("was it another state, or is something on that the file does not show?")
    }

    /// Warns of a value that cannot be: it is kept and shown, and weighed by nobody.
    pub(super) fn check_possible(
        &self,
        state: Option<StateId>,
        measured: Measured,
        value: &Value,
        remarks: &mut Remarks,
    ) {
        let Some(impossible) = self.vehicle.impossible(state, measured, value.told) else { return };
        let shown = |number: f64| match measured {
            Measured::Amps { .. } => print::amperes(Amperes(number)),
            _ => print::volts(Volts(number)),
        };
        let value_shown = shown(most(value.told));
        remarks.warnings.push(match impossible {
            Impossible::Beyond(limit) => Problem::warning(
                Code::ValueImplausible,
                value.place.clone(),
                format!("{value_shown} is more than anything in this vehicle gives, so that it is kept and not weighed"),
                format!("at most some {}", shown(limit)),
            )
            .hint("thousandths are written `mV` and `mA`; is the vehicle one of that voltage?"),
            Impossible::BeyondBatteries(limit) => Problem::warning(
                Code::ValueImplausible,
                value.place.clone(),
                format!(
                    "{value_shown} is more than the batteries alone give in `{}`, so that it is kept and not weighed",
                    state.map_or("", |own| self.vehicle.state(own).id.as_str())
                ),
                format!("at most some {}", shown(limit)),
            )
            .hint("was the engine or a charger running? thousandths are written `mV` and `mA`"),
            // It is asked about with the leads that may have been crossed.
            Impossible::Outside => return,
            Impossible::Reversed(battery) => Problem::warning(
                Code::BatteryReversed,
                value.place.clone(),
                format!(
                    "a minus over `{}` with the red lead on its plus cannot be, so that it is kept and not weighed",
                    self.vehicle.battery(battery).id
                ),
                "the value without the minus, or the two places the other way round",
            )
            .hint("were the leads crossed?"),
        });
    }
}
