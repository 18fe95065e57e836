//! The sizes about a drop that is allowed, with where each settles.

use catalogue::{Material, Provenance};
use physics::conductor::temperature_factor;
use physics::heat::{
    ConductorThermal, Outcome, Surroundings, heat_capacity_per_metre, ring_area,
    steady_temperature, stranded_diameter,
};
use physics::quantity::{JoulesPerCubicMetreKelvin, OhmsPerMetre, PerKelvin, WattsPerMetreKelvin};
use units::{Kelvin, Metres, Ratio, Volts};

use super::wanted::Wanted;
use crate::arguments::Arguments;
use crate::refusal::Refused;
use crate::size::Asked;
use crate::size::families::{Candidate, Family, families};

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

/// The smallest size of each family that keeps the drop.
#[derive(Debug)]
pub struct Found {
    pub(super) wanted: Wanted,
    pub(super) choices: Vec<Choice>,
}

/// A size with what it does at the current.
#[derive(Debug)]
pub(super) struct Judged {
    pub candidate: Candidate,
    /// Cable at the temperature of the air, and typical joints.
    pub drop: Volts,
    /// Where the metal settles; none where the heat law does not hold for the metal.
    pub settled: Option<Outcome>,
    /// The drop when it has settled.
    pub warm_drop: Option<Volts>,
}

/// The three sizes about the limit in one family of sizes.
#[derive(Debug)]
pub(super) struct Choice {
    pub family: Family,
    pub smaller: Option<Judged>,
    pub chosen: Option<Judged>,
    pub larger: Option<Judged>,
}

impl Found {
    pub(in crate::size) fn of(asked: &Asked, arguments: Arguments) -> Result<Self, Refused> {
        let wanted = Wanted::read(asked, arguments)?;
        let families = families(wanted.material).into_iter();
        let choices =
            families.map(|(family, candidates)| choose(family, candidates, &wanted)).collect();
        Ok(Self { wanted, choices })
    }

    /// True where no size of a family keeps the drop, or the one that does grows too warm.
    pub(in crate::size) fn wants_attention(&self) -> bool {
        let chosen = self.choices.iter().map(|choice| &choice.chosen);
        chosen.into_iter().any(|own| own.as_ref().is_none_or(|own| self.too_warm(own)))
    }

    /// True when the metal settles above what the named insulation bears, or nowhere.
    pub(super) fn too_warm(&self, judged: &Judged) -> bool {
        match judged.settled {
            Some(Outcome::Settles(temperature)) => self.wanted.insulation.limit < temperature,
            Some(Outcome::Exceeds(_)) => true,
            None => false,
        }
    }

    /// What the numbers rest on: the sizes shown, the metal, the joints, the insulation.
    pub(super) fn basis(&self) -> Vec<&Provenance> {
        let choices = self.choices.iter();
        let shown = choices.flat_map(|own| [&own.smaller, &own.chosen, &own.larger]).flatten();
        let mut all: Vec<&Provenance> = shown.map(|own| &own.candidate.provenance).collect();
        all.push(&self.wanted.material.provenance);
        if self.wanted.n_joints > 0 {
            all.push(&self.wanted.joint.provenance);
        }
        all.push(&self.wanted.insulation.provenance);
        all
    }
}

impl Judged {
    pub(super) fn keeps(&self, wanted: &Wanted) -> bool {
        self.drop <= wanted.allowed * (1.0 + ROUNDING)
    }
}

fn choose(family: Family, candidates: Vec<Candidate>, wanted: &Wanted) -> Choice {
    let judged: Vec<Judged> =
        candidates.into_iter().map(|candidate| judge(candidate, wanted)).collect();
    let first = judged.iter().position(|own| own.keeps(wanted)).unwrap_or(judged.len());
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

fn judge(candidate: Candidate, wanted: &Wanted) -> Judged {
    let joints = wanted.joints_drop(wanted.joint.clean_typical);
    let coefficient = PerKelvin(wanted.material.temperature_coefficient);
    let cable = |temperature: Kelvin| {
        let factor = temperature_factor(coefficient, temperature).0;
        candidate.per_metre * wanted.path().0 * factor * wanted.current
    };
    let settled = settled(&candidate, wanted);
    let warm_drop = match settled {
        Some(Outcome::Settles(temperature)) => Some(cable(temperature) + joints),
        Some(Outcome::Exceeds(_)) | None => None,
    };
    Judged { drop: cable(wanted.ambient) + joints, settled, warm_drop, candidate }
}

/// Where the metal settles after a long time; none where the heat law does not hold for the metal.
fn settled(candidate: &Candidate, wanted: &Wanted) -> Option<Outcome> {
    let material: &Material = wanted.material;
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
    let air = Surroundings::alone(wanted.ambient);
    steady_temperature(&thermal, wanted.current, &air, material.melting).ok()
}

/// Thickness of thin-wall insulation where the catalogue has no outer diameter: a straight line
/// through the outer diameters of its road-vehicle cables, which are recalled.
fn insulation_thickness(metal_diameter: Metres) -> Metres {
    let thickness = Metres::from_mm(0.15) + metal_diameter * 0.09;
    thickness.max(Metres::from_mm(0.25)).min(Metres::from_mm(1.6))
}
