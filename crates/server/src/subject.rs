//! What a question is about: a vehicle of the garage, or a text that is not stored.

use std::collections::VecDeque;
use std::sync::Arc;

use answers::heat::HeatDuty;
use answers::problem;
use answers::taken::Taken;
use file::Reading;
use garage::VehicleId;
use model::Vehicle;
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use crate::app::{Shared, locked};
use crate::body::short_enough;
use crate::error::ApiError;
use crate::measured::Measured;

/// Files remembered as they were understood.
const MOST_KNOWN: usize = 24;

/// A question: what it is about and what it asks. Each question knows some of the keys and refuses the others.
#[derive(Debug, Clone, Default, Serialize, Deserialize, ToSchema)]
#[serde(default, deny_unknown_fields)]
#[schema(as = Asked)]
pub(crate) struct Asked {
    /// A vehicle of the garage.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub vehicle: Option<i64>,
    /// A revision of it; the current one when left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub revision: Option<i64>,
    /// A vehicle file that is not stored; goes before the stored text.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub text: Option<String>,
    /// An operating state; all when left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub state: Option<String>,
    /// A load.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub load: Option<String>,
    /// Loads whose grounds are asked about; all when empty.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub loads: Vec<String>,
    /// Resistances to set, such as `main-negative.to=5mΩ`.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub set: Vec<String>,
    /// Conductors to add, such as `main/-,block/front,35mm2,0.6m`.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub add: Vec<String>,
    /// Sizes of conductors to write into the file, such as `main-negative=50 mm²`.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub size: Vec<String>,
    /// A piece whose resistance may change.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub piece: Option<String>,
    /// Two points between which a conductor is drawn.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub between: Option<[String; 2]>,
    /// The text of a readings file, in place of the stored readings.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub readings: Option<String>,
    /// The load that does not do its job, and the state: `starter@cranking`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub complaint: Option<String>,
    /// Nobody helps: what is cranked is read where both probes are within reach.
    #[serde(skip_serializing_if = "is_false")]
    pub alone: bool,
    /// States that cannot be had.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub without: Vec<String>,
    /// Covers that are off already, by their access groups.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub open: Vec<String>,
    /// How many proposals at most.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub most: Option<usize>,
    /// A first plan of so many readings instead of the next ones.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub plan: Option<usize>,
    /// A joint.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub joint: Option<String>,
    /// How long a state is followed; its usual duration when left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub seconds: Option<f64>,
    /// A current that comes and goes; a constant one when left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub duty: Option<HeatDuty>,
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "the form that serde asks for")]
fn is_false(own: &bool) -> bool {
    !own
}

/// A file as it was understood, with its text.
#[derive(Debug)]
pub(crate) struct Understood {
    pub text: String,
    pub reading: Reading,
}

impl Understood {
    /// The vehicle, or the errors of its file.
    pub(crate) fn vehicle(&self) -> Result<&Vehicle, ApiError> {
        self.reading
            .vehicle
            .as_ref()
            .ok_or_else(|| ApiError::problems(problem::of(&self.reading.problems, &self.text)))
    }
}

/// Files that were understood lately.
#[derive(Debug, Default)]
pub(crate) struct Known(VecDeque<Arc<Understood>>);

/// Understands a text on a thread of its own, or remembers it.
pub(crate) async fn understood(app: &Shared, text: String) -> Result<Arc<Understood>, ApiError> {
    let known = locked(&app.known).0.iter().find(|own| own.text == text).map(Arc::clone);
    if let Some(known) = known {
        return Ok(known);
    }
    let read = move || {
        let reading = file::read(text.as_bytes());
        Arc::new(Understood { text, reading })
    };
    let fresh = app.compute(read).await?;
    let mut known = locked(&app.known);
    known.0.push_front(Arc::clone(&fresh));
    known.0.truncate(MOST_KNOWN);
    Ok(fresh)
}

/// Everything that is needed to answer, fetched before the computing begins.
#[derive(Debug)]
pub(crate) struct Subject {
    pub file: Arc<Understood>,
    readings: Option<String>,
    complaint: Option<String>,
    measured: Measured,
}

impl Subject {
    /// Fetches what a question is about; the stored readings too where they matter.
    pub(crate) async fn of(app: &Shared, asked: &Asked, measured: bool) -> Result<Self, ApiError> {
        let id = asked.vehicle.map(VehicleId);
        let (revision, with_readings) = (asked.revision, measured && asked.readings.is_none());
        let own_text = asked.text.clone();
        if let Some(text) = &own_text {
            short_enough(text)?;
        }
        if id.is_none() && own_text.is_none() {
            return Err(ApiError::malformed(
                "the question is about nothing",
                "`vehicle`, a number of the garage, or `text`, a vehicle file",
            ));
        }
        let app = Arc::clone(app);
        let fetch = move |garage: &mut garage::Garage| {
            let text = match (own_text, id, revision) {
                (Some(text), ..) => text,
                (None, Some(id), Some(revision)) => garage.version(id, revision)?.text,
                (None, Some(id), None) => garage.current(id)?.text,
                (None, None, _) => String::new(),
            };
            let measured = match id {
                Some(id) if with_readings => Measured::of(garage, id)?,
                _ => Measured::default(),
            };
            Ok((text, measured))
        };
        let (text, measured) = app.garage(fetch).await?;
        Ok(Self {
            file: understood(&app, text).await?,
            readings: asked.readings.clone(),
            complaint: asked.complaint.clone(),
            measured,
        })
    }

    /// What is kept of the vehicle's readings.
    pub(crate) fn measured(&self) -> &Measured {
        &self.measured
    }

    /// The readings at hand, numbered: those that are kept, or the ones that came with the question.
    pub(crate) fn taken(&self) -> Result<Taken, ApiError> {
        let vehicle = self.file.vehicle()?;
        let mut taken = self.measured.taken(vehicle);
        if let Some(text) = &self.readings {
            taken.add(text.as_bytes(), vehicle);
        }
        if let Some(words) = &self.complaint {
            taken.complain(words, vehicle)?;
        }
        Ok(taken)
    }
}
