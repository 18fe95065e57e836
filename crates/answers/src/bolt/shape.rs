//! The JSON of a bolt: its figures, or the sheet of a joint with as much as its file says.

use catalogue::{ConnectionTorque, Provenance, Row};
use serde::Serialize;
use utoipa::ToSchema;

use super::Found;
use super::about::JointAbout;
use super::found::TorqueFrom;
use super::place::Place;
use super::sheet::{JointWarning, Sheet};
use super::tightening::{
    Bolt, CANNOT_TELL, CAUTIONS, LongForm, OVERRIDES, TABLE_FRICTION, Tightening, USUAL_SHARE,
    USUAL_SHARE_CONFIDENCE, USUAL_SHARE_SOURCE, basis, margin,
};

/// The answer of `bolt`.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
#[serde(untagged)]
pub enum BoltAnswer {
    /// A bolt and its torque.
    Figures(Bolted),
    /// A joint that is asked about by its name alone, with as much as its file says.
    AsFiled(JointSheet),
}

shape! {
    /// A bolt and its torque, with the joint about it.
    pub struct Bolted from (bolt: &Bolt, found: &Tightening, sheet: Option<&Sheet>, connections: Vec<ConnectionTold>) {
        /// The number of the contract.
        pub format: u32 = crate::FORMAT,
        /// The bolt and its torque.
        #[serde(flatten)]
        pub bolt: Tightened = Tightened::of(bolt, found),
        /// Torques that others give for connections with this thread.
        pub connections: Vec<ConnectionTold> = connections,
        /// What the figures do not say, what overrides them, what comes first.
        #[schema(value_type = Vec<String>)]
        pub notes: [&'static str; 3] = NOTES,
        /// The joint about it; null when only the bolt was asked about.
        pub sheet: Option<JointAbout> = sheet.map(JointAbout::of),
    }

    /// The sheet of a joint of the vehicle, with as much as the file says of its bolt.
    pub struct JointSheet from (found: &Found, place: &Place, sheet: &Sheet, own: Option<&(Bolt, Tightening, TorqueFrom)>, connections: Vec<ConnectionTold>) {
        let from = own.map(|(_, _, from)| *from);
        let usual = from == Some(TorqueFrom::Usual);
        /// The number of the contract.
        pub format: u32 = crate::FORMAT,
        /// The joint.
        pub joint: String = place.name.clone(),
        /// Its thread.
        pub thread: Option<String> = place.thread.map(|thread| thread.to_string()),
        /// `file`, or `usual` where the file gives none and the bolt stands in metal of a structure; else null.
        pub torque_from: Option<&'static str> = from.map(TorqueFrom::word),
        /// Where the usual torque comes from; null for one of the file.
        pub torque_source: Option<&'static str> = usual.then_some(USUAL_SHARE_SOURCE),
        /// How sure that is.
        pub torque_confidence: Option<&'static str> = usual.then(|| USUAL_SHARE_CONFIDENCE.word()),
        /// The bolt and that torque; null without one.
        pub bolt: Option<Tightened> =
            own.map(|(bolt, tightening, _)| Tightened::of(bolt, tightening)),
        /// Torques that others give for connections such as this one.
        pub connections: Vec<ConnectionTold> = connections,
        /// What the figures do not say, what overrides them, what comes first.
        #[schema(value_type = Vec<String>)]
        pub notes: [&'static str; 3] = NOTES,
        /// The joint.
        pub sheet: JointAbout = JointAbout::of(sheet),
        /// `unlike-faces`, `too-many-terminals`, `above-highest-torque`, `beyond-proof-load`.
        pub warnings: Vec<&'static str> = found.warnings().into_iter().map(warning).collect(),
    }
}

/// A range with its middle.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, ToSchema)]
pub struct NominalRange {
    /// The lower end.
    pub low: f64,
    /// What is most to be expected.
    pub nominal: f64,
    /// The upper end.
    pub high: f64,
}

/// A range.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, ToSchema)]
pub struct PlainRange {
    /// The lower end.
    pub low: f64,
    /// The upper end.
    pub high: f64,
}

shape! {
    /// A bolt and what its torque does.
    pub struct Tightened from (bolt: &Bolt, found: &Tightening) {
        let range = |[low, nominal, high]: [f64; 3]| NominalRange { low, nominal, high };
        let (clamp, finish) = (found.clamp, bolt.finish);
        let basis = basis(bolt).into_iter();
        /// Its thread.
        pub thread: String = bolt.thread.key().to_owned(),
        /// Its class.
        pub class: String = bolt.class.key().to_owned(),
        /// True when nobody stated the class.
        pub class_assumed: bool = bolt.class_assumed,
        /// Finish of thread and head.
        pub finish: String = finish.key().to_owned(),
        /// How it is tightened.
        pub method: String = bolt.method.key().to_owned(),
        /// The torque.
        pub torque_newton_metres: f64 = found.torque.0,
        /// The part of it that only turns the thread.
        pub running_torque_newton_metres: f64 = bolt.running.0,
        /// Nut factor of the finish.
        pub nut_factor: NominalRange = range([
            finish.low.unwrap_or(finish.typical).0,
            finish.typical.0,
            finish.high.unwrap_or(finish.typical).0,
        ]),
        /// Scatter of the method.
        pub scatter: f64 = bolt.method.most.0,
        /// What it clamps with.
        pub clamp_newtons: NominalRange = range([clamp.low.0, clamp.nominal.0, clamp.high.0]),
        /// What the bolt bears.
        pub proof_load_newtons: f64 = found.proof_load.0,
        /// Clamp force over proof load.
        pub proof_share: NominalRange = range(found.proof_share.map(|share| share.0)),
        /// Proof load over clamp force, less one, each for the clamp force of that name.
        pub margin: NominalRange = range(found.proof_share.map(|share| margin(share).0)),
        /// The usual share of the proof load.
        pub usual_proof_share: f64 = USUAL_SHARE.0,
        /// The torque for it.
        pub usual_torque_newton_metres: f64 = found.usual_torque.0,
        /// The torque at which the highest clamp force reaches the proof load.
        pub torque_at_proof_newton_metres: f64 = found.torque_at_proof.0,
        /// The cross-check by the law that counts thread and head apart.
        pub long_form: LongFormTold = LongFormTold::of(&found.long_form),
        /// Every number that went in.
        pub basis: Vec<BasisTold> =
            basis.map(|(what, value, of)| BasisTold::of(what, value, of)).collect(),
    }

    /// The same torque by the law that counts thread and head apart.
    #[derive(Copy)]
    pub struct LongFormTold from (long: &LongForm) {
        /// Friction that the nut factor amounts to.
        pub friction: f64 = long.friction.0,
        /// Torque that stretches the bolt.
        pub pitch_newton_metres: f64 = long.shares.pitch.0,
        /// Torque of friction in the thread.
        pub thread_newton_metres: f64 = long.shares.thread.0,
        /// Torque of friction under the head.
        pub head_newton_metres: f64 = long.shares.head.0,
        /// Friction of printed tables.
        pub table_friction: f64 = TABLE_FRICTION.0,
        /// Clamp force under that.
        pub clamp_at_table_friction_newtons: f64 = long.clamp_at_table_friction.0,
    }

    /// A number that went in, and what it rests on.
    pub struct BasisTold from (what: &'static str, value: String, of: Provenance) {
        /// What it is.
        pub what: &'static str = what,
        /// Its value.
        pub value: String = value,
        /// Where it comes from.
        pub source: String = of.source,
        /// How sure that is.
        pub confidence: &'static str = of.confidence.word(),
    }

    /// A torque that others give for a connection.
    pub struct ConnectionTold from (row: &ConnectionTorque) {
        /// The connection.
        pub connection: String = row.connection.clone(),
        /// The lowest torque.
        pub low_newton_metres: f64 = row.low.0,
        /// The highest torque.
        pub high_newton_metres: f64 = row.high.0,
        /// Where it comes from.
        pub source: String = row.provenance.source.clone(),
        /// How sure that is.
        pub confidence: &'static str = row.provenance.confidence.word(),
    }
}

/// What holds of every bolt.
const NOTES: [&str; 3] = [CANNOT_TELL, OVERRIDES, CAUTIONS];

impl BoltAnswer {
    pub(super) fn of(found: &Found) -> Self {
        let connections = found.connections().into_iter().map(ConnectionTold::of).collect();
        match found {
            Found::Figures { bolt, tightening, sheet } => {
                Self::Figures(Bolted::of(bolt, tightening, sheet.as_ref(), connections))
            }
            Found::AsFiled { place, sheet, bolt } => {
                Self::AsFiled(JointSheet::of(found, place, sheet, bolt.as_ref(), connections))
            }
        }
    }
}

fn warning(own: JointWarning) -> &'static str {
    match own {
        JointWarning::UnlikeFaces => "unlike-faces",
        JointWarning::TooManyTerminals => "too-many-terminals",
        JointWarning::AboveHighestTorque => "above-highest-torque",
        JointWarning::BeyondProofLoad => "beyond-proof-load",
    }
}
