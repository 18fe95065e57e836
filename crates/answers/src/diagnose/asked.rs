//! What is asked of readings.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// Which joint is bad, from a few readings with an ordinary meter.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize, ToSchema, clap::Args)]
#[serde(default, deny_unknown_fields)]
#[schema(as = DiagnoseAsked)]
pub struct Asked {
    /// Show every suspect and what is believed of every joint, conductor, structure, load and source.
    #[arg(long)]
    pub all: bool,
}
