//! What is taught about a reading: its limit and where that comes from, beside the reading.

use catalogue::Row;
use diagnosis::Beside;

shape! {
    /// A taught limit beside a reading.
    pub struct TaughtLimit from pub(super) (own: Beside) {
        let Beside { limit, allowed, above } = own;
        /// Its row in the catalogue.
        pub key: String = limit.key().to_owned(),
        /// Who teaches it.
        pub rule_set: String = limit.rule_set.to_string(),
        /// The test that is taught.
        pub test: String = limit.test.clone(),
        /// The most it allows.
        pub allowed_volts: f64 = allowed.0,
        /// True when the reading is above it by more than the meter's own uncertainty.
        pub above: bool = above,
        /// Where it is written.
        pub source: String = limit.provenance.source.clone(),
        /// How sure that is.
        pub confidence: &'static str = limit.provenance.confidence.word(),
    }
}
