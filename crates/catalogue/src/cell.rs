//! Cells of a table as text.

use units::print::plain;

/// Four significant digits say more than any row of the catalogue knows.
const DIGITS: usize = 4;

pub(crate) fn number(value: f64) -> String {
    // A value such as 1.2e-6 would print as a row of zeros.
    if value != 0.0 && value.abs() < 1e-4 { format!("{value:e}") } else { plain(value, DIGITS) }
}

pub(crate) fn optional(value: Option<f64>) -> String {
    value.map_or_else(String::new, number)
}

pub(crate) fn yes(holds: bool) -> String {
    if holds { "yes".to_owned() } else { "no".to_owned() }
}
