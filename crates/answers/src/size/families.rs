//! The lists of sizes from which a conductor is chosen, each from thin to thick.

use catalogue::{Catalogue, Material, Provenance, Row};
use units::{Metres, Ohms, SquareMetres, WireSize};

/// A list of sizes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::size) enum Family {
    /// IEC 60228 class 5 flexible conductors.
    Flexible,
    /// ISO 6722-1 road-vehicle cables.
    RoadVehicle,
    /// American wire gauge.
    Awg,
    /// SAE cable gauges, by their least area.
    Sae,
}

impl Family {
    /// What the list is called.
    pub(super) fn name(self) -> &'static str {
        match self {
            Self::Flexible => "IEC 60228 class 5",
            Self::RoadVehicle => "ISO 6722-1",
            Self::Awg => "ASTM B258",
            Self::Sae => "SAE J1127, J1128",
        }
    }
}

/// A size that may be taken.
#[derive(Debug, Clone)]
pub(in crate::size) struct Candidate {
    /// The size as it is named.
    pub name: String,
    /// The same as a vehicle file has it.
    pub size: WireSize,
    /// Metal area.
    pub area: SquareMetres,
    /// Resistance of one metre at 20 °C.
    pub per_metre: Ohms,
    /// Diameter over the insulation, where the list gives it.
    pub outer_diameter: Option<Metres>,
    /// What the resistance rests on, in words.
    pub basis: String,
    /// Where it comes from.
    pub provenance: Provenance,
}

/// Every list that is made of this metal, with its sizes from thin to thick.
///
/// Of the AWG only the numbers are taken that cables of the SAE standards are made in.
pub(in crate::size) fn families(material: &Material) -> Vec<(Family, Vec<Candidate>)> {
    let catalogue = Catalogue::standard();
    let listed = |size: WireSize| {
        let found = catalogue.conductor_resistance_per_metre(&size, material)?;
        Some(Candidate {
            name: size.to_string(),
            size,
            area: found.area,
            per_metre: found.per_metre,
            outer_diameter: None,
            basis: found.basis,
            provenance: found.provenance,
        })
    };
    let flexible = catalogue.flexible_cables.iter().map(|row| WireSize::Area(row.area));
    let gauges = || catalogue.sae_gauges.iter().map(|row| row.number);
    let all = [
        (Family::Flexible, flexible.filter_map(listed).collect()),
        (Family::RoadVehicle, road_vehicle(material)),
        (Family::Awg, gauges().map(WireSize::Awg).filter_map(listed).collect()),
        (Family::Sae, gauges().map(WireSize::Sae).filter_map(listed).collect()),
    ];
    all.into_iter()
        .filter(|(_, sizes): &(Family, Vec<Candidate>)| !sizes.is_empty())
        .map(|(family, mut sizes)| {
            sizes.sort_by(|one, other| units::larger_first(other.area.0, one.area.0));
            (family, sizes)
        })
        .collect()
}

/// Road-vehicle cables have resistances of their own, for bare and for tinned copper only.
fn road_vehicle(material: &Material) -> Vec<Candidate> {
    let tinned = match material.key() {
        "copper" => false,
        "tinned copper" => true,
        _ => return Vec::new(),
    };
    let rows = Catalogue::standard().road_vehicle_cables.iter();
    rows.map(|row| Candidate {
        name: row.key().to_owned(),
        size: WireSize::Area(row.area),
        area: row.area,
        per_metre: if tinned { row.tinned } else { row.bare },
        outer_diameter: Some(row.outer_diameter),
        basis: format!(
            "ISO 6722-1 maximum for {}, {} copper",
            row.key(),
            if tinned { "tinned" } else { "bare" }
        ),
        provenance: row.provenance.clone(),
    })
    .collect()
}
