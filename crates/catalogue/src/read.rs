//! Reading a data file: rows of plain numbers, whose units stand in the names of their columns.

use serde::Deserialize;
use serde::de::Error as _;
use toml::de::Error;

use crate::column::{PLAIN, Reads};
use crate::provenance::Provenance;
use crate::row::{Row, Rows};

/// What a data file says of one row, of which the columns take what is theirs.
pub(crate) struct Written(toml::Table);

impl Written {
    pub(crate) fn take<T>(
        &mut self,
        name: &'static str,
        column: &impl Reads<T>,
    ) -> Result<T, Error> {
        column.read(name, self.0.remove(name))
    }

    /// `source` and `confidence` stand beside the columns of a row.
    pub(crate) fn provenance(&mut self) -> Result<Provenance, Error> {
        let source = self.take("source", &PLAIN)?;
        Ok(Provenance { source, confidence: self.take("confidence", &PLAIN)? })
    }
}

/// A row that stands in a data file.
pub(crate) trait Readable: Row + Sized {
    /// The names of its own columns.
    const COLUMNS: &'static [&'static str];

    fn read(written: &mut Written) -> Result<Self, Error>;
}

/// Reads the rows of one data file.
pub(crate) fn rows<R: Readable>(text: &str) -> Result<Rows<R>, Error> {
    #[derive(Deserialize)]
    #[serde(deny_unknown_fields)]
    struct DataFile {
        row: Vec<toml::Table>,
    }
    let file: DataFile = toml::from_str(text)?;
    let rows = file.row.into_iter().map(|table| {
        let common = ["key", "aliases", "source", "confidence"];
        let known = |name: &String| common.iter().chain(R::COLUMNS).any(|own| own == name);
        match table.keys().find(|name| !known(name)) {
            Some(name) => Err(Error::unknown_field(name, R::COLUMNS)),
            None => R::read(&mut Written(table)),
        }
    });
    Ok(Rows::new(rows.collect::<Result<_, _>>()?))
}

/// States a table once: what a row is called and is, the table's name, what it holds, the head of its
/// keys (and of their other words, where it is printed), then the columns.
///
/// A column is a field with its type and the [`column`](crate::column) that reads and prints it, the
/// name that the data file has for it where that is another, and its head; one without a head is not
/// printed. `by` prints something else of the row under that head.
macro_rules! table {
    (
        $(#[$meta:meta])*
        $row:ident $table:literal $description:literal $key:literal $(also $aliases:literal)?;
        $(
            $(#[$doc:meta])*
            $visible:vis $field:ident: $type:ty = $column:ident $($name:literal)?
            $(=> $head:literal $(by $show:expr)?)*;
        )*
    ) => {
        $(#[$meta])*
        #[derive(Debug, Clone, PartialEq)]
        pub struct $row {
            key: String,
            aliases: Vec<String>,
            $($(#[$doc])* $visible $field: $type,)*
            /// Where the row comes from.
            pub provenance: $crate::provenance::Provenance,
        }

        impl $crate::row::Row for $row {
            const TABLE: &'static str = $table;
            const DESCRIPTION: &'static str = $description;
            const HEADS: &'static [&'static str] = &[$key, $($aliases,)? $($($head,)*)*];

            $crate::row::from_fields!(
                key: str, aliases: [String], provenance: $crate::provenance::Provenance
            );

            fn cells(&self) -> Vec<String> {
                vec![
                    self.key.clone(),
                    $($crate::read::table!(@also self $aliases),)?
                    $($($crate::read::table!(@cell self $field $column $($show)?),)*)*
                ]
            }
        }

        impl $crate::read::Readable for $row {
            const COLUMNS: &'static [&'static str] =
                &[$($crate::read::table!(@name $field $($name)?)),*];

            fn read(written: &mut $crate::read::Written) -> Result<Self, toml::de::Error> {
                Ok(Self {
                    key: written.take("key", &$crate::column::PLAIN)?,
                    aliases: written.take("aliases", &$crate::column::MAY_LACK)?,
                    $($field: written.take(
                        $crate::read::table!(@name $field $($name)?),
                        &$crate::column::$column,
                    )?,)*
                    provenance: written.provenance()?,
                })
            }
        }
    };
    (@also $own:ident $head:literal) => { $own.aliases.join(", ") };
    (@name $field:ident) => { stringify!($field) };
    (@name $field:ident $name:literal) => { $name };
    (@cell $own:ident $field:ident $column:ident) => {
        $crate::column::Shows::cell(&$crate::column::$column, &$own.$field)
    };
    (@cell $own:ident $field:ident $column:ident $show:expr) => {{
        let show: fn(&Self) -> String = $show;
        show($own)
    }};
}
pub(crate) use table;

#[cfg(test)]
mod refusals {
    use units::Ohms;

    use super::*;
    use crate::joint::IncidentalPath;

    fn check(changed: &str, by: &str, expected: &str) {
        let sound = "[[row]]\nkey = \"chain\"\nlow_mohm = 1\ntypical_mohm = 2.5\nhigh_mohm = 9\n\
            damage_a = 1\ninspect = \"links\"\nsource = \"a book\"\nconfidence = \"secondary\"\n";
        let rows = rows::<IncidentalPath>(sound).expect("a sound file");
        assert_eq!(rows.find("chain").map(|row| row.typical), Some(Ohms(2.5e-3)));
        let error = self::rows::<IncidentalPath>(&sound.replace(changed, by))
            .expect_err("a damaged file")
            .to_string();
        assert!(error.contains(expected), "{error}");
    }

    #[test]
    fn a_row_without_source_or_confidence_is_refused() {
        check("source = \"a book\"", "", "missing field `source`");
        check("confidence = \"secondary\"", "", "missing field `confidence`");
        check("secondary", "certain", "unknown variant `certain`");
    }

    #[test]
    fn a_misspelt_or_missing_field_is_refused() {
        check("inspect", "inspekt", "unknown field `inspekt`");
        check("low_mohm = 1", "", "missing field `low_mohm`");
        check("low_mohm = 1", "low_mohm = \"one\"", "expected f64");
    }
}
