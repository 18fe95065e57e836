//! Comparison of a computed number with an expected one, for the tests of every law.

/// Fails unless `found` lies within `relative` of `expected`.
#[track_caller]
pub(crate) fn assert_close(found: f64, expected: f64, relative: f64) {
    let error = (found - expected).abs() / expected.abs();
    assert!(
        error <= relative,
        "found {found}, expected {expected} within {relative}, off by {error}"
    );
}

/// Fails unless `found` lies within `absolute` of `expected`.
#[track_caller]
pub(crate) fn assert_near(found: f64, expected: f64, absolute: f64) {
    let error = (found - expected).abs();
    assert!(
        error <= absolute,
        "found {found}, expected {expected} within {absolute}, off by {error}"
    );
}
