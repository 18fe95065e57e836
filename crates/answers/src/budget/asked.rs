//! What is asked of a load's volts.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// Where the volts of one load go: feed side, load, return side, and the ways home.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize, ToSchema, clap::Args)]
#[serde(deny_unknown_fields)]
#[schema(as = BudgetAsked)]
pub struct Asked {
    /// The load; or a battery that is being charged, an alternator or charger with what it charges most, a
    /// converter or an equaliser with what it takes.
    #[arg(long)]
    pub load: String,
    /// The operating state; every state in which the load is on, or the source charges or takes something, when left out.
    #[arg(long)]
    #[serde(default)]
    pub state: Option<String>,
    /// Show the small terms too.
    #[arg(long)]
    #[serde(default)]
    pub all: bool,
}
