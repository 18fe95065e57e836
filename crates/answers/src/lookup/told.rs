//! What is said of the catalogue's tables: a list of them, or rows with their sources.

use catalogue::{Confidence, Table, TableRow};

use super::{Asked, Found};
use crate::told::sources::Sources;
use crate::told::{Column, Line, Told, Tone, left, right, strong};

pub(super) fn of(found: &Found, asked: &Asked) -> Told {
    let mut told = Told::default();
    match found {
        Found::Listed(tables) => list(&mut told, tables),
        Found::Shown(tables) => {
            for table in tables {
                show(&mut told, table);
                told.gap();
            }
        }
    }
    if let (Some(word), true) = (&asked.find, found.wants_attention()) {
        let place = if asked.table.is_some() { "this table" } else { "the catalogue" };
        told.line(say!("no row of {} holds `{}`", place, word.as_str()));
    }
    told
}

fn list(told: &mut Told, tables: &[Table]) {
    told.rows(tables, |table| {
        let rows = right("rows", table.rows.len());
        [left("table", table.name), rows, left("holds", table.description)]
    });
    told.gap();
    told.paragraph(
        "`groundloom catalogue TABLE` shows the rows of one, `--find WORD` looks in all.",
    );
}

fn show(told: &mut Told, shown: &Table) {
    let mut sources = Sources::default();
    told.line(strong(say!("{}", shown.name)));
    told.paragraph(say!("{}", shown.description));
    told.gap();
    // A column in which nothing stands would only take room.
    let filled = |index: &usize| shown.rows.iter().any(|row| !cell(row, *index).is_empty());
    let kept: Vec<usize> = (0..shown.heads.len()).filter(filled).collect();
    let heads = kept.iter().filter_map(|index| Some((*index, *shown.heads.get(*index)?)));
    let mut columns: Vec<Column> = heads
        .map(|(index, head)| {
            let numbers = shown.rows.iter().all(|row| is_number(cell(row, index)));
            if numbers { Column::Right(head) } else { Column::Left(head) }
        })
        .collect();
    columns.push(Column::Left("source"));
    let rows = shown.rows.iter().map(|row| {
        let mut cells: Vec<Line> = kept.iter().map(|index| say!("{}", cell(row, *index))).collect();
        cells.push(say!("{}", sources.mark(&row.provenance)));
        cells
    });
    told.records(columns, rows.collect());
    unconfirmed(told, shown);
    told.gap();
    sources.list(told);
}

/// How many rows are recalled, where some are.
fn unconfirmed(told: &mut Told, shown: &Table) {
    let unconfirmed = |row: &&TableRow| row.provenance.confidence == Confidence::Unconfirmed;
    let number = shown.rows.iter().filter(unconfirmed).count();
    if number > 0 {
        told.gap();
        let all = shown.rows.len();
        let why = " rows unconfirmed: recalled, not yet compared with the source";
        told.toned(Tone::Warning, say!("{} of {}{}", number, all, why));
    }
}

fn cell(row: &TableRow, index: usize) -> &str {
    row.cells.get(index).map_or("", String::as_str)
}

/// True for a number, alone or with one word for its unit; an empty cell is no reason against it.
fn is_number(cell: &str) -> bool {
    let mut words = cell.split_whitespace();
    let number = words.next().unwrap_or("0").replace('−', "-");
    number.parse::<f64>().is_ok() && words.count() <= 1
}
