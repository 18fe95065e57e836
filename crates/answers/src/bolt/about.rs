//! The joint about a bolt, as it is answered.

use catalogue::{Preparation, Row};
use serde::Serialize;
use utoipa::ToSchema;

use super::PlainRange;
use super::sheet::{Range, Sheet};
use crate::cautions::{CautionTold, told};

/// The joint about a bolt.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct JointAbout {
    /// Which joint it is; null without a file.
    pub place: Option<JointPlace>,
    /// Where it lives.
    pub environment: &'static str,
    /// True when nobody said so.
    pub environment_assumed: bool,
    /// Its faces; null unless two listed metals are named.
    pub faces: Option<FacesTold>,
    /// Pressure under the head; null without a torque.
    pub under_head_pascals: Option<PlainRange>,
    /// Pressure where it spreads over the pad; null without a torque.
    pub over_pad_pascals: Option<PlainRange>,
    /// Outer diameter of the pad; null without a bolt.
    pub pad_metres: Option<f64>,
    /// True when nobody said so.
    pub pad_assumed: bool,
    /// What sound joints of its kind have.
    pub sound_ohms: Option<PlainRange>,
    /// Terminals on the stud.
    pub stack: u32,
    /// Joints on the same stud, the one that carries most first: the order from the metal outwards.
    pub stacked: Vec<String>,
    /// Its washers, as the file has them.
    pub washer: Option<String>,
    /// A screw that forms its own thread.
    pub forming: Option<FormingTold>,
    /// When 5 µm of zinc are gone.
    pub zinc_years: Option<f64>,
    /// The ISO 9223 class of the air.
    pub air: Option<String>,
    /// Practices that bear on this joint, the first steps first.
    pub advice: Vec<PracticeTold>,
    /// What tightening it again can and cannot tell.
    pub on_torque_later: Vec<PracticeTold>,
    /// Cautions that concern work on it; none without a file.
    pub cautions: Vec<CautionTold>,
}

/// Which joint it is, and what it has to carry.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct JointPlace {
    /// The joint.
    pub joint: String,
    /// Its kind.
    pub kind: String,
    /// The point at which it is.
    pub point: String,
    /// `structure`, `battery`, `device` or `stud`: what it is screwed to.
    pub on: &'static str,
    /// True where its kind is held by a bolt or nut, false for plugs, clips, splices, seams; null where nobody knows.
    pub fastened: Option<bool>,
    /// Its resistance.
    pub ohms: f64,
    /// True when the file states it.
    pub stated: bool,
    /// The most that it carries.
    pub carries_amps: Option<f64>,
    /// In which state.
    pub carries_state: Option<String>,
}

/// Two faces and what they do to each other.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct FacesTold {
    /// One face.
    pub first: String,
    /// The other face.
    pub second: String,
    /// How far they are apart in the anodic index.
    pub difference_volts: f64,
    /// How far that is usually accepted in this place.
    pub allowed_volts: f64,
    /// True when they are no further apart.
    pub suits: bool,
    /// The one that goes where water bridges them; null where they are alike.
    pub corrodes: Option<String>,
    /// The least contact resistance that physics allows.
    pub clean_ohms: Option<PlainRange>,
}

/// A screw that forms its own thread.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, ToSchema)]
pub struct FormingTold {
    /// The highest torque.
    pub highest_newton_metres: f64,
    /// The torque at which it breaks.
    pub breaking_newton_metres: f64,
    /// True when its forming torque is a guess.
    pub forming_torque_assumed: bool,
}

/// A practice with its source.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct PracticeTold {
    /// What it is about.
    pub subject: String,
    /// What to do.
    pub practice: String,
    /// Where it comes from.
    pub source: String,
    /// How sure that is.
    pub confidence: &'static str,
}

/// The answer about a joint.
pub(super) fn about(sheet: &Sheet) -> JointAbout {
    let asked = &sheet.asked;
    let pressure = |at: usize| {
        let own = sheet.pressures.map(|all| all[at]);
        own.map(|Range { low, high }| PlainRange { low: low.0, high: high.0 })
    };
    let practices = |rows: Vec<&'static Preparation>| rows.into_iter().map(practice).collect();
    JointAbout {
        place: sheet.place.as_ref().map(|place| JointPlace {
            joint: place.name.clone(),
            kind: place.kind.to_string(),
            point: place.point.clone(),
            on: place.on.word(),
            fastened: Some(place.kind.expects_fastener()),
            ohms: place.resistance.0,
            stated: place.stated,
            carries_amps: place.carries.as_ref().map(|own| own.0.0),
            carries_state: place.carries.as_ref().map(|own| own.1.clone()),
        }),
        environment: asked.environment.word(),
        environment_assumed: asked.environment_assumed,
        faces: sheet.couple.map(|couple| FacesTold {
            first: couple.first.key().to_owned(),
            second: couple.second.key().to_owned(),
            difference_volts: couple.difference.0,
            allowed_volts: couple.allowed.0,
            suits: couple.suits(),
            corrodes: couple.unlike().then(|| couple.goes().key().to_owned()),
            clean_ohms: couple
                .clean
                .map(|(own, _)| PlainRange { low: own.low.0, high: own.high.0 }),
        }),
        under_head_pascals: pressure(0),
        over_pad_pascals: pressure(1),
        pad_metres: sheet.pad.map(|pad| pad.0),
        pad_assumed: asked.pad.is_none(),
        sound_ohms: Some(PlainRange { low: sheet.kind.clean_low.0, high: sheet.kind.clean_high.0 }),
        stack: asked.stack,
        stacked: sheet.place.as_ref().map_or_else(Vec::new, |place| place.stacked.clone()),
        washer: asked.washer.clone(),
        forming: sheet.forming.map(|own| FormingTold {
            highest_newton_metres: own.screw.highest.0,
            breaking_newton_metres: own.screw.breaking.0,
            forming_torque_assumed: own.assumed,
        }),
        zinc_years: sheet.zinc.map(|own| own.0.0),
        air: sheet.zinc.map(|own| own.1.key().to_owned()),
        advice: practices(sheet.advice()),
        on_torque_later: practices(sheet.on_torque_later()),
        cautions: sheet.place.as_ref().map_or_else(Vec::new, |place| told(&place.cautions)),
    }
}

fn practice(row: &Preparation) -> PracticeTold {
    PracticeTold {
        subject: row.key().to_owned(),
        practice: row.practice.clone(),
        source: row.provenance.source.clone(),
        confidence: row.provenance.confidence.word(),
    }
}
