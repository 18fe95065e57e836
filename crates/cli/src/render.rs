//! What an answer says, written for a terminal of so many columns.

use answers::told::{Bar, Block, Column, Line, Paragraph, Span, Table, Told, Tone};
use units::UnitSystem;

use crate::answer::Asked;
use crate::style::{bold, columns, dim, warning, wrapped};
use crate::table::{self, ATTENTION, least_width, records, table};

/// Letters of a bar.
const BAR: usize = 14;
/// What is bar and figures leave at least so many letters for names.
const LEAST_NAME: usize = 16;
/// Between a text and what stands behind it.
const GAP: &str = "  ";
/// Below this width a table leaves out what it can spare, so that names stay whole.
const NARROW: usize = 72;

/// The text of an answer.
pub(crate) fn text(told: &Told, asked: &Asked) -> String {
    let mut text = String::new();
    blocks(&mut text, &told.blocks, asked);
    text
}

fn blocks(text: &mut String, all: &[Block], asked: &Asked) {
    for block in all {
        match block {
            Block::Paragraph(own) => text.push_str(&paragraph(own, asked)),
            Block::Table(own) => text.push_str(&rows(own, asked)),
            Block::Bars(own) => bars(text, own, asked),
            Block::Part(own) => blocks(text, &own.blocks, asked),
            Block::Gap => {}
        }
        if !matches!(block, Block::Table(_) | Block::Bars(_) | Block::Part(_)) {
            text.push('\n');
        }
    }
}

/// A line without wrapping.
pub(crate) fn line(line: &Line, units: UnitSystem) -> String {
    line.iter().map(|own| span(own, units)).collect()
}

fn span(span: &Span, units: UnitSystem) -> String {
    match span {
        Span::Words(words) | Span::Name(words) => words.clone(),
        Span::Quantity(own) => own.written(units),
        Span::Toned { tone, line: own } => toned(*tone, line(own, units)),
        Span::Padded { line: own, letters } => format!("{:>letters$}", line(own, units)),
        Span::Attention => ATTENTION.to_owned(),
        Span::Unbroken { line: own } => line(own, units).replace(' ', "\u{a0}"),
    }
}

fn toned(tone: Tone, text: String) -> String {
    match tone {
        Tone::Plain => text,
        Tone::Strong => bold(text),
        Tone::Aside => dim(text),
        Tone::Warning => warning(text),
    }
}

fn paragraph(own: &Paragraph, asked: &Asked) -> String {
    let lead = line(&own.lead, asked.units);
    let mut text = line(&own.text, asked.units);
    let behind = behind(own, columns(&lead) + columns(&text), asked);
    if !own.whole {
        let before = columns(&lead) + own.narrower;
        text = wrapped(&text, asked.width.saturating_sub(before), own.hang);
    }
    format!("{lead}{}{behind}", toned(own.tone, text))
}

/// What stands behind text of so many columns, on its line if there is room.
fn behind(own: &Paragraph, before: usize, asked: &Asked) -> String {
    let text = line(&own.behind, asked.units);
    if text.is_empty() {
        text
    } else if before + GAP.len() + columns(&text) <= asked.width {
        format!("{GAP}{text}")
    } else {
        format!("\n{}{text}", " ".repeat(own.hang))
    }
}

fn rows(own: &Table, asked: &Asked) -> String {
    let shown = |column: &&Column| asked.width >= NARROW || !matches!(column, Column::Spare(_));
    let columns: Vec<table::Column> = own
        .columns
        .iter()
        .filter(shown)
        .map(|column| match column {
            Column::Left(head) => table::Column::Left(head),
            Column::Right(head) | Column::Spare(head) => table::Column::Right(head),
        })
        .collect();
    let row = |row: &Vec<Line>| {
        let cells = own.columns.iter().zip(row).filter(|(column, _)| shown(column));
        cells.map(|(_, cell)| line(cell, asked.units)).collect()
    };
    let rows: Vec<Vec<String>> = own.rows.iter().map(row).collect();
    if own.records && asked.width < least_width(&columns, &rows) {
        return records(&columns, &rows, asked.width);
    }
    table(&columns, rows, asked.width)
}

/// One line each: what it costs, a bar, what it is, figures.
fn bars(text: &mut String, bars: &[Bar], asked: &Asked) {
    for bar in bars {
        let eighths = (bar.share * 8.0 * BAR as f64).round() as usize;
        let mut drawn = "█".repeat(eighths / 8);
        if let Some(part) = ["", "▏", "▎", "▍", "▌", "▋", "▊", "▉"].get(eighths % 8) {
            drawn.push_str(part);
        }
        let figures: Vec<String> = bar
            .figures
            .iter()
            .map(|(own, letters)| format!("{:>letters$}", own.written(asked.units)))
            .collect();
        let figures = figures.join("  ");
        let taken = 2 + 9 + 2 + BAR + 1 + figures.chars().count() + 2;
        let room = asked.width.saturating_sub(taken).max(LEAST_NAME);
        let amount = bar.amount.written(asked.units);
        let name = named(bar, room);
        let line = format!("  {amount:>9}  {drawn:<BAR$} {name:<room$}  {figures}\n");
        text.push_str(&line);
    }
}

/// The name in so much room: what is in brackets is said by the way and goes first.
fn named(bar: &Bar, room: usize) -> String {
    let whole =
        bar.note.as_ref().map_or_else(|| bar.name.clone(), |note| format!("{} ({note})", bar.name));
    if whole.chars().count() <= room {
        whole
    } else if bar.name.chars().count() <= room {
        bar.name.clone()
    } else {
        bar.name.chars().take(room.saturating_sub(1)).chain(['…']).collect()
    }
}

#[cfg(test)]
mod tests {
    use answers::lookup;
    use answers::room::Question;

    use super::*;

    #[test]
    fn no_table_of_the_catalogue_is_wider_than_the_terminal() {
        let asked = Asked { units: UnitSystem::Metric, width: 80, json: false };
        let all = lookup::Asked::default();
        let listed = all.find((), &mut |_| true).expect("the tables").expect("an answer");
        for table in all.shape(&listed).tables {
            let question =
                lookup::Asked { table: Some(table.name.to_owned()), ..lookup::Asked::default() };
            let found = question.find((), &mut |_| true).expect("a table").expect("an answer");
            let text = text(&question.told(&found), &asked);
            for line in crate::style::bare(&text).lines() {
                assert!(line.chars().count() <= 80, "{}: {line}", table.name);
            }
        }
    }
}
