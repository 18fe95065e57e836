//! Switching contacts by kind of switch.

use serde::Deserialize;
use units::{Ohms, Volts};

use crate::cell;
use crate::provenance::Provenance;
use crate::read;
use crate::row::{Row, from_fields};

/// The resistance to expect of the contacts of a kind of switch.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SwitchContact {
    key: String,
    #[serde(default)]
    aliases: Vec<String>,
    /// To be taken for sound contacts of which nothing else is known.
    #[serde(rename = "typical_mohm", deserialize_with = "read::milliohms")]
    pub typical: Ohms,
    /// What sound contacts lose at their marked current: the resistance of those of which it is known.
    #[serde(rename = "drop_at_rating_mv", deserialize_with = "read::millivolts")]
    pub drop_at_rating: Volts,
    /// Where the row comes from.
    pub provenance: Provenance,
}

impl Row for SwitchContact {
    const TABLE: &'static str = "switch-contacts";
    const DESCRIPTION: &'static str =
        "Resistance to expect of switching contacts by kind; no survey was found";
    const HEADS: &'static [&'static str] = &["kind", "typical, mΩ", "drop at the rating, mV"];

    from_fields!(key: str, aliases: [String], provenance: Provenance);

    fn cells(&self) -> Vec<String> {
        let drop = cell::number(self.drop_at_rating.0 * 1e3);
        vec![self.key.clone(), cell::number(self.typical.0 * 1e3), drop]
    }
}
