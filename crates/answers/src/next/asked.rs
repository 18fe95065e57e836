//! What is asked of readings that nobody has taken yet.

use clap::ArgAction;
use clap::builder::{BoolishValueParser, TypedValueParser};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use crate::arguments::at_least_one;

asked! {
    /// What to measure next, or a whole first plan for a vehicle that nobody has measured.
    #[schema(as = NextAsked)]
    pub struct Asked {
        /// How many readings to propose.
        #[arg(long, default_value_t = 3, value_parser = at_least_one)]
        pub most: usize = 3,
        /// Nobody helps: what is cranked is read where both probes are within reach.
        #[arg(long)]
        pub alone: bool,
        /// A state that cannot be had, such as cranking; may be given several times.
        #[arg(long, value_name = "STATE")]
        pub without: Vec<String>,
        /// A cover that is off already, by the name of its access group; may be given several times.
        #[arg(long, value_name = "GROUP")]
        pub open: Vec<String>,
        /// A first plan of readings on the shared feed and return, to print and fill in.
        #[arg(long, action = ArgAction::SetTrue, value_parser = BoolishValueParser::new().map(Plan::Usual))]
        pub plan: Plan,
    }
}

/// Whether a first plan is asked for, and of how many readings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(untagged)]
#[schema(as = NextPlan)]
pub enum Plan {
    /// True for one of as many readings as usual.
    Usual(bool),
    /// One of so many readings.
    Of(usize),
}

impl Default for Plan {
    fn default() -> Self {
        Self::Usual(false)
    }
}

impl Plan {
    /// Of how many readings a plan is asked for, where `most` are proposed; nothing where none is.
    pub(super) fn readings(self, most: usize) -> Option<usize> {
        /// Readings of a plan when nobody says how many.
        const USUAL: usize = 20;
        match self {
            Self::Usual(asked) => asked.then_some(most.max(USUAL)),
            Self::Of(readings) => Some(readings),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plan(json: &str) -> Plan {
        serde_json::from_str::<Asked>(json).expect("it is understood").plan
    }

    #[test]
    fn a_plan_is_asked_for_by_a_word_or_a_number() {
        assert_eq!(plan("{}").readings(3), None);
        assert_eq!(plan(r#"{"plan": false}"#).readings(3), None);
        assert_eq!(plan(r#"{"plan": true}"#).readings(3), Some(20));
        assert_eq!(plan(r#"{"plan": true}"#).readings(30), Some(30));
        assert_eq!(plan(r#"{"plan": 8}"#).readings(3), Some(8));
    }
}
