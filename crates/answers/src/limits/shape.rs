//! The JSON of limits beside what to expect.

use catalogue::Row;

use super::found::{
    Across, CIRCUITS, Compared, Conductor, Described, Expected, PARTS, across, asks_for_none,
};
use super::{CAUTIONS, CONTRADICT, Found};
use crate::arguments::word_for;
use crate::told::sources::Sourced;

shape! {
    /// The answer of `limits`.
    pub struct Limits from pub(super) (found: &Found) {
        let described = &found.described;
        /// The number of the contract.
        pub format: u32 = crate::FORMAT,
        /// The current that really flowed.
        pub current_amperes: f64 = described.current.0,
        /// Nominal voltage of the vehicle.
        pub nominal_volts: f64 = described.nominal.0,
        /// Temperature of the conductor.
        pub ambient_kelvin: f64 = described.ambient.0,
        /// What to expect; null when neither conductor nor joints are described.
        pub expected: Option<LimitsExpected> =
            described.whole().map(|whole| LimitsExpected::of(described, whole)),
        /// Every limit that fits.
        pub limits: Vec<LimitBeside> = found.compared.iter().map(LimitBeside::of).collect(),
        /// What to know about them all.
        pub notes: Vec<&'static str> = vec![CONTRADICT, CAUTIONS],
    }

    /// What to expect of what was described.
    pub struct LimitsExpected from (described: &Described, whole: Expected) {
        let conductor = described.conductor.as_ref().map(|own| ConductorDrop::of(described, own));
        let joints = JointsDrop::of(described);
        /// Of all of it.
        pub whole: DropRange = DropRange::of(whole),
        /// Of the conductor alone; null where none is described.
        pub conductor: Option<ConductorDrop> = conductor,
        /// Of all joints together.
        pub joints: JointsDrop = joints,
    }

    /// A drop with sound joints.
    #[derive(Copy)]
    pub struct DropRange from (drop: Expected) {
        /// With the best.
        pub low_volts: f64 = drop.low.0,
        /// With usual ones.
        pub typical_volts: f64 = drop.typical.0,
        /// With the worst.
        pub high_volts: f64 = drop.high.0,
    }

    /// What to expect of a conductor.
    pub struct ConductorDrop from (described: &Described, own: &Conductor) {
        /// Its size.
        pub size: String = own.size.to_string(),
        /// Its metal.
        pub material: String = own.material.key().to_owned(),
        /// Its length.
        pub length_metres: f64 = own.length.0,
        /// Resistance of one metre at 20 °C.
        pub ohms_per_metre: f64 = own.per_metre.per_metre.0,
        /// What that rests on.
        pub basis: String = own.per_metre.basis.clone(),
        /// What it loses at its temperature.
        pub drop_volts: f64 = described.conductor_drop().0,
        /// Where its resistance comes from.
        #[serde(flatten)]
        pub sourced: Sourced = (&own.per_metre.provenance).into(),
    }

    /// What to expect of joints.
    pub struct JointsDrop from (described: &Described) {
        /// Their kind.
        pub kind: String = described.joint.key().to_owned(),
        /// How many they are.
        pub count: u32 = described.n_joints,
        /// What they lose together.
        pub drop: DropRange = DropRange::of(described.drop_of_joints()),
        /// Where their resistance comes from.
        #[serde(flatten)]
        pub sourced: Sourced = (&described.joint.provenance).into(),
    }

    /// A limit beside what to expect of the same thing.
    pub struct LimitBeside from (own: &Compared) {
        let limit = own.limit;
        let measured_across = match (across(limit.part), own.expected) {
            (_, None) | (Across::Nothing, _) => None,
            (Across::WhatWasDescribed, _) => Some("what was described"),
            (Across::OneJoint, _) => Some("one joint"),
        };
        /// Its key in the catalogue.
        pub key: String = limit.key().to_owned(),
        /// The rules to which it belongs.
        pub rule_set: String = limit.rule_set.clone(),
        /// The circuit that it is for.
        pub circuit: &'static str = word_for(&CIRCUITS, limit.circuit),
        /// The part of the circuit.
        pub part: &'static str = word_for(&PARTS, limit.part),
        /// The test.
        pub test: String = limit.test.clone(),
        /// The limit as it is published or taught.
        pub limit: String = limit.limit.to_string(),
        /// True when it grows with the current.
        pub follows_current: bool = limit.limit.follows_current(),
        /// True when it is zero, which no meter can show.
        pub asks_for_no_measurable_drop: bool = asks_for_none(limit.limit),
        /// What it allows at the current.
        pub allowed_volts: f64 = own.allowed.0,
        /// What it is held against: `what was described`, `one joint`, or null where neither is what it is for.
        pub measured_across: Option<&'static str> = measured_across,
        /// What to expect there.
        pub expected_volts: Option<f64> = own.expected.map(|expected| expected.typical.0),
        /// Negative where sound copper stays below the limit.
        pub expected_less_allowed_volts: Option<f64> = own
            .expected
            .map(|expected| (expected.typical - own.allowed).0),
        /// Where the limit comes from.
        #[serde(flatten)]
        pub sourced: Sourced = (&limit.provenance).into(),
    }
}
