//! Failures, what they do, and what would help, by their names.

use crate::solve::status_word;
use ::failures::{Change, Contact, Endurance, Fault, Finding, Protection, Wear};
use model::Vehicle;
use serde::Serialize;
use utoipa::ToSchema;

shape! {
    /// What fails, and how.
    #[derive(Eq)]
    pub struct FailedPart from pub (vehicle: &Vehicle, fault: Fault) {
        let (kind, times) = match fault {
            Fault::Open(_) => ("open", None),
            Fault::Worn(_, Wear::Ten) => ("worn", Some(10)),
            Fault::Worn(_, Wear::Hundred) => ("worn", Some(100)),
            Fault::Blown(_) => ("blown", None),
            Fault::BatteryLost(_) => ("battery-lost", None),
            Fault::SourceLost(_) => ("source-lost", None),
        };
        /// `open`, `worn`, `blown`, `battery-lost` or `source-lost`.
        pub kind: &'static str = kind,
        /// Its name.
        pub name: String = fault.name(vehicle).to_owned(),
        /// Of what is worn, how many times its resistance.
        pub times: Option<u32> = times,
    }
}

/// One thing that goes wrong.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum FailureFinding {
    /// A load is no longer fed as it needs.
    Load {
        /// The load.
        name: String,
        /// Volts across it.
        volts: f64,
        /// True when next to nothing reaches it.
        dead: bool,
        /// Its minimum.
        minimum_volts: Option<f64>,
        /// As in `solve`.
        status: &'static str,
    },
    /// A conductor carries more than it bears.
    Conductor {
        /// The conductor.
        name: String,
        /// Its current before.
        before_amps: f64,
        /// What the current now does to it.
        endurance: PartEndurance,
    },
    /// Metal that was never meant to carry current carries enough to be damaged.
    Path {
        /// The incidental path.
        name: String,
        /// Its current.
        amps: f64,
        /// Current from which damage is to be feared.
        damage_amps: f64,
    },
    /// A joint makes so much heat that its metal softens or melts, or the insulation beside it suffers.
    Joint {
        /// The joint.
        name: String,
        /// Volts across it.
        volts: f64,
        /// Heat made in it.
        watts: f64,
        /// How hot that makes it at the end of the state: an estimate.
        reaches_kelvin: f64,
        /// What becomes of it.
        contact: ContactHarm,
    },
    /// A fuse carries more than it is marked for.
    Fuse {
        /// The fuse.
        name: String,
        /// Its current.
        amps: f64,
        /// What it is marked with.
        rating_amps: f64,
        /// When it opens at the latest, where that is known.
        latest_seconds: Option<f64>,
    },
    /// A battery gives more than its part.
    Battery {
        /// The battery.
        name: String,
        /// Its share of what all batteries give.
        share: f64,
        /// Its share of their capacity.
        fair_share: f64,
    },
    /// No operating point was found: the network cannot settle.
    Unsettled,
}

/// What its heat does to a joint.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, ToSchema)]
#[serde(rename_all = "lowercase")]
pub enum ContactHarm {
    /// Its softest metal softens, or the insulation beside it suffers.
    Softens,
    /// Its softest metal melts.
    Melts,
}

shape! {
    /// What a current does to a conductor, and when.
    pub struct PartEndurance from pub (own: &Endurance) {
        /// The current.
        pub amps: f64 = own.amps.0,
        /// When its insulation's limit is passed; null for never.
        pub limit_after_seconds: Option<f64> = own.limit_after.map(|time| time.0),
        /// When its metal melts; null for never.
        pub melts_after_seconds: Option<f64> = own.melts_after.map(|time| time.0),
        /// How warm it is at the end of the state.
        pub at_end_kelvin: f64 = own.at_end.0,
        /// How long the state lasts; null for ever.
        pub state_seconds: Option<f64> = own.lasts.map(|time| time.0),
        /// True when the limit is passed while the state lasts.
        pub passes_limit: bool = own.passes_limit(),
        /// True when it melts while the state lasts.
        pub melts: bool = own.melts(),
    }

    /// Whether a fuse opens first.
    pub struct ProtectionVerdict from pub(super) (vehicle: &Vehicle, protection: Protection) {
        let (verdict, fuse, latest) = match protection {
            Protection::None => ("none", None, None),
            Protection::OpensFirst { fuse, latest } => ("opens-first", Some(fuse), Some(latest)),
            Protection::TooLate { fuse, latest } => ("too-late", Some(fuse), latest),
        };
        /// `none`, `opens-first` or `too-late`.
        pub verdict: &'static str = verdict,
        /// The fuse.
        pub fuse: Option<String> = fuse.map(|id| vehicle.inline(id).id.clone()),
        /// When it opens at the latest, where that is known.
        pub latest_seconds: Option<f64> = latest.map(|time| time.0),
    }
}

/// A change that takes harm away.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum RemedyChange {
    /// A second strap beside the one that failed.
    ParallelStrap {
        /// One end.
        from: String,
        /// The other end.
        to: String,
        /// Its size.
        square_metres: f64,
        /// Its length.
        metres: f64,
    },
    /// A second way to ground.
    SecondGround {
        /// One end.
        from: String,
        /// The other end.
        to: String,
        /// Its size.
        square_metres: f64,
        /// Its length.
        metres: f64,
    },
    /// A larger conductor.
    Larger {
        /// Which.
        name: String,
        /// Its size.
        square_metres: f64,
    },
}

/// What goes wrong.
#[must_use]
pub fn findings(vehicle: &Vehicle, findings: &[Finding]) -> Vec<FailureFinding> {
    findings.iter().map(|own| finding(vehicle, own)).collect()
}

fn finding(vehicle: &Vehicle, finding: &Finding) -> FailureFinding {
    match *finding {
        Finding::Load { load, status, volts, dead } => FailureFinding::Load {
            name: vehicle.load(load).id.clone(),
            volts: volts.0,
            dead,
            minimum_volts: vehicle.load(load).minimum.map(|volts| volts.0),
            status: status_word(status),
        },
        Finding::Conductor { conductor, before, endurance: own } => FailureFinding::Conductor {
            name: vehicle.conductor(conductor).id.clone(),
            before_amps: before.0,
            endurance: PartEndurance::of(&own),
        },
        Finding::Path { path, amps, damage } => FailureFinding::Path {
            name: vehicle.incidental(path).id.clone(),
            amps: amps.0,
            damage_amps: damage.0,
        },
        Finding::Joint { joint, volts, watts, reaches, contact } => FailureFinding::Joint {
            name: vehicle.joint(joint).id.clone(),
            volts: volts.0,
            watts: watts.0,
            reaches_kelvin: reaches.0,
            contact: match contact {
                Contact::Softens => ContactHarm::Softens,
                Contact::Melts => ContactHarm::Melts,
            },
        },
        Finding::Fuse { fuse, amps, rating, opening } => FailureFinding::Fuse {
            name: vehicle.inline(fuse).id.clone(),
            amps: amps.0,
            rating_amps: rating.0,
            latest_seconds: opening.and_then(|own| own.latest).map(|time| time.0),
        },
        Finding::Battery { battery, share, fair } => FailureFinding::Battery {
            name: vehicle.battery(battery).id.clone(),
            share: share.0,
            fair_share: fair.0,
        },
        Finding::Unsettled => FailureFinding::Unsettled,
    }
}

pub(super) fn change(vehicle: &Vehicle, change: Change) -> RemedyChange {
    let point = |id| vehicle.point(id).id.clone();
    match change {
        Change::Parallel { from, to, area, length } => RemedyChange::ParallelStrap {
            from: point(from),
            to: point(to),
            square_metres: area.0,
            metres: length.0,
        },
        Change::SecondGround { from, to, area, length } => RemedyChange::SecondGround {
            from: point(from),
            to: point(to),
            square_metres: area.0,
            metres: length.0,
        },
        Change::Larger { conductor, area } => RemedyChange::Larger {
            name: vehicle.conductor(conductor).id.clone(),
            square_metres: area.0,
        },
    }
}
