//! A vehicle file with changes written into it.

use serde::Serialize;
use utoipa::ToSchema;

/// The answer of `edit`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct Edited {
    /// The number of the contract.
    pub format: u32,
    /// The file with the changes in it; everything else stays byte for byte.
    pub text: String,
    /// Names of the conductors that are new in it.
    pub added: Vec<String>,
}
