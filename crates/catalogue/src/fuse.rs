//! Fuses: how long they bear a current.

use units::{Ratio, Seconds};

use crate::read::table;

table! {
    /// Opening time of a kind of fuse at a multiple of its rating.
    FuseTime "fuse-times"
        "Opening times of vehicle fuses; all recalled, none yet compared with the standard"
        "key";
    /// Kind of fuse: `blade`, `large blade`, `strip 30 mm`, `strip 51 mm`.
    pub kind: String = PLAIN => "kind";
    /// Current as a share of the rating.
    pub of_rating: Ratio = PERCENT "of_rating_percent" => "of rating, %";
    /// It must not open sooner than this.
    pub least: Seconds = SECONDS "least_s" => "not before, s";
    /// It must have opened by then; none where it need not open.
    pub most: Option<Seconds> = SECONDS "most_s" => "not after, s";
    /// What else to know.
    pub note: String = MAY_LACK => "note";
}

#[cfg(test)]
mod laws {
    use crate::{Catalogue, Confidence, Row};

    #[test]
    fn a_fuse_opens_sooner_at_more_current() {
        let times = &Catalogue::standard().fuse_times;
        for row in times.iter() {
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
        for row in Catalogue::standard().fuse_times.iter() {
            assert_eq!(row.provenance.confidence, Confidence::Unconfirmed, "{}", row.key());
        }
    }
}
