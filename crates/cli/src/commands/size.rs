//! `groundloom size`: the smallest conductor that keeps a drop, or in a vehicle everything at once.

use std::path::PathBuf;

use answers::arguments::whole_number;
use catalogue::{Catalogue, Insulation, JointKind, Material, Provenance, Row};
use physics::conductor::temperature_factor;
use physics::heat::{
    ConductorThermal, Outcome, Surroundings, heat_capacity_per_metre, ring_area,
    steady_temperature, stranded_diameter,
};
use physics::quantity::{JoulesPerCubicMetreKelvin, OhmsPerMetre, PerKelvin, WattsPerMetreKelvin};
use serde_json::{Value, json};
use units::{Amperes, Dimension, Kelvin, Metres, Ohms, Ratio, Volts, print};

use crate::answer::{Answer, Asked, Exit, Failure};
use crate::option::Options;
use crate::sources::with_source;

use families::{Candidate, Family, families};

mod families;
mod in_network;
mod text;

/// Joints taken for each cable, one at either end, where their number is not given.
const JOINTS_OF_A_CABLE: u32 = 2;

/// Insulation that the temperature is held against where none is named.
const USUAL_INSULATION: &str = "PVC 105";

/// Air about the conductor where none is named.
const USUAL_AIR: &str = "20 °C";

/// Air in which the straight line of resistance against temperature holds, in degrees Celsius.
const AIR_CELSIUS: (f64, f64) = (-60.0, 250.0);

/// Metal between the strands' circle (from memory).
const FILL: Ratio = Ratio(0.75);

/// Insulation of road-vehicle cable: PVC 0.17 to 0.2 W/(m·K) (IEC 60287-2-1).
const INSULATION_CONDUCTIVITY: WattsPerMetreKelvin = WattsPerMetreKelvin(0.2);

/// Radiation of a plastic sheath (from memory).
const EMISSIVITY: Ratio = Ratio(0.9);

/// Heat that plastic takes; it does not change where the temperature settles.
const INSULATION_HEAT: JoulesPerCubicMetreKelvin = JoulesPerCubicMetreKelvin(1.7e6);

/// A drop this little above what is allowed is the rounding of the numbers.
const ROUNDING: f64 = 1e-9;

const DROP_ALONE: &str = "This is drop alone. Heat, fault energy and protection are sized together in \
    a network, where fuse, bundle and duty are known: `groundloom size FILE --from … --to …`. The \
    temperature is that of a single cable in still air after a long time, for information.";

/// The smallest conductor for a drop; in a vehicle file for drop, heat, fault energy and protection.
#[derive(clap::Args, Debug)]
pub(crate) struct Arguments {
    /// A vehicle file, or `-` for standard input: the conductor is then tried in that network.
    file: Option<PathBuf>,
    /// Current, such as `120 A`; in a vehicle file it follows from the network.
    #[arg(long, required_unless_present = "file", conflicts_with = "file")]
    current: Option<String>,
    /// Length of the feed conductor, along the conductor, such as `3.2 m`.
    #[arg(long)]
    length: String,
    /// Length of a return conductor of the same size; the drop is then that of both.
    #[arg(long, value_name = "LENGTH", conflicts_with = "file")]
    return_length: Option<String>,
    /// The drop that is allowed, such as `0.3 V`.
    #[arg(long, conflicts_with = "percent")]
    drop: Option<String>,
    /// The drop that is allowed as a share of the nominal voltage, such as `3 %`.
    #[arg(long)]
    percent: Option<String>,
    /// Nominal voltage, such as `12 V`.
    #[arg(long)]
    nominal: Option<String>,
    /// Metal of the conductor; several in a vehicle file, `copper,aluminium`.
    #[arg(long, default_value = "copper")]
    material: String,
    /// Temperature of the air about the conductor, 20 °C when left out; in a vehicle file that of each state.
    #[arg(long, conflicts_with = "file")]
    ambient: Option<String>,
    /// Insulation, whose limit the temperature is held against; `PVC 105` when left out.
    #[arg(long)]
    insulation: Option<String>,
    /// Number of joints in the path; two for each conductor when left out.
    #[arg(long, value_parser = whole_number::<u32>, conflicts_with = "file")]
    joints: Option<u32>,
    /// Kind of the joints.
    #[arg(long, value_name = "KIND", default_value = "bolted lug")]
    joint: String,
    #[command(flatten)]
    network: in_network::Network,
}

/// What was asked, read and checked.
struct Question {
    current: Amperes,
    length: Metres,
    return_length: Option<Metres>,
    allowed: Volts,
    material: &'static Material,
    ambient: Kelvin,
    insulation: &'static Insulation,
    insulation_assumed: bool,
    n_joints: u32,
    joints_assumed: bool,
    joint: &'static JointKind,
}

impl Question {
    /// Feed and return together.
    fn path(&self) -> Metres {
        self.length + self.return_length.unwrap_or(Metres::ZERO)
    }

    fn joints_drop(&self, each: Ohms) -> Volts {
        each * self.current * f64::from(self.n_joints)
    }
}

/// A size with what it does at the current.
struct Judged {
    candidate: Candidate,
    /// Cable at the temperature of the air, and typical joints.
    drop: Volts,
    /// Where the metal settles; none where the heat law does not hold for the metal.
    settled: Option<Outcome>,
    /// The drop when it has settled.
    warm_drop: Option<Volts>,
}

/// The three sizes about the limit in one family of sizes.
struct Choice {
    family: Family,
    smaller: Option<Judged>,
    chosen: Option<Judged>,
    larger: Option<Judged>,
}

/// Answers with the smallest size of each family that keeps the drop.
///
/// JSON: `families`, each with `smaller`, `chosen` and `larger` (null where there is none); a size
/// has its `area_square_metres`, `ohms_per_metre` at 20 °C, `drop_volts`,
/// `settled_kelvin` (null when it does not settle) and `warm_drop_volts`.
pub(crate) fn run(arguments: &Arguments, asked: &Asked) -> Result<Answer, Failure> {
    if let Some(path) = &arguments.file {
        return in_network::run(path, arguments, asked);
    }
    let question = read(arguments)?;
    let choices: Vec<Choice> = families(question.material)
        .into_iter()
        .map(|(family, candidates)| choose(family, candidates, &question))
        .collect();
    let warnings = text::warnings(&choices, &question, asked);
    let unmet = choices
        .iter()
        .any(|choice| choice.chosen.as_ref().is_none_or(|chosen| too_warm(chosen, &question)));
    Ok(Answer {
        text: text::text(&choices, &question, &warnings, asked),
        json: answer_json(&choices, &question, &warnings),
        exit: if unmet { Exit::Finding } else { Exit::Well },
    })
}

fn read(arguments: &Arguments) -> Result<Question, Failure> {
    let catalogue = Catalogue::standard();
    let mut options = Options::default();
    let current = arguments
        .current
        .as_deref()
        .and_then(|text| options.positive("--current", text, Dimension::Current, Amperes));
    let length = options.positive("--length", &arguments.length, Dimension::Length, Metres);
    let return_length = arguments
        .return_length
        .as_deref()
        .and_then(|text| options.positive("--return-length", text, Dimension::Length, Metres));
    let allowed = allowed(arguments, &mut options);
    let material = options.row("--material", &arguments.material, &catalogue.materials);
    let ambient = air(arguments.ambient.as_deref().unwrap_or(USUAL_AIR), &mut options);
    let insulation = arguments.insulation.as_deref().unwrap_or(USUAL_INSULATION);
    let insulation = options.row("--insulation", insulation, &catalogue.insulation);
    let joint = options.row("--joint", &arguments.joint, &catalogue.joint_kinds);
    let conductors = if return_length.is_some() { 2 } else { 1 };
    let (Some(current), Some(length), Some(allowed), Some(ambient), true) =
        (current, length, allowed, ambient, options.all_right())
    else {
        return Err(options.failure());
    };
    let (Some(material), Some(insulation), Some(joint)) = (material, insulation, joint) else {
        return Err(options.failure());
    };
    Ok(Question {
        current,
        length,
        return_length,
        allowed,
        material,
        ambient,
        insulation,
        insulation_assumed: arguments.insulation.is_none(),
        n_joints: arguments.joints.unwrap_or(JOINTS_OF_A_CABLE * conductors),
        joints_assumed: arguments.joints.is_none(),
        joint,
    })
}

/// The drop that is allowed, from whichever of the options gives it.
fn allowed(arguments: &Arguments, options: &mut Options) -> Option<Volts> {
    let nominal = arguments
        .nominal
        .as_deref()
        .and_then(|text| options.positive("--nominal", text, Dimension::Voltage, Volts));
    if let Some(text) = &arguments.drop {
        return options.positive("--drop", text, Dimension::Voltage, Volts);
    }
    let Some(text) = &arguments.percent else {
        options
            .refuse("no drop is given", "`--drop '0.3 V'`, or `--percent '3 %' --nominal '12 V'`");
        return None;
    };
    if arguments.nominal.is_none() {
        options.refuse("`--percent` is a share of nothing", "`--nominal '12 V'` beside it");
    }
    let share = options.positive("--percent", text, Dimension::Ratio, Ratio)?;
    if share.0 >= 1.0 {
        options.refuse(
            format!("`--percent {text}` is {}", print::percent(share)),
            "a share below 100 %, such as `3 %`",
        );
        return None;
    }
    Some(nominal? * share.0)
}

/// A temperature of air in which a conductor may lie.
fn air(text: &str, options: &mut Options) -> Option<Kelvin> {
    let air = options.quantity("--ambient", text, Dimension::Temperature, Kelvin)?;
    if AIR_CELSIUS.0 <= air.celsius() && air.celsius() <= AIR_CELSIUS.1 {
        return Some(air);
    }
    options.refuse(
        format!("`--ambient {text}` is beyond the range of the resistance law"),
        format!("a temperature from {} to {} °C", AIR_CELSIUS.0, AIR_CELSIUS.1),
    );
    None
}

fn choose(family: Family, candidates: Vec<Candidate>, question: &Question) -> Choice {
    let judged: Vec<Judged> =
        candidates.into_iter().map(|candidate| judge(candidate, question)).collect();
    let keeps = |judged: &Judged| judged.drop <= question.allowed * (1.0 + ROUNDING);
    let first = judged.iter().position(keeps).unwrap_or(judged.len());
    let mut choice = Choice { family, smaller: None, chosen: None, larger: None };
    for (index, judged) in judged.into_iter().enumerate() {
        if index + 1 == first {
            choice.smaller = Some(judged);
        } else if index == first {
            choice.chosen = Some(judged);
        } else if index == first + 1 {
            choice.larger = Some(judged);
        }
    }
    choice
}

fn judge(candidate: Candidate, question: &Question) -> Judged {
    let joints = question.joints_drop(question.joint.clean_typical);
    let coefficient = PerKelvin(question.material.temperature_coefficient);
    let cable = |temperature: Kelvin| {
        let factor = temperature_factor(coefficient, temperature).0;
        candidate.per_metre * question.path().0 * factor * question.current
    };
    let settled = settled(&candidate, question);
    let warm_drop = match settled {
        Some(Outcome::Settles(temperature)) => Some(cable(temperature) + joints),
        Some(Outcome::Exceeds(_)) | None => None,
    };
    Judged { drop: cable(question.ambient) + joints, settled, warm_drop, candidate }
}

/// Where the metal settles after a long time; none where the heat law does not hold for the metal.
fn settled(candidate: &Candidate, question: &Question) -> Option<Outcome> {
    let material = question.material;
    let metal_diameter = stranded_diameter(candidate.area, FILL).ok()?;
    let outer_diameter = candidate
        .outer_diameter
        .unwrap_or(metal_diameter + insulation_thickness(metal_diameter) * 2.0)
        .max(metal_diameter);
    let metal_heat = material.density_kg_per_m3 * material.specific_heat_j_per_kg_k;
    let thermal = ConductorThermal {
        metal_diameter,
        outer_diameter,
        resistance_per_metre_at_20: OhmsPerMetre(candidate.per_metre.0),
        temperature_coefficient: PerKelvin(material.temperature_coefficient),
        insulation_conductivity: INSULATION_CONDUCTIVITY,
        emissivity: EMISSIVITY,
        heat_capacity_per_metre: heat_capacity_per_metre(&[
            (JoulesPerCubicMetreKelvin(metal_heat), candidate.area),
            (INSULATION_HEAT, ring_area(metal_diameter, outer_diameter).ok()?),
        ]),
    };
    let air = Surroundings::alone(question.ambient);
    steady_temperature(&thermal, question.current, &air, material.melting).ok()
}

/// Thickness of thin-wall insulation where the catalogue has no outer diameter: a straight line
/// through the outer diameters of its road-vehicle cables, which are recalled.
fn insulation_thickness(metal_diameter: Metres) -> Metres {
    let thickness = Metres::from_mm(0.15) + metal_diameter * 0.09;
    thickness.max(Metres::from_mm(0.25)).min(Metres::from_mm(1.6))
}

/// True when the metal settles above what the named insulation bears, or nowhere.
fn too_warm(judged: &Judged, question: &Question) -> bool {
    match judged.settled {
        Some(Outcome::Settles(temperature)) => question.insulation.limit < temperature,
        Some(Outcome::Exceeds(_)) => true,
        None => false,
    }
}

/// What the numbers rest on: the sizes shown, the metal, the joints, the insulation.
fn basis(choices: &[Choice], question: &Question) -> Vec<Provenance> {
    let mut all: Vec<Provenance> = choices
        .iter()
        .flat_map(|choice| [&choice.smaller, &choice.chosen, &choice.larger])
        .flatten()
        .map(|judged| judged.candidate.provenance.clone())
        .collect();
    all.push(question.material.provenance.clone());
    if question.n_joints > 0 {
        all.push(question.joint.provenance.clone());
    }
    all.push(question.insulation.provenance.clone());
    all
}

fn answer_json(choices: &[Choice], question: &Question, warnings: &[String]) -> Value {
    let judged = |judged: &Option<Judged>| {
        judged.as_ref().map(|judged| {
            let settled = match judged.settled {
                Some(Outcome::Settles(temperature)) => Some(temperature.0),
                Some(Outcome::Exceeds(_)) | None => None,
            };
            let size = json!({
                "size": judged.candidate.name,
                "area_square_metres": judged.candidate.area.0,
                "ohms_per_metre": judged.candidate.per_metre.0,
                "basis": judged.candidate.basis,
                "drop_volts": judged.drop.0,
                "keeps_the_drop": judged.drop <= question.allowed * (1.0 + ROUNDING),
                "settled_kelvin": settled,
                "warm_drop_volts": judged.warm_drop.map(|drop| drop.0),
                "too_warm": too_warm(judged, question),
            });
            with_source(size, &judged.candidate.provenance)
        })
    };
    let families = choices.iter().map(|choice| {
        json!({
            "family": choice.family.name(),
            "smaller": judged(&choice.smaller),
            "chosen": judged(&choice.chosen),
            "larger": judged(&choice.larger),
        })
    });
    let joint = question.joint;
    let joints = json!({
        "kind": joint.key(),
        "count": question.n_joints,
        "drop_volts": question.joints_drop(joint.clean_typical).0,
        "lowest_drop_volts": question.joints_drop(joint.clean_low).0,
        "highest_drop_volts": question.joints_drop(joint.clean_high).0,
    });
    json!({
        "format": 1,
        "current_amperes": question.current.0,
        "length_metres": question.length.0,
        "return_length_metres": question.return_length.map(|length| length.0),
        "allowed_drop_volts": question.allowed.0,
        "material": question.material.key(),
        "ambient_kelvin": question.ambient.0,
        "insulation": question.insulation.key(),
        "insulation_assumed": question.insulation_assumed,
        "joints": with_source(joints, &joint.provenance),
        "families": families.collect::<Vec<_>>(),
        "warnings": warnings,
        "notes": [DROP_ALONE],
    })
}

#[cfg(test)]
mod tests;
