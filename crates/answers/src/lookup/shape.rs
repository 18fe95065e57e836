//! The JSON of what the catalogue holds.

use catalogue::{Table, TableRow};
use serde::Serialize;
use utoipa::ToSchema;

use super::Found;
use crate::told::sources::Sourced;

/// The answer of `catalogue`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct Lookup {
    /// The number of the contract.
    pub format: u32,
    /// The tables.
    pub tables: Vec<LookupTable>,
}

/// A table of the catalogue.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct LookupTable {
    /// Its name.
    pub name: &'static str,
    /// What it holds.
    pub description: &'static str,
    /// Its rows, or how many there are.
    #[serde(flatten)]
    pub holds: LookupRows,
}

/// What is told of a table's rows.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
#[serde(untagged)]
pub enum LookupRows {
    /// How many there are, in the list of all tables.
    Counted {
        /// The number of rows.
        row_count: usize,
    },
    /// The rows that were asked for.
    Shown {
        /// Heads of the columns, which name the units.
        columns: &'static [&'static str],
        /// The rows.
        rows: Vec<LookupRow>,
    },
}

/// A row of a table.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct LookupRow {
    /// Text, one for each column.
    pub cells: Vec<String>,
    /// Where the row comes from.
    #[serde(flatten)]
    pub sourced: Sourced,
}

pub(super) fn of(found: &Found) -> Lookup {
    let tables = match found {
        Found::Listed(tables) => tables
            .iter()
            .map(|own| table(own, LookupRows::Counted { row_count: own.rows.len() }))
            .collect(),
        Found::Shown(tables) => tables
            .iter()
            .map(|own| {
                let rows = own.rows.iter().map(row).collect();
                table(own, LookupRows::Shown { columns: own.heads, rows })
            })
            .collect(),
    };
    Lookup { format: crate::FORMAT, tables }
}

fn table(own: &Table, holds: LookupRows) -> LookupTable {
    LookupTable { name: own.name, description: own.description, holds }
}

fn row(own: &TableRow) -> LookupRow {
    LookupRow { cells: own.cells.clone(), sourced: Sourced::from(&own.provenance) }
}
