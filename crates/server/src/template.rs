//! What a vehicle can begin with.

/// Something that a vehicle can begin with.
#[derive(Debug, Clone, Copy)]
pub struct Template {
    /// Its name.
    pub name: &'static str,
    /// What it is.
    pub what: &'static str,
    /// The vehicle file.
    pub text: &'static str,
    /// A file of readings that belongs to it.
    pub readings: Option<&'static str>,
}
