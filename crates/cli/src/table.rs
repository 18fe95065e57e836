//! Tables in a terminal: no borders, numbers to the right, words wrapped to the width.

use comfy_table::{
    Cell, CellAlignment, ColumnConstraint, ContentArrangement, LineStyle, Table as Grid,
    TableStyle, Width,
};

use crate::style::{bold, warning, wrapped};

/// Blanks between two columns.
const GAP: u16 = 2;

/// A word longer than the second may be broken where the width is scarce, one longer than the first only
/// where keeping it whole would break shorter ones.
const LONGEST_WHOLE_WORDS: [u16; 2] = [40, 20];

/// Drawn under the head, to find where it ends, and left out again.
const UNDER_HEAD: char = '═';

/// Begins a cell that wants attention; the line with it stands out where there is colour.
pub(crate) const ATTENTION: &str = "! ";

/// A column's head and on which side its cells stand.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Column {
    /// Words.
    Left(&'static str),
    /// Numbers.
    Right(&'static str),
}

impl Column {
    fn head(self) -> &'static str {
        match self {
            Self::Left(head) | Self::Right(head) => head,
        }
    }

    fn alignment(self) -> CellAlignment {
        match self {
            Self::Left(_) => CellAlignment::Left,
            Self::Right(_) => CellAlignment::Right,
        }
    }

    /// Least width at which the column can be read: numbers in one piece, words in one piece.
    fn least_width(self, index: usize, rows: &[Vec<String>], longest_word: u16) -> u16 {
        let cells = rows.iter().filter_map(|row| row.get(index)).flat_map(|cell| cell.lines());
        let widest_word = |text: &str| text.split_whitespace().map(characters).max().unwrap_or(0);
        let of_cells = match self {
            Self::Left(_) => cells.map(widest_word).max(),
            Self::Right(_) => cells.map(characters).max(),
        };
        let whole = of_cells.unwrap_or(0).max(widest_word(self.head()));
        match self {
            Self::Left(_) => whole.min(longest_word),
            Self::Right(_) => whole,
        }
    }
}

fn characters(text: &str) -> u16 {
    u16::try_from(text.chars().count()).unwrap_or(u16::MAX)
}

/// Least width in which every number and every word of the table stays in one piece.
pub(crate) fn least_width(columns: &[Column], rows: &[Vec<String>]) -> usize {
    whole_width(&least_widths(columns, rows, LONGEST_WHOLE_WORDS[1]))
}

fn least_widths(columns: &[Column], rows: &[Vec<String>], longest_word: u16) -> Vec<u16> {
    let widths = columns.iter().enumerate();
    widths.map(|(index, column)| column.least_width(index, rows, longest_word)).collect()
}

fn whole_width(columns: &[u16]) -> usize {
    let gaps = usize::from(GAP) * columns.len().saturating_sub(1);
    columns.iter().copied().map(usize::from).sum::<usize>() + gaps
}

/// The table as text of at most `width` columns, with a newline at the end of each line.
///
/// Numbers and words stay whole as far as the width allows.
pub(crate) fn table(columns: &[Column], rows: Vec<Vec<String>>, width: usize) -> String {
    let least = LONGEST_WHOLE_WORDS
        .map(|longest| least_widths(columns, &rows, longest))
        .into_iter()
        .find(|least| whole_width(least) <= width);
    let mut grid = Grid::new();
    grid.load_style(TableStyle::new().header_separator(LineStyle::none().fill(UNDER_HEAD)))
        .set_content_arrangement(ContentArrangement::Dynamic)
        // The gap after the last column is cut off again.
        .set_width(u16::try_from(width + usize::from(GAP)).unwrap_or(u16::MAX));
    grid.set_header(
        columns.iter().map(|column| Cell::new(column.head()).set_alignment(column.alignment())),
    );
    for row in rows {
        grid.add_row(
            row.into_iter()
                .zip(columns)
                .map(|(text, column)| Cell::new(text).set_alignment(column.alignment())),
        );
    }
    for (index, column) in grid.column_iter_mut().enumerate() {
        column.set_padding((0, GAP));
        if let Some(least) = least.as_ref().and_then(|least| least.get(index)) {
            column.set_constraint(ColumnConstraint::LowerBoundary(Width::Fixed(least + GAP)));
        }
    }
    styled(&grid.lines().map(|line| line.trim_end().to_owned()).collect::<Vec<_>>())
}

/// The lines with the head bold and without the rule under it; what wants attention stands out.
fn styled(lines: &[String]) -> String {
    let is_rule = |line: &String| line.chars().all(|c| c == UNDER_HEAD) && !line.is_empty();
    let head_lines = lines.iter().position(is_rule).unwrap_or(0);
    let mut text = String::new();
    for (number, line) in lines.iter().enumerate().filter(|(number, _)| *number != head_lines) {
        let attention = line.contains(ATTENTION);
        text.push_str(&match number {
            head if head < head_lines => bold(line),
            _ if attention => warning(line),
            _ => line.clone(),
        });
        text.push('\n');
    }
    text
}

/// Rows that are too wide for a line each, one under the other.
pub(crate) fn records(columns: &[Column], rows: &[Vec<String>], width: usize) -> String {
    let heads = || columns.iter().map(|column| column.head());
    let label_width = heads().map(|head| head.chars().count()).max().unwrap_or(0);
    let indent = label_width + 4;
    let mut text = String::new();
    for row in rows {
        let mut cells = heads().zip(row);
        if let Some((_, key)) = cells.next() {
            text.push_str(&format!("{}\n", bold(key)));
        }
        for (head, cell) in cells.filter(|(_, cell)| !cell.is_empty()) {
            let cell = wrapped(cell, width.saturating_sub(indent).max(20), indent);
            text.push_str(&format!("  {head:label_width$}  {cell}\n"));
        }
    }
    text
}

#[cfg(test)]
mod laws {
    use super::*;

    fn plain(text: &str) -> String {
        crate::style::bare(text)
    }

    fn example(width: usize) -> String {
        let rows = vec![
            vec!["main-negative".to_owned(), "12.5 mV".to_owned(), "from post to block".to_owned()],
            vec!["strap".to_owned(), "3 mV".to_owned(), "from block to frame".to_owned()],
        ];
        let columns = [Column::Left("piece"), Column::Right("loses"), Column::Left("where")];
        plain(&table(&columns, rows, width))
    }

    #[test]
    fn numbers_end_in_the_same_column() {
        assert_eq!(
            example(80),
            "piece            loses  where\n\
             main-negative  12.5 mV  from post to block\n\
             strap             3 mV  from block to frame\n"
        );
    }

    #[test]
    fn words_wrap_and_stay_whole_where_the_width_is_scarce() {
        let text = example(32);
        assert!(text.lines().all(|line| line.chars().count() <= 32), "{text}");
        for word in ["main-negative", "12.5 mV", "block", "frame"] {
            assert!(text.contains(word), "{word}: {text}");
        }
    }

    #[test]
    fn a_long_name_stays_whole_where_other_words_can_wrap() {
        let name = "auxiliary-negative-cable.from";
        let rows =
            vec![vec![name.to_owned(), "1 mV".to_owned(), "softens from 70 mV on".to_owned()]];
        let columns = [Column::Left("joint"), Column::Right("loses"), Column::Left("")];
        let text = table(&columns, rows, 50);
        assert!(text.contains(name), "{text}");
    }

    #[test]
    fn every_line_of_a_wrapped_head_is_bold() {
        let rows = vec![vec!["1".to_owned(), "words beside it".to_owned()]];
        let columns = [Column::Right("outer diameter"), Column::Left("note")];
        let text = table(&columns, rows, 20);
        assert_eq!(text.matches("\u{fdd0}[1m").count(), 2, "{text}");
    }
}
