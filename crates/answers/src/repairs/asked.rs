//! How much of what is worth doing is asked for.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use crate::arguments::at_least_one;

/// Repairs and additions ranked by what they gain for a minute of work.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema, clap::Args)]
#[serde(default, deny_unknown_fields)]
#[schema(as = RepairsAsked)]
pub struct Asked {
    /// How many to show.
    #[arg(long, default_value_t = 8, value_parser = at_least_one)]
    pub most: usize,
}

impl Default for Asked {
    fn default() -> Self {
        Self { most: 8 }
    }
}
