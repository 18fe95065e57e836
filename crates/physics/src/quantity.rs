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
    /// Resistance times area: of a film, or of an interface under pressure.
    OhmSquareMetres "Ω·m²";
    /// Angle.
    Radians "rad";
    /// Speed of rotation, in radians each second.
    RadiansPerSecond "rad/s";
    /// Back-voltage for each unit of speed, which is also torque for each ampere.
    VoltSeconds "V·s";
    /// Torque for each unit of speed.
    NewtonMetreSeconds "N·m·s";
    /// The heating integral I²t of a current.
    AmperesSquaredSeconds "A²·s";
    /// The adiabatic factor k of a conductor: the root of I²t for each unit of area.
    AmpereRootSecondsPerSquareMetre "A·√s/m²";
    /// The factor of a fusing law whose current goes with the power 1.5 of diameter.
    AmperesPerMetreToThreeHalves "A/m^1.5";
    /// Amount of substance dissolved in each kilogram of solvent.
    MolesPerKilogram "mol/kg";
    /// Volts for each kelvin.
    VoltsPerKelvin "V/K";
    /// Time in years of the calendar, as corrosion rates are stated.
    Years "a";
    /// Loss of metal thickness in the first year.
    MetresPerYear "m/a";
}

impl OhmsPerMetre {
    /// Resistance of each metre given in milliohms.
    #[must_use]
    pub const fn from_milliohms(milliohms: f64) -> Self {
        Self(milliohms * 1e-3)
    }
}

impl RadiansPerSecond {
    /// A speed given in revolutions each minute.
    #[must_use]
    pub const fn from_rpm(rpm: f64) -> Self {
        Self(rpm * std::f64::consts::PI / 30.0)
    }

    /// The same speed in revolutions each minute.
    #[must_use]
    pub fn rpm(self) -> f64 {
        self.0 * 30.0 / std::f64::consts::PI
    }
}

impl AmpereRootSecondsPerSquareMetre {
    /// A factor given for each square millimetre, as standards print it.
    #[must_use]
    pub const fn from_per_mm2(factor: f64) -> Self {
        Self(factor * 1e6)
    }

    /// The same factor for each square millimetre.
    #[must_use]
    pub fn per_mm2(self) -> f64 {
        self.0 * 1e-6
    }
}
