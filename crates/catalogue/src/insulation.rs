//! Insulation by class and trade name, and the temperature that it bears.

use serde::Deserialize;
use units::Kelvin;

use crate::cell;
use crate::provenance::Provenance;
use crate::read;
use crate::row::{Row, from_fields};

/// A kind of conductor insulation.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Insulation {
    key: String,
    #[serde(default)]
    aliases: Vec<String>,
    /// What it is made of, or what the class covers.
    pub material: String,
    /// Highest conductor temperature it bears continuously.
    #[serde(rename = "limit_celsius", deserialize_with = "read::celsius")]
    pub limit: Kelvin,
    /// Highest conductor temperature at the end of a short circuit of at most 5 s.
    #[serde(rename = "short_circuit_celsius", default, deserialize_with = "read::celsius")]
    pub short_circuit: Option<Kelvin>,
    /// What else to know.
    #[serde(default)]
    pub note: String,
    /// Where the row comes from.
    pub provenance: Provenance,
}

impl Row for Insulation {
    const TABLE: &'static str = "insulation";
    const DESCRIPTION: &'static str =
        "Insulation by class and trade name: highest conductor temperature, lasting and short";
    const HEADS: &'static [&'static str] =
        &["insulation", "material", "lasting, °C", "after a short circuit, °C", "note"];

    from_fields!(key: str, aliases: [String], provenance: Provenance);

    fn cells(&self) -> Vec<String> {
        vec![
            self.key.clone(),
            self.material.clone(),
            cell::number(self.limit.celsius()),
            cell::optional(self.short_circuit.map(Kelvin::celsius)),
            self.note.clone(),
        ]
    }
}
