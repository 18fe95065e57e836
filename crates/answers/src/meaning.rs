//! What one typed reading says about a vehicle.

use model::{Reading, Told, Vehicle};
use readings::{Line, one_line};
use serde::Serialize;
use utoipa::ToSchema;

use crate::measured_at::{MeasuredAt, measured};
use crate::problem::{self, Problem};
use crate::question::ReadingQuestion;

/// What one typed reading says.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
#[serde(tag = "kind", rename_all = "lowercase")]
pub enum Meaning {
    /// It says something.
    Reading(TypedReading),
    /// It proves nothing.
    Worthless(TypedWorthless),
    /// It could not be understood; it is kept as written.
    Unclear(TypedUnclear),
}

shape! {
    /// A reading that says something.
    pub struct TypedReading from (vehicle: &Vehicle, own: &Reading, warnings: Vec<Problem>) {
        let (measured, unit) = measured(vehicle, own.measured);
        let (told, value) = match own.told {
            Told::Value(value) => ("value", Some(value)),
            Told::Between(low, high) => ("between", Some((low + high) / 2.0)),
            Told::About(value) => ("about", Some(value)),
            Told::Nothing => ("nothing", None),
            Told::Held(value) => ("held", Some(value)),
            Told::AtLeast(value) => ("at-least", Some(value)),
            Told::Gauge(value) => ("gauge", Some(value)),
            Told::Change(change) => ("change", Some(f64::from(change))),
        };
        /// The operating state, if it was told.
        pub state: Option<String> = own.state.map(|state| vehicle.state(state).id.clone()),
        /// What was measured.
        pub measured: MeasuredAt = measured,
        /// `value`, `between`, `about`, `nothing`, `held`, `at-least`, `gauge` or `change`.
        pub told: &'static str = told,
        /// The value (the middle, when it was between two) in the unit.
        pub value: Option<f64> = value,
        /// `V`, `A`, `Ω` or nothing.
        pub unit: Option<&'static str> = unit,
        /// True when a plus or minus was told with the value.
        pub signed: bool = own.signed,
        /// What looks odd about it.
        pub warnings: Vec<Problem> = warnings,
    }
}

/// A reading that proves nothing.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct TypedWorthless {
    /// Why.
    pub why: String,
    /// What to do instead.
    pub instead: String,
}

/// A line that could not be understood.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct TypedUnclear {
    /// What is wrong with it, placed in the line.
    pub problem: Problem,
}

/// What a typed line says about a vehicle.
#[must_use]
pub fn of(text: &str, vehicle: &Vehicle) -> Meaning {
    match one_line(text, vehicle, 1) {
        Ok(Line::Reading { reading, warnings }) => {
            Meaning::Reading(TypedReading::of(vehicle, &reading, problem::of(&warnings, text)))
        }
        Ok(Line::Worthless(own)) => {
            Meaning::Worthless(TypedWorthless { why: own.why, instead: own.instead })
        }
        Err(own) => unclear(&own, text),
    }
}

/// What has to be asked about a typed line before it is kept; nothing where it says nothing, or says it
/// beyond doubt.
#[must_use]
pub fn question(text: &str, vehicle: &Vehicle) -> Option<ReadingQuestion> {
    let Ok(Line::Reading { reading, .. }) = one_line(text, vehicle, 1) else { return None };
    let heeded = diagnosis::Session::new(vehicle).heed(&[*reading], None);
    heeded.questions.first().map(|own| ReadingQuestion::of(vehicle, own))
}

fn unclear(own: &model::Problem, text: &str) -> Meaning {
    let problem = problem::of(std::slice::from_ref(own), text).remove(0);
    Meaning::Unclear(TypedUnclear { problem })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(text: &str) -> Meaning {
        let file = file::read(include_bytes!("../../../examples/rescue-ambulance.toml"));
        super::of(text, &file.vehicle.expect("the example is sound"))
    }

    /// What the page is told of a line before it is kept.
    #[test]
    fn a_line_that_a_word_may_turn_says_nothing_yet() {
        assert!(matches!(of("cranking: block/front to main/- 0.41 V"), Meaning::Reading(_)));
        for text in [
            "not cranking: block/front to main/- 0.41 V",
            "before cranking: block/front to main/- 0.41 V",
            "cranking: block/front to main/- 0.41 V with two plugs out",
            "cranking: block/front to main/- 0.41",
        ] {
            assert!(matches!(of(text), Meaning::Unclear(_)), "{text}: {:?}", of(text));
        }
        assert!(matches!(of("block/front to main/- 0.41 V"), Meaning::Worthless(_)));
        assert!(matches!(of("main 12.5 V"), Meaning::Worthless(_)));
    }
}
