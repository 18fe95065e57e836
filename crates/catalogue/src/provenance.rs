//! Where a row comes from and how sure it is.

use serde::Deserialize;

use crate::word::words;

words! {
    /// How sure a row is.
    Confidence;
    /// Seen in the standard, manual or handbook itself.
    Confirmed "confirmed";
    /// Seen only where another document repeats the source.
    Secondary "secondary";
    /// Computed from other values by a stated rule.
    Derived "derived";
    /// Usual in the trade, without a published source.
    CommonPractice "common practice";
    /// Weighed by those who wrote this program, where nobody has published it.
    Judgement "our judgement";
    /// Recalled and not yet compared with the source.
    Unconfirmed "unconfirmed";
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
