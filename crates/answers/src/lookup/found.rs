//! The list of tables, one table, or the rows in which a word is found.

use catalogue::{Catalogue, Table, TableRow};

use super::Asked;
use crate::Refusal;
use crate::refusal::Refused;
use crate::room::Watch;

/// What was found in the catalogue.
#[derive(Debug)]
pub enum Found {
    /// Every table, of which neither one nor a word was asked for.
    Listed(Vec<Table>),
    /// Tables with the rows that were asked for.
    Shown(Vec<Table>),
}

impl Found {
    pub(super) fn of((): (), asked: &Asked, _: Watch<'_>) -> Result<Self, Refused> {
        let catalogue = Catalogue::standard();
        let mut tables = match &asked.table {
            Some(name) => vec![catalogue.table(name).ok_or_else(|| unknown(catalogue, name))?],
            None if asked.find.is_none() => return Ok(Self::Listed(catalogue.tables())),
            None => catalogue.tables(),
        };
        if let Some(words) = &asked.find {
            for table in &mut tables {
                table.rows.retain(|row| holds(row, words));
            }
            tables.retain(|table| !table.rows.is_empty());
        }
        Ok(Self::Shown(tables))
    }

    /// True when a word is nowhere.
    pub(super) fn wants_attention(&self) -> bool {
        matches!(self, Self::Shown(tables) if tables.is_empty())
    }
}

fn unknown(catalogue: &Catalogue, name: &str) -> Refusal {
    let tables = catalogue.tables();
    let what = format!("the catalogue has no table `{name}`");
    let named = name.to_lowercase().replace(' ', "-");
    match file::suggest::nearest(&named, tables.iter().map(|table| table.name)) {
        Some(near) => Refusal::new(what, format!("`{near}`, or another of `groundloom catalogue`")),
        None => Refusal::new(what, "one of those that `groundloom catalogue` lists"),
    }
}

/// True when every word of `wanted` is somewhere in the row or its source.
fn holds(row: &TableRow, wanted: &str) -> bool {
    let mut all = row.cells.join("\n");
    all.push('\n');
    all.push_str(&row.provenance.source);
    let all = all.to_lowercase();
    wanted.to_lowercase().split_whitespace().all(|word| all.contains(word))
}
