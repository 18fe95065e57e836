//! Fuses: how long they bear a current.

use serde::Deserialize;
use units::{Ratio, Seconds};

use crate::cell;
use crate::provenance::Provenance;
use crate::read;
use crate::row::{Row, from_fields};

/// Opening time of a kind of fuse at a multiple of its rating.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FuseTime {
    key: String,
    /// Kind of fuse: `blade`, `large blade`, `strip 30 mm`, `strip 51 mm`.
    pub kind: String,
    /// Current as a share of the rating.
    #[serde(rename = "of_rating_percent", deserialize_with = "read::percent")]
    pub of_rating: Ratio,
    /// It must not open sooner than this.
    #[serde(rename = "least_s", deserialize_with = "read::seconds")]
    pub least: Seconds,
    /// It must have opened by then; none where it need not open.
    #[serde(rename = "most_s", default, deserialize_with = "read::seconds")]
    pub most: Option<Seconds>,
    /// What else to know.
    #[serde(default)]
    pub note: String,
    /// Where the row comes from.
    pub provenance: Provenance,
}

impl Row for FuseTime {
    const TABLE: &'static str = "fuse-times";
    const DESCRIPTION: &'static str =
        "Opening times of vehicle fuses; all recalled, none yet compared with the standard";
    const HEADS: &'static [&'static str] =
        &["key", "kind", "of rating, %", "not before, s", "not after, s", "note"];

    from_fields!(key: str, provenance: Provenance);

    fn cells(&self) -> Vec<String> {
        vec![
            self.key.clone(),
            self.kind.clone(),
            cell::number(self.of_rating.0 * 1e2),
            cell::number(self.least.0),
            cell::optional(self.most.map(|time| time.0)),
            self.note.clone(),
        ]
    }
}

#[cfg(test)]
mod laws {
    use crate::{Catalogue, Confidence, Row};

    #[test]
    fn a_fuse_opens_sooner_at_more_current() {
        let times = &Catalogue::standard().fuse_times;
        for row in times {
            for other in times.iter().filter(|other| other.kind == row.kind) {
                if row.of_rating < other.of_rating {
                    assert!(other.least <= row.least, "{} {}", row.key(), other.key());
                    if let (Some(slow), Some(fast)) = (row.most, other.most) {
                        assert!(fast <= slow, "{} {}", row.key(), other.key());
                    }
                }
            }
        }
    }

    #[test]
    fn no_fuse_time_is_passed_off_as_the_standard_s() {
        for row in &Catalogue::standard().fuse_times {
            assert_eq!(row.provenance.confidence, Confidence::Unconfirmed, "{}", row.key());
        }
    }
}
