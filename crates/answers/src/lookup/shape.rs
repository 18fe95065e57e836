//! The JSON of what the catalogue holds.

use catalogue::{Table, TableRow};
use serde::Serialize;
use utoipa::ToSchema;

use super::Found;
use crate::told::sources::Sourced;

shape! {
    /// The answer of `catalogue`.
    #[derive(Eq)]
    pub struct Lookup from pub(super) (found: &Found) {
        let tables = match found {
            Found::Listed(tables) => tables
                .iter()
                .map(|own| LookupTable::of(own, LookupRows::Counted { row_count: own.rows.len() }))
                .collect(),
            Found::Shown(tables) => tables
                .iter()
                .map(|own| {
                    let rows = own.rows.iter().map(LookupRow::of).collect();
                    LookupTable::of(own, LookupRows::Shown { columns: own.heads, rows })
                })
                .collect(),
        };
        /// The number of the contract.
        pub format: u32 = crate::FORMAT,
        /// The tables.
        pub tables: Vec<LookupTable> = tables,
    }

    /// A table of the catalogue.
    #[derive(Eq)]
    pub struct LookupTable from (own: &Table, holds: LookupRows) {
        /// Its name.
        pub name: &'static str = own.name,
        /// What it holds.
        pub description: &'static str = own.description,
        /// Its rows, or how many there are.
        #[serde(flatten)]
        pub holds: LookupRows = holds,
    }
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

shape! {
    /// A row of a table.
    #[derive(Eq)]
    pub struct LookupRow from (own: &TableRow) {
        /// Text, one for each column.
        pub cells: Vec<String> = own.cells.clone(),
        /// Where the row comes from.
        #[serde(flatten)]
        pub sourced: Sourced = Sourced::from(&own.provenance),
    }
}
