//! How joints are prepared and protected, and what may hurt the person who does it.

use serde::Deserialize;

use crate::provenance::Provenance;
use crate::row::{Row, from_fields};

/// A statement of practice in preparing or protecting a joint.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Preparation {
    key: String,
    /// What to do, in our words.
    pub practice: String,
    /// Where the row comes from.
    pub provenance: Provenance,
}

impl Row for Preparation {
    const TABLE: &'static str = "preparation";
    const DESCRIPTION: &'static str = "How joints are prepared, tightened, protected and checked";
    const HEADS: &'static [&'static str] = &["subject", "practice"];

    from_fields!(key: str, provenance: Provenance);

    fn cells(&self) -> Vec<String> {
        vec![self.key.clone(), self.practice.clone()]
    }
}

/// A rule about where protection stands and how it is rated.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ProtectionRule {
    key: String,
    /// What it is a rule for: `boats`, `vessels`, `general`.
    pub realm: String,
    /// The rule, in our words.
    pub rule: String,
    /// Where the row comes from.
    pub provenance: Provenance,
}

impl Row for ProtectionRule {
    const TABLE: &'static str = "protection-rules";
    const DESCRIPTION: &'static str =
        "Where fuses stand and how they are rated; each rule holds in its own realm";
    const HEADS: &'static [&'static str] = &["subject", "realm", "rule"];

    from_fields!(key: str, provenance: Provenance);

    fn cells(&self) -> Vec<String> {
        vec![self.key.clone(), self.realm.clone(), self.rule.clone()]
    }
}

/// A caution.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Caution {
    key: String,
    /// The caution, in our words.
    pub caution: String,
    /// Where the row comes from.
    pub provenance: Provenance,
}

impl Row for Caution {
    const TABLE: &'static str = "cautions";
    const DESCRIPTION: &'static str =
        "What may hurt people or things; the maker's procedure overrides";
    const HEADS: &'static [&'static str] = &["subject", "caution"];

    from_fields!(key: str, provenance: Provenance);

    fn cells(&self) -> Vec<String> {
        vec![self.key.clone(), self.caution.clone()]
    }
}
