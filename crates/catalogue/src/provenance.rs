//! Where a row comes from and how sure it is.

use serde::Deserialize;

/// How sure a row is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
pub enum Confidence {
    /// Seen in the standard, manual or handbook itself.
    #[serde(rename = "confirmed")]
    Confirmed,
    /// Seen only where another document repeats the source.
    #[serde(rename = "secondary")]
    Secondary,
    /// Computed from other values by a stated rule.
    #[serde(rename = "derived")]
    Derived,
    /// Usual in the trade, without a published source.
    #[serde(rename = "common practice")]
    CommonPractice,
    /// Weighed by those who wrote this program, where nobody has published it.
    #[serde(rename = "our judgement")]
    Judgement,
    /// Recalled and not yet compared with the source.
    #[serde(rename = "unconfirmed")]
    Unconfirmed,
}

impl Confidence {
    /// The word that the tables use for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Confirmed => "confirmed",
            Self::Secondary => "secondary",
            Self::Derived => "derived",
            Self::CommonPractice => "common practice",
            Self::Judgement => "our judgement",
            Self::Unconfirmed => "unconfirmed",
        }
    }
}

impl std::fmt::Display for Confidence {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(self.word())
    }
}

/// The source of a row and how sure the row is.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Provenance {
    /// Standard, manual or handbook, with clause or table; or the rule by which it was computed.
    pub source: String,
    /// How sure the row is: that of its least sure number.
    pub confidence: Confidence,
}

impl Provenance {
    pub(crate) fn new(source: impl Into<String>, confidence: Confidence) -> Self {
        Self { source: source.into(), confidence }
    }
}
