//! Reading of arguments that a command line parser does not know by itself; it shows the words as they are.

/// How many of something to show, from one up.
///
/// # Errors
///
/// When it is no such number.
pub fn at_least_one(text: &str) -> Result<usize, String> {
    match text.parse() {
        Ok(number) if 0 < number => Ok(number),
        _ => Err("expected a whole number from 1 up".to_owned()),
    }
}

/// How many of something to show, which may be none.
///
/// # Errors
///
/// When it is no such number.
pub fn whole_number<N: std::str::FromStr>(text: &str) -> Result<N, String> {
    text.parse().map_err(|_| "expected a whole number from 0 up".to_owned())
}
