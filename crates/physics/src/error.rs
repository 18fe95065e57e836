//! What a law says when an argument lies outside the range in which it holds.

use std::fmt;

/// An argument outside the domain of a law.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PhysicsError {
    /// The argument had to lie above a bound, and to be finite.
    NotAbove {
        /// The argument in words.
        what: &'static str,
        /// The bound, in `unit`.
        bound: f64,
        /// What was given, in `unit`.
        found: f64,
        /// The SI symbol of the unit.
        unit: &'static str,
    },
    /// The argument had to lie between two bounds, both allowed.
    Outside {
        /// The argument in words.
        what: &'static str,
        /// The lower bound, in `unit`.
        low: f64,
        /// The upper bound, in `unit`.
        high: f64,
        /// What was given, in `unit`.
        found: f64,
        /// The SI symbol of the unit.
        unit: &'static str,
    },
}

impl fmt::Display for PhysicsError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let gap = |unit: &'static str| if unit.is_empty() { "" } else { " " };
        match *self {
            Self::NotAbove { what, bound, found, unit } => {
                let space = gap(unit);
                write!(f, "expected {what} above {bound}{space}{unit}, found {found}{space}{unit}")
            }
            Self::Outside { what, low, high, found, unit } => {
                let space = gap(unit);
                if f64::MAX <= high {
                    return write!(
                        f,
                        "expected {what} of {low}{space}{unit} or more, found {found}{space}{unit}"
                    );
                }
                write!(
                    f,
                    "expected {what} from {low} to {high}{space}{unit}, found {found}{space}{unit}"
                )
            }
        }
    }
}

impl std::error::Error for PhysicsError {}

/// Passes a finite number above `bound`; the comparison also stops not-a-number.
pub(crate) fn above(
    what: &'static str,
    bound: f64,
    found: f64,
    unit: &'static str,
) -> Result<f64, PhysicsError> {
    if bound < found && found.is_finite() {
        Ok(found)
    } else {
        Err(PhysicsError::NotAbove { what, bound, found, unit })
    }
}

/// Passes a number from `low` to `high`; the comparison also stops not-a-number.
pub(crate) fn within(
    what: &'static str,
    low: f64,
    high: f64,
    found: f64,
    unit: &'static str,
) -> Result<f64, PhysicsError> {
    if low <= found && found <= high {
        Ok(found)
    } else {
        Err(PhysicsError::Outside { what, low, high, found, unit })
    }
}

#[cfg(test)]
mod refusals {
    use super::*;

    #[test]
    fn a_refusal_names_the_argument_the_bound_and_what_was_found() {
        let refused = above("a metal area", 0.0, -1.5, "m²").unwrap_err();
        assert_eq!(refused.to_string(), "expected a metal area above 0 m², found -1.5 m²");
        let refused = within("a share", 0.0, 1.0, 1.5, "").unwrap_err();
        assert_eq!(refused.to_string(), "expected a share from 0 to 1, found 1.5");
        let refused = within("a length", 0.0, f64::MAX, -2.0, "m").unwrap_err();
        assert_eq!(refused.to_string(), "expected a length of 0 m or more, found -2 m");
    }

    #[test]
    fn not_a_number_and_infinity_are_refused() {
        assert!(above("a length", 0.0, f64::NAN, "m").is_err());
        assert!(above("a length", 0.0, f64::INFINITY, "m").is_err());
        assert!(within("a share", 0.0, 1.0, f64::NAN, "").is_err());
    }
}
