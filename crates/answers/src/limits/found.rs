//! What to expect, and every limit that fits beside it.

use catalogue::{
    Catalogue, Circuit, ConductorResistance, DropLimit, JointKind, Limit, Material, Part,
};
use physics::conductor::temperature_factor;
use physics::quantity::PerKelvin;
use units::{Amperes, Kelvin, Metres, Ohms, Volts, WireSize};

use super::Asked;
use crate::Refusal;
use crate::arguments::Arguments;
use crate::refusal::Refused;
use crate::room::Watch;

/// Joints taken for a conductor, one at either end, where their number is not given.
const JOINTS_OF_A_CABLE: u32 = 2;

/// Circuits as they are named by whoever asks, in the order of the answer.
pub(super) const CIRCUITS: [(&str, Circuit); 5] = [
    ("starter", Circuit::Starter),
    ("charging", Circuit::Charging),
    ("control", Circuit::Control),
    ("running", Circuit::Running),
    ("bonding", Circuit::Bonding),
];

/// Parts as they are named by whoever asks, in the order of the answer.
pub(super) const PARTS: [(&str, Part); 8] = [
    ("total", Part::Total),
    ("feed", Part::Feed),
    ("return", Part::Return),
    ("cable", Part::Cable),
    ("connection", Part::Connection),
    ("switch", Part::Switch),
    ("solenoid", Part::Solenoid),
    ("case", Part::Case),
];

/// What to expect, and every limit that fits beside it.
#[derive(Debug)]
pub struct Found {
    pub(super) described: Described,
    pub(super) compared: Vec<Compared>,
}

/// What was asked, read and checked.
#[derive(Debug)]
pub(super) struct Described {
    pub current: Amperes,
    pub conductor: Option<Conductor>,
    pub n_joints: u32,
    pub joints_assumed: bool,
    pub joint: &'static JointKind,
    pub ambient: Kelvin,
    pub nominal: Volts,
    pub circuit: Option<Circuit>,
    part: Option<Part>,
}

/// What the current flows through.
#[derive(Debug)]
pub(super) struct Conductor {
    pub length: Metres,
    pub size: WireSize,
    pub material: &'static Material,
    pub per_metre: ConductorResistance,
}

/// A drop with typical sound joints, and with the best and the worst sound ones.
#[derive(Debug, Clone, Copy)]
pub(super) struct Expected {
    pub low: Volts,
    pub typical: Volts,
    pub high: Volts,
}

/// A limit beside what to expect of the same thing.
#[derive(Debug)]
pub(super) struct Compared {
    pub limit: &'static DropLimit,
    pub allowed: Volts,
    /// Of what was described, or of one joint; none where neither is what the limit is for.
    pub expected: Option<Expected>,
}

impl Found {
    pub(super) fn of((): (), asked: &Asked, _: Watch<'_>) -> Result<Self, Refused> {
        let described = Described::of(asked)?;
        let compared = Catalogue::standard()
            .limits
            .iter()
            .filter(|row| row.is_for(described.nominal))
            .filter(|row| described.circuit.is_none_or(|circuit| row.circuit == circuit))
            .filter(|row| described.part.is_none_or(|part| row.part == part))
            .map(|limit| compare(limit, &described))
            .collect();
        Ok(Self { described, compared })
    }

    /// Limits that contradict one another ask for nothing.
    pub(super) fn wants_attention(&self) -> bool {
        false
    }
}

impl Described {
    fn of(asked: &Asked) -> Result<Self, Refused> {
        let catalogue = Catalogue::standard();
        let mut arguments = Arguments::default();
        let current = arguments.positive::<Amperes>("current", &asked.current);
        let material = arguments.row("material", &asked.material, &catalogue.materials);
        let length = arguments.perhaps::<Metres>("length", &asked.length);
        let size = asked.size.as_deref().and_then(|text| arguments.size("size", text));
        both_or_none(asked, &mut arguments);
        let joint = arguments.row("joint", &asked.joint, &catalogue.joint_kinds);
        let ambient = arguments.air(&asked.ambient);
        let nominal = arguments.positive::<Volts>("nominal", &asked.nominal);
        let circuit = arguments.perhaps_word("circuit", &asked.circuit, &CIRCUITS);
        let part = arguments.perhaps_word("part", &asked.part, &PARTS);
        let conductor = length.zip(size).zip(material).and_then(|((length, size), material)| {
            Conductor::of(length, size, material, &mut arguments)
        });
        let usual_joints = if conductor.is_some() { JOINTS_OF_A_CABLE } else { 0 };
        let read = arguments.0.unless(current.zip(joint).zip(ambient).zip(nominal))?;
        let (((current, joint), ambient), nominal) = read;
        Ok(Self {
            current,
            conductor,
            n_joints: asked.joints.unwrap_or(usual_joints),
            joints_assumed: asked.joints.is_none(),
            joint,
            ambient,
            nominal,
            circuit,
            part,
        })
    }

    /// Drop of the conductor alone, at its temperature.
    pub(super) fn conductor_drop(&self) -> Volts {
        self.conductor.as_ref().map_or(Volts::ZERO, |conductor| {
            let coefficient = PerKelvin(conductor.material.temperature_coefficient);
            let factor = temperature_factor(coefficient, self.ambient).0;
            conductor.per_metre.per_metre * (conductor.length.0 * factor) * self.current
        })
    }

    /// Drop of all joints.
    pub(super) fn drop_of_joints(&self) -> Expected {
        self.joints_drop(self.n_joints, Volts::ZERO)
    }

    /// Drop of one joint.
    pub(super) fn drop_of_one_joint(&self) -> Expected {
        self.joints_drop(1, Volts::ZERO)
    }

    /// Drop of so many sound joints, with so much beside them.
    fn joints_drop(&self, count: u32, beside: Volts) -> Expected {
        let of = |each: Ohms| each * self.current * f64::from(count) + beside;
        let joint = self.joint;
        Expected {
            low: of(joint.clean_low),
            typical: of(joint.clean_typical),
            high: of(joint.clean_high),
        }
    }

    /// All that was described; none when nothing was.
    pub(super) fn whole(&self) -> Option<Expected> {
        (self.conductor.is_some() || self.n_joints > 0)
            .then(|| self.joints_drop(self.n_joints, self.conductor_drop()))
    }
}

impl Conductor {
    fn of(
        length: Metres,
        size: WireSize,
        material: &'static Material,
        arguments: &mut Arguments,
    ) -> Option<Self> {
        let found = Catalogue::standard().conductor_resistance_per_metre(&size, material);
        if found.is_none() {
            arguments.refuse(Refusal::of(
                "size",
                &size.to_string(),
                "is not in the catalogue",
                "a size that `groundloom catalogue sae-gauges` or `awg` lists, or one in mm²",
            ));
        }
        found.map(|per_metre| Self { length, size, material, per_metre })
    }
}

/// Refuses a length without a size and a size without a length, which say nothing.
fn both_or_none(asked: &Asked, arguments: &mut Arguments) {
    match (&asked.length, &asked.size) {
        (Some(text), None) => {
            arguments.refuse(Refusal::of("length", text, "stands without a size", "both, or none"));
        }
        (None, Some(text)) => {
            arguments.refuse(Refusal::of("size", text, "stands without a length", "both, or none"));
        }
        _ => {}
    }
}

/// What of the description a limit is to be held against.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Across {
    WhatWasDescribed,
    OneJoint,
    /// Switches and solenoids are not described.
    Nothing,
}

pub(super) fn across(part: Part) -> Across {
    match part {
        Part::Total | Part::Feed | Part::Return | Part::Cable => Across::WhatWasDescribed,
        Part::Connection | Part::Case => Across::OneJoint,
        Part::Switch | Part::Solenoid => Across::Nothing,
    }
}

fn compare(limit: &'static DropLimit, described: &Described) -> Compared {
    Compared {
        limit,
        allowed: limit.limit.allowed(described.current, described.nominal),
        expected: match across(limit.part) {
            Across::WhatWasDescribed => described.whole(),
            Across::OneJoint => Some(described.drop_of_one_joint()),
            Across::Nothing => None,
        },
    }
}

/// True for the limit that asks for a drop of zero.
pub(super) fn asks_for_none(limit: Limit) -> bool {
    matches!(limit, Limit::Fixed(volts) if volts <= Volts::ZERO)
}
