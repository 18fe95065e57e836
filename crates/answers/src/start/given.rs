//! What is told of the vehicle before anything is weighed, and what is asked of the rest.

use diagnosis::Symptom;
use model::Earth;
use units::{Dimension, Volts};

use super::back::{Back, Choice};
use super::setup::{
    BATTERIES, EARTHS, METALS, Metal, PLACES, Place, SURROUNDINGS, Setup, VOLTAGES, chosen,
    earth_word, layouts, voltage,
};
use super::symptom::{SYMPTOMS, symptom, symptom_named};
use crate::Refusal;

/// Something that is asked of the vehicle.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Fact {
    Layout,
    Voltage,
    Batteries,
    BatteryPlace,
    Metal,
    Earth,
    Surroundings,
    Symptom,
}

impl Fact {
    /// Every one in the order in which they are asked: what the layout makes likely is usual for those after it.
    pub(super) const ALL: [Self; 8] = [
        Self::Layout,
        Self::Voltage,
        Self::Batteries,
        Self::BatteryPlace,
        Self::Metal,
        Self::Earth,
        Self::Surroundings,
        Self::Symptom,
    ];

    /// The argument that tells it.
    pub(super) fn key(self) -> &'static str {
        match self {
            Self::Layout => "layout",
            Self::Voltage => "voltage",
            Self::Batteries => "batteries",
            Self::BatteryPlace => "battery_place",
            Self::Metal => "metal",
            Self::Earth => "earth",
            Self::Surroundings => "surroundings",
            Self::Symptom => "symptom",
        }
    }

    fn question(self) -> &'static str {
        match self {
            Self::Layout => "What is the vehicle like?",
            Self::Voltage => "Which voltage?",
            Self::Batteries => "How many batteries start it?",
            Self::BatteryPlace => "Where is the battery?",
            Self::Metal => "Which bodies of metal are there?",
            Self::Earth => "Which pole is joined to the metal?",
            Self::Surroundings => "Where does it live?",
            Self::Symptom => "What is wrong?",
        }
    }

    /// What may be answered.
    pub(super) fn choices(self) -> Vec<Choice> {
        match self {
            Self::Layout => return layouts(),
            Self::Voltage => VOLTAGES,
            Self::Batteries => BATTERIES,
            Self::BatteryPlace => PLACES,
            Self::Metal => METALS,
            Self::Earth => EARTHS,
            Self::Surroundings => SURROUNDINGS,
            Self::Symptom => SYMPTOMS,
        }
        .to_vec()
    }

    /// The choice that an answer means.
    pub(super) fn understand(self, said: &str) -> Option<&'static str> {
        self.understanding()(said, &self.choices())
    }

    fn understanding(self) -> fn(&str, &[Choice]) -> Option<&'static str> {
        match self {
            Self::Voltage => |said, _| voltage(said),
            Self::Symptom => |said, _| symptom(said),
            _ => chosen,
        }
    }

    /// What is likely of such a vehicle.
    fn usual(self, setup: &Setup) -> &'static str {
        match self {
            Self::Layout => setup.layout,
            Self::Voltage if setup.nominal == Volts(24.0) => "24 V",
            Self::Voltage => "12 V",
            Self::Batteries if setup.batteries == 2 => "two",
            Self::Batteries => "one",
            Self::BatteryPlace => setup.place.word(),
            Self::Metal => setup.metal.word(),
            Self::Earth => earth_word(setup.earth),
            Self::Surroundings => setup.surroundings,
            Self::Symptom => "slow-crank",
        }
    }
}

/// What is told of the vehicle so far.
#[derive(Debug, Clone)]
pub struct Given {
    /// What was told at first, one for each fact.
    told: [Option<&'static str>; Fact::ALL.len()],
    /// How many of the facts are taken.
    taken: usize,
    setup: Setup,
    symptom: Option<Symptom>,
}

impl Given {
    pub(super) fn new(told: [Option<&'static str>; Fact::ALL.len()]) -> Self {
        Self { told, taken: 0, setup: Setup::of_layout("front-engine"), symptom: None }
    }

    /// The next thing to ask; nothing once all is told.
    pub fn open(&mut self) -> Option<Back> {
        while let (Some(fact), Some(told)) = (Fact::ALL.get(self.taken), self.told.get(self.taken))
        {
            let Some(word) = told else {
                let usual = fact.usual(&self.setup);
                return Some(Back {
                    question: fact.question().to_owned(),
                    choices: fact.choices(),
                    usual,
                    otherwise: usual,
                    needed: *fact == Fact::Symptom,
                    understood: fact.understanding(),
                });
            };
            self.take(*fact, word);
        }
        None
    }

    /// Takes the answer to what was asked last.
    pub fn answer(&mut self, word: &'static str) {
        if let Some(fact) = Fact::ALL.get(self.taken) {
            self.take(*fact, word);
        }
    }

    /// Takes what is usual of everything that was not told.
    #[must_use]
    pub fn as_usual(mut self) -> Self {
        while let Some(back) = self.open().filter(|own| !own.needed) {
            self.answer(back.usual);
        }
        self
    }

    /// The vehicle's facts and what is wrong with it.
    ///
    /// # Errors
    ///
    /// When nobody told what is wrong.
    pub fn settled(self) -> Result<(Setup, Symptom), Refusal> {
        let symptom = self.symptom.ok_or_else(|| {
            Refusal::new(
                "no symptom is told",
                "`--symptom` with slow-crank, no-crank, weak, not-charging, disturbed or hot, or an answer to the question",
            )
        })?;
        Ok((self.setup, symptom))
    }

    fn take(&mut self, fact: Fact, word: &'static str) {
        self.taken += 1;
        let setup = &mut self.setup;
        match fact {
            Fact::Layout => *setup = Setup::of_layout(word),
            Fact::Voltage => {
                let volts = units::parse(word, Dimension::Voltage);
                setup.nominal = volts.map_or(setup.nominal, Volts);
            }
            Fact::Batteries => setup.batteries = if word == "two" { 2 } else { 1 },
            Fact::BatteryPlace => {
                setup.place = if word == "far" { Place::Far } else { Place::Near };
            }
            Fact::Metal => {
                setup.metal = match word {
                    "engine" => Metal::Engine,
                    "engine-frame" => Metal::EngineFrame,
                    "engine-frame-body" => Metal::EngineFrameBody,
                    _ => Metal::EngineBody,
                };
            }
            Fact::Earth => {
                setup.earth = if word == "positive" { Earth::Positive } else { Earth::Negative };
            }
            Fact::Surroundings => setup.surroundings = word,
            Fact::Symptom => self.symptom = Some(symptom_named(word)),
        }
    }
}
