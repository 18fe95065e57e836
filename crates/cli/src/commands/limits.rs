//! `groundloom limits`: the drop to expect, then what published and taught rules say beside it.

use answers::arguments::whole_number;
use catalogue::{
    Catalogue, Circuit, ConductorResistance, DropLimit, JointKind, Limit, Material, Part, Row,
};
use physics::conductor::temperature_factor;
use physics::quantity::PerKelvin;
use serde_json::{Value, json};
use units::{Amperes, Dimension, Kelvin, Metres, Ohms, Volts, WireSize};

use crate::answer::{Answer, Asked, Exit, Failure};
use crate::commands::size::air;
use crate::option::Options;
use crate::sources::with_source;

mod text;

/// Joints taken for a conductor, one at either end, where their number is not given.
const JOINTS_OF_A_CABLE: u32 = 2;

const CONTRADICT: &str = "These rule sets contradict one another for one and the same test, and \
    none of them is a law for vehicles. What to expect of sound copper at the current that really \
    flowed comes first: a drop well above it is worth a look though it is within a limit, and one \
    near it is sound though it is above.";

const CAUTIONS: &str = "Cranking current heats cables and joints in seconds: crank no longer than \
    the reading needs. Rings off, nothing loosened while current flows, no spark near a battery \
    (hydrogen). Not for anything above 60 V. See `groundloom catalogue cautions`.";

/// The drop to expect of sound copper, and published and taught limits beside it.
#[derive(clap::Args, Debug)]
pub(crate) struct Arguments {
    /// The current that really flowed, such as `200 A`.
    #[arg(long)]
    current: String,
    /// Length of the conductor, such as `1.2 m`.
    #[arg(long, requires = "size")]
    length: Option<String>,
    /// Size of the conductor, such as `35 mm²` or `2 AWG`.
    #[arg(long, requires = "length")]
    size: Option<String>,
    /// Number of joints under the meter; two for a conductor when left out.
    #[arg(long, value_parser = whole_number::<u32>)]
    joints: Option<u32>,
    /// Kind of the joints.
    #[arg(long, value_name = "KIND", default_value = "bolted lug")]
    joint: String,
    /// Metal of the conductor.
    #[arg(long, default_value = "copper")]
    material: String,
    /// Temperature of the conductor.
    #[arg(long, default_value = "20 °C")]
    ambient: String,
    /// Nominal voltage of the vehicle.
    #[arg(long, default_value = "12 V")]
    nominal: String,
    /// Only this circuit: `starter`, `charging`, `control`, `running` or `bonding`.
    #[arg(long)]
    circuit: Option<String>,
    /// Only this part: `feed`, `return`, `total`, `cable`, `connection`, `switch`, `solenoid` or
    /// `case`.
    #[arg(long)]
    part: Option<String>,
}

/// Circuits as they are named on the command line, in the order of the answer.
const CIRCUITS: [(&str, Circuit); 5] = [
    ("starter", Circuit::Starter),
    ("charging", Circuit::Charging),
    ("control", Circuit::Control),
    ("running", Circuit::Running),
    ("bonding", Circuit::Bonding),
];

/// Parts as they are named on the command line, in the order of the answer.
const PARTS: [(&str, Part); 8] = [
    ("total", Part::Total),
    ("feed", Part::Feed),
    ("return", Part::Return),
    ("cable", Part::Cable),
    ("connection", Part::Connection),
    ("switch", Part::Switch),
    ("solenoid", Part::Solenoid),
    ("case", Part::Case),
];

/// What was asked, read and checked.
struct Question {
    current: Amperes,
    conductor: Option<Conductor>,
    n_joints: u32,
    joints_assumed: bool,
    joint: &'static JointKind,
    ambient: Kelvin,
    nominal: Volts,
    circuit: Option<Circuit>,
    part: Option<Part>,
}

struct Conductor {
    length: Metres,
    size: WireSize,
    material: &'static Material,
    per_metre: ConductorResistance,
}

/// A drop with typical sound joints, and with the best and the worst sound ones.
#[derive(Clone, Copy)]
struct Expected {
    low: Volts,
    typical: Volts,
    high: Volts,
}

/// A limit beside what to expect of the same thing.
struct Compared {
    limit: &'static DropLimit,
    allowed: Volts,
    /// Of what was described, or of one joint; none where neither is what the limit is for.
    expected: Option<Expected>,
}

/// Answers with the expected drop, and every limit that fits beside it.
///
/// JSON: `expected` (null when neither conductor nor joints are described) with the drops of
/// `conductor_volts`, `joints` and `whole`; `limits` with `allowed_volts` at the current,
/// `follows_current`, `measured_across` (`what was described`, `one joint` or null) and
/// `expected_less_allowed_volts`, negative where sound copper stays below the limit.
pub(crate) fn run(arguments: &Arguments, asked: &Asked) -> Result<Answer, Failure> {
    let question = read(arguments)?;
    let compared: Vec<Compared> = Catalogue::standard()
        .limits
        .iter()
        .filter(|row| row.is_for(question.nominal))
        .filter(|row| question.circuit.is_none_or(|circuit| row.circuit == circuit))
        .filter(|row| question.part.is_none_or(|part| row.part == part))
        .map(|limit| compare(limit, &question))
        .collect();
    Ok(Answer {
        text: text::text(&question, &compared, asked),
        json: answer_json(&question, &compared),
        exit: Exit::Well,
    })
}

fn read(arguments: &Arguments) -> Result<Question, Failure> {
    let catalogue = Catalogue::standard();
    let mut options = Options::default();
    let current = options.positive("--current", &arguments.current, Dimension::Current, Amperes);
    let material = options.row("--material", &arguments.material, &catalogue.materials);
    let length = arguments
        .length
        .as_deref()
        .and_then(|text| options.positive("--length", text, Dimension::Length, Metres));
    let size = arguments.size.as_deref().and_then(|text| options.size("--size", text));
    let joint = options.row("--joint", &arguments.joint, &catalogue.joint_kinds);
    let ambient = air(&arguments.ambient, &mut options);
    let nominal = options.positive("--nominal", &arguments.nominal, Dimension::Voltage, Volts);
    let circuit =
        arguments.circuit.as_deref().and_then(|text| options.word("--circuit", text, &CIRCUITS));
    let part = arguments.part.as_deref().and_then(|text| options.word("--part", text, &PARTS));
    let conductor = match (length, size, material) {
        (Some(length), Some(size), Some(material)) => {
            let found = catalogue.conductor_resistance_per_metre(&size, material);
            if found.is_none() {
                options.refuse(
                    format!("`--size {size}` is not in the catalogue"),
                    "a size that `groundloom catalogue sae-gauges` or `awg` lists, or one in mm²",
                );
            }
            found.map(|per_metre| Conductor { length, size, material, per_metre })
        }
        _ => None,
    };
    let (Some(current), Some(joint), Some(ambient), Some(nominal), true) =
        (current, joint, ambient, nominal, options.all_right())
    else {
        return Err(options.failure());
    };
    let usual_joints = if conductor.is_some() { JOINTS_OF_A_CABLE } else { 0 };
    Ok(Question {
        current,
        conductor,
        n_joints: arguments.joints.unwrap_or(usual_joints),
        joints_assumed: arguments.joints.is_none(),
        joint,
        ambient,
        nominal,
        circuit,
        part,
    })
}

impl Question {
    /// Drop of the conductor alone, at its temperature.
    fn conductor_drop(&self) -> Volts {
        self.conductor.as_ref().map_or(Volts::ZERO, |conductor| {
            let coefficient = PerKelvin(conductor.material.temperature_coefficient);
            let factor = temperature_factor(coefficient, self.ambient).0;
            conductor.per_metre.per_metre * (conductor.length.0 * factor) * self.current
        })
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
    fn whole(&self) -> Option<Expected> {
        (self.conductor.is_some() || self.n_joints > 0)
            .then(|| self.joints_drop(self.n_joints, self.conductor_drop()))
    }
}

/// What of the description a limit is to be held against.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Across {
    WhatWasDescribed,
    OneJoint,
    /// Switches and solenoids are not described.
    Nothing,
}

fn across(part: Part) -> Across {
    match part {
        Part::Total | Part::Feed | Part::Return | Part::Cable => Across::WhatWasDescribed,
        Part::Connection | Part::Case => Across::OneJoint,
        Part::Switch | Part::Solenoid => Across::Nothing,
    }
}

fn compare(limit: &'static DropLimit, question: &Question) -> Compared {
    Compared {
        limit,
        allowed: limit.limit.allowed(question.current, question.nominal),
        expected: match across(limit.part) {
            Across::WhatWasDescribed => question.whole(),
            Across::OneJoint => Some(question.joints_drop(1, Volts::ZERO)),
            Across::Nothing => None,
        },
    }
}

/// True for the limit that asks for a drop of zero.
fn asks_for_none(limit: Limit) -> bool {
    matches!(limit, Limit::Fixed(volts) if volts <= Volts::ZERO)
}

fn name_of<T: Copy + PartialEq>(words: &[(&'static str, T)], wanted: T) -> &'static str {
    words.iter().find(|(_, meaning)| *meaning == wanted).map_or("", |(word, _)| word)
}

fn answer_json(question: &Question, compared: &[Compared]) -> Value {
    let range = |drop: Expected| {
        json!({
            "low_volts": drop.low.0,
            "typical_volts": drop.typical.0,
            "high_volts": drop.high.0,
        })
    };
    let joints = || {
        let drop = range(question.joints_drop(question.n_joints, Volts::ZERO));
        let joints =
            json!({ "kind": question.joint.key(), "count": question.n_joints, "drop": drop });
        with_source(joints, &question.joint.provenance)
    };
    let conductor = question.conductor.as_ref().map(|conductor| {
        let conductor_json = json!({
            "size": conductor.size.to_string(),
            "material": conductor.material.key(),
            "length_metres": conductor.length.0,
            "ohms_per_metre": conductor.per_metre.per_metre.0,
            "basis": conductor.per_metre.basis,
            "drop_volts": question.conductor_drop().0,
        });
        with_source(conductor_json, &conductor.per_metre.provenance)
    });
    let expected = question
        .whole()
        .map(|whole| json!({ "whole": range(whole), "conductor": conductor, "joints": joints() }));
    let limits = compared.iter().map(|compared| {
        let limit = compared.limit;
        let across = match (across(limit.part), compared.expected) {
            (_, None) | (Across::Nothing, _) => None,
            (Across::WhatWasDescribed, _) => Some("what was described"),
            (Across::OneJoint, _) => Some("one joint"),
        };
        let row = json!({
            "key": limit.key(),
            "rule_set": limit.rule_set,
            "circuit": name_of(&CIRCUITS, limit.circuit),
            "part": name_of(&PARTS, limit.part),
            "test": limit.test,
            "limit": limit.limit.to_string(),
            "follows_current": limit.limit.follows_current(),
            "asks_for_no_measurable_drop": asks_for_none(limit.limit),
            "allowed_volts": compared.allowed.0,
            "measured_across": across,
            "expected_volts": compared.expected.map(|expected| expected.typical.0),
            "expected_less_allowed_volts":
                compared.expected.map(|expected| (expected.typical - compared.allowed).0),
        });
        with_source(row, &limit.provenance)
    });
    json!({
        "format": 1,
        "current_amperes": question.current.0,
        "nominal_volts": question.nominal.0,
        "ambient_kelvin": question.ambient.0,
        "expected": expected,
        "limits": limits.collect::<Vec<_>>(),
        "notes": [CONTRADICT, CAUTIONS],
    })
}

#[cfg(test)]
mod tests;
