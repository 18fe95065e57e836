//! The quantity types, each a number in its SI unit, and the few products that mean something.

use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

macro_rules! quantity {
    ($($(#[$doc:meta])* $name:ident $symbol:literal;)*) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
        pub struct $name(pub f64);

        impl $name {
            /// Nothing of it.
            pub const ZERO: Self = Self(0.0);
            /// The SI symbol of the unit the number is held in.
            pub const SYMBOL: &'static str = $symbol;

            /// The size without its sign.
            #[must_use]
            pub fn abs(self) -> Self {
                Self(self.0.abs())
            }

            /// The smaller of the two.
            #[must_use]
            pub fn min(self, other: Self) -> Self {
                Self(self.0.min(other.0))
            }

            /// The larger of the two.
            #[must_use]
            pub fn max(self, other: Self) -> Self {
                Self(self.0.max(other.0))
            }

            /// True for a number that is neither infinite nor not-a-number.
            #[must_use]
            pub fn is_finite(self) -> bool {
                self.0.is_finite()
            }
        }

        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }
        impl AddAssign for $name {
            fn add_assign(&mut self, other: Self) {
                self.0 += other.0;
            }
        }
        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }
        impl SubAssign for $name {
            fn sub_assign(&mut self, other: Self) {
                self.0 -= other.0;
            }
        }
        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }
        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }
        impl Mul<$name> for f64 {
            type Output = $name;
            fn mul(self, quantity: $name) -> $name {
                $name(self * quantity.0)
            }
        }
        impl Div<f64> for $name {
            type Output = Self;
            fn div(self, divisor: f64) -> Self {
                Self(self.0 / divisor)
            }
        }
        impl Div for $name {
            type Output = f64;
            fn div(self, other: Self) -> f64 {
                self.0 / other.0
            }
        }
        impl std::iter::Sum for $name {
            fn sum<I: Iterator<Item = Self>>(items: I) -> Self {
                Self(items.map(|item| item.0).sum())
            }
        }
    )*};
}

quantity! {
    /// Electric potential difference, in volts.
    Volts "V";
    /// Electric current, in amperes.
    Amperes "A";
    /// Electric resistance, in ohms.
    Ohms "Ω";
    /// Electric conductance, in siemens.
    Siemens "S";
    /// Power, in watts.
    Watts "W";
    /// Energy, in joules.
    Joules "J";
    /// Electric charge, in coulombs (one ampere-hour is 3 600 C).
    Coulombs "C";
    /// Length, in metres.
    Metres "m";
    /// Area, in square metres (one square millimetre is 1e-6 m²).
    SquareMetres "m²";
    /// Time, in seconds.
    Seconds "s";
    /// Thermodynamic temperature, in kelvin. Edges speak Celsius or Fahrenheit.
    Kelvin "K";
    /// Torque, in newton metres.
    NewtonMetres "N·m";
    /// Force, in newtons.
    Newtons "N";
    /// Pressure or stress, in pascals.
    Pascals "Pa";
    /// Electric resistivity, in ohm metres.
    OhmMetres "Ω·m";
    /// Relative change for each kelvin, such as a temperature coefficient of resistance.
    PerKelvin "1/K";
    /// Heat that warms a body by one kelvin, in joules per kelvin.
    JoulesPerKelvin "J/K";
    /// An amount of money, in whatever currency the vehicle file names.
    Money "";
    /// A pure number: a share, a factor, a state of charge (one is the whole).
    Ratio "";
}

/// Zero degrees Celsius on the kelvin scale.
pub const ZERO_CELSIUS: Kelvin = Kelvin(273.15);

/// Square metres in one circular mil (π/4 of a square with sides of one thousandth of an inch).
pub const SQUARE_METRES_PER_CIRCULAR_MIL: f64 = 5.067_074_790_974_978e-10;

impl Kelvin {
    /// The temperature that a thermometer marked in degrees Celsius shows as `degrees`.
    #[must_use]
    pub const fn from_celsius(degrees: f64) -> Self {
        Self(degrees + ZERO_CELSIUS.0)
    }

    /// The same temperature in degrees Celsius.
    #[must_use]
    pub fn celsius(self) -> f64 {
        self.0 - ZERO_CELSIUS.0
    }
}

impl SquareMetres {
    /// An area given in square millimetres.
    #[must_use]
    pub const fn from_mm2(mm2: f64) -> Self {
        Self(mm2 * 1e-6)
    }

    /// The same area in square millimetres.
    #[must_use]
    pub fn mm2(self) -> f64 {
        self.0 * 1e6
    }
}

impl Metres {
    /// A length given in millimetres.
    #[must_use]
    pub const fn from_mm(mm: f64) -> Self {
        Self(mm * 1e-3)
    }

    /// The same length in millimetres.
    #[must_use]
    pub fn mm(self) -> f64 {
        self.0 * 1e3
    }
}

impl Coulombs {
    /// A charge given in ampere-hours.
    #[must_use]
    pub const fn from_ampere_hours(ampere_hours: f64) -> Self {
        Self(ampere_hours * 3600.0)
    }

    /// The same charge in ampere-hours.
    #[must_use]
    pub fn ampere_hours(self) -> f64 {
        self.0 / 3600.0
    }
}

impl Ohms {
    /// The conductance of this resistance.
    #[must_use]
    pub fn conductance(self) -> Siemens {
        Siemens(1.0 / self.0)
    }
}

impl Siemens {
    /// The resistance of this conductance.
    #[must_use]
    pub fn resistance(self) -> Ohms {
        Ohms(1.0 / self.0)
    }
}

macro_rules! product {
    ($($a:ident * $b:ident = $c:ident;)*) => {$(
        impl Mul<$b> for $a {
            type Output = $c;
            fn mul(self, other: $b) -> $c {
                $c(self.0 * other.0)
            }
        }
        impl Mul<$a> for $b {
            type Output = $c;
            fn mul(self, other: $a) -> $c {
                $c(self.0 * other.0)
            }
        }
        impl Div<$a> for $c {
            type Output = $b;
            fn div(self, divisor: $a) -> $b {
                $b(self.0 / divisor.0)
            }
        }
        impl Div<$b> for $c {
            type Output = $a;
            fn div(self, divisor: $b) -> $a {
                $a(self.0 / divisor.0)
            }
        }
    )*};
}

product! {
    Ohms * Amperes = Volts;
    Volts * Amperes = Watts;
    Siemens * Volts = Amperes;
    Watts * Seconds = Joules;
    Amperes * Seconds = Coulombs;
    Newtons * Metres = NewtonMetres;
    Pascals * SquareMetres = Newtons;
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_milliohms_carrying_five_hundred_amperes_lose_one_volt() {
        assert!((Ohms(0.002) * Amperes(500.0) - Volts(1.0)).abs() < Volts(1e-12));
    }

    #[test]
    fn water_freezes_at_273_15_kelvin() {
        assert!((Kelvin::from_celsius(0.0) - Kelvin(273.15)).abs() < Kelvin(1e-12));
    }

    #[test]
    fn an_ampere_hour_is_three_thousand_six_hundred_coulombs() {
        assert!((Coulombs::from_ampere_hours(1.0) - Coulombs(3600.0)).abs() < Coulombs(1e-9));
    }
}
