//! What every row of every table has, and the list that holds a table's rows.

use crate::provenance::Provenance;

/// A row of a table of the catalogue.
pub trait Row {
    /// Name of the table, as a person types it.
    const TABLE: &'static str;
    /// What the table holds, in one line.
    const DESCRIPTION: &'static str;
    /// Column heads, without those of source and confidence.
    const HEADS: &'static [&'static str];

    /// The word by which the row is found.
    fn key(&self) -> &str;

    /// Other words for the same thing.
    fn aliases(&self) -> &[String] {
        &[]
    }

    /// The row as text, one cell for each head.
    fn cells(&self) -> Vec<String>;

    /// Where the row comes from.
    fn provenance(&self) -> &Provenance;
}

/// Methods of a row that only lend the field of the same name.
macro_rules! from_fields {
    ($($field:ident: $type:ty),+) => {
        $(fn $field(&self) -> &$type {
            &self.$field
        })+
    };
}
pub(crate) use from_fields;

/// The rows of one table, in the order of the data file.
#[derive(Debug, Clone, PartialEq)]
pub struct Rows<R>(Vec<R>);

impl<R: Row> Rows<R> {
    pub(crate) fn new(rows: Vec<R>) -> Self {
        Self(rows)
    }

    /// The row with this key, or with this other word for it; upper and lower case are the same.
    #[must_use]
    pub fn find(&self, key: &str) -> Option<&R> {
        let key = fold(key);
        self.0
            .iter()
            .find(|row| fold(row.key()) == key)
            .or_else(|| self.0.iter().find(|row| row.aliases().iter().any(|a| fold(a) == key)))
    }

    /// Every key, so that a near one can be suggested for one that is not there.
    pub fn keys(&self) -> impl Iterator<Item = &str> {
        self.0.iter().map(Row::key)
    }

    /// Every row.
    pub fn iter(&self) -> std::slice::Iter<'_, R> {
        self.0.iter()
    }

    /// The number of rows.
    #[must_use]
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// True for a table without rows.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The whole table as text.
    #[must_use]
    pub fn table(&self) -> Table {
        Table {
            name: R::TABLE,
            description: R::DESCRIPTION,
            heads: R::HEADS,
            rows: self
                .iter()
                .map(|row| TableRow { cells: row.cells(), provenance: row.provenance().clone() })
                .collect(),
        }
    }
}

impl<'a, R: Row> IntoIterator for &'a Rows<R> {
    type Item = &'a R;
    type IntoIter = std::slice::Iter<'a, R>;
    fn into_iter(self) -> Self::IntoIter {
        self.iter()
    }
}

fn fold(key: &str) -> String {
    key.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}

/// A table of the catalogue as text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table {
    /// Name of the table, as a person types it.
    pub name: &'static str,
    /// What the table holds, in one line.
    pub description: &'static str,
    /// Column heads, without those of source and confidence.
    pub heads: &'static [&'static str],
    /// The rows.
    pub rows: Vec<TableRow>,
}

/// A row of a table as text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TableRow {
    /// One cell for each column head.
    pub cells: Vec<String>,
    /// Where the row comes from.
    pub provenance: Provenance,
}
