//! What is asked where nobody has written a vehicle file yet.

use super::given::{FACTS, Fact, Given};
use crate::Refusal;
use crate::refusal::Refused;

asked! {
    /// From a symptom and the readings at hand, without a vehicle file: which of source, feed, return,
    /// load and control is still suspect, and what to measure next.
    ///
    /// Without `--symptom` it asks, one question at a time; Enter takes the usual answer. With it nothing
    /// is asked unless `--ask` is given.
    #[schema(as = StartAsked)]
    pub struct Asked {
        /// What is wrong: slow-crank, no-crank, weak, not-charging, disturbed, hot.
        #[arg(long)]
        pub symptom: Option<String>,
        /// The layout that is nearest; `groundloom new` lists them.
        #[arg(long)]
        pub layout: Option<String>,
        /// Nominal voltage: 6, 12, 24 or 48 V.
        #[arg(long)]
        pub voltage: Option<String>,
        /// Batteries side by side, 1 or 2; two in series count as one.
        #[arg(long)]
        pub batteries: Option<String>,
        /// Where the battery is: `near` the engine, or `far`.
        #[arg(long, value_name = "PLACE")]
        pub battery_place: Option<String>,
        /// Bodies of metal: engine-body, engine-frame-body, engine-frame, engine.
        #[arg(long)]
        pub metal: Option<String>,
        /// The pole that is joined to the metal: negative or positive.
        #[arg(long)]
        pub earth: Option<String>,
        /// Where it lives: inland, salted roads, coast, sea, dry.
        #[arg(long)]
        pub surroundings: Option<String>,
        /// One reading or sight as you would say it: `cranking: battery plus to starter stud 0.4 V`,
        /// `the engine strap gets hot while cranking`. May be repeated.
        #[arg(long = "reading", value_name = "WORDS")]
        pub readings: Vec<String>,
    }
}

impl Asked {
    /// The facts that are told, understood before anything is asked back.
    ///
    /// # Errors
    ///
    /// Every one that is not understood.
    pub fn given(&self) -> Result<Given, Refused> {
        let mut refused = Refused::default();
        let words = FACTS.map(|fact| {
            let word = (fact.said)(self).as_deref().map(|said| understood(&fact, said));
            refused.keep(word.transpose()).flatten()
        });
        refused.unless(Some(Given::new(words)))
    }
}

fn understood(fact: &Fact, said: &str) -> Result<&'static str, Refusal> {
    fact.understand(said).ok_or_else(|| {
        let words: Vec<String> =
            (fact.choices)().iter().map(|(word, _)| format!("`{word}`")).collect();
        let expected = format!("one of {}", words.join(", "));
        Refusal::of(fact.key, said, "is not understood", expected)
    })
}
