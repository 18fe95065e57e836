//! Insulation by class and trade name, and the temperature that it bears.

use units::Kelvin;

use crate::read::table;

table! {
    /// A kind of conductor insulation.
    Insulation "insulation"
        "Insulation by class and trade name: highest conductor temperature, lasting and short"
        "insulation";
    /// What it is made of, or what the class covers.
    pub material: String = PLAIN => "material";
    /// Highest conductor temperature it bears continuously.
    pub limit: Kelvin = CELSIUS "limit_celsius" => "lasting, °C";
    /// Highest conductor temperature at the end of a short circuit of at most 5 s.
    pub short_circuit: Option<Kelvin> = CELSIUS "short_circuit_celsius" => "after a short circuit, °C";
    /// What else to know.
    pub note: String = MAY_LACK => "note";
}
