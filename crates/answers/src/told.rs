//! What an answer says to a person: sentences and tables whose pieces are names and quantities.
//!
//! A question fills these blocks once. Each door writes them its own way: the terminal as text of so many
//! columns, the page as its own elements. Nothing here knows a width, a colour or a mark of HTML; a quantity
//! keeps its type until the door writes it in the person's units.

/// A line as it is said: words with a gap `{}` for each name, quantity or toned part, filled in their order.
///
/// `say!("gains {} at {}", loss(volts), name(&load.id))`: a part is anything that `told::Span` is made from. A gap too
/// many or too few does not compile.
#[macro_export]
macro_rules! say {
    ($words:literal $(, $part:expr)* $(,)?) => {{
        const { assert!($crate::told::gaps($words) == <[&str]>::len(&[$(stringify!($part)),*])) };
        $crate::told::filled($words, [$($crate::told::Span::from($part)),*])
    }};
}

mod beside;
pub mod cautions;
pub mod names;
pub mod quantity;
pub mod sources;
pub mod measuring;
pub mod sides;

pub use quantity::Quantity;

use serde::Serialize;
use units::UnitSystem;
use utoipa::ToSchema;

/// What is said, in the order in which it is read.
#[derive(Debug, Clone, PartialEq, Default, Serialize, ToSchema)]
pub struct Told {
    /// Line after line.
    pub blocks: Vec<Block>,
    /// What a page shows beside a thing, on a card or a sheet of its own; no text of its own has it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub beside: Vec<Part>,
}

/// A piece of an answer.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
#[serde(rename_all = "snake_case")]
#[schema(as = ToldBlock)]
pub enum Block {
    /// A sentence, or several.
    Paragraph(Paragraph),
    /// Rows under heads.
    Table(Table),
    /// Rows with a bar each, longest where most is lost.
    Bars(Vec<Bar>),
    /// A part that may be shown alone; where all is said, its blocks stand in their place.
    Part(Part),
    /// Some air.
    Gap,
}

/// A part of what is said, for a page that shows it beside what it is about.
#[derive(Debug, Clone, PartialEq, Default, Serialize, ToSchema)]
#[schema(as = ToldPart)]
pub struct Part {
    /// What it is, once in an answer: `repairs.0` is the first of `repairs`.
    pub key: String,
    /// What a heading or a button calls it; no text of its own has it.
    pub title: Line,
    /// What it says.
    #[schema(no_recursion)]
    pub blocks: Vec<Block>,
}

/// Text that is wrapped to the width at hand.
#[derive(Debug, Clone, PartialEq, Default, Serialize, ToSchema)]
#[schema(as = ToldParagraph)]
pub struct Paragraph {
    /// Stands before it and is not wrapped: a number with its place, a mark.
    pub lead: Line,
    /// What it says.
    pub text: Line,
    /// By how many letters the lines after the first are set in.
    pub hang: usize,
    /// One line however long, such as a head.
    pub whole: bool,
    /// How all of `text` is said.
    pub tone: Tone,
    /// Stands behind it where all has room on one line, else on a line of its own.
    pub behind: Line,
    /// By how many letters its lines are shorter than they could be, such as to leave room for the hang.
    pub narrower: usize,
}

/// How something is said.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, ToSchema)]
#[serde(rename_all = "snake_case")]
#[schema(as = ToldTone)]
pub enum Tone {
    /// As everything.
    #[default]
    Plain,
    /// What matters on a line, a head.
    Strong,
    /// Said by the way.
    Aside,
    /// Something to look at.
    Warning,
}

/// A part of a line.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
#[serde(rename_all = "snake_case")]
#[schema(as = ToldSpan, no_recursion)]
pub enum Span {
    /// Words of ours.
    Words(String),
    /// A name that somebody gave, as it stands in the file.
    Name(String),
    /// A quantity.
    Quantity(Quantity),
    /// Said in another tone.
    Toned {
        /// The tone.
        tone: Tone,
        /// What is said.
        line: Line,
    },
    /// Filled up with blanks before it to a number of letters, as numbers are.
    Padded {
        /// What is filled up.
        line: Line,
        /// To how many letters.
        letters: usize,
    },
    /// Marks a cell of a table that wants attention.
    Attention,
    /// Never broken into two lines.
    Unbroken {
        /// What is said.
        line: Line,
    },
}

/// Parts of a line, one after the other.
pub type Line = Vec<Span>;

/// Rows under heads.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
#[schema(as = ToldTable)]
pub struct Table {
    /// The heads.
    pub columns: Vec<Column>,
    /// The rows, each with a cell for each column.
    pub rows: Vec<Vec<Line>>,
    /// True where rows that are too wide for a line each are told one under the other, cell by cell.
    pub records: bool,
}

/// A column's head and on which side its cells stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, ToSchema)]
#[serde(rename_all = "snake_case")]
#[schema(as = ToldColumn)]
pub enum Column {
    /// Words.
    Left(&'static str),
    /// Numbers.
    Right(&'static str),
    /// Numbers that are left out where there is little room.
    Spare(&'static str),
}

/// What a piece costs: an amount, a bar for it, the piece, figures beside it.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
#[schema(as = ToldBar)]
pub struct Bar {
    /// The amount.
    pub amount: Quantity,
    /// Its part of the longest bar, 0 to 1.
    pub share: f64,
    /// The piece.
    pub name: String,
    /// What it is, left out where there is no room.
    pub note: Option<String>,
    /// Figures beside it, each with the letters that it is given.
    pub figures: Vec<(Quantity, usize)>,
}

impl Told {
    /// Adds a line that is not wrapped.
    pub fn line(&mut self, text: impl Said) {
        self.push(Paragraph { text: text.line(), whole: true, ..Paragraph::default() });
    }

    /// Adds a paragraph whose lines after the first are not set in.
    pub fn paragraph(&mut self, text: impl Said) {
        self.push(Paragraph { text: text.line(), ..Paragraph::default() });
    }

    /// Adds a paragraph in a tone.
    pub fn toned(&mut self, tone: Tone, text: impl Said) {
        self.push(Paragraph { text: text.line(), tone, ..Paragraph::default() });
    }

    /// Adds a paragraph behind something; its lines after the first are set in by so many letters.
    pub fn item(&mut self, lead: impl Said, hang: usize, text: impl Said) {
        self.push(Paragraph::item(lead, hang, text));
    }

    /// Adds a paragraph.
    pub fn push(&mut self, paragraph: Paragraph) {
        self.blocks.push(Block::Paragraph(paragraph));
    }

    /// Adds a table.
    pub fn table(&mut self, columns: impl Into<Vec<Column>>, rows: Vec<Vec<Line>>) {
        self.blocks.push(Block::Table(Table { columns: columns.into(), rows, records: false }));
    }

    /// Adds a table whose rows are told one under the other where they are too wide for a line each.
    pub fn records(&mut self, columns: impl Into<Vec<Column>>, rows: Vec<Vec<Line>>) {
        let columns = columns.into();
        self.blocks.push(Block::Table(Table { columns, rows, records: true }));
    }

    /// Adds a table of rows whose cells stand beside their heads.
    pub fn rows<T, C: IntoIterator<Item = (Column, Line)>>(
        &mut self,
        all: impl IntoIterator<Item = T>,
        row: impl FnMut(T) -> C,
    ) {
        let mut columns = Vec::new();
        let rows = all.into_iter().map(row).map(|cells| {
            let (heads, cells): (Vec<Column>, Vec<Line>) = cells.into_iter().unzip();
            columns = heads;
            cells
        });
        let rows = rows.collect();
        self.table(columns, rows);
    }

    /// Adds a part that may be shown alone.
    pub fn part(&mut self, key: impl Into<String>, say: impl FnOnce(&mut Self)) {
        self.titled(key, Line::new(), say);
    }

    /// Adds a part that may be shown alone, with what a heading or a button calls it.
    pub fn titled(
        &mut self,
        key: impl Into<String>,
        title: impl Said,
        say: impl FnOnce(&mut Self),
    ) {
        let mut own = Self::default();
        say(&mut own);
        let (key, title) = (key.into(), title.line());
        if !own.blocks.is_empty() {
            self.blocks.push(Block::Part(Part { key, title, blocks: own.blocks }));
        }
    }

    /// Adds a head with some air before it.
    pub fn heading(&mut self, text: impl Said) {
        self.gap();
        self.line(strong(text));
    }

    /// Adds some air.
    pub fn gap(&mut self) {
        self.blocks.push(Block::Gap);
    }
}

impl Paragraph {
    /// Behind something; its lines after the first are set in by so many letters.
    pub fn item(lead: impl Said, hang: usize, text: impl Said) -> Self {
        Self { lead: lead.line(), text: text.line(), hang, ..Self::default() }
    }

    /// Said in a tone.
    #[must_use]
    pub fn toned(self, tone: Tone) -> Self {
        Self { tone, ..self }
    }

    /// With lines that are shorter than they could be.
    #[must_use]
    pub fn narrower(self, narrower: usize) -> Self {
        Self { narrower, ..self }
    }
}

/// What a line can be made of.
pub trait Said {
    /// The line.
    fn line(self) -> Line;
}

macro_rules! said {
    ($($of:ty),*) => {$(
        impl Said for $of {
            fn line(self) -> Line {
                vec![Span::from(self)]
            }
        }
    )*};
}

said!(Span, Quantity, &str, String, usize);

impl Said for Line {
    fn line(self) -> Line {
        self
    }
}

impl<S: Said> Said for Option<S> {
    fn line(self) -> Line {
        self.map_or_else(Line::new, Said::line)
    }
}

/// With the mark of what wants attention where it does.
pub fn attention(wants: bool, own: impl Said) -> Line {
    let mark = wants.then_some(Span::Attention);
    mark.into_iter().chain(own.line()).collect()
}

/// What is there, or a stroke for nothing.
pub fn or_stroke(own: Option<impl Said>) -> Line {
    own.map_or_else(|| "–".line(), Said::line)
}

/// Words under their head.
pub fn left(head: &'static str, cell: impl Said) -> (Column, Line) {
    (Column::Left(head), cell.line())
}

/// A number under its head.
pub fn right(head: &'static str, cell: impl Said) -> (Column, Line) {
    (Column::Right(head), cell.line())
}

impl Span {
    /// A name that somebody gave.
    pub fn name(name: impl Into<String>) -> Self {
        Self::Name(name.into())
    }

    /// Filled up with blanks before it.
    #[must_use]
    pub fn right(self, letters: usize) -> Self {
        Self::Padded { line: vec![self], letters }
    }
}

/// What matters on a line.
pub fn strong(line: impl Said) -> Span {
    Span::Toned { tone: Tone::Strong, line: line.line() }
}

/// Said by the way.
pub fn aside(line: impl Said) -> Span {
    Span::Toned { tone: Tone::Aside, line: line.line() }
}

/// Something to look at.
pub fn warning(line: impl Said) -> Span {
    Span::Toned { tone: Tone::Warning, line: line.line() }
}

/// A name that somebody gave.
pub fn name(name: impl Into<String>) -> Span {
    Span::name(name)
}

macro_rules! spans {
    ($($of:ty: $own:ident => $span:expr,)*) => {$(
        impl From<$of> for Span {
            fn from($own: $of) -> Self {
                $span
            }
        }
    )*};
}

spans! {
    &str: words => Self::Words(words.to_owned()),
    String: words => Self::Words(words),
    usize: count => Self::Quantity(Quantity::Count(count)),
    Quantity: quantity => Self::Quantity(quantity),
    Line: line => Self::Toned { tone: Tone::Plain, line },
}

impl From<Span> for Line {
    fn from(span: Span) -> Self {
        vec![span]
    }
}

/// A line of several, with something between each two.
pub fn joined(lines: impl IntoIterator<Item = Line>, between: &str) -> Line {
    let mut all = Line::new();
    for line in lines {
        if !all.is_empty() {
            all.push(between.into());
        }
        all.extend(line);
    }
    all
}

/// A line as bare text.
#[must_use]
pub fn written(line: &Line, units: UnitSystem) -> String {
    let span = |own: &Span| match own {
        Span::Words(words) | Span::Name(words) => words.clone(),
        Span::Quantity(own) => own.written(units),
        Span::Toned { line, .. } | Span::Unbroken { line } => written(line, units),
        Span::Padded { line, letters } => format!("{:>letters$}", written(line, units)),
        Span::Attention => String::new(),
    };
    line.iter().map(span).collect()
}

/// How many gaps `{}` the words of a line have; `{{` and `}}` stand for braces.
#[must_use]
pub const fn gaps(words: &str) -> usize {
    let (bytes, mut at, mut gaps) = (words.as_bytes(), 0, 0);
    while at + 1 < bytes.len() {
        match (bytes[at], bytes[at + 1]) {
            (b'{', b'}') => gaps += 1,
            (b'{', b'{') | (b'}', b'}') => {}
            _ => {
                at += 1;
                continue;
            }
        }
        at += 2;
    }
    gaps
}

/// A line of words whose gaps are filled with parts, in their order.
#[must_use]
pub fn filled(words: &str, parts: impl IntoIterator<Item = Span>) -> Line {
    let mut line = Line::new();
    let mut parts = parts.into_iter();
    for (at, words) in words.split("{}").enumerate() {
        if at > 0 {
            // As many parts as gaps: `say!` has counted them.
            line.extend(parts.next());
        }
        if !words.is_empty() {
            line.push(words.replace("{{", "{").replace("}}", "}").into());
        }
    }
    line
}

#[cfg(test)]
mod laws {
    use super::*;

    #[test]
    fn words_have_a_gap_for_each_part_and_braces_of_their_own() {
        for (words, count) in
            [("", 0), ("a", 0), ("{}", 1), ("{} and {}", 2), ("{{}} {}", 1), ("{{{}}}", 1)]
        {
            assert_eq!(gaps(words), count, "{words}");
        }
        let told = say!("{}: {{a}} of {}", name("strap"), 3_usize);
        assert_eq!(written(&told, UnitSystem::default()), "strap: {a} of 3");
    }
}
