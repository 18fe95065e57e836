//! A table of readings with a header line, its cells parted by commas, semicolons or tabs.

use std::ops::Range;

use model::{Code, Problem};

use super::Side;
use super::known::Said;
use super::meaning::{Account, Context};
use super::tables::{Written, account_of};
use super::value::electrical;
use super::words::number_length;
use file::suggest::{did_you_mean, listed};

/// The columns that are read.
pub(super) const COLUMNS: &[&str] = &[
    "state",
    "from",
    "to",
    "red",
    "black",
    "through",
    "towards",
    "load",
    "moved",
    "value",
    "instrument",
    "time",
    "before",
    "after",
    "note",
];

/// What parts the cells, if the line is a header of a table of readings.
pub(super) fn separator(header: &str) -> Option<char> {
    [';', ',', '\t'].into_iter().find(|separator| {
        let cells: Vec<String> =
            header.split(*separator).map(|cell| column_name(cell.trim())).collect();
        let known = cells.iter().filter(|cell| COLUMNS.contains(&cell.as_str())).count();
        known >= 2 && cells.iter().any(|cell| cell == "value")
    })
}

fn column_name(cell: &str) -> String {
    cell.trim_matches('"').trim().to_lowercase()
}

/// A row of a table.
pub(super) struct Row {
    pub place: Range<usize>,
    cells: Vec<Said>,
    /// False when a quotation mark was opened and never closed.
    closed: bool,
}

/// The rows of a table, the header first; blank ones and remarks are left out.
pub(super) fn rows(text: &str, separator: char) -> Vec<Row> {
    let mut all = Vec::new();
    let mut at = 0;
    while at < text.len() {
        let line_end = text[at..].find('\n').map_or(text.len(), |end| at + end + 1);
        let line = &text[at..line_end];
        if line.trim().is_empty() || line.trim_start().starts_with('#') {
            at = line_end;
            continue;
        }
        let mut row = row(text, at, text.len(), separator);
        if !row.closed {
            // A mark that nobody closed spoils its own line and no more.
            row = self::row(text, at, line_end, separator);
            row.closed = false;
            row.place.end = at + line.trim_end().len();
        }
        let end = row.place.end;
        at = text[end..].find('\n').map_or(text.len(), |next| end + next + 1);
        all.push(row);
    }
    all
}

/// One row from `start`, quoted cells as in RFC 4180.
fn row(text: &str, start: usize, limit: usize, separator: char) -> Row {
    let mut cells = Vec::new();
    let (mut from, mut quoted, mut doubled) = (start, false, false);
    let mut end = limit;
    let mut push = |from: usize, to: usize| {
        let whole = &text[from..to];
        let body = whole.trim();
        let lead = from + (whole.len() - whole.trim_start().len());
        let inner = body.strip_prefix('"').and_then(|body| body.strip_suffix('"'));
        let (text, place) = match inner {
            Some(inner) => (inner.replace("\"\"", "\""), lead + 1..lead + 1 + inner.len()),
            None => (body.to_owned(), lead..lead + body.len()),
        };
        cells.push(Said { text, place });
    };
    for (offset, c) in text[start..limit].char_indices() {
        let at = start + offset;
        let empty = text[from..at].trim().is_empty();
        match c {
            '"' if quoted => (quoted, doubled) = (false, true),
            '"' if empty || doubled => (quoted, doubled) = (true, false),
            '\n' if !quoted => {
                end = at;
                break;
            }
            c if c == separator && !quoted => {
                push(from, at);
                from = at + c.len_utf8();
                doubled = false;
            }
            _ => doubled = false,
        }
    }
    push(from, end);
    let end = start + text[start..end].trim_end_matches(['\r', '\n']).len();
    Row { place: start..end, cells, closed: !quoted }
}

/// Which column stands where, with warnings about those that are not read.
pub(super) fn header(row: &Row, problems: &mut Vec<Problem>) -> Vec<Option<&'static str>> {
    row.cells
        .iter()
        .map(|cell| {
            let name = column_name(&cell.text);
            let found = COLUMNS.iter().copied().find(|column| *column == name);
            if found.is_none() && !name.is_empty() && !name.starts_with(file::spec::FREE_PREFIX) {
                let mut problem = Problem::warning(
                    Code::UnknownColumn,
                    cell.place.clone(),
                    format!("the column `{}` is not read", cell.text),
                    format!("one of {}", listed(COLUMNS.iter().copied())),
                );
                problem.hint = did_you_mean(&name, COLUMNS.iter().copied());
                problems.push(problem);
            }
            found
        })
        .collect()
}

/// A value that its decimal comma cut in two: `0,41 V` in cells parted by commas.
fn cut_in_two(row: &Row, columns: &[Option<&'static str>]) -> Option<Range<usize>> {
    let at = columns.iter().position(|column| *column == Some("value"))?;
    let (whole, next) = (row.cells.get(at)?, row.cells.get(at + 1)?);
    if whole.place.end + 1 != next.place.start || number_length(&whole.text) == 0 {
        return None;
    }
    let bare = number_length(&whole.text) == whole.text.len()
        && !whole.text.contains(['.', ',', 'e', 'E']);
    let digits = next.text.bytes().take_while(u8::is_ascii_digit).count();
    let unit = next.text[digits..].trim();
    let cut = bare && digits > 0 && (unit.is_empty() || electrical(unit).is_some());
    cut.then_some(whole.place.start..next.place.end)
}

/// Finds what a row says.
pub(super) fn account(
    text: &str,
    row: &Row,
    columns: &[Option<&'static str>],
    number: u32,
    context: &Context<'_>,
) -> Result<Account, Problem> {
    if !row.closed {
        return Err(Problem::error(
            Code::QuoteOpen,
            row.place.clone(),
            "a quotation mark is opened and not closed",
            "a `\"` at both ends of the cell",
        ));
    }
    if let Some(extra) = row
        .cells
        .get(columns.len())
        .filter(|_| row.cells[columns.len()..].iter().any(|cell| !cell.text.is_empty()))
    {
        return Err(Problem::error(
            Code::RowTooLong,
            extra.place.start..row.place.end,
            format!("the row has {} cells and the header {}", row.cells.len(), columns.len()),
            "as many cells as columns",
        )
        .hint("a value with a decimal comma stands in quotes, or the cells are parted by `;`"));
    }
    if let Some(place) = cut_in_two(row, columns) {
        let what = format!(
            "`{}` may be one value with a decimal comma, or two cells",
            &text[place.clone()]
        );
        return Err(Problem::error(
            Code::DecimalComma,
            place,
            what,
            "the value in quotes: `\"0,41 V\"`",
        )
        .hint("a point for decimals, or cells parted by `;`, leave no doubt"));
    }
    let mut written = Written::default();
    for (cell, column) in row.cells.iter().zip(columns) {
        if cell.text.trim().is_empty() {
            continue;
        }
        let own = || Some(cell.clone());
        match *column {
            Some("state") => written.state = own(),
            Some("from") => written.from = own(),
            Some("to") => written.to = own(),
            Some("red") => written.red = own(),
            Some("black") => written.black = own(),
            Some("through") => written.through = own(),
            Some("towards") => written.towards = own(),
            Some("load") => written.load = own(),
            Some("moved") => written.moved = own(),
            Some("value") => written.value = own(),
            Some("instrument") => written.instrument = own(),
            Some("time") => written.time = Some(cell.text.clone()),
            Some("note") => written.note = Some(cell.text.clone()),
            Some("before") => written.work = Some((Side::Before, cell.clone())),
            Some("after") => written.work = Some((Side::After, cell.clone())),
            _ => {}
        }
    }
    account_of(written, number, text[row.place.clone()].to_owned(), row.place.clone(), context)
}
