//! What a question is about: a vehicle of the garage, a text that is not stored, or nothing.

use std::sync::Arc;

use answers::room::{AtHand, File, Needs};
use answers::taken::Taken;
use file::Reading;
use garage::VehicleId;
use model::Vehicle;
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use crate::app::Shared;
use crate::body::short_enough;
use crate::error::ApiError;
use crate::known::Understood;
use crate::lock::locked;
use crate::measured::Measured;

/// What a question is about, and how it is to be answered. Which of the keys a question takes follows from what it
/// needs.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(crate) struct About {
    /// A vehicle of the garage.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub vehicle: Option<i64>,
    /// A revision of it; the current one when left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub revision: Option<i64>,
    /// A vehicle file that is not stored; goes before the stored text.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub text: Option<String>,
    /// Resistances to try, such as `main-negative.to=5mΩ`.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub set: Vec<String>,
    /// Conductors to try, such as `main/-,block/front,35mm2,0.6m`.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub add: Vec<String>,
    /// The text of a readings file, in place of the stored readings.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub readings: Option<String>,
    /// The load that does not do its job, and the state: `starter@cranking`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub complaint: Option<String>,
    /// True where the answer is wanted in words too.
    #[serde(skip_serializing_if = "is_false")]
    pub told: bool,
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "the form that serde asks for")]
fn is_false(own: &bool) -> bool {
    !own
}

/// The keys of what a question is about, by what it needs.
pub(crate) fn keys(needs: Needs) -> &'static [&'static str] {
    match needs {
        Needs::Nothing => &["told"],
        Needs::File => &["vehicle", "revision", "text", "told"],
        Needs::PerhapsVehicle | Needs::Vehicle => {
            &["vehicle", "revision", "text", "set", "add", "told"]
        }
        Needs::Measured => {
            &["vehicle", "revision", "text", "set", "add", "readings", "complaint", "told"]
        }
    }
}

/// The keys of a question about nothing but what it says itself.
#[derive(Debug, ToSchema)]
#[expect(dead_code, reason = "describes some keys of `About`, which is what is read")]
pub(crate) struct OfNothing {
    /// True where the answer is wanted in words too.
    told: Option<bool>,
}

/// The keys of a question about a vehicle file, which may have errors.
#[derive(Debug, ToSchema)]
#[expect(dead_code, reason = "describes some keys of `About`, which is what is read")]
pub(crate) struct OfFile {
    /// A vehicle of the garage.
    vehicle: Option<i64>,
    /// A revision of it; the current one when left out.
    revision: Option<i64>,
    /// A vehicle file that is not stored; goes before the stored text.
    text: Option<String>,
    /// True where the answer is wanted in words too.
    told: Option<bool>,
}

/// The keys of a question about a vehicle.
#[derive(Debug, ToSchema)]
#[expect(dead_code, reason = "describes some keys of `About`, which is what is read")]
pub(crate) struct OfVehicle {
    #[serde(flatten)]
    file: OfFile,
    /// Resistances to try, such as `main-negative.to=5mΩ`.
    set: Option<Vec<String>>,
    /// Conductors to try, such as `main/-,block/front,35mm2,0.6m`.
    add: Option<Vec<String>>,
}

/// The keys of a question that may be about a vehicle.
pub(crate) type PerhapsOfVehicle = OfVehicle;

/// The keys of a question about a vehicle and what was measured on it.
#[derive(Debug, ToSchema)]
#[expect(dead_code, reason = "describes some keys of `About`, which is what is read")]
pub(crate) struct OfMeasured {
    #[serde(flatten)]
    vehicle: OfVehicle,
    /// The text of a readings file, in place of the stored readings.
    readings: Option<String>,
    /// The load that does not do its job, and the state: `starter@cranking`.
    complaint: Option<String>,
}

/// Understands a text on a thread of its own, or remembers it.
pub(crate) async fn understood(app: &Shared, text: String) -> Result<Arc<Understood>, ApiError> {
    let known = locked(&app.known).find(&text);
    if let Some(known) = known {
        return Ok(known);
    }
    let fresh = app.compute(move || Arc::new(Understood::of(text))).await?;
    locked(&app.known).keep(&fresh);
    Ok(fresh)
}

/// Everything that is needed to answer, fetched before the computing begins.
#[derive(Debug)]
pub(crate) struct Subject {
    file: Option<Arc<Understood>>,
    about: About,
    measured: Measured,
}

impl Subject {
    /// Fetches what a question is about; the stored readings too where they matter.
    pub(crate) async fn of(app: &Shared, about: About, needs: Needs) -> Result<Self, ApiError> {
        let id = about.vehicle.map(VehicleId);
        let (revision, own_text) = (about.revision, about.text.clone());
        let with_readings = needs == Needs::Measured && about.readings.is_none();
        if let Some(text) = &own_text {
            short_enough(text)?;
        }
        if id.is_none() && own_text.is_none() {
            if matches!(needs, Needs::Nothing | Needs::PerhapsVehicle) {
                return Ok(Self { file: None, about, measured: Measured::default() });
            }
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
        Ok(Self { file: Some(understood(&app, text).await?), about, measured })
    }

    /// True where the answer is wanted in words too.
    pub(crate) fn told(&self) -> bool {
        self.about.told
    }

    /// The file, of a question that needs one.
    pub(crate) fn file(&self) -> Result<&Understood, ApiError> {
        // Whatever needs a file is refused without one before it comes here.
        self.file
            .as_deref()
            .ok_or_else(|| ApiError::malformed("no vehicle is named", "`vehicle` or `text`"))
    }

    /// The vehicle without its trial changes, if there is one.
    pub(crate) fn vehicle(&self) -> Option<&Vehicle> {
        self.file.as_ref()?.reading.vehicle.as_ref()
    }

    /// What is kept of the vehicle's readings.
    pub(crate) fn measured(&self) -> &Measured {
        &self.measured
    }

    /// The readings at hand, numbered: those that are kept, or the ones that came with the question.
    pub(crate) fn taken(&self, vehicle: &Vehicle) -> Result<Taken, ApiError> {
        let mut taken = self.measured.taken(vehicle);
        if let Some(text) = &self.about.readings {
            taken.add(text.as_bytes(), vehicle);
        }
        if let Some(words) = &self.about.complaint {
            taken.complain(words, vehicle)?;
        }
        Ok(taken)
    }

    /// Lays out what a question needs, with what is tried on the vehicle, and has it asked.
    pub(crate) fn with<T>(
        &self,
        needs: Needs,
        ask: impl FnOnce(AtHand<'_>) -> Result<T, ApiError>,
    ) -> Result<T, ApiError> {
        let Some(own) = &self.file else { return ask(AtHand::default()) };
        if needs == Needs::File {
            let file = Some(File { reading: &own.reading, text: &own.text });
            return ask(AtHand { file, taken: None });
        }
        let vehicle = own.vehicle()?;
        let About { set, add, .. } = &self.about;
        let tried = (!set.is_empty() || !add.is_empty())
            .then(|| answers::edit::changed(vehicle, set, add))
            .transpose()?
            .map(|vehicle| Reading { vehicle: Some(vehicle), ..own.reading.clone() });
        let taken = (needs == Needs::Measured).then(|| self.taken(vehicle)).transpose()?;
        let reading = tried.as_ref().unwrap_or(&own.reading);
        ask(AtHand { file: Some(File { reading, text: &own.text }), taken: taken.as_ref() })
    }
}
