//! A reading that is proposed, and why.

use model::{Measured, PointId, StateId, Vehicle};
use units::Seconds;

use crate::forward::Forward;
use crate::judged;
use crate::suspect::SuspectKind;

/// Why a reading is asked for while the engine runs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Why {
    /// What is complained of shows only then.
    OnlyThen,
    /// Nothing that can be read without it tells as much: at most this share, zero to one.
    TellsMore(f64),
    /// A reading that was taken then is in doubt.
    Again,
}

/// A reading worth taking.
#[derive(Debug, Clone, PartialEq)]
pub struct Proposal {
    /// The state to hold.
    pub state: StateId,
    /// Why the engine has to run for it; nothing where it need not.
    pub why: Option<Why>,
    /// Where the probes go.
    pub measured: Measured,
    /// Of a clamp: the point towards which its arrow points.
    pub towards: Option<PointId>,
    /// Work it takes.
    pub time: Seconds,
    /// Expected loss of doubt, in natural units of information.
    pub gain: f64,
    /// What to expect when nothing is wrong, in volts or amperes. Never below zero: the probes, or the
    /// clamp's arrow, are put so.
    pub sound: f64,
    /// What to expect under the likeliest explanations, with their weights.
    pub outcomes: Vec<(Vec<SuspectKind>, f64, f64)>,
}

impl Proposal {
    /// A reading that takes so long and tells so much, with the probes, or the clamp's arrow, put so that a sound
    /// vehicle shows no minus.
    pub(crate) fn of(
        forward: &Forward<'_>,
        (state, measured): (StateId, Measured),
        time: Seconds,
        gain: f64,
        outcomes: Vec<(Vec<SuspectKind>, f64, f64)>,
    ) -> Self {
        let sound = forward.sound_value(state, measured).unwrap_or(f64::NAN);
        Self { state, why: None, measured, towards: None, time, gain, sound, outcomes }
            .upright(forward.vehicle())
    }

    fn upright(mut self, vehicle: &Vehicle) -> Self {
        let minus = self.sound < 0.0;
        match self.measured {
            Measured::Volts { high, low } if minus => {
                self.measured = Measured::Volts { high: low, low: high };
            }
            Measured::Amps { conductor } => {
                let (from, to) = vehicle.conductor_ends(conductor);
                self.towards = Some(if minus { from } else { to });
            }
            _ => {}
        }
        if minus {
            self.sound = -self.sound;
            for outcome in &mut self.outcomes {
                outcome.1 = -outcome.1;
            }
        }
        self
    }
}

/// A reading that tells this share of what another tells, tells as much.
pub(crate) fn as_much() -> f64 {
    judged::readings().tells_as_much.0
}
