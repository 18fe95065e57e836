//! `groundloom catalogue`: the published and trade facts, each with its source and how sure it is.

use std::fmt::Write;

use catalogue::{Catalogue, Confidence, Table, TableRow};
use serde_json::{Value, json};

use crate::answer::{Answer, Asked, Exit, Failure};
use crate::option::nearest;
use crate::sources::{Sources, with_source};
use crate::style::{bold, warning, wrapped};
use crate::table::{Column, least_width, table};

/// Look up published and trade facts, each with its source and how sure it is.
///
/// Without a table it lists the tables.
#[derive(clap::Args, Debug)]
pub(crate) struct Arguments {
    /// The table, such as `threads` or `joint-kinds`.
    table: Option<String>,
    /// Only rows that hold this word, in one table or in all.
    #[arg(long, value_name = "WORD")]
    find: Option<String>,
}

/// Answers with the list of tables, one table, or the rows in which a word is found.
///
/// JSON: `tables`, each with `name`, `description` and either `row_count` or `columns` and `rows`;
/// a row has `cells` (text, one for each column, whose head names the unit), `source` and
/// `confidence`.
pub(crate) fn run(arguments: &Arguments, asked: &Asked) -> Result<Answer, Failure> {
    let catalogue = Catalogue::standard();
    let mut tables = match &arguments.table {
        Some(name) => vec![catalogue.table(name).ok_or_else(|| unknown(catalogue, name))?],
        None if arguments.find.is_none() => return Ok(list(&catalogue.tables(), asked)),
        None => catalogue.tables(),
    };
    if let Some(word) = &arguments.find {
        for table in &mut tables {
            table.rows.retain(|row| holds(row, word));
        }
        tables.retain(|table| !table.rows.is_empty());
    }
    let mut text = String::new();
    for table in &tables {
        text.push_str(&shown(table, asked.width));
        text.push('\n');
    }
    let mut exit = Exit::Well;
    if let (Some(word), true) = (&arguments.find, tables.is_empty()) {
        let place = arguments.table.as_deref().map_or("the catalogue", |_| "this table");
        let _ = writeln!(text, "no row of {place} holds `{word}`");
        exit = Exit::Finding;
    }
    let json = json!({ "format": 1, "tables": tables.iter().map(table_json).collect::<Vec<_>>() });
    Ok(Answer { text, json, exit })
}

fn unknown(catalogue: &Catalogue, name: &str) -> Failure {
    let tables = catalogue.tables();
    let what = format!("the catalogue has no table `{name}`");
    let named = name.to_lowercase().replace(' ', "-");
    match nearest(&named, tables.iter().map(|table| table.name)) {
        Some(near) => Failure::new(what, format!("`{near}`, or another of `groundloom catalogue`")),
        None => Failure::new(what, "one of those that `groundloom catalogue` lists"),
    }
}

fn list(tables: &[Table], asked: &Asked) -> Answer {
    let rows = tables
        .iter()
        .map(|table| {
            vec![table.name.to_owned(), table.rows.len().to_string(), table.description.to_owned()]
        })
        .collect();
    let columns = [Column::Left("table"), Column::Right("rows"), Column::Left("holds")];
    let mut text = table(&columns, rows, asked.width);
    text.push('\n');
    let hint = "`groundloom catalogue TABLE` shows the rows of one, `--find WORD` looks in all.";
    let _ = writeln!(text, "{}", wrapped(hint, asked.width, 0));
    let json = tables.iter().map(|table| {
        json!({
            "name": table.name,
            "description": table.description,
            "row_count": table.rows.len(),
        })
    });
    let json = json!({ "format": 1, "tables": json.collect::<Vec<_>>() });
    Answer { text, json, exit: Exit::Well }
}

/// True when every word of `wanted` is somewhere in the row or its source.
fn holds(row: &TableRow, wanted: &str) -> bool {
    let mut all = row.cells.join("\n");
    all.push('\n');
    all.push_str(&row.provenance.source);
    let all = all.to_lowercase();
    wanted.to_lowercase().split_whitespace().all(|word| all.contains(word))
}

fn shown(shown: &Table, width: usize) -> String {
    let mut sources = Sources::default();
    let filled = |index: &usize| {
        shown.rows.iter().any(|row| row.cells.get(*index).is_some_and(|cell| !cell.is_empty()))
    };
    let kept: Vec<usize> = (0..shown.heads.len()).filter(filled).collect();
    let heads: Vec<&'static str> = kept
        .iter()
        .filter_map(|index| shown.heads.get(*index).copied())
        .chain(["source"])
        .collect();
    let rows: Vec<Vec<String>> = shown
        .rows
        .iter()
        .map(|row| {
            let cells = kept.iter().filter_map(|index| row.cells.get(*index).cloned());
            cells.chain([sources.mark(&row.provenance)]).collect()
        })
        .collect();
    let columns: Vec<Column> = heads
        .iter()
        .enumerate()
        .map(|(index, head)| {
            let numbers = rows.iter().filter_map(|row| row.get(index)).all(|cell| is_number(cell));
            if numbers { Column::Right(head) } else { Column::Left(head) }
        })
        .collect();
    let mut text = format!("{}\n", bold(shown.name));
    let _ = writeln!(text, "{}\n", wrapped(shown.description, width, 0));
    if least_width(&columns, &rows) <= width {
        text.push_str(&table(&columns, rows, width));
    } else {
        text.push_str(&records(&heads, &rows, width));
    }
    let unconfirmed = |row: &&TableRow| row.provenance.confidence == Confidence::Unconfirmed;
    let n_unconfirmed = shown.rows.iter().filter(unconfirmed).count();
    if n_unconfirmed > 0 {
        let line = format!(
            "{n_unconfirmed} of {} rows unconfirmed: recalled, not yet compared with the source",
            shown.rows.len()
        );
        let _ = writeln!(text, "\n{}", warning(wrapped(&line, width, 0)));
    }
    let _ = write!(text, "\n{}", sources.list(width));
    text
}

/// Rows that are too wide for a line each, one under the other.
fn records(heads: &[&str], rows: &[Vec<String>], width: usize) -> String {
    let label_width = heads.iter().map(|head| head.chars().count()).max().unwrap_or(0);
    let indent = label_width + 4;
    let mut text = String::new();
    for row in rows {
        let mut cells = heads.iter().zip(row);
        if let Some((_, key)) = cells.next() {
            let _ = writeln!(text, "{}", bold(key));
        }
        for (head, cell) in cells.filter(|(_, cell)| !cell.is_empty()) {
            let cell = wrapped(cell, width.saturating_sub(indent).max(20), indent);
            let _ = writeln!(text, "  {head:label_width$}  {cell}");
        }
    }
    text
}

/// True for a number, alone or with one word for its unit; an empty cell is no reason against it.
fn is_number(cell: &str) -> bool {
    let mut words = cell.split_whitespace();
    let number = words.next().unwrap_or("0").replace('−', "-");
    number.parse::<f64>().is_ok() && words.count() <= 1
}

fn table_json(table: &Table) -> Value {
    let rows =
        table.rows.iter().map(|row| with_source(json!({ "cells": row.cells }), &row.provenance));
    json!({
        "name": table.name,
        "description": table.description,
        "columns": table.heads,
        "rows": rows.collect::<Vec<_>>(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use units::UnitSystem;

    fn asked(width: usize) -> Asked {
        Asked { units: UnitSystem::Metric, width, json: false }
    }

    fn answer(table: Option<&str>, find: Option<&str>) -> Result<Answer, Failure> {
        let arguments =
            Arguments { table: table.map(str::to_owned), find: find.map(str::to_owned) };
        run(&arguments, &asked(80))
    }

    #[test]
    fn every_table_is_listed_with_its_rows_counted() {
        let answer = answer(None, None).expect("a list");
        let tables = answer.json["tables"].as_array().expect("tables").clone();
        assert_eq!(tables.len(), Catalogue::standard().tables().len());
        for table in Catalogue::standard().tables() {
            assert!(answer.text.contains(table.name), "{}", table.name);
        }
        let threads = tables.iter().find(|table| table["name"] == "threads").expect("threads");
        assert_eq!(threads["row_count"], Catalogue::standard().threads.len());
    }

    #[test]
    fn a_row_that_was_recalled_is_marked_and_its_source_told() {
        let answer = answer(Some("joint-kinds"), Some("bolted")).expect("rows");
        let row = &answer.json["tables"][0]["rows"][0];
        assert_eq!(row["confidence"], "unconfirmed");
        assert!(answer.text.contains("unconfirmed"), "{}", answer.text);
        let source = row["source"].as_str().expect("a source");
        let told = answer.text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(told.contains(source), "{told}");
    }

    #[test]
    fn a_word_is_found_in_every_table_that_holds_it() {
        let answer = answer(None, Some("60228")).expect("rows");
        let tables = answer.json["tables"].as_array().expect("tables");
        assert!(tables.iter().any(|table| table["name"] == "flexible-cables"));
        for row in tables.iter().flat_map(|table| table["rows"].as_array().expect("rows")) {
            assert!(row.to_string().contains("60228"), "{row}");
        }
    }

    #[test]
    fn a_word_that_is_nowhere_is_a_finding() {
        let answer = answer(None, Some("unobtainium")).expect("an answer");
        assert_eq!(answer.exit, Exit::Finding);
        assert_eq!(answer.json["tables"], json!([]));
    }

    #[test]
    fn a_misspelt_table_is_answered_with_the_nearest() {
        let refused = answer(Some("tread"), None).expect_err("no such table");
        assert_eq!(
            refused.0,
            "the catalogue has no table `tread`\n  \
             expected `threads`, or another of `groundloom catalogue`"
        );
    }

    #[test]
    fn no_table_is_wider_than_the_terminal() {
        for table in Catalogue::standard().tables() {
            let text = answer(Some(table.name), None).expect("a table").text;
            for line in crate::style::bare(&text).lines() {
                assert!(line.chars().count() <= 80, "{}: {line}", table.name);
            }
        }
    }
}
