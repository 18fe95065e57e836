//! What is said while lines are told: which are wanted, and how the last one was understood.

use diagnosis::Symptom;
use model::Problem;

use super::story::{Outcome, Story};
use crate::sights;
use crate::told::Told;

/// How a line was understood.
#[derive(Debug, Clone)]
pub struct Remark<'s> {
    /// What is wrong with it, and the line as it was said.
    pub problem: Option<(&'s Problem, &'s str)>,
    /// What is said of it, after what is wrong.
    pub told: Told,
}

impl Story<'_> {
    /// Asks for the readings at hand.
    #[must_use]
    pub fn invitation(&self) -> Told {
        let (example, other) = self.examples();
        let words = format!(
            "Readings at hand, one a line as you would say them, such as `{example}` or \
             `{other}`, or what was seen and tried, such as `the earth strap gets hot while cranking`. \
             Enter when there are no more."
        );
        let mut told = Told::default();
        told.heading("What was measured?");
        told.paragraph(say!("{}", words));
        told
    }

    /// How the last line was understood, where that is not plain.
    #[must_use]
    pub fn remark(&self) -> Option<Remark<'_>> {
        let own = self.told.last()?;
        let mut told = Told::default();
        match &own.outcome {
            Outcome::WhichState { .. } | Outcome::WhichVoltage(..) => {
                told.line("Kept, and not weighed. Say it again with what is missing, or go on.");
            }
            Outcome::NotUnderstood(_) => {
                told.line("Kept as a note. Say it again in other words, or go on.");
            }
            Outcome::Worthless(worthless) => told.paragraph(say!(
                "This proves nothing: {}. Instead: {}",
                worthless.why.as_str(),
                worthless.instead.as_str()
            )),
            Outcome::Seen(all) => {
                told.paragraph(sights::understood(self.vehicle, all));
            }
            Outcome::Reading(_) if own.read != own.said => {
                told.paragraph(say!("Read as: {}", own.read.as_str()));
            }
            Outcome::Reading(_) => return None,
        }
        let problem = own.outcome.problem().map(|problem| (problem, own.said.as_str()));
        Some(Remark { problem, told })
    }

    /// Two readings as somebody with this symptom would say them.
    fn examples(&self) -> (&'static str, &'static str) {
        match self.symptom {
            Symptom::SlowCrank | Symptom::NoCrank | Symptom::Hot => {
                ("battery 10.4 V while cranking", "cranking: engine to battery minus 0.6 V")
            }
            Symptom::Weak => ("key on: lamp 9.8 V", "key on: lamp earth to battery minus 0.9 V"),
            Symptom::NotCharging => {
                ("battery 12.6 V running", "running: alternator stud to battery plus 1.2 V")
            }
            Symptom::Disturbed => {
                ("running: module earth to battery minus 0.4 V", "battery 14.1 V running")
            }
        }
    }
}
