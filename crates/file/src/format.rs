//! Tidy writing of a vehicle file: quantities spaced and signed alike, everything else as it was.

use toml_edit::{DocumentMut, Formatted, Item, TableLike, Value};
use units::{Dimension, WireSize};

use crate::spec::{Kind, ROOT, Table};

/// The same file in tidy writing.
///
/// Comments, order, blank lines and every value stay; a quantity keeps its number and its unit and
/// only gets a point for decimals, one space and the unit's usual sign. Tidying twice changes
/// nothing more.
///
/// # Errors
///
/// The message of the TOML reader, when the text is not TOML; [`read`](crate::read()) tells more.
pub fn format(text: &str) -> Result<String, String> {
    let mut document: DocumentMut =
        text.parse().map_err(|error: toml_edit::TomlError| error.message().to_owned())?;
    tidy_table(document.as_table_mut(), &ROOT);
    let mut tidy = document.to_string();
    if !tidy.ends_with('\n') {
        tidy.push('\n');
    }
    if text.contains("\r\n") {
        // Lines end as they did; inside long texts the ends are kept by the reader already.
        tidy = tidy.replace("\r\n", "\n").replace('\n', "\r\n");
    }
    Ok(tidy)
}

fn tidy_table(table: &mut dyn TableLike, spec: &'static Table) {
    for (mut key, item) in table.iter_mut() {
        let Some(known) = spec.keys.iter().find(|known| known.name == key.get()) else { continue };
        if item.is_value() {
            key.leaf_decor_mut().set_suffix(" ");
        }
        tidy_item(item, &known.kind);
    }
}

fn tidy_item(item: &mut Item, kind: &'static Kind) {
    match kind {
        Kind::Named(spec) => {
            if let Some(tables) = item.as_table_like_mut() {
                for (_, inner) in tables.iter_mut() {
                    if let Some(table) = inner.as_table_like_mut() {
                        tidy_table(table, spec);
                    }
                }
            }
        }
        Kind::Table(spec) => {
            if let Some(table) = item.as_table_like_mut() {
                tidy_table(table, spec);
            }
        }
        Kind::Many(spec) => {
            if let Some(tables) = item.as_array_of_tables_mut() {
                for table in tables.iter_mut() {
                    tidy_table(table, spec);
                }
            } else if let Some(array) = item.as_array_mut() {
                for value in array.iter_mut() {
                    if let Some(table) = value.as_inline_table_mut() {
                        tidy_table(table, spec);
                    }
                }
            }
        }
        Kind::Either(short, long) => {
            if item.as_table_like().is_some() {
                tidy_item(item, long);
            } else {
                tidy_item(item, short);
                tidy_item(item, long);
            }
        }
        _ => {}
    }
    if let Some(value) = item.as_value_mut() {
        tidy_value(value, kind);
    }
}

fn tidy_value(value: &mut Value, kind: &Kind) {
    let dimension = match kind {
        Kind::Quantity(dimension, _) => *dimension,
        Kind::Range(dimensions, _) => {
            for inner in value.as_array_mut().into_iter().flat_map(toml_edit::Array::iter_mut) {
                tidy_text(inner, |text| {
                    dimensions.iter().find_map(|dimension| units::parse::tidy(text, *dimension))
                });
            }
            return space(value);
        }
        Kind::Place => {
            for inner in value.as_array_mut().into_iter().flat_map(toml_edit::Array::iter_mut) {
                tidy_text(inner, |text| units::parse::tidy(text, Dimension::Length));
            }
            return space(value);
        }
        Kind::Size => {
            tidy_text(value, |text| match WireSize::parse(text) {
                // An area keeps its own unit; names of gauges have one usual writing.
                Ok(WireSize::Area(_)) => units::parse::tidy(text, Dimension::Area),
                Ok(size @ (WireSize::Awg(_) | WireSize::Sae(_))) => Some(size.to_string()),
                _ => None,
            });
            return space(value);
        }
        _ => return space(value),
    };
    tidy_text(value, |text| units::parse::tidy(text, dimension));
    space(value);
}

/// One blank between the equals sign and the value.
fn space(value: &mut Value) {
    let comment = value.decor().suffix().cloned();
    value.decor_mut().set_prefix(" ");
    if let Some(comment) = comment {
        value.decor_mut().set_suffix(comment);
    }
}

fn tidy_text(value: &mut Value, tidy: impl Fn(&str) -> Option<String>) {
    let Value::String(text) = value else { return };
    let Some(tidied) = tidy(text.value()).filter(|tidied| tidied != text.value()) else { return };
    let decor = text.decor().clone();
    let mut written = Formatted::new(tidied);
    *written.decor_mut() = decor;
    *text = written;
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tidying_keeps_comments_and_order_and_spells_quantities_alike() {
        let rough = "# my van\nformat=1\n[vehicle]\nname='Van' # the old one\nnominal=\"12V\"\n\n[conductors.main]\nto={point='block/rear',torque=\"18ft-lb\"}\nfrom = 'main/-'\nsize=\"35mm2\"\nlength  =   \"0,8m\" # by eye\n";
        let tidy = format(rough).expect("TOML");
        let expected = "# my van\nformat = 1\n[vehicle]\nname = 'Van' # the old one\nnominal = \"12 V\"\n\n[conductors.main]\nto = {point = 'block/rear',torque = \"18 lbf·ft\"}\nfrom = 'main/-'\nsize = \"35 mm²\"\nlength = \"0.8 m\" # by eye\n";
        assert_eq!(tidy, expected);
        assert_eq!(format(&tidy).as_deref(), Ok(expected));
    }

    #[test]
    fn both_ends_of_a_range_are_tidied_in_whatever_unit_they_are() {
        let rough = "[loads.starter]\nlikely = [\"120A\", \"2,5kW\"]\n";
        let tidy = format(rough).expect("TOML");
        assert_eq!(tidy, "[loads.starter]\nlikely = [\"120 A\", \"2.5 kW\"]\n");
    }

    #[test]
    fn lines_end_as_they_did() {
        let rough = "format=1\r\n# mine\r\n[vehicle]\r\nnote = \"\"\"a\r\nb\"\"\"\r\n";
        let tidy = format(rough).expect("TOML");
        assert_eq!(tidy, rough.replace("format=1", "format = 1"));
    }
}
