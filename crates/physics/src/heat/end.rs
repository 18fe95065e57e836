//! How warm the end of a conductor gets from heat made there: in a joint, a lug, a clamp.

use std::f64::consts::PI;

use units::{Kelvin, Ratio, Seconds, Watts};

use super::ConductorThermal;
use crate::contact::LORENZ;
use crate::error::{PhysicsError, above, within};
use crate::quantity::WattsPerMetreKelvin;

/// Temperature at which the heat conducted along the metal is taken: it hardly changes with it.
const CONDUCTS_AT: Kelvin = Kelvin(293.15);

/// Rise of the end of a long conductor into which a constant heat flows, after a time.
///
/// ```text
/// ΔT = P / √(g k A) · min(1, (2 / √π) √(g t / c))      k A = L T / R′
/// ```
///
/// The first factor is that of an infinitely long fin that has settled, the second the error function of
/// the same fin's warming, from above by its two limits: never less than it is, and at most a quarter
/// more. `g` is the heat that leaves each metre and kelvin, `c` the heat capacity of a metre, R′ its
/// resistance; heat is conducted along the metal as the law of Wiedemann and Franz has it. An infinite
/// time gives the settled rise.
///
/// # Errors
///
/// [`PhysicsError`] when a number of the conductor is outside its range, the heat or time negative, or no
/// heat leaves it.
///
/// # Source
///
/// Infinite fin: Incropera and de Witt, *Fundamentals of Heat and Mass Transfer*, table of fin equations,
/// case D (from memory); a half space under a constant flux: Carslaw and Jaeger, *Conduction of Heat in
/// Solids*, 2.9 (from memory).
pub fn end_rise(
    heat: Watts,
    conductor: &ConductorThermal,
    leaves: WattsPerMetreKelvin,
    time: Seconds,
) -> Result<Kelvin, PhysicsError> {
    conductor.check()?;
    let heat = within("heat", 0.0, f64::INFINITY, heat.0, Watts::SYMBOL)?;
    let leaves = above("heat that leaves", 0.0, leaves.0, WattsPerMetreKelvin::SYMBOL)?;
    let time = within("a time", 0.0, f64::INFINITY, time.0, Seconds::SYMBOL)?;
    let along = LORENZ * CONDUCTS_AT.0 / conductor.resistance_per_metre_at_20.0;
    let settled = heat / (leaves * along).sqrt();
    let rounds = leaves * time / conductor.heat_capacity_per_metre.0;
    let share = Ratio((2.0 * (rounds / PI).sqrt()).min(1.0));
    Ok(Kelvin(settled * share.0))
}

#[cfg(test)]
mod published {
    use super::*;
    use crate::quantity::{JoulesPerMetreKelvin, OhmsPerMetre, PerKelvin};
    use units::Metres;

    fn rod(diameter: f64, resistivity: f64, heat: f64) -> ConductorThermal {
        let area = PI / 4.0 * diameter * diameter;
        ConductorThermal {
            metal_diameter: Metres(diameter),
            outer_diameter: Metres(diameter),
            resistance_per_metre_at_20: OhmsPerMetre(resistivity / area),
            temperature_coefficient: PerKelvin(0.00393),
            insulation_conductivity: WattsPerMetreKelvin(0.2),
            emissivity: Ratio(0.5),
            heat_capacity_per_metre: JoulesPerMetreKelvin(heat * area),
        }
    }

    /// Incropera and de Witt, example of a very long rod: 5 mm, copper, 100 W/(m²·K), its end 75 K above
    /// the air: 8.3 W (from memory). Wiedemann and Franz give copper 5 % more than that book.
    #[test]
    fn a_very_long_copper_rod_takes_eight_watts_at_75_kelvin() {
        let leaves = WattsPerMetreKelvin(100.0 * PI * 0.005);
        let copper = rod(0.005, 1.7241e-8, 3.45e6);
        let rise = end_rise(Watts(8.3), &copper, leaves, Seconds(f64::INFINITY)).expect("a rod");
        assert!((rise.0 / 75.0 - 1.0).abs() < 0.04, "{rise:?}");
    }

    /// A half space of copper under a constant flux: ΔT = 2 q √(α t / π) / k, with k = 401 W/(m·K) and
    /// α = 1.17e-4 m²/s (handbook values, from memory).
    #[test]
    fn a_thick_cable_warms_at_first_as_a_half_space_does() {
        let copper = rod(0.02, 1.7241e-8, 3.45e6);
        let area = PI / 4.0 * 0.02 * 0.02;
        let time = Seconds(5.0);
        let leaves = WattsPerMetreKelvin(10.0 * PI * 0.02);
        let rise = end_rise(Watts(100.0), &copper, leaves, time).expect("a cable").0;
        let known = 2.0 * (100.0 / area) * (1.17e-4 * time.0 / PI).sqrt() / 401.0;
        assert!((rise / known - 1.0).abs() < 0.04, "{rise} {known}");
    }
}

#[cfg(test)]
mod laws {
    use super::*;
    use crate::quantity::{JoulesPerMetreKelvin, OhmsPerMetre, PerKelvin};
    use proptest::prelude::*;
    use units::Metres;

    proptest! {
        /// Twice the heat is twice the rise; longer is never cooler; nothing passes the settled rise.
        #[test]
        fn a_rise_is_in_proportion_to_heat_and_grows_to_where_it_settles(
            heat in 0.01..500.0_f64,
            millimetres in 1.0..20.0_f64,
            time in 0.01..1e5_f64,
        ) {
            let metal = millimetres * 1e-3;
            let area = PI / 4.0 * metal * metal;
            let conductor = ConductorThermal {
                metal_diameter: Metres(metal),
                outer_diameter: Metres(metal + 2e-3),
                resistance_per_metre_at_20: OhmsPerMetre(1.8e-8 / area),
                temperature_coefficient: PerKelvin(0.00393),
                insulation_conductivity: WattsPerMetreKelvin(0.2),
                emissivity: Ratio(0.9),
                heat_capacity_per_metre: JoulesPerMetreKelvin(3.6e6 * area),
            };
            let leaves = WattsPerMetreKelvin(10.0 * PI * (metal + 2e-3));
            let rise = |heat: f64, time: f64| {
                end_rise(Watts(heat), &conductor, leaves, Seconds(time)).expect("a cable").0
            };
            prop_assert!((rise(2.0 * heat, time) / rise(heat, time) - 2.0).abs() < 1e-9);
            prop_assert!(rise(heat, time) <= rise(heat, 2.0 * time) * (1.0 + 1e-12));
            prop_assert!(rise(heat, time) <= rise(heat, f64::INFINITY) * (1.0 + 1e-12));
        }
    }

    #[test]
    fn no_heat_leaving_is_refused() {
        let copper = ConductorThermal {
            metal_diameter: Metres(0.01),
            outer_diameter: Metres(0.012),
            resistance_per_metre_at_20: OhmsPerMetre(2e-4),
            temperature_coefficient: PerKelvin(0.00393),
            insulation_conductivity: WattsPerMetreKelvin(0.2),
            emissivity: Ratio(0.9),
            heat_capacity_per_metre: JoulesPerMetreKelvin(300.0),
        };
        let nothing = WattsPerMetreKelvin(0.0);
        assert!(end_rise(Watts(1.0), &copper, nothing, Seconds(1.0)).is_err());
        let leaves = WattsPerMetreKelvin(0.3);
        assert!(end_rise(Watts(-1.0), &copper, leaves, Seconds(1.0)).is_err());
    }
}
