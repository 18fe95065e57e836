//! What is read from rows of the file.

use rusqlite::Row;
use rusqlite::types::FromSql;

/// What is read from a row of the file.
pub(crate) trait Stored: Sized {
    /// The columns, in the order in which they are read.
    fn columns() -> String;
    /// Reads it from a row, from a column on, which is left at the one after.
    fn read(row: &Row<'_>, at: &mut usize) -> rusqlite::Result<Self>;
}

/// The value at a column, which is left at the one after.
pub(crate) fn next<T: FromSql>(row: &Row<'_>, at: &mut usize) -> rusqlite::Result<T> {
    *at += 1;
    row.get(*at - 1)
}

/// Reads what takes a whole row.
pub(crate) fn whole<S: Stored>(row: &Row<'_>) -> rusqlite::Result<S> {
    S::read(row, &mut 0)
}

/// States what is read from a row: each field once, with its column where that has another name.
macro_rules! stored {
    (
        $(#[$meta:meta])* $name:ident;
        $($(#[$doc:meta])* $field:ident: $type:ty $(= $column:literal)?,)*
    ) => {
        $(#[$meta])*
        #[derive(Debug, Clone, PartialEq, Eq)]
        pub struct $name {
            $($(#[$doc])* pub $field: $type,)*
        }

        impl $crate::stored::Stored for $name {
            fn columns() -> String {
                [$($crate::stored::stored!(@column $field $($column)?)),*].join(", ")
            }

            fn read(row: &rusqlite::Row<'_>, at: &mut usize) -> rusqlite::Result<Self> {
                Ok(Self { $($field: $crate::stored::next(row, at)?,)* })
            }
        }
    };
    (@column $field:ident) => { stringify!($field) };
    (@column $field:ident $column:literal) => { $column };
}
pub(crate) use stored;
