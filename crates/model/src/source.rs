//! Sources: batteries, and regulated sources such as alternators, chargers and converters.

use catalogue::Catalogue;
use physics::source::{Cold, Plates};
use units::{Amperes, Coulombs, Kelvin, Ohms, Ratio, Volts};

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
    /// Resistance when discharging, at 20 °C.
    pub resistance: Ohms,
    /// How its plates polarise beside that; not at all where the file states its resistance as a whole.
    pub plates: Plates,
    /// Resistance at −18 °C over that of 20 °C.
    pub cold_times: Ratio,
    /// The range in which the file's writer expects that resistance when sound.
    pub likely_resistance: Option<Likely<Ohms>>,
    /// Apparent resistance when being charged at 20 °C, for each state of the vehicle.
    pub charge_resistance: Vec<Ohms>,
    /// State of charge in the file.
    pub charge: Ratio,
    /// A remark for people.
    pub note: Option<String>,
}

/// Temperature of the cold cranking tests.
const COLD_TEST_CELSIUS: f64 = -18.0;
/// Temperature for which a battery's resistance is stated.
const WARM_CELSIUS: f64 = 20.0;

impl Battery {
    /// What a temperature leaves of it.
    #[must_use]
    pub fn cold(&self, temperature: Kelvin) -> Cold {
        Self::cold_of(self.cold_times, temperature)
    }

    /// What a temperature leaves of a battery whose resistance at −18 °C is so many times that of 20 °C:
    /// exchange current as the cranking ability of the catalogue, resistance as that power of it which −18 °C
    /// fixes. Nothing is gained above 20 °C, where people measure.
    #[must_use]
    pub fn cold_of(cold_times: Ratio, temperature: Kelvin) -> Cold {
        let exchange = ability(temperature.celsius());
        let power = exchange.0.ln() / ability(COLD_TEST_CELSIUS).0.ln();
        Cold { resistance: Ratio(cold_times.0.powf(power)), exchange }
    }

    /// How many times as large the whole of what a battery loses is at −18 °C: as its cranking ability falls.
    #[must_use]
    pub fn whole_in_the_cold() -> Ratio {
        Ratio(1.0 / ability(COLD_TEST_CELSIUS).0)
    }
}

/// Cranking ability over that of 20 °C, no more than the whole.
fn ability(celsius: f64) -> Ratio {
    let of = |celsius| Catalogue::standard().cranking_ability(Kelvin::from_celsius(celsius)).0;
    Ratio((of(celsius) / of(WARM_CELSIUS)).min(1.0))
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
