//! How warm a conductor is after a constant current has flowed for a time.

use units::{Amperes, Kelvin, Seconds};

use super::balance::Balance;
use super::{ConductorThermal, Surroundings};
use crate::conductor::temperature_factor;
use crate::error::{PhysicsError, within};

/// Where a conductor has got to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Heating {
    /// It is at this temperature at the end of the time.
    Reaches(Kelvin),
    /// It passed the limit before the end.
    Exceeds {
        /// The limit the caller gave.
        limit: Kelvin,
        /// How long after the start.
        after: Seconds,
    },
}

/// A rise that a calculation may be out by, K: what a cheap answer may differ.
const CLOSE: f64 = 0.01;

/// Temperature of the metal a time after a constant current began, the metal being all one warmth.
///
/// Follows the equation to 0.02 K and a thousandth of the whole change; to five thousandths when
/// the metal starts colder than the air, whose convection is not smooth where it is crossed. Metal and insulation warm together; over
/// times shorter than a second or so a thick insulation in truth lags, so the metal is then warmer
/// than computed by up to the insulation's share of the heat capacity.
///
/// # Errors
///
/// [`PhysicsError`] when a number of the conductor or its surroundings is outside its range, the
/// time is negative, or the start is not between 150 K and 10 000 K.
///
/// # Source
///
/// Heat balance of [`crate::heat`].
pub fn temperature_after(
    conductor: &ConductorThermal,
    current: Amperes,
    duration: Seconds,
    start: Kelvin,
    surroundings: &Surroundings,
    limit: Kelvin,
) -> Result<Heating, PhysicsError> {
    conductor.check()?;
    surroundings.check()?;
    let duration = within("a duration", 0.0, f64::INFINITY, duration.0, Seconds::SYMBOL)?;
    within("a starting temperature", 150.0, 1e4, start.0, Kelvin::SYMBOL)?;
    if limit < start {
        return Ok(Heating::Exceeds { limit, after: Seconds::ZERO });
    }
    let squared = current.0 * current.0;
    // From air temperature almost nothing is lost yet: the heat made bounds the rise from above.
    let factor = temperature_factor(conductor.temperature_coefficient, start);
    let made = squared * conductor.resistance_per_metre_at_20.0 * factor.0;
    let rise = made * duration / conductor.heat_capacity_per_metre.0;
    if rise < CLOSE && (start - surroundings.air).abs().0 < CLOSE {
        return Ok(Heating::Reaches(Kelvin(start.0 + rise)));
    }
    let balance = Balance::new(conductor, surroundings)?;
    let mut share = 1.0;
    let mut rate = |temperature: f64| {
        let lost = balance.loss(temperature, &mut share, 0.02);
        (squared * balance.resistance(temperature) - lost) / balance.capacity
    };
    Ok(match balance.settled(current, limit) {
        Some(settled) => Heating::Reaches(Kelvin(approach(start.0, settled, duration, &mut rate))),
        None => climb(start, limit, duration, &mut rate),
    })
}

/// Follows the temperature towards where it settles, without ever passing it.
///
/// With T = T∞ − (T∞ − T₀) e^(−u) the equation becomes du/dt = rate / (T∞ − T), whose right side
/// hardly changes, so that few steps are enough and the end cannot be overshot.
fn approach(start: f64, settled: f64, duration: f64, rate: &mut impl FnMut(f64) -> f64) -> f64 {
    let span = settled - start;
    let enough = (span.abs() / 1e-4).ln();
    if enough <= 0.0 {
        return settled;
    }
    let at = |u: f64| settled - span * (-u).exp();
    // A trial may look beyond the end, where both differences have lost their digits.
    let mut speed = |u: f64| {
        let temperature = at(u.min(enough));
        rate(temperature) / (settled - temperature)
    };
    let tolerance = |u: f64| (1e-2 / span.abs() + 1e-3) * u.exp();
    let first = speed(0.0);
    let mut step = Step { value: 0.0, slope: first, width: duration.min(1.0 / first) };
    let mut time = 0.0;
    while time < duration && step.value < enough {
        step.width = step.width.min(duration - time);
        time += step.advance(&mut speed, &tolerance).width;
    }
    at(step.value)
}

/// Follows a temperature that nothing stops below `limit`, and says when it gets there.
fn climb(
    start: Kelvin,
    limit: Kelvin,
    duration: f64,
    rate: &mut impl FnMut(f64) -> f64,
) -> Heating {
    let tolerance = |temperature: f64| 1e-2 + 1e-3 * (temperature - start.0).abs();
    let first = rate(start.0);
    let mut step = Step { value: start.0, slope: first, width: duration.min(5.0 / first) };
    let mut time = 0.0;
    while time < duration {
        step.width = step.width.min(duration - time);
        let taken = step.advance(rate, &tolerance);
        if step.value >= limit.0 {
            let after = time + taken.width * taken.share_until(limit.0, &step);
            return Heating::Exceeds { limit, after: Seconds(after) };
        }
        time += taken.width;
    }
    Heating::Reaches(Kelvin(step.value))
}

/// One step of the third-order pair of Bogacki and Shampine (Appl. Math. Letters 2, 1989).
#[derive(Debug, Clone, Copy)]
struct Step {
    value: f64,
    slope: f64,
    /// The width just taken, or the one to try next.
    width: f64,
}

impl Step {
    /// Moves on by a width at which the error is tolerable; returns where it was, with that width.
    fn advance(
        &mut self,
        slope_at: &mut impl FnMut(f64) -> f64,
        tolerance: &impl Fn(f64) -> f64,
    ) -> Self {
        for attempt in 0.. {
            let (y, a, h) = (self.value, self.slope, self.width);
            let b = slope_at(y + 0.5 * h * a);
            let c = slope_at(y + 0.75 * h * b);
            let end = y + h * (2.0 * a + 3.0 * b + 4.0 * c) / 9.0;
            let d = slope_at(end);
            let error = (h * (-5.0 * a / 72.0 + b / 12.0 + c / 9.0 - d / 8.0)).abs();
            let ratio = error / tolerance(y);
            let scale = (0.85 / ratio.cbrt()).clamp(0.2, 5.0);
            if ratio <= 1.0 || attempt > 30 {
                let taken = *self;
                *self = Self { value: end, slope: d, width: h * scale };
                return taken;
            }
            // Not-a-number (a wild trial far outside) shrinks like the largest error.
            self.width = h * if scale.is_finite() { scale.min(0.5) } else { 0.2 };
        }
        *self
    }

    /// Share of this step's width at which the cubic through it and its `end` meets `level`.
    fn share_until(&self, level: f64, end: &Self) -> f64 {
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..50 {
            let s = 0.5 * (low + high);
            let (rest, width) = (1.0 - s, self.width);
            let value = rest * rest * (1.0 + 2.0 * s) * self.value
                + s * s * (3.0 - 2.0 * s) * end.value
                + s * rest * width * (rest * self.slope - s * end.slope);
            if value < level { low = s } else { high = s }
        }
        0.5 * (low + high)
    }
}

#[cfg(test)]
mod laws {
    use super::super::steady::cables::cable;
    use super::*;
    use crate::adiabatic::{COPPER, duration_to_temperature};
    use crate::close::{assert_close, assert_near};
    use crate::heat::{Outcome, steady_temperature, time_constant};
    use proptest::prelude::*;
    use units::SquareMetres;

    const MELTING: Kelvin = Kelvin(1356.0);

    fn reached(conductor: &ConductorThermal, current: f64, time: f64, start: f64) -> f64 {
        let room = Surroundings::alone(Kelvin(300.0));
        let (current, time) = (Amperes(current), Seconds(time));
        match temperature_after(conductor, current, time, Kelvin(start), &room, MELTING).unwrap() {
            Heating::Reaches(temperature) => temperature.0,
            Heating::Exceeds { limit, .. } => limit.0,
        }
    }

    fn settled(conductor: &ConductorThermal, current: f64) -> Option<f64> {
        let room = Surroundings::alone(Kelvin(300.0));
        match steady_temperature(conductor, Amperes(current), &room, MELTING).unwrap() {
            Outcome::Settles(temperature) => Some(temperature.0),
            Outcome::Exceeds(_) => None,
        }
    }

    /// Ten thousand plain midpoint steps.
    fn brute(conductor: &ConductorThermal, current: f64, time: f64, start: f64) -> f64 {
        let room = Surroundings::alone(Kelvin(300.0));
        let balance = Balance::new(conductor, &room).unwrap();
        let rate = |temperature: f64| {
            let made = current * current * balance.resistance(temperature);
            (made - balance.loss(temperature, &mut 1.0, 1e-9)) / balance.capacity
        };
        let step = time / 1e4;
        (0..10_000).fold(start, |temperature, _| {
            temperature + step * rate(temperature + 0.5 * step * rate(temperature))
        })
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(40))]

        #[test]
        fn the_few_steps_agree_with_ten_thousand(
            mm2 in 0.35..120.0, density in 0.5..25.0, decades in -3.0..1.2, start in 250.0..450.0,
        ) {
            let cable = cable(mm2, 19.0 / mm2, 1.6 * mm2.sqrt() + 0.8);
            let current = density * mm2.powf(0.75);
            prop_assume!(settled(&cable, current).is_some());
            let room = Surroundings::alone(Kelvin(300.0));
            let tau = time_constant(&cable, Amperes(current), &room, MELTING).unwrap().unwrap().0;
            let time = tau * 10_f64.powf(decades);
            let found = reached(&cable, current, time, start);
            let expected = brute(&cable, current, time, start);
            let total = settled(&cable, current).unwrap() - start;
            let share = if start < 300.0 { 5e-3 } else { 1e-3 };
            assert_near(found, expected, 0.02 + share * total.abs());
        }
    }

    proptest! {
        #[test]
        fn a_transient_never_passes_where_it_settles(
            mm2 in 0.35..120.0, density in 0.01..25.0, time in 0.001..1e5,
        ) {
            let cable = cable(mm2, 19.0 / mm2, 1.6 * mm2.sqrt() + 0.8);
            let current = density * mm2.powf(0.75);
            if let Some(end) = settled(&cable, current) {
                // The cheap path may be out by its hundredth of a kelvin.
                let now = reached(&cable, current, time, 300.0);
                prop_assert!(300.0 <= now && now <= end + CLOSE, "{} {}", now, end);
                let later = reached(&cable, current, 2.0 * time, 300.0);
                prop_assert!(now <= later + 2.0 * CLOSE, "{} {}", now, later);
            }
        }

        #[test]
        fn a_transient_reaches_where_it_settles(mm2 in 0.35..120.0, density in 0.01..25.0) {
            let cable = cable(mm2, 19.0 / mm2, 1.6 * mm2.sqrt() + 0.8);
            let current = density * mm2.powf(0.75);
            if let Some(end) = settled(&cable, current) {
                for time in [1e6, f64::INFINITY] {
                    assert_near(reached(&cable, current, time, 290.0), end, 0.01);
                    assert_near(reached(&cable, current, time, 700.0), end, 0.01);
                }
            }
        }

        #[test]
        fn a_violent_current_fuses_in_the_adiabatic_time(mm2 in 0.5..50.0) {
            let mut cable = cable(mm2, 17.241 / mm2, 1.6 * mm2.sqrt() + 0.8);
            cable.heat_capacity_per_metre.0 = 3.45 * mm2;
            cable.temperature_coefficient.0 = 1.0 / 254.5;
            let current = Amperes(3000.0 * mm2);
            let room = Surroundings::alone(Kelvin(300.0));
            let heating =
                temperature_after(&cable, current, Seconds(1.0), room.air, &room, MELTING).unwrap();
            let area = SquareMetres::from_mm2(mm2);
            let alone =
                duration_to_temperature(&COPPER, current, area, room.air, MELTING).unwrap();
            match heating {
                Heating::Exceeds { after, .. } => assert_close(after.0, alone.0, 0.002),
                Heating::Reaches(temperature) => prop_assert!(false, "{}", temperature.0),
            }
        }
    }

    #[test]
    fn without_current_a_hot_conductor_cools_to_the_air() {
        let cable = cable(10.0, 1.82, 6.0);
        let warm = reached(&cable, 0.0, 60.0, 400.0);
        assert!(300.0 < warm && warm < 400.0);
        assert_near(reached(&cable, 0.0, 1e5, 400.0), 300.0, 0.01);
    }
}
