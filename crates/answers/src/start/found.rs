//! What a story leaves: its lines, what was weighed of them, the files that come of it.

use diagnosis::{Side, SuspectKind, Symptom};
use model::{StateId, Vehicle};

use super::setup::Setup;
use super::story::{Outcome, Said, Story};
use super::weighed::Weighed;
use super::{Asked, rough};
use crate::refusal::Refused;
use crate::room::Watch;
use crate::unsettled;

/// What is left once everything told was weighed.
#[derive(Debug, Clone)]
pub struct Found {
    pub(super) vehicle: Vehicle,
    pub(super) setup: Setup,
    pub(super) symptom: Symptom,
    pub(super) told: Vec<Said>,
    pub(super) weighed: Weighed,
    /// States of the rough vehicle that have no operating point.
    pub(super) unsettled: Vec<StateId>,
    /// Answers that were not understood, with their questions; the rough file keeps them at its head.
    pub notes: Vec<String>,
    /// What a door that can write files wrote; nothing where it wrote none.
    pub written: Option<Written>,
}

/// Where the files went, or why they could not be written.
pub type Written = Result<Files, String>;

/// Paths of what was written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Files {
    /// That of the rough vehicle.
    pub vehicle: String,
    /// That of the readings, where there are any.
    pub readings: Option<String>,
}

impl Found {
    /// Nobody is there to be asked back.
    pub(super) fn of((): (), asked: &Asked, watch: Watch<'_>) -> Result<Option<Self>, Refused> {
        let (setup, symptom) = asked.given()?.as_usual().settled()?;
        let vehicle = setup.vehicle()?;
        let mut story = Story::new(&vehicle, &setup, symptom);
        for line in asked.readings.iter().flat_map(|line| story.parts(line)).collect::<Vec<_>>() {
            let _ = story.take(&line);
        }
        let (found, whole) = story.weigh_watched(watch);
        Ok(whole.then_some(found))
    }

    pub(super) fn of_story(story: &Story<'_>, weighed: Weighed) -> Self {
        Self {
            vehicle: story.vehicle.clone(),
            setup: story.setup.clone(),
            symptom: story.symptom,
            told: story.told.clone(),
            weighed,
            unsettled: unsettled::states(story.vehicle),
            notes: Vec::new(),
            written: None,
        }
    }

    /// The text of the rough vehicle file.
    #[must_use]
    pub fn file(&self) -> String {
        rough::file(&self.setup, &self.notes)
    }

    /// The text of the file of readings; nothing when none was told.
    #[must_use]
    pub fn readings_file(&self) -> Option<String> {
        if self.told.is_empty() {
            return None;
        }
        let mut text = String::from(
            "# Readings told to `groundloom start`, one a line; as they were said behind `#`.\n",
        );
        for own in &self.told {
            let line = match &own.outcome {
                Outcome::NotUnderstood(_) => format!("# not understood: {}", own.said),
                Outcome::WhichVoltage(volts, _) => {
                    format!("# of a {volts} vehicle: {}", own.said)
                }
                _ if own.read == own.said || own.said.contains('#') => own.read.clone(),
                _ => format!("{}  # said: {}", own.read, own.said),
            };
            text.push_str(&line.replace(['\n', '\r'], " "));
            text.push('\n');
        }
        Some(text)
    }

    /// The side on which a suspect lies.
    pub(super) fn side_of(&self, kind: SuspectKind) -> Option<Side> {
        let Weighed { heard, account, .. } = &self.weighed;
        diagnosis::sides::side_of(&self.vehicle, heard.load, account.control, kind)
    }

    /// True where a line could not be used, something is more likely wrong than not, or a file is not written.
    pub(super) fn wants_attention(&self) -> bool {
        self.told.iter().any(|own| own.outcome.problem().is_some())
            || self.weighed.suspicious()
            || !self.unsettled.is_empty()
            || matches!(self.written, Some(Err(_)))
    }
}
