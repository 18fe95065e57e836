//! Quantities that only the laws need, beside those of the crate `units`; SI inside.

pub use units::PerKelvin;

macro_rules! quantity {
    ($($(#[$doc:meta])* $name:ident $symbol:literal;)*) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
        pub struct $name(pub f64);

        impl $name {
            /// The SI symbol of the unit the number is held in.
            pub const SYMBOL: &'static str = $symbol;
        }
    )*};
}

quantity! {
    /// Electric resistance of each metre of a conductor.
    OhmsPerMetre "Ω/m";
    /// Thermal conductivity of a material.
    WattsPerMetreKelvin "W/(m·K)";
    /// Heat capacity of each metre of a conductor.
    JoulesPerMetreKelvin "J/(m·K)";
    /// Heat capacity of each cubic metre of a material.
    JoulesPerCubicMetreKelvin "J/(m³·K)";
    /// The heating integral I²t of a current.
    AmperesSquaredSeconds "A²·s";
    /// The adiabatic factor k of a conductor: the root of I²t for each unit of area.
    AmpereRootSecondsPerSquareMetre "A·√s/m²";
    /// Time in years of the calendar, as corrosion rates are stated.
    Years "a";
    /// Loss of metal thickness in the first year.
    MetresPerYear "m/a";
}
