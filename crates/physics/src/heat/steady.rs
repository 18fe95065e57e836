//! The temperature a lasting current settles at, and the current that holds a temperature.

use units::{Amperes, Kelvin};

use super::balance::Balance;
use super::{ConductorThermal, Surroundings};
use crate::error::{PhysicsError, within};

/// What a lasting current does to a conductor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Outcome {
    /// It settles at this temperature.
    Settles(Kelvin),
    /// It grows warmer than this limit, which the caller gave.
    Exceeds(Kelvin),
}

/// Temperature of the metal after a current has flowed for a long time.
///
/// The sign of the current does not matter. `limit` is where the question stops making sense, such
/// as the melting point of the metal.
///
/// # Errors
///
/// [`PhysicsError`] when a number of the conductor or its surroundings is outside its range.
///
/// # Source
///
/// Heat balance of [`crate::heat`].
///
/// # Example
///
/// ```
/// # use physics::heat::*;
/// # use physics::quantity::*;
/// # use units::{Amperes, Kelvin, Metres, Ratio};
/// let cable = ConductorThermal {
///     metal_diameter: Metres::from_mm(2.06),
///     outer_diameter: Metres::from_mm(3.0),
///     resistance_per_metre_at_20: OhmsPerMetre(7.6e-3),
///     temperature_coefficient: PerKelvin(0.00393),
///     insulation_conductivity: WattsPerMetreKelvin(0.2),
///     emissivity: Ratio(0.9),
///     heat_capacity_per_metre: JoulesPerMetreKelvin(15.0),
/// };
/// let room = Surroundings::alone(Kelvin::from_celsius(23.0));
/// let melting = Kelvin::from_celsius(1084.0);
/// let idle = steady_temperature(&cable, Amperes(0.0), &room, melting)?;
/// assert_eq!(idle, Outcome::Settles(room.air));
/// let fused = steady_temperature(&cable, Amperes(1000.0), &room, melting)?;
/// assert_eq!(fused, Outcome::Exceeds(melting));
/// # Ok::<(), physics::PhysicsError>(())
/// ```
pub fn steady_temperature(
    conductor: &ConductorThermal,
    current: Amperes,
    surroundings: &Surroundings,
    limit: Kelvin,
) -> Result<Outcome, PhysicsError> {
    let balance = Balance::new(conductor, surroundings)?;
    Ok(match balance.settled(current, limit) {
        Some(temperature) => Outcome::Settles(Kelvin(temperature)),
        None => Outcome::Exceeds(limit),
    })
}

/// The lasting current that holds the metal at a temperature; zero when that is not above the air.
///
/// # Errors
///
/// [`PhysicsError`] when a number of the conductor or its surroundings is outside its range.
///
/// # Source
///
/// Heat balance of [`crate::heat`].
pub fn steady_current(
    conductor: &ConductorThermal,
    temperature: Kelvin,
    surroundings: &Surroundings,
) -> Result<Amperes, PhysicsError> {
    let balance = Balance::new(conductor, surroundings)?;
    let temperature = within("a temperature", 0.0, 1e4, temperature.0, Kelvin::SYMBOL)?;
    if temperature <= balance.air {
        return Ok(Amperes::ZERO);
    }
    let loss = balance.loss(temperature, &mut 1.0, 1e-10);
    Ok(Amperes((loss / balance.resistance(temperature)).sqrt()))
}

/// Time in which a small disturbance about the settled temperature falls to 37 %.
///
/// ```text
/// τ = C / (dq/dT − I² R₂₀ α₂₀)
/// ```
///
/// None when the current settles at no temperature below `limit`.
///
/// # Errors
///
/// [`PhysicsError`] when a number of the conductor or its surroundings is outside its range.
#[cfg(test)]
pub(super) fn time_constant(
    conductor: &ConductorThermal,
    current: Amperes,
    surroundings: &Surroundings,
    limit: Kelvin,
) -> Result<Option<units::Seconds>, PhysicsError> {
    let balance = Balance::new(conductor, surroundings)?;
    Ok(balance.settled(current, limit).map(|settled| {
        let step = 0.05_f64.max(0.005 * (settled - balance.air));
        let net = |temperature: f64| {
            let made = current.0 * current.0 * balance.resistance(temperature);
            made - balance.loss(temperature, &mut 1.0, 1e-10)
        };
        let slope = (net(settled - step) - net(settled + step)) / (2.0 * step);
        units::Seconds(balance.capacity / slope)
    }))
}

#[cfg(test)]
pub(super) mod cables {
    use super::*;
    use crate::conductor::ANNEALED_COPPER;
    use crate::heat::{heat_capacity_per_metre, ring_area, stranded_diameter};
    use crate::quantity::{
        JoulesPerCubicMetreKelvin, OhmsPerMetre, PerKelvin, WattsPerMetreKelvin,
    };
    use units::{Metres, Ratio, SquareMetres};

    /// Stranded copper: fill 0.75, plastic of 0.2 W/(m·K), emissivity 0.9.
    pub(in crate::heat) fn cable(mm2: f64, milliohms: f64, outer_mm: f64) -> ConductorThermal {
        let area = SquareMetres::from_mm2(mm2);
        let metal_diameter = stranded_diameter(area, Ratio(0.75)).unwrap();
        let outer_diameter = Metres::from_mm(outer_mm);
        ConductorThermal {
            metal_diameter,
            outer_diameter,
            resistance_per_metre_at_20: OhmsPerMetre(milliohms * 1e-3),
            temperature_coefficient: PerKelvin(0.00393),
            insulation_conductivity: WattsPerMetreKelvin(0.2),
            emissivity: Ratio(0.9),
            heat_capacity_per_metre: heat_capacity_per_metre(&[
                (JoulesPerCubicMetreKelvin(3.45e6), area),
                (
                    JoulesPerCubicMetreKelvin(2.0e6),
                    ring_area(metal_diameter, outer_diameter).unwrap(),
                ),
            ]),
        }
    }

    /// The same of one gauge, 2 % above the resistance of solid annealed copper.
    pub(in crate::heat) fn gauge(number: i32, outer_mm: f64) -> ConductorThermal {
        let mm2 = 0.012_667_7 * 92_f64.powf(f64::from(36 - number) / 19.5);
        cable(mm2, 1.02 * ANNEALED_COPPER.0 * 1e9 / mm2, outer_mm)
    }
}

#[cfg(test)]
mod published {
    use super::cables::{cable, gauge};
    use super::*;
    use crate::close::assert_close;

    fn rating(conductor: &ConductorThermal, hot: f64, air: f64) -> f64 {
        let room = Surroundings::alone(Kelvin::from_celsius(air));
        steady_current(conductor, Kelvin::from_celsius(hot), &room).unwrap().0
    }

    /// MIL-W-5088B single wire, 105 °C in air of 50 °C, as quoted; outer diameters
    /// typical of thin-wall aircraft wire (from memory).
    #[test]
    fn aircraft_wire_ratings_agree_with_mil_w_5088b() {
        for (number, outer, printed, tolerance) in [
            (18, 1.8, 15.4, 0.15),
            (14, 2.4, 31.2, 0.06),
            (12, 2.9, 40.0, 0.08),
            (10, 3.7, 55.0, 0.08),
            (8, 5.1, 75.0, 0.08),
            (6, 6.2, 100.0, 0.08),
            (4, 7.4, 135.0, 0.08),
        ] {
            assert_close(rating(&gauge(number, outer), 105.0, 50.0), printed, tolerance);
        }
    }

    /// FAA AC 43.13-1B p. 11-27: 14 gauge, 200 °C in 50 °C, 47 A in free air.
    #[test]
    fn the_worked_example_of_ac_43_13_is_47_amperes_within_a_tenth() {
        assert_close(rating(&gauge(14, 2.4), 200.0, 50.0), 47.0, 0.10);
    }

    /// BS 7671 Table 4D1A, spaced single cores, 70 °C in 30 °C; IEC 60228 class 2 resistances.
    #[test]
    fn pvc_single_cores_agree_with_bs_7671() {
        for (mm2, ohms_per_km, outer, printed) in [
            (25.0, 0.727, 10.2, 146.0),
            (35.0, 0.524, 11.5, 181.0),
            (50.0, 0.387, 13.4, 219.0),
            (70.0, 0.268, 15.2, 281.0),
            (95.0, 0.193, 17.8, 341.0),
            (120.0, 0.153, 19.5, 396.0),
        ] {
            assert_close(rating(&cable(mm2, ohms_per_km, outer), 70.0, 30.0), printed, 0.08);
        }
    }

    /// 33 CFR 183.425 Table 5, 105 °C column in 30 °C; the table allows for two conductors, so a
    /// single wire carries up to 18 % more.
    #[test]
    fn boat_wire_ratings_lie_below_a_single_wire_by_up_to_18_percent() {
        for (number, outer, printed) in
            [(10, 4.7, 60.0), (4, 9.3, 160.0), (-1, 16.0, 330.0), (-3, 20.0, 445.0)]
        {
            let ratio = rating(&gauge(number, outer), 105.0, 30.0) / printed;
            assert!((1.0..=1.18).contains(&ratio), "{number} gauge: {ratio}");
        }
    }

    /// The same equations solved independently for thin-wall vehicle cable: 105 °C in 23, 60 and
    /// 85 °C, and 125 °C in 85 °C.
    #[test]
    fn thin_wall_cable_agrees_with_an_independent_solution() {
        for (mm2, milliohms, outer, printed) in [
            (0.35, 54.4, 1.40, [12.2, 9.0, 5.9, 8.4]),
            (2.5, 7.6, 3.0, [41.5, 30.6, 20.1, 28.9]),
            (10.0, 1.82, 6.0, [106.0, 79.0, 52.0, 75.0]),
            (50.0, 0.368, 12.2, [307.0, 228.0, 151.0, 217.0]),
        ] {
            let cable = cable(mm2, milliohms, outer);
            let conditions = [(105.0, 23.0), (105.0, 60.0), (105.0, 85.0), (125.0, 85.0)];
            for ((hot, air), printed) in conditions.into_iter().zip(printed) {
                assert_close(rating(&cable, hot, air), printed, 0.01);
            }
        }
    }

    /// FAA AC 43.13-1B p. 11-27: 47 A × 0.91 × 0.6 is 26 A; the 0.6 is the bundle of eight.
    #[test]
    fn a_derating_multiplies_the_current_that_holds_a_temperature() {
        let (wire, hot) = (gauge(14, 2.4), Kelvin::from_celsius(200.0));
        let alone = Surroundings::alone(Kelvin::from_celsius(50.0));
        let bundled = Surroundings { derating: units::Ratio(0.91 * 0.6), ..alone };
        let share = steady_current(&wire, hot, &bundled).unwrap()
            / steady_current(&wire, hot, &alone).unwrap();
        assert_close(47.0 * share, 25.7, 0.002);
    }
}

#[cfg(test)]
mod laws {
    use super::cables::cable;
    use super::*;
    use crate::close::{assert_close, assert_near};
    use proptest::prelude::*;
    use units::Ratio;

    const MELTING: Kelvin = Kelvin(1358.0);

    fn settled(conductor: &ConductorThermal, current: f64, room: &Surroundings) -> Option<f64> {
        match steady_temperature(conductor, Amperes(current), room, MELTING).unwrap() {
            Outcome::Settles(temperature) => Some(temperature.0),
            Outcome::Exceeds(_) => None,
        }
    }

    proptest! {
        #[test]
        fn steady_current_is_the_inverse_of_steady_temperature(
            mm2 in 0.35..120.0, air in 233.0..360.0, rise in 0.01..900.0, derating in 0.3..1.0,
        ) {
            let cable = cable(mm2, 19.0 / mm2, 1.6 * mm2.sqrt() + 0.8);
            let alone = Surroundings::alone(Kelvin(air));
            let room = Surroundings { derating: Ratio(derating), ..alone };
            let current = steady_current(&cable, Kelvin(air + rise), &room).unwrap();
            let found = settled(&cable, current.0, &room).unwrap();
            assert_near(found, air + rise, 1e-5);
        }

        #[test]
        fn steady_temperature_rises_with_current(
            mm2 in 0.35..120.0, density in 0.1..40.0, more in 1.001..1.5,
        ) {
            let cable = cable(mm2, 19.0 / mm2, 1.6 * mm2.sqrt() + 0.8);
            let room = Surroundings::alone(Kelvin(300.0));
            let low = settled(&cable, mm2 * density, &room);
            let high = settled(&cable, mm2 * density * more, &room);
            match (low, high) {
                (Some(low), Some(high)) => prop_assert!(high > low && low > 300.0),
                (None, Some(_)) => prop_assert!(false, "more current settles where less did not"),
                _ => {}
            }
        }

        #[test]
        fn direction_of_current_does_not_matter(current in 0.0..100.0) {
            let cable = cable(10.0, 1.82, 6.0);
            let room = Surroundings::alone(Kelvin(300.0));
            prop_assert_eq!(settled(&cable, current, &room), settled(&cable, -current, &room));
        }
    }

    #[test]
    fn a_bare_conductor_without_radiation_has_no_drop_in_its_insulation() {
        let mut bare = cable(10.0, 1.82, 6.0);
        bare.outer_diameter = bare.metal_diameter;
        bare.emissivity = Ratio(0.0);
        let room = Surroundings::alone(Kelvin(300.0));
        let current = steady_current(&bare, Kelvin(350.0), &room).unwrap();
        bare.insulation_conductivity.0 = 1000.0;
        assert_close(steady_current(&bare, Kelvin(350.0), &room).unwrap().0, current.0, 1e-12);
    }
}

#[cfg(test)]
mod refusals {
    use super::cables::cable;
    use super::*;
    use units::Metres;

    #[test]
    fn insulation_thinner_than_nothing_is_refused() {
        let mut wrong = cable(10.0, 1.82, 6.0);
        wrong.outer_diameter = Metres::from_mm(3.0);
        let room = Surroundings::alone(Kelvin(300.0));
        let refused = steady_current(&wrong, Kelvin(350.0), &room).unwrap_err();
        assert!(refused.to_string().starts_with("expected an outer diameter from 0.0041"));
    }
}
