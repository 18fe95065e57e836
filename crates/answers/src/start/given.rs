//! What is told of the vehicle before anything is weighed, and what is asked of the rest.

use diagnosis::Symptom;
use units::{Dimension, Volts};

use super::Asked;
use super::back::{Back, Choice};
use super::setup::{
    BATTERIES, EARTH_WORDS, EARTHS, METAL_WORDS, METALS, PLACE_WORDS, PLACES, SURROUNDINGS, Setup,
    VOLTAGES, chosen, layouts, voltage,
};
use super::symptom::{SYMPTOM_WORDS, SYMPTOMS, symptom};
use crate::Refusal;
use crate::arguments::{meant, word_for};

/// Something that is asked of the vehicle.
#[derive(Debug, Clone, Copy)]
pub(super) struct Fact {
    /// The argument that tells it.
    pub key: &'static str,
    /// What was said of it.
    pub said: fn(&Asked) -> &Option<String>,
    question: &'static str,
    /// What may be answered.
    pub choices: fn() -> Vec<Choice>,
    understood: fn(&str, &[Choice]) -> Option<&'static str>,
    /// What is likely of such a vehicle.
    usual: fn(&Setup) -> &'static str,
    take: fn(&mut Given, &'static str),
}

/// Every one in the order in which they are asked: what the layout makes likely is usual for those after it.
pub(super) const FACTS: [Fact; 8] = [
    Fact {
        choices: layouts,
        usual: |setup| setup.layout,
        take: |own, word| own.setup = Setup::of_layout(word),
        ..Fact::of("layout", |asked| &asked.layout, "What is the vehicle like?")
    },
    Fact {
        choices: || VOLTAGES.to_vec(),
        understood: |said, _| voltage(said),
        usual: |setup| if setup.nominal == Volts(24.0) { "24 V" } else { "12 V" },
        take: |own, word| {
            let volts = units::parse(word, Dimension::Voltage);
            own.setup.nominal = volts.map_or(own.setup.nominal, Volts);
        },
        ..Fact::of("voltage", |asked| &asked.voltage, "Which voltage?")
    },
    Fact {
        choices: || BATTERIES.to_vec(),
        usual: |setup| if setup.batteries == 2 { "two" } else { "one" },
        take: |own, word| own.setup.batteries = if word == "two" { 2 } else { 1 },
        ..Fact::of("batteries", |asked| &asked.batteries, "How many batteries start it?")
    },
    Fact {
        choices: || PLACES.to_vec(),
        usual: |setup| word_for(&PLACE_WORDS, setup.place),
        take: |own, word| own.setup.place = meant(&PLACE_WORDS, word),
        ..Fact::of("battery_place", |asked| &asked.battery_place, "Where is the battery?")
    },
    Fact {
        choices: || METALS.to_vec(),
        usual: |setup| word_for(&METAL_WORDS, setup.metal),
        take: |own, word| own.setup.metal = meant(&METAL_WORDS, word),
        ..Fact::of("metal", |asked| &asked.metal, "Which bodies of metal are there?")
    },
    Fact {
        choices: || EARTHS.to_vec(),
        usual: |setup| word_for(&EARTH_WORDS, setup.earth),
        take: |own, word| own.setup.earth = meant(&EARTH_WORDS, word),
        ..Fact::of("earth", |asked| &asked.earth, "Which pole is joined to the metal?")
    },
    Fact {
        choices: || SURROUNDINGS.to_vec(),
        usual: |setup| setup.surroundings,
        take: |own, word| own.setup.surroundings = word,
        ..Fact::of("surroundings", |asked| &asked.surroundings, "Where does it live?")
    },
    Fact {
        choices: || SYMPTOMS.to_vec(),
        understood: |said, _| symptom(said),
        usual: |_| "slow-crank",
        take: |own, word| own.symptom = Some(meant(&SYMPTOM_WORDS, word)),
        ..Fact::of(SYMPTOM, |asked| &asked.symptom, "What is wrong?")
    },
];

/// What alone has to be told.
const SYMPTOM: &str = "symptom";

impl Fact {
    const fn of(
        key: &'static str,
        said: fn(&Asked) -> &Option<String>,
        question: &'static str,
    ) -> Self {
        let (choices, usual, take) = (Vec::new, |_: &Setup| "", |_: &mut Given, _| {});
        Self { key, said, question, choices, understood: chosen, usual, take }
    }

    /// The choice that an answer means.
    pub(super) fn understand(&self, said: &str) -> Option<&'static str> {
        (self.understood)(said, &(self.choices)())
    }
}

/// What is told of the vehicle so far.
#[derive(Debug, Clone)]
pub struct Given {
    /// What was told at first, one for each fact.
    told: [Option<&'static str>; FACTS.len()],
    /// How many of the facts are taken.
    taken: usize,
    setup: Setup,
    symptom: Option<Symptom>,
}

impl Given {
    pub(super) fn new(told: [Option<&'static str>; FACTS.len()]) -> Self {
        Self { told, taken: 0, setup: Setup::of_layout("front-engine"), symptom: None }
    }

    /// The next thing to ask; nothing once all is told.
    pub fn open(&mut self) -> Option<Back> {
        while let (Some(fact), Some(told)) = (FACTS.get(self.taken), self.told.get(self.taken)) {
            let Some(word) = told else {
                let usual = (fact.usual)(&self.setup);
                return Some(Back {
                    question: fact.question.to_owned(),
                    choices: (fact.choices)(),
                    usual,
                    otherwise: usual,
                    needed: fact.key == SYMPTOM,
                    understood: fact.understood,
                });
            };
            self.take(fact, word);
        }
        None
    }

    /// Takes the answer to what was asked last.
    pub fn answer(&mut self, word: &'static str) {
        if let Some(fact) = FACTS.get(self.taken) {
            self.take(fact, word);
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

    fn take(&mut self, fact: &Fact, word: &'static str) {
        self.taken += 1;
        (fact.take)(self, word);
    }
}
