//! The JSON of limits beside what to expect.

use catalogue::Row;
use serde::Serialize;
use utoipa::ToSchema;

use super::found::{
    Across, CIRCUITS, Compared, Described, Expected, PARTS, across, asks_for_none, name_of,
};
use super::{CAUTIONS, CONTRADICT, Found};
use crate::told::sources::Sourced;

/// The answer of `limits`.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct Limits {
    /// The number of the contract.
    pub format: u32,
    /// The current that really flowed.
    pub current_amperes: f64,
    /// Nominal voltage of the vehicle.
    pub nominal_volts: f64,
    /// Temperature of the conductor.
    pub ambient_kelvin: f64,
    /// What to expect; null when neither conductor nor joints are described.
    pub expected: Option<LimitsExpected>,
    /// Every limit that fits.
    pub limits: Vec<LimitBeside>,
    /// What to know about them all.
    pub notes: Vec<&'static str>,
}

/// What to expect of what was described.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct LimitsExpected {
    /// Of all of it.
    pub whole: DropRange,
    /// Of the conductor alone; null where none is described.
    pub conductor: Option<ConductorDrop>,
    /// Of all joints together.
    pub joints: JointsDrop,
}

/// A drop with sound joints.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, ToSchema)]
pub struct DropRange {
    /// With the best.
    pub low_volts: f64,
    /// With usual ones.
    pub typical_volts: f64,
    /// With the worst.
    pub high_volts: f64,
}

/// What to expect of a conductor.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct ConductorDrop {
    /// Its size.
    pub size: String,
    /// Its metal.
    pub material: String,
    /// Its length.
    pub length_metres: f64,
    /// Resistance of one metre at 20 °C.
    pub ohms_per_metre: f64,
    /// What that rests on.
    pub basis: String,
    /// What it loses at its temperature.
    pub drop_volts: f64,
    /// Where its resistance comes from.
    #[serde(flatten)]
    pub sourced: Sourced,
}

/// What to expect of joints.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct JointsDrop {
    /// Their kind.
    pub kind: String,
    /// How many they are.
    pub count: u32,
    /// What they lose together.
    pub drop: DropRange,
    /// Where their resistance comes from.
    #[serde(flatten)]
    pub sourced: Sourced,
}

/// A limit beside what to expect of the same thing.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct LimitBeside {
    /// Its key in the catalogue.
    pub key: String,
    /// The rules to which it belongs.
    pub rule_set: String,
    /// The circuit that it is for.
    pub circuit: &'static str,
    /// The part of the circuit.
    pub part: &'static str,
    /// The test.
    pub test: String,
    /// The limit as it is published or taught.
    pub limit: String,
    /// True when it grows with the current.
    pub follows_current: bool,
    /// True when it is zero, which no meter can show.
    pub asks_for_no_measurable_drop: bool,
    /// What it allows at the current.
    pub allowed_volts: f64,
    /// What it is held against: `what was described`, `one joint`, or null where neither is what it is for.
    pub measured_across: Option<&'static str>,
    /// What to expect there.
    pub expected_volts: Option<f64>,
    /// Negative where sound copper stays below the limit.
    pub expected_less_allowed_volts: Option<f64>,
    /// Where the limit comes from.
    #[serde(flatten)]
    pub sourced: Sourced,
}

pub(super) fn of(found: &Found) -> Limits {
    let described = &found.described;
    Limits {
        format: crate::FORMAT,
        current_amperes: described.current.0,
        nominal_volts: described.nominal.0,
        ambient_kelvin: described.ambient.0,
        expected: described.whole().map(|whole| expected(described, whole)),
        limits: found.compared.iter().map(beside).collect(),
        notes: vec![CONTRADICT, CAUTIONS],
    }
}

fn expected(described: &Described, whole: Expected) -> LimitsExpected {
    let conductor = described.conductor.as_ref().map(|own| ConductorDrop {
        size: own.size.to_string(),
        material: own.material.key().to_owned(),
        length_metres: own.length.0,
        ohms_per_metre: own.per_metre.per_metre.0,
        basis: own.per_metre.basis.clone(),
        drop_volts: described.conductor_drop().0,
        sourced: (&own.per_metre.provenance).into(),
    });
    let joints = JointsDrop {
        kind: described.joint.key().to_owned(),
        count: described.n_joints,
        drop: range(described.drop_of_joints()),
        sourced: (&described.joint.provenance).into(),
    };
    LimitsExpected { whole: range(whole), conductor, joints }
}

fn range(drop: Expected) -> DropRange {
    DropRange { low_volts: drop.low.0, typical_volts: drop.typical.0, high_volts: drop.high.0 }
}

fn beside(own: &Compared) -> LimitBeside {
    let limit = own.limit;
    let measured_across = match (across(limit.part), own.expected) {
        (_, None) | (Across::Nothing, _) => None,
        (Across::WhatWasDescribed, _) => Some("what was described"),
        (Across::OneJoint, _) => Some("one joint"),
    };
    LimitBeside {
        key: limit.key().to_owned(),
        rule_set: limit.rule_set.clone(),
        circuit: name_of(&CIRCUITS, limit.circuit),
        part: name_of(&PARTS, limit.part),
        test: limit.test.clone(),
        limit: limit.limit.to_string(),
        follows_current: limit.limit.follows_current(),
        asks_for_no_measurable_drop: asks_for_none(limit.limit),
        allowed_volts: own.allowed.0,
        measured_across,
        expected_volts: own.expected.map(|expected| expected.typical.0),
        expected_less_allowed_volts: own
            .expected
            .map(|expected| (expected.typical - own.allowed).0),
        sourced: (&limit.provenance).into(),
    }
}
