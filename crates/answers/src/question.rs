//! What has to be asked about readings before they accuse anybody: a minus that nobody wrote down, a value
//! that cannot be.

use diagnosis::{Doubt, Question};
use model::{Measured, Vehicle};
use serde::Serialize;
use units::{Amperes, Volts, print};
use utoipa::ToSchema;

use crate::measured_at::{self, MeasuredAt};
use crate::told::{Line, Told, Tone};

shape! {
    /// A question about one reading.
    pub struct ReadingQuestion from pub (vehicle: &Vehicle, own: &Question) {
        let shown = |value: f64| value_of(own.measured, value);
        let value = shown(own.value);
        let sound = (!own.sound.is_nan()).then_some(own.sound);
        let sound_shows = sound.map_or_else(String::new, |sound| {
            format!(" A sound vehicle shows {} there.", shown(sound))
        });
        let minus = shown(-own.value.abs());
        let signs = format!("write `{minus}` if it did, `+{value}` if it did not");
        let (kind, question, answer) = match own.doubt {
            Doubt::Minus => (
                QuestionKind::Minus,
                format!("Did the meter show a minus?{sound_shows}"),
                format!("it is weighed as {minus} until you say: {signs}"),
            ),
            Doubt::Either => (
                QuestionKind::Either,
                format!("Did the meter show a minus?{sound_shows}"),
                format!("it is not weighed until you say: {signs}"),
            ),
            Doubt::Crossed => (
                QuestionKind::Crossed,
                format!("Were the leads crossed? {value} cannot be there.{sound_shows}"),
                "it is not weighed; write it again with the places as the leads were".to_owned(),
            ),
            Doubt::Against => (
                QuestionKind::Crossed,
                format!(
                    "Was there a minus, or were the leads crossed? {value} needs a current against \
                     its way.{sound_shows}"
                ),
                format!(
                    "it is not weighed; write `{}` if there was no minus, or the places as the leads \
                     were",
                    shown(own.value.abs())
                ),
            ),
            Doubt::Reversed(battery) => (
                QuestionKind::BatteryReversed,
                format!(
                    "Were the leads crossed? No battery shows a minus with the red lead on its plus, \
                     and {} shows {value} here.",
                    vehicle.battery(battery).id
                ),
                "it is not weighed; write it again with the places as the leads were".to_owned(),
            ),
            Doubt::Beyond(most) => (
                QuestionKind::BeyondSources,
                format!(
                    "Is the unit right, and the vehicle? {value} is more than anything in it gives: \
                     at most some {}.",
                    shown(most)
                ),
                "it is not weighed; look at the note or the meter again".to_owned(),
            ),
            Doubt::BeyondBatteries(most) => (
                QuestionKind::BeyondSources,
                format!(
                    "Was the engine or a charger running, and is the unit right? {value} is more than \
                     the batteries alone give in {}: at most some {}.",
                    vehicle.state(own.state).id,
                    shown(most)
                ),
                "it is not weighed; write it again in the state it was, or look at the meter again"
                    .to_owned(),
            ),
        };
        /// The reading's number.
        pub number: u32 = own.number,
        /// Its state.
        pub state: String = vehicle.state(own.state).id.clone(),
        /// What was measured.
        pub measured: MeasuredAt = measured_at::measured(vehicle, own.measured).0,
        /// The value as it was told, in volts or amperes.
        pub value: f64 = own.value,
        /// What a sound vehicle would show; null where nothing holds the places together.
        pub sound: Option<f64> = sound,
        /// `minus`: told without a sign, weighed as if there had been a minus. `either`: told without a sign,
        /// which would decide. `crossed`: a minus where the plus of a supply was named. `battery-reversed`: a
        /// minus over a battery whose plus was named. `beyond-sources`: more than anything in this vehicle gives.
        pub kind: QuestionKind = kind,
        /// True when the reading counts all the same.
        pub weighed: bool = own.doubt.is_weighed(),
        /// The question.
        pub question: String = question,
        /// What to do.
        pub answer: String = answer,
    }
}

/// What is in doubt about a reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum QuestionKind {
    /// Told without a sign, weighed as if there had been a minus.
    Minus,
    /// Told without a sign, which would decide.
    Either,
    /// A minus where the plus of a supply was named.
    Crossed,
    /// A minus over a battery whose plus was named.
    BatteryReversed,
    /// More than anything in this vehicle gives.
    BeyondSources,
}

/// What has to be asked about readings before anything is said about the vehicle; what cannot be has its
/// warning in the line already.
pub fn told(told: &mut Told, vehicle: &Vehicle, questions: &[Question]) {
    for own in questions {
        if matches!(own.doubt, Doubt::Beyond(_) | Doubt::BeyondBatteries(_) | Doubt::Reversed(_)) {
            continue;
        }
        told.toned(Tone::Warning, words(vehicle, own));
        told.gap();
    }
}

/// A question about one reading, with what holds until it is answered.
pub(crate) fn words(vehicle: &Vehicle, own: &Question) -> Line {
    let own = ReadingQuestion::of(vehicle, own);
    let words = format!("Reading {}: {} As it stands {}.", own.number, own.question, own.answer);
    say!("{}", words)
}

/// A value with its unit, as people write it.
fn value_of(measured: Measured, value: f64) -> String {
    match measured {
        Measured::Amps { .. } => print::amperes(Amperes(value)),
        _ => print::loss(Volts(value)),
    }
}
