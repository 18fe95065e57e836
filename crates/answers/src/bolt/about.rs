//! The joint about a bolt, as it is answered.

use catalogue::{Preparation, Row};

use super::PlainRange;
use super::faces::Couple;
use super::place::Place;
use super::sheet::{Forming, Range, Sheet};
use crate::cautions::{CautionTold, told};

shape! {
    /// The joint about a bolt.
    pub struct JointAbout from pub(super) (sheet: &Sheet) {
        let asked = &sheet.asked;
        let pressure = |at: usize| {
            let own = sheet.pressures.map(|all| all[at]);
            own.map(|Range { low, high }| PlainRange { low: low.0, high: high.0 })
        };
        let practices = |rows: Vec<&'static Preparation>| rows.into_iter().map(PracticeTold::of).collect();
        /// Which joint it is; null without a file.
        pub place: Option<JointPlace> = sheet.place.as_ref().map(JointPlace::of),
        /// Where it lives.
        pub environment: &'static str = asked.environment.word(),
        /// True when nobody said so.
        pub environment_assumed: bool = asked.environment_assumed,
        /// Its faces; null unless two listed metals are named.
        pub faces: Option<FacesTold> = sheet.couple.map(FacesTold::of),
        /// Pressure under the head; null without a torque.
        pub under_head_pascals: Option<PlainRange> = pressure(0),
        /// Pressure where it spreads over the pad; null without a torque.
        pub over_pad_pascals: Option<PlainRange> = pressure(1),
        /// Outer diameter of the pad; null without a bolt.
        pub pad_metres: Option<f64> = sheet.pad.map(|pad| pad.0),
        /// True when nobody said so.
        pub pad_assumed: bool = asked.pad.is_none(),
        /// What sound joints of its kind have.
        pub sound_ohms: Option<PlainRange> =
            Some(PlainRange { low: sheet.kind.clean_low.0, high: sheet.kind.clean_high.0 }),
        /// Terminals on the stud.
        pub stack: u32 = asked.stack,
        /// Joints on the same stud, the one that carries most first: the order from the metal outwards.
        pub stacked: Vec<String> =
            sheet.place.as_ref().map_or_else(Vec::new, |place| place.stacked.clone()),
        /// Its washers, as the file has them.
        pub washer: Option<String> = asked.washer.clone(),
        /// A screw that forms its own thread.
        pub forming: Option<FormingTold> = sheet.forming.map(FormingTold::of),
        /// When 5 µm of zinc are gone.
        pub zinc_years: Option<f64> = sheet.zinc.map(|own| own.0.0),
        /// The ISO 9223 class of the air.
        pub air: Option<String> = sheet.zinc.map(|own| own.1.key().to_owned()),
        /// Practices that bear on this joint, the first steps first.
        pub advice: Vec<PracticeTold> = practices(sheet.advice()),
        /// What tightening it again can and cannot tell.
        pub on_torque_later: Vec<PracticeTold> = practices(sheet.on_torque_later()),
        /// Cautions that concern work on it; none without a file.
        pub cautions: Vec<CautionTold> =
            sheet.place.as_ref().map_or_else(Vec::new, |place| told(&place.cautions)),
    }

    /// Which joint it is, and what it has to carry.
    pub struct JointPlace from (place: &Place) {
        /// The joint.
        pub joint: String = place.name.clone(),
        /// Its kind.
        pub kind: String = place.kind.to_string(),
        /// The point at which it is.
        pub point: String = place.point.clone(),
        /// `structure`, `battery`, `device` or `stud`: what it is screwed to.
        pub on: &'static str = place.on.word(),
        /// True where its kind is held by a bolt or nut, false for plugs, clips, splices, seams; null where nobody knows.
        pub fastened: Option<bool> = Some(place.kind.expects_fastener()),
        /// Its resistance.
        pub ohms: f64 = place.resistance.0,
        /// True when the file states it.
        pub stated: bool = place.stated,
        /// The most that it carries.
        pub carries_amps: Option<f64> = place.carries.as_ref().map(|own| own.0.0),
        /// In which state.
        pub carries_state: Option<String> = place.carries.as_ref().map(|own| own.1.clone()),
    }

    /// Two faces and what they do to each other.
    pub struct FacesTold from (couple: Couple) {
        /// One face.
        pub first: String = couple.first.key().to_owned(),
        /// The other face.
        pub second: String = couple.second.key().to_owned(),
        /// How far they are apart in the anodic index.
        pub difference_volts: f64 = couple.difference.0,
        /// How far that is usually accepted in this place.
        pub allowed_volts: f64 = couple.allowed.0,
        /// True when they are no further apart.
        pub suits: bool = couple.suits(),
        /// The one that goes where water bridges them; null where they are alike.
        pub corrodes: Option<String> = couple.unlike().then(|| couple.goes().key().to_owned()),
        /// The least contact resistance that physics allows.
        pub clean_ohms: Option<PlainRange> = couple
            .clean
            .map(|(own, _)| PlainRange { low: own.low.0, high: own.high.0 }),
    }

    /// A screw that forms its own thread.
    #[derive(Copy)]
    pub struct FormingTold from (own: Forming) {
        /// The highest torque.
        pub highest_newton_metres: f64 = own.screw.highest.0,
        /// The torque at which it breaks.
        pub breaking_newton_metres: f64 = own.screw.breaking.0,
        /// True when its forming torque is a guess.
        pub forming_torque_assumed: bool = own.assumed,
    }

    /// A practice with its source.
    pub struct PracticeTold from (row: &Preparation) {
        /// What it is about.
        pub subject: String = row.key().to_owned(),
        /// What to do.
        pub practice: String = row.practice.clone(),
        /// Where it comes from.
        pub source: String = row.provenance.source.clone(),
        /// How sure that is.
        pub confidence: &'static str = row.provenance.confidence.word(),
    }
}
