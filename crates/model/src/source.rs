//! Sources: batteries, and regulated sources such as alternators, chargers and converters.

use units::{Amperes, Coulombs, Ohms, Ratio, Volts};

use crate::id::{JointId, PointId, RegulatedId, StateId};
use crate::likely::Likely;

/// A battery as a voltage behind a resistance, which is larger when it is being charged.
#[derive(Debug, Clone, PartialEq)]
pub struct Battery {
    /// The name used in the file.
    pub id: String,
    /// Its positive post.
    pub positive: PointId,
    /// Its negative post.
    pub negative: PointId,
    /// Nominal voltage.
    pub nominal: Volts,
    /// Chemistry as written: `flooded`, `AGM`, `gel`, `lithium iron phosphate`.
    pub chemistry: String,
    /// Capacity.
    pub capacity: Coulombs,
    /// Open-circuit voltage, for each state of the vehicle in the order of its states.
    pub open_circuit: Vec<Volts>,
    /// Open-circuit voltage at the file's own state of charge.
    pub rested: Volts,
    /// The range in which the file's writer expects that voltage when sound.
    pub likely_voltage: Option<Likely<Volts>>,
    /// Resistance when discharging.
    pub resistance: Ohms,
    /// The range in which the file's writer expects that resistance when sound.
    pub likely_resistance: Option<Likely<Ohms>>,
    /// Apparent resistance when being charged, for each state of the vehicle.
    pub charge_resistance: Vec<Ohms>,
    /// State of charge in the file.
    pub charge: Ratio,
    /// A remark for people.
    pub note: Option<String>,
}

/// What a regulated source is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RegulatedKind {
    /// Driven by the engine.
    Alternator,
    /// Fed from the shore or the mains.
    Charger,
    /// A panel with its regulator.
    Solar,
    /// The output of a DC-DC converter.
    Converter,
    /// One half of a battery equaliser: what it gives to one half of a bank it takes from the other.
    Equaliser,
}

/// A bank of batteries in series, half of whose volts an equaliser holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Bank {
    /// Its highest post.
    pub top: PointId,
    /// Its lowest post.
    pub bottom: PointId,
    /// The other half of the equaliser, which gives what this one takes from; one of them works at a time.
    pub twin: RegulatedId,
}

/// The input side of a DC-DC converter.
#[derive(Debug, Clone, PartialEq)]
pub struct Converter {
    /// Positive input terminal.
    pub positive: PointId,
    /// Negative input terminal.
    pub negative: PointId,
    /// Output power over input power.
    pub efficiency: Ratio,
    /// The least voltage at its input: it gives less rather than pull its feed below, and nothing
    /// where the feed is lower by itself.
    pub minimum: Volts,
}

/// A source that holds a voltage until its current limit.
#[derive(Debug, Clone, PartialEq)]
pub struct Regulated {
    /// The name used in the file.
    pub id: String,
    /// What it is.
    pub kind: RegulatedKind,
    /// Its positive terminal.
    pub positive: PointId,
    /// Its negative terminal, or its case.
    pub negative: PointId,
    /// The joint of its case to metal, if it returns that way.
    pub case: Option<JointId>,
    /// The voltage it holds where it senses.
    pub set_point: Volts,
    /// Fall of the held voltage per ampere delivered.
    pub droop: Ohms,
    /// Points between which it senses, if not its own terminals.
    pub sense: Option<(PointId, PointId)>,
    /// The bank half of whose volts it holds at its own terminals, for an equaliser.
    pub follows: Option<Bank>,
    /// The most it delivers in each state of the vehicle; zero where it is off.
    pub limit: Vec<Amperes>,
    /// The input, for a converter.
    pub input: Option<Converter>,
    /// A remark for people.
    pub note: Option<String>,
}

impl Regulated {
    /// True when it can deliver anything in the state.
    #[must_use]
    pub fn runs_in(&self, state: StateId) -> bool {
        self.limit.get(state.index()).is_some_and(|limit| *limit > Amperes::ZERO)
    }
}
