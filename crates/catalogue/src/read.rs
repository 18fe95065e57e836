//! Reading a data file: rows of plain numbers, whose units stand in the names of their fields.

use serde::de::DeserializeOwned;
use serde::{Deserialize, Deserializer};
use units::{
    Amperes, Kelvin, Metres, NewtonMetres, Newtons, OhmMetres, Ohms, Pascals, Ratio, Seconds,
    SquareMetres, Volts, size::SQUARE_METRES_PER_CIRCULAR_MIL,
};

use crate::row::{Row, Rows};

/// Reads the rows of one data file.
///
/// `source` and `confidence` stand beside the other fields of a row and become its provenance.
pub(crate) fn rows<R: Row + DeserializeOwned>(text: &str) -> Result<Rows<R>, toml::de::Error> {
    #[derive(Deserialize)]
    #[serde(deny_unknown_fields)]
    struct DataFile {
        row: Vec<toml::Table>,
    }
    let file: DataFile = toml::from_str(text)?;
    let rows = file.row.into_iter().map(|mut row| {
        let provenance = ["source", "confidence"]
            .into_iter()
            .filter_map(|name| row.remove(name).map(|value| (name.to_owned(), value)))
            .collect::<toml::Table>();
        row.insert("provenance".to_owned(), toml::Value::Table(provenance));
        row.try_into::<R>()
    });
    Ok(Rows::new(rows.collect::<Result<_, _>>()?))
}

/// A field that holds a quantity, or that may be left out.
pub(crate) trait Field<Q>: Sized {
    fn read<'de, D: Deserializer<'de>>(from: D, make: fn(f64) -> Q) -> Result<Self, D::Error>;
}

impl<Q> Field<Q> for Q {
    fn read<'de, D: Deserializer<'de>>(from: D, make: fn(f64) -> Q) -> Result<Self, D::Error> {
        f64::deserialize(from).map(make)
    }
}

impl<Q> Field<Q> for Option<Q> {
    fn read<'de, D: Deserializer<'de>>(from: D, make: fn(f64) -> Q) -> Result<Self, D::Error> {
        Option::<f64>::deserialize(from).map(|number| number.map(make))
    }
}

macro_rules! readers {
    ($($name:ident: $quantity:ident = $make:expr;)*) => {$(
        pub(crate) fn $name<'de, D, F>(from: D) -> Result<F, D::Error>
        where
            D: Deserializer<'de>,
            F: Field<$quantity>,
        {
            F::read(from, $make)
        }
    )*};
}

readers! {
    volts: Volts = Volts;
    millivolts: Volts = |number| Volts(number * 1e-3);
    amperes: Amperes = Amperes;
    ohms: Ohms = Ohms;
    milliohms: Ohms = |number| Ohms(number * 1e-3);
    ohms_per_km: Ohms = |number| Ohms(number * 1e-3);
    nano_ohm_metres: OhmMetres = |number| OhmMetres(number * 1e-9);
    millimetres: Metres = Metres::from_mm;
    micrometres: Metres = |number| Metres(number * 1e-6);
    square_millimetres: SquareMetres = SquareMetres::from_mm2;
    circular_mils: SquareMetres = |number| SquareMetres(number * SQUARE_METRES_PER_CIRCULAR_MIL);
    celsius: Kelvin = Kelvin::from_celsius;
    newton_metres: NewtonMetres = NewtonMetres;
    kilonewtons: Newtons = |number| Newtons(number * 1e3);
    megapascals: Pascals = |number| Pascals(number * 1e6);
    ratio: Ratio = Ratio;
    percent: Ratio = |number| Ratio(number * 1e-2);
    seconds: Seconds = Seconds;
}

#[cfg(test)]
mod refusals {
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
