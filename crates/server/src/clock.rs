//! Times as the garage keeps them.

use jiff::Timestamp;

/// Now, as the garage keeps it: RFC 3339 in UTC to the millisecond, so that texts sort as times.
pub(crate) fn now() -> String {
    written(Timestamp::now())
}

/// A time as the garage keeps it.
pub(crate) fn written(time: Timestamp) -> String {
    format!("{time:.3}")
}
