//! What is asked of a load's volts.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// Where the volts of one load go: feed side, load, return side, and the ways home.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize, ToSchema, clap::Args)]
#[serde(deny_unknown_fields)]
#[schema(as = BudgetAsked)]
pub struct Asked {
    /// The load.
    #[arg(long)]
    pub load: String,
    /// The operating state; every state in which the load is on when left out.
    #[arg(long)]
    #[serde(default)]
    pub state: Option<String>,
    /// Show the small terms too.
    #[arg(long)]
    #[serde(default)]
    pub all: bool,
}
