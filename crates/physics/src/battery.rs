//! Batteries: voltage at rest, bounds on resistance, load test, sharing between several, charging.

use units::{Amperes, Coulombs, Kelvin, Ohms, Ratio, Seconds, Siemens, Volts};

use crate::error::{PhysicsError, above, within};
use crate::quantity::{MolesPerKilogram, VoltsPerKelvin};

/// Rest voltage of a lead-acid battery with flooded cells, from the density of its acid.
///
/// ```text
/// U = (5.3053 · SG + 5.9394) / 6 for each cell
/// ```
///
/// `specific_gravity` is relative to water and corrected to 26.7 °C (80 °F).
///
/// # Errors
///
/// [`PhysicsError`] unless the density lies from 1.05 to 1.35.
///
/// # Source
///
/// Least squares on the Battery Council International table of charge; within 0.02 V for six cells.
///
/// # Example
///
/// ```
/// # use physics::battery::voltage_from_specific_gravity;
/// # use units::Ratio;
/// let charged = voltage_from_specific_gravity(Ratio(1.265), 6)?;
/// assert!((charged.0 - 12.65).abs() < 0.02);
/// # Ok::<(), physics::PhysicsError>(())
/// ```
pub fn voltage_from_specific_gravity(
    specific_gravity: Ratio,
    cells: u32,
) -> Result<Volts, PhysicsError> {
    let sg = within("a specific gravity", 1.05, 1.35, specific_gravity.0, Ratio::SYMBOL)?;
    Ok(Volts((5.3053 * sg + 5.9394) / 6.0 * f64::from(cells)))
}

/// Rest voltage of a lead-acid battery with flooded cells, from its state of charge.
///
/// ```text
/// U = (11.876 + 0.764 · s) / 6 for each cell
/// ```
///
/// # Errors
///
/// [`PhysicsError`] unless the state of charge lies from zero to one.
///
/// # Source
///
/// Least squares on the Battery Council International table; within 0.018 V for six cells.
pub fn voltage_from_charge(state_of_charge: Ratio, cells: u32) -> Result<Volts, PhysicsError> {
    let charge = within("a state of charge", 0.0, 1.0, state_of_charge.0, Ratio::SYMBOL)?;
    Ok(Volts((11.876 + 0.764 * charge) / 6.0 * f64::from(cells)))
}

/// Specific gravity at 80 °F (26.7 °C) of acid read at another temperature: 0.004 for each 10 °F.
///
/// # Source
///
/// Workshop practice, printed in many manuals.
#[must_use]
pub fn corrected_specific_gravity(reading: Ratio, temperature: Kelvin) -> Ratio {
    let fahrenheit = temperature.celsius() * 1.8 + 32.0;
    reading + Ratio(0.004 * (fahrenheit - 80.0) / 10.0)
}

/// Rest voltage of one lead-acid cell at 25 °C, from the molality of its acid.
///
/// ```text
/// E = 1.922 + 0.148 L + 0.063 L² + 0.074 L³ + 0.034 L⁴,   L = log₁₀ m
/// ```
///
/// # Errors
///
/// [`PhysicsError`] unless the molality lies from 0.5 to 8 mol/kg.
///
/// # Source
///
/// H. Bode, *Lead-Acid Batteries*, 1977: sum of the two half-cell fits.
pub fn cell_voltage_from_molality(molality: MolesPerKilogram) -> Result<Volts, PhysicsError> {
    let m = within("a molality", 0.5, 8.0, molality.0, MolesPerKilogram::SYMBOL)?;
    let l = m.log10();
    Ok(Volts(1.922 + l * (0.148 + l * (0.063 + l * (0.074 + l * 0.034)))))
}

/// Rest voltage of one lead-acid cell in the third-order circuit model.
///
/// ```text
/// Em = Em₀ − Ke (273 + θ) (1 − s)
/// ```
///
/// # Errors
///
/// [`PhysicsError`] unless the state of charge lies from zero to one.
///
/// # Source
///
/// Ceraolo, IEEE Trans. Power Systems 15(4), 2000, p. 1184; Jackey, SAE 2007-01-0778.
pub fn circuit_model_voltage(
    charged: Volts,
    coefficient: VoltsPerKelvin,
    temperature: Kelvin,
    state_of_charge: Ratio,
) -> Result<Volts, PhysicsError> {
    let charge = within("a state of charge", 0.0, 1.0, state_of_charge.0, Ratio::SYMBOL)?;
    // The model counts from −273 °C exactly.
    let absolute = temperature.celsius() + 273.0;
    Ok(charged - Volts(coefficient.0 * absolute * (1.0 - charge)))
}

/// Potential of a lithium iron phosphate electrode against lithium, by its share of lithium.
///
/// ```text
/// U = 3.4077 − 0.020269 x + 0.5 e^(−150 x) − 0.9 e^(−30 (1 − x))
/// ```
///
/// # Errors
///
/// [`PhysicsError`] unless the share lies from zero to one.
///
/// # Source
///
/// Afshar et al. 2017, as used with the cell of Prada 2013.
pub fn iron_phosphate_potential(lithium: Ratio) -> Result<Volts, PhysicsError> {
    let x = within("a share of lithium", 0.0, 1.0, lithium.0, Ratio::SYMBOL)?;
    let ends = 0.5 * (-150.0 * x).exp() - 0.9 * (-30.0 * (1.0 - x)).exp();
    Ok(Volts(3.4077 - 0.020_269 * x + ends))
}

/// Highest resistance a battery can have that still holds a voltage at a current.
///
/// ```text
/// R ≤ (E − U) / I
/// ```
///
/// With 7.2 V at the cold-cranking current (SAE J537) it is the bound at −18 °C after 30 s; with
/// 9.6 V at half that current, the bound of the load test at 21 °C. Both hold the polarisation of
/// the test, and neither is a measurement of the battery.
///
/// # Errors
///
/// [`PhysicsError`] unless the current lies above zero and the rest voltage is the higher one.
pub fn resistance_bound(
    at_rest: Volts,
    under_load: Volts,
    current: Amperes,
) -> Result<Ohms, PhysicsError> {
    let current = above("a test current", 0.0, current.0, Amperes::SYMBOL)?;
    above("a rest voltage", under_load.0, at_rest.0, Volts::SYMBOL)?;
    Ok((at_rest - under_load) / Amperes(current))
}

/// Lowest voltage that six lead-acid cells may show in a load test, by temperature.
///
/// ```text
/// U = 9.1388 + 0.029984 θ − 0.00038608 θ²      θ in °C
/// ```
///
/// Half the cold-cranking current for 15 s; above 21 °C the limit stays at that of 21 °C.
///
/// # Errors
///
/// [`PhysicsError`] below −18 °C, where the table ends.
///
/// # Source
///
/// Fit to the table in common use, within 0.037 V.
pub fn load_test_limit(temperature: Kelvin) -> Result<Volts, PhysicsError> {
    let coldest = Kelvin::from_celsius(-18.0).0;
    within("a battery temperature", coldest, f64::MAX, temperature.0, Kelvin::SYMBOL)?;
    let theta = temperature.celsius().min(21.0);
    Ok(Volts(9.1388 + theta * (0.029_984 - 0.000_386_08 * theta)))
}

/// A source and the resistance between it and a common bus.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Branch {
    /// Voltage with no current.
    pub at_rest: Volts,
    /// Internal resistance and that of its own cables.
    pub resistance: Ohms,
}

/// How several sources share a load.
#[derive(Debug, Clone, PartialEq)]
pub struct Sharing {
    /// Voltage of the bus.
    pub bus: Volts,
    /// Current out of each source, in the order given; below zero into it.
    pub currents: Vec<Amperes>,
}

/// Sharing of a load current between sources on one bus.
///
/// ```text
/// V = (Σ E/r − I) / Σ 1/r,   I_k = (E_k − V) / r_k
/// ```
///
/// # Errors
///
/// [`PhysicsError`] unless there is a source and every resistance lies above zero.
pub fn sharing(branches: &[Branch], load: Amperes) -> Result<Sharing, PhysicsError> {
    above("a number of sources", 0.0, branches.len() as f64, "")?;
    let (mut driven, mut conductance) = (Amperes::ZERO, Siemens::ZERO);
    for branch in branches {
        above("a resistance of a source", 0.0, branch.resistance.0, Ohms::SYMBOL)?;
        driven += branch.at_rest / branch.resistance;
        conductance += branch.resistance.conductance();
    }
    let bus = (driven - load) / conductance;
    let currents =
        branches.iter().map(|branch| (branch.at_rest - bus) / branch.resistance).collect();
    Ok(Sharing { bus, currents })
}

/// Charging voltage held steady against temperature.
///
/// ```text
/// U = U₂₅ + c · (T − 25 °C)
/// ```
///
/// c is about −3 mV/K for each lead-acid cell (−3 to −5 in handbooks).
#[must_use]
pub fn charging_voltage(
    at_25_celsius: Volts,
    coefficient: VoltsPerKelvin,
    temperature: Kelvin,
) -> Volts {
    at_25_celsius + Volts(coefficient.0 * (temperature - Kelvin::from_celsius(25.0)).0)
}

/// Current that a lead-acid battery takes at a charging voltage.
///
/// ```text
/// I = min((U − E) / R, Q_missing / 1 h), at least zero
/// ```
///
/// The second part is the ampere-hour rule: without much gassing a battery takes no more amperes
/// than it lacks ampere-hours.
///
/// # Errors
///
/// [`PhysicsError`] unless the resistance lies above zero, the capacity is not negative and the
/// state of charge lies from zero to one.
///
/// # Source
///
/// Ampere-hour rule: J. L. Woodbridge (1935), from memory, unconfirmed.
pub fn charge_acceptance(
    charging: Volts,
    battery: Branch,
    capacity: Coulombs,
    state_of_charge: Ratio,
) -> Result<Amperes, PhysicsError> {
    above("a resistance of a battery", 0.0, battery.resistance.0, Ohms::SYMBOL)?;
    within("a capacity", 0.0, f64::MAX, capacity.0, Coulombs::SYMBOL)?;
    let charge = within("a state of charge", 0.0, 1.0, state_of_charge.0, Ratio::SYMBOL)?;
    let driven = (charging - battery.at_rest) / battery.resistance;
    let taken = capacity * (1.0 - charge) / Seconds(3600.0);
    Ok(driven.min(taken).max(Amperes::ZERO))
}

#[cfg(test)]
mod tests;
