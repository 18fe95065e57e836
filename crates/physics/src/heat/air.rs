//! Air at sea-level pressure, and how a horizontal cylinder gives its heat to it.

use units::{Kelvin, Ratio};

/// Heat capacity of a kilogram of air, J/(kg·K) (U.S. Standard Atmosphere 1976, from memory).
const SPECIFIC_HEAT: f64 = 1006.0;

/// Standard gravity, m/s².
pub(super) const GRAVITY: f64 = 9.806_65;

/// Transport properties of air at one film temperature, SI.
#[derive(Debug, Clone, Copy)]
pub(super) struct Film {
    /// Kinematic viscosity, m²/s.
    pub viscosity: f64,
    /// Thermal conductivity, W/(m·K).
    pub conductivity: f64,
    /// Prandtl number.
    pub prandtl: f64,
}

/// Properties of air between a surface and the room, at the mean of their temperatures.
///
/// U.S. Standard Atmosphere 1976 forms of viscosity and conductivity, from memory; 101 325 Pa.
pub(super) fn film(temperature: f64) -> Film {
    let root_cubed = temperature * temperature.sqrt();
    let dynamic = 1.458e-6 * root_cubed / (temperature + 110.4);
    // 10^(−12/T), written with the natural base.
    let bend = (-12.0 * std::f64::consts::LN_10 / temperature).exp();
    let conductivity = 2.646_38e-3 * root_cubed / (temperature + 245.4 * bend);
    let density = 101_325.0 / (287.05 * temperature);
    Film {
        viscosity: dynamic / density,
        conductivity,
        prandtl: dynamic * SPECIFIC_HEAT / conductivity,
    }
}

/// Kinematic viscosity of air over its thermal diffusivity, at sea-level pressure.
#[must_use]
pub fn prandtl(temperature: Kelvin) -> Ratio {
    Ratio(film(temperature.0).prandtl)
}

/// Nusselt number of a horizontal cylinder in a still fluid.
///
/// ```text
/// Nu = (0.60 + 0.387 Ra^(1/6) / (1 + (0.559 / Pr)^(9/16))^(8/27))²,  Ra = Gr · Pr ≤ 1e12
/// ```
///
/// # Source
///
/// Churchill & Chu, Int. J. Heat Mass Transfer 18 (1975), 1049 (page from memory).
#[must_use]
pub fn nusselt(prandtl: Ratio, grashof: Ratio) -> Ratio {
    let spread = Spread::new(prandtl.0);
    Ratio(spread.nusselt(prandtl.0, prandtl.0 * grashof.0))
}

/// The Prandtl term (1 + (0.559 / Pr)^(9/16))^(8/27), and its course about one Prandtl number.
///
/// Air's Prandtl number moves by a few per cent over a thousand kelvin, and the term by a tenth of
/// that: a straight line in its place saves two powers for every heat balance and is never out by
/// more than two thousandths of the convection, a small part of the correlation's own error.
#[derive(Debug, Clone, Copy)]
pub(super) struct Spread {
    prandtl: f64,
    value: f64,
    slope: f64,
}

impl Spread {
    /// The term, exact at this Prandtl number.
    pub(super) fn new(prandtl: f64) -> Self {
        let inner = (0.559 / prandtl).powf(9.0 / 16.0);
        let value = (1.0 + inner).powf(8.0 / 27.0);
        let slope = -value * (8.0 / 27.0) * (9.0 / 16.0) * inner / ((1.0 + inner) * prandtl);
        Self { prandtl, value, slope }
    }

    /// Nusselt number of a cylinder at a Prandtl number near that of the term.
    pub(super) fn nusselt(&self, prandtl: f64, rayleigh: f64) -> f64 {
        let spread = self.value + self.slope * (prandtl - self.prandtl);
        // The sixth root as a cube root of a square root is several times faster than a power.
        let root = 0.60 + 0.387 * rayleigh.sqrt().cbrt() / spread;
        root * root
    }
}

#[cfg(test)]
mod published {
    use super::*;
    use crate::close::assert_close;

    /// Churchill & Chu 1975; values printed in the tests of an open heat-transfer library.
    #[test]
    fn nusselt_numbers_agree_with_an_open_heat_transfer_library() {
        for (prandtl, grashof, printed) in
            [(0.69, 2.63e9, 139.135), (0.7, 1e5, 7.07684), (1.2, 5e6, 25.9779), (0.9, 1e9, 115.819)]
        {
            assert_close(nusselt(Ratio(prandtl), Ratio(grashof)).0, printed, 1e-5);
        }
    }

    /// Tables of air at 300 K: 1.569e-5 m²/s, 0.02625 W/(m·K), 0.707 (from memory).
    #[test]
    fn air_at_300_kelvin_agrees_with_tables() {
        let air = film(300.0);
        assert_close(air.viscosity, 1.569e-5, 0.002);
        assert_close(air.conductivity, 0.02625, 0.003);
        assert_close(prandtl(Kelvin(300.0)).0, 0.707, 0.003);
    }
}

#[cfg(test)]
mod laws {
    use super::*;
    use crate::close::assert_close;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn the_straight_line_of_the_prandtl_term_is_within_2_parts_in_a_thousand(
            air in 230.0..400.0, film_rise in 0.0..500.0, decades in 0.0..9.0,
        ) {
            let line = Spread::new(film(air).prandtl);
            let prandtl = film(air + film_rise).prandtl;
            let rayleigh = 10_f64.powf(decades);
            let exact = nusselt(Ratio(prandtl), Ratio(rayleigh / prandtl)).0;
            assert_close(line.nusselt(prandtl, rayleigh), exact, 2e-3);
        }
    }
}
