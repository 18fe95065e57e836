//! What is looked up.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// Look up published and trade facts, each with its source and how sure it is.
///
/// Without a table it lists the tables.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize, ToSchema, clap::Args)]
#[serde(default, deny_unknown_fields)]
#[schema(as = LookupAsked)]
pub struct Asked {
    /// The table, such as `threads` or `joint-kinds`.
    pub table: Option<String>,
    /// Only rows that hold this word, in one table or in all.
    #[arg(long, value_name = "WORD")]
    pub find: Option<String>,
}
