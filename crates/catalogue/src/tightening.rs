//! What torque does: nut factors, scatter by method, torques given for connections.

use serde::Deserialize;
use units::{NewtonMetres, Ratio};

use crate::cell;
use crate::provenance::Provenance;
use crate::read;
use crate::row::{Row, from_fields};

/// The nut factor K of a finish, in torque = K · diameter · preload.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NutFactor {
    key: String,
    #[serde(default)]
    aliases: Vec<String>,
    /// The value to use.
    #[serde(deserialize_with = "read::ratio")]
    pub typical: Ratio,
    /// The lowest of the range, where one is given.
    #[serde(default, deserialize_with = "read::ratio")]
    pub low: Option<Ratio>,
    /// The highest of the range, where one is given.
    #[serde(default, deserialize_with = "read::ratio")]
    pub high: Option<Ratio>,
    /// What else to know.
    #[serde(default)]
    pub note: String,
    /// Where the row comes from.
    pub provenance: Provenance,
}

impl Row for NutFactor {
    const TABLE: &'static str = "nut-factors";
    const DESCRIPTION: &'static str =
        "Nut factor K by finish, in torque = K · diameter · preload; sources disagree";
    const HEADS: &'static [&'static str] = &["finish", "K", "from", "to", "note"];

    from_fields!(key: str, aliases: [String], provenance: Provenance);

    fn cells(&self) -> Vec<String> {
        vec![
            self.key.clone(),
            cell::number(self.typical.0),
            cell::optional(self.low.map(|ratio| ratio.0)),
            cell::optional(self.high.map(|ratio| ratio.0)),
            self.note.clone(),
        ]
    }
}

/// How far the preload of one joint may lie from the mean, by the way it was tightened.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TighteningScatter {
    key: String,
    #[serde(default)]
    aliases: Vec<String>,
    /// The smallest scatter given, up and down from the mean.
    #[serde(rename = "least_percent", deserialize_with = "read::percent")]
    pub least: Ratio,
    /// The largest scatter given, up and down from the mean.
    #[serde(rename = "most_percent", deserialize_with = "read::percent")]
    pub most: Ratio,
    /// Where the row comes from.
    pub provenance: Provenance,
}

impl Row for TighteningScatter {
    const TABLE: &'static str = "tightening-scatter";
    const DESCRIPTION: &'static str = "Scatter of preload, up and down, by method of tightening";
    const HEADS: &'static [&'static str] = &["method", "from, ± %", "to, ± %"];

    from_fields!(key: str, aliases: [String], provenance: Provenance);

    fn cells(&self) -> Vec<String> {
        vec![self.key.clone(), cell::number(self.least.0 * 1e2), cell::number(self.most.0 * 1e2)]
    }
}

/// A torque given for an electrical connection; the maker's figure overrides it.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ConnectionTorque {
    key: String,
    #[serde(default)]
    aliases: Vec<String>,
    /// What is tightened.
    pub connection: String,
    /// Thread, a key of the threads, where it is one.
    pub thread: Option<String>,
    /// Lowest torque given.
    #[serde(rename = "low_nm", deserialize_with = "read::newton_metres")]
    pub low: NewtonMetres,
    /// Highest torque given.
    #[serde(rename = "high_nm", deserialize_with = "read::newton_metres")]
    pub high: NewtonMetres,
    /// Where the row comes from.
    pub provenance: Provenance,
}

impl Row for ConnectionTorque {
    const TABLE: &'static str = "connection-torques";
    const DESCRIPTION: &'static str =
        "Torques given for battery terminals, lugs and bus bars; the maker's figure overrides them";
    const HEADS: &'static [&'static str] = &["key", "connection", "from, N·m", "to, N·m"];

    from_fields!(key: str, aliases: [String], provenance: Provenance);

    fn cells(&self) -> Vec<String> {
        vec![
            self.key.clone(),
            self.connection.clone(),
            cell::number(self.low.0),
            cell::number(self.high.0),
        ]
    }
}
