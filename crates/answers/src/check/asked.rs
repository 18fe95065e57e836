//! What is asked of a file.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// Diagnostics of a vehicle file and a one-screen inventory.
#[derive(
    Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize, ToSchema, clap::Args,
)]
#[serde(default, deny_unknown_fields)]
#[schema(as = CheckAsked)]
pub struct Asked {
    /// List every value that was filled in, and why.
    #[arg(long)]
    pub defaults: bool,
}
