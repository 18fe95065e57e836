//! Columns: how what a data file holds becomes a field of a row, and the field a cell of a table as text.

use serde::de::{DeserializeOwned, Error as _};
use serde::{Deserialize, Deserializer};
use toml::Value;
use toml::de::Error;
use units::print::plain;
use units::{
    Amperes, Kelvin, Metres, NewtonMetres, Newtons, OhmMetres, Ohms, Pascals, Ratio, Seconds,
    SquareMetres, Volts, size::SQUARE_METRES_PER_CIRCULAR_MIL,
};

/// Four significant digits say more than any row of the catalogue knows.
const DIGITS: usize = 4;

/// A number as a cell.
pub(crate) fn number(value: f64) -> String {
    // A value such as 1.2e-6 would print as a row of zeros.
    if value != 0.0 && value.abs() < 1e-4 { format!("{value:e}") } else { plain(value, DIGITS) }
}

/// A number that a row may lack as a cell.
pub(crate) fn optional(value: Option<f64>) -> String {
    value.map_or_else(String::new, number)
}

/// Whether something holds as a cell.
pub(crate) fn yes(holds: bool) -> String {
    if holds { "yes".to_owned() } else { "no".to_owned() }
}

/// Makes a field of what stands in a data file under a name, where something does.
pub(crate) trait Reads<T> {
    fn read(&self, name: &'static str, found: Option<Value>) -> Result<T, Error>;
}

/// Makes a cell of a field.
pub(crate) trait Shows<T> {
    fn cell(&self, field: &T) -> String;
}

/// A column of what reads and prints without a unit: text, counts, words.
pub(crate) struct Plain;
/// A column without a unit that a row may leave out.
pub(crate) struct MayLack;
/// A column of numbers of one unit, which a row may leave out where the field is an option.
pub(crate) struct Unit<Q> {
    made: fn(f64) -> Q,
    number: fn(Q) -> f64,
}

fn required<T: DeserializeOwned>(name: &'static str, found: Option<Value>) -> Result<T, Error> {
    found.ok_or_else(|| Error::missing_field(name))?.try_into()
}

impl<T: DeserializeOwned> Reads<T> for Plain {
    fn read(&self, name: &'static str, found: Option<Value>) -> Result<T, Error> {
        required(name, found)
    }
}

impl<T: DeserializeOwned + Default> Reads<T> for MayLack {
    fn read(&self, _: &'static str, found: Option<Value>) -> Result<T, Error> {
        found.map_or_else(|| Ok(T::default()), Value::try_into)
    }
}

impl<Q> Reads<Q> for Unit<Q> {
    fn read(&self, name: &'static str, found: Option<Value>) -> Result<Q, Error> {
        required(name, found).map(self.made)
    }
}

impl<Q> Reads<Option<Q>> for Unit<Q> {
    fn read(&self, _: &'static str, found: Option<Value>) -> Result<Option<Q>, Error> {
        found.map(|value| value.try_into().map(self.made)).transpose()
    }
}

impl<T: ToString> Shows<T> for Plain {
    fn cell(&self, field: &T) -> String {
        field.to_string()
    }
}

impl<T: ToString> Shows<T> for MayLack {
    fn cell(&self, field: &T) -> String {
        field.to_string()
    }
}

impl<Q: Copy> Shows<Q> for Unit<Q> {
    fn cell(&self, field: &Q) -> String {
        number((self.number)(*field))
    }
}

impl<Q: Copy> Shows<Option<Q>> for Unit<Q> {
    fn cell(&self, field: &Option<Q>) -> String {
        optional(field.map(self.number))
    }
}

pub(crate) const PLAIN: Plain = Plain;
pub(crate) const MAY_LACK: MayLack = MayLack;

macro_rules! units {
    ($($name:ident: $quantity:ident, $made:expr, $number:expr;)*) => {$(
        pub(crate) const $name: Unit<$quantity> = Unit { made: $made, number: $number };
    )*};
}

units! {
    NUMBER: f64, |number| number, |own| own;
    RATIO: Ratio, Ratio, |own| own.0;
    PERCENT: Ratio, |number| Ratio(number * 1e-2), |own| own.0 * 1e2;
    VOLTS: Volts, Volts, |own| own.0;
    MILLIVOLTS: Volts, |number| Volts(number * 1e-3), |own| own.0 * 1e3;
    AMPERES: Amperes, Amperes, |own| own.0;
    OHMS: Ohms, Ohms, |own| own.0;
    MILLIOHMS: Ohms, |number| Ohms(number * 1e-3), |own| own.0 * 1e3;
    OHMS_AS_MILLIOHMS: Ohms, Ohms, |own| own.0 * 1e3;
    NANO_OHM_METRES: OhmMetres, |number| OhmMetres(number * 1e-9), |own| own.0 * 1e9;
    MILLIMETRES: Metres, Metres::from_mm, Metres::mm;
    MICROMETRES: Metres, |number| Metres(number * 1e-6), |own| own.0 * 1e6;
    SQUARE_MILLIMETRES: SquareMetres, SquareMetres::from_mm2, SquareMetres::mm2;
    CIRCULAR_MILS_AS_SQUARE_MILLIMETRES: SquareMetres,
        |number| SquareMetres(number * SQUARE_METRES_PER_CIRCULAR_MIL), SquareMetres::mm2;
    CELSIUS: Kelvin, Kelvin::from_celsius, Kelvin::celsius;
    NEWTON_METRES: NewtonMetres, NewtonMetres, |own| own.0;
    KILONEWTONS: Newtons, |number| Newtons(number * 1e3), |own| own.0 * 1e-3;
    MEGAPASCALS: Pascals, |number| Pascals(number * 1e6), |own| own.0 * 1e-6;
    SECONDS: Seconds, Seconds, |own| own.0;
}

/// Reads a number of a unit where it stands within a field and is no column of its own.
macro_rules! within {
    ($($name:ident: $quantity:ident = $unit:ident;)*) => {$(
        pub(crate) fn $name<'de, D: Deserializer<'de>>(from: D) -> Result<$quantity, D::Error> {
            f64::deserialize(from).map($unit.made)
        }
    )*};
}

within! {
    volts: Volts = VOLTS;
    percent: Ratio = PERCENT;
    milliohms: Ohms = MILLIOHMS;
    nano_ohm_metres: OhmMetres = NANO_OHM_METRES;
    millimetres: Metres = MILLIMETRES;
}
