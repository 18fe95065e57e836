//! What one typed reading says about a vehicle.

use model::{Reading, Told, Vehicle};
use readings::{Statement, Vocabulary, What, statements};
use serde::Serialize;
use utoipa::ToSchema;

use crate::measured_at::{MeasuredAt, measured};
use crate::problem::{self, Problem};
use crate::question::ReadingQuestion;
use crate::sights;
use crate::told::measuring;

/// What one typed reading says.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
#[serde(tag = "kind", rename_all = "lowercase")]
pub enum Meaning {
    /// It says something.
    Reading(TypedReading),
    /// It proves nothing.
    Worthless(TypedWorthless),
    /// It tells of something seen, felt or tried.
    Seen(TypedSeen),
    /// It says several things.
    Several(TypedSeveral),
    /// It could not be understood; it is kept as written.
    Unclear(TypedUnclear),
}

/// Something seen, felt or tried.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct TypedSeen {
    /// How it was understood.
    pub words: String,
}

/// Several things said in one line.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct TypedSeveral {
    /// Each, in its order.
    pub statements: Vec<TypedStatement>,
}

/// One of several things that a line says.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct TypedStatement {
    /// Bytes of the line at which it begins and ends.
    pub span: (usize, usize),
    /// How it was understood, or why it was not.
    pub words: String,
    /// True when it is asked back or kept as a remark.
    pub unclear: bool,
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

fn said(text: &str, vehicle: &Vehicle) -> Vec<Statement> {
    statements(text, vehicle, &Vocabulary::of(vehicle), 1)
}

/// What a typed line says about a vehicle.
#[must_use]
pub fn of(text: &str, vehicle: &Vehicle) -> Meaning {
    let mut all = said(text, vehicle);
    if all.len() > 1 {
        let statements = all.iter().map(|own| stated(own, vehicle)).collect();
        return Meaning::Several(TypedSeveral { statements });
    }
    match all.pop().map(|own| own.what) {
        Some(What::Reading { reading, warnings, .. }) => {
            Meaning::Reading(TypedReading::of(vehicle, &reading, problem::of(&warnings, text)))
        }
        Some(What::Seen(all)) => {
            Meaning::Seen(TypedSeen { words: sights::understood(vehicle, &all) })
        }
        Some(What::Worthless(own)) => {
            Meaning::Worthless(TypedWorthless { why: own.why, instead: own.instead })
        }
        Some(What::Question(own)) => unclear(&own.problem, text),
        Some(What::Remark(own)) => unclear(&own, text),
        None => Meaning::Several(TypedSeveral { statements: Vec::new() }),
    }
}

fn stated(own: &Statement, vehicle: &Vehicle) -> TypedStatement {
    let words = match &own.what {
        What::Reading { reading, .. } => measuring::line(vehicle, reading),
        What::Seen(all) => sights::understood(vehicle, all),
        What::Worthless(own) => format!("proves nothing: {}", own.why),
        What::Question(readings::Question { problem, .. }) | What::Remark(problem) => {
            format!("{}; expected {}", problem.what, problem.expected)
        }
    };
    let unclear = own.problem().is_some();
    TypedStatement { span: (own.span.start, own.span.end), words, unclear }
}

/// What has to be asked about a typed line before it is kept; nothing where it says nothing, or says it
/// beyond doubt.
#[must_use]
pub fn question(text: &str, vehicle: &Vehicle) -> Option<ReadingQuestion> {
    let readings = said(text, vehicle).into_iter().filter_map(|own| match own.what {
        What::Reading { reading, .. } => Some(*reading),
        _ => None,
    });
    let readings: Vec<Reading> = readings.collect();
    if readings.is_empty() {
        return None;
    }
    let heeded = diagnosis::Session::new(vehicle).heed(&readings, None);
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
