//! Weighted least squares with bad-data detection, against the circuits of two textbooks.
//!
//! The whole fit answers: the circuit is laid out as a vehicle, sources are batteries of which
//! nothing is known beforehand, and all else is known. Inputs and printed results of both books are
//! from memory and were computed again with `NumPy` (reference values of the project); the pages were
//! not seen.

use model::Vehicle;

use super::{amps, circuit, knowing_all_but, volts, with_variance};
use crate::Observation;
use crate::agreement::{ChiSquare, normalised, statistic};
use crate::fit::{Belief, Fit, fit};
use crate::forward::Forward;

/// Nothing is known of a source's voltage: so many volts of standard deviation.
const ANYTHING: f64 = 1e3;

fn fitted(vehicle: &Vehicle, observations: &[Observation]) -> (Fit, Belief, Vec<f64>) {
    let mut forward = Forward::new(vehicle, Vec::new(), Vec::new());
    let layout = forward.layout;
    let sources: Vec<usize> = (0..layout.batteries).map(|at| layout.emf(at)).collect();
    let belief = knowing_all_but(layout.len(), &sources, ANYTHING);
    let start = belief.mean.clone();
    let fit = fit(&mut forward, observations, &belief, &start, &[]).expect("the circuit is solved");
    let found = sources
        .iter()
        .zip(&vehicle.batteries)
        .map(|(at, battery)| battery.open_circuit[0].0 + fit.unknowns[*at])
        .collect();
    (fit, belief, found)
}

fn assert_all(found: &[f64], expected: &[f64], within: f64) {
    assert_eq!(found.len(), expected.len());
    for (found, expected) in found.iter().zip(expected) {
        assert!((found - expected).abs() < within, "{found} {expected}");
    }
}

/// Two sources, five resistors of one ohm, two ammeters and two voltmeters.
fn grainger_and_stevenson() -> Vehicle {
    circuit(
        &["left", "right"],
        &[
            ("a1", "first/+", "left", 1.0),
            ("a2", "second/+", "right", 1.0),
            ("middle", "left", "right", 1.0),
            ("left-home", "left", "first/-", 1.0),
            ("right-home", "right", "first/-", 1.0),
            ("home", "second/-", "first/-", 1e-7),
        ],
        &["first", "second"],
    )
}

fn meters(vehicle: &Vehicle, values: [f64; 4]) -> Vec<Observation> {
    let [a, b, c, d] = values;
    vec![
        with_variance(1, amps(vehicle, "a1"), a, 0.01),
        with_variance(2, amps(vehicle, "a2"), b, 0.01),
        with_variance(3, volts(vehicle, "left", "first/-"), c, 0.02),
        with_variance(4, volts(vehicle, "right", "first/-"), d, 0.02),
    ]
}

/// J. J. Grainger and W. D. Stevenson, *Power System Analysis*, examples 15.1 and 15.5: good meters.
#[test]
fn four_good_meters_pass_the_chi_square_test_of_grainger_and_stevenson() {
    let vehicle = grainger_and_stevenson();
    let observations = meters(&vehicle, [9.01, 3.02, 6.98, 5.01]);
    let (fit, belief, sources) = fitted(&vehicle, &observations);
    assert_all(&sources, &[16.0072, 8.0261], 1e-4);
    assert_all(&fit.residuals, &[0.00877, 0.00456, -0.02596, -0.00070], 1e-5);
    assert_all(&fit.foretold(&belief), &[0.1997, 0.1038, -0.2044, -0.0055], 1e-4);
    // Of two unknowns nothing is known, so that they bring no measurements of their own: 4 less 2.
    let test = ChiSquare::new(statistic(&fit, &belief, &observations), 2).expect("degrees");
    // What the sources' broad belief adds: ((16 − 12.8)² + (8 − 12.8)²) V² over a million.
    assert!((test.statistic - 0.043_51).abs() < 6e-5, "{test:?}");
    assert!(!test.contradicts(), "{test:?}");
}

/// The same, example 15.6: the fourth meter shows 4.40 V.
#[test]
fn a_bad_meter_has_the_largest_normalised_residual_of_grainger_and_stevenson() {
    let vehicle = grainger_and_stevenson();
    let observations = meters(&vehicle, [9.01, 3.02, 6.98, 4.40]);
    let (fit, belief, sources) = fitted(&vehicle, &observations);
    assert_all(&sources, &[15.8681, 7.7586], 1e-4);
    assert_all(&fit.residuals, &[0.06228, 0.15439, 0.05965, -0.49298], 1e-5);
    assert_all(&fit.foretold(&belief), &[1.4177, 3.5144, 0.4695, -3.8804], 1e-4);
    let test = ChiSquare::new(statistic(&fit, &belief, &observations), 2).expect("degrees");
    assert!((test.statistic - 15.1009).abs() < 1e-4, "{test:?}");
    assert!(test.contradicts(), "{test:?}");
    // Without the fourth the rest agrees.
    let rest = &observations[..3];
    let (fit, belief, sources) = fitted(&vehicle, rest);
    assert_all(&sources, &[16.0074, 8.0265], 1e-4);
    let test = ChiSquare::new(statistic(&fit, &belief, rest), 1).expect("degrees");
    assert!((test.statistic - 0.043_48).abs() < 6e-5, "{test:?}");
    assert!(!test.contradicts(), "{test:?}");
    for own in fit.foretold(&belief) {
        assert!((own.abs() - 0.2085).abs() < 1e-4, "{own}");
    }
}

/// A. J. Wood and B. F. Wollenberg, *Power Generation, Operation and Control*, chapter 12: three
/// buses, angles as volts, reactances as ohms, megawatts as hundredths of an ampere. With one degree
/// of freedom all normalised residuals are equal, and no meter can be named.
#[test]
fn one_degree_of_freedom_names_no_meter_in_wood_and_wollenbergs_three_buses() {
    let vehicle = circuit(
        &["one", "two"],
        &[
            ("line12", "one", "two", 0.2),
            ("line13", "one", "first/-", 0.4),
            ("line32", "first/-", "two", 0.25),
            ("bus1", "first/+", "one", 1e-7),
            ("bus2", "second/+", "two", 1e-7),
            ("bus3", "second/-", "first/-", 1e-7),
        ],
        &["first", "second"],
    );
    let meter =
        |number, name: &str, value| with_variance(number, amps(&vehicle, name), value, 1e-4);
    let observations =
        vec![meter(1, "line12", 0.62), meter(2, "line13", 0.06), meter(3, "line32", 0.37)];
    let (fit, belief, sources) = fitted(&vehicle, &observations);
    assert_all(&sources, &[0.028_571, -0.094_286], 1e-6);
    assert_all(&fit.residuals, &[0.005_714_3, -0.011_428_6, -0.007_142_9], 1e-6);
    let test = ChiSquare::new(statistic(&fit, &belief, &observations), 1).expect("degrees");
    // The broad belief about two sources 12.8 V off adds 3.3e-4.
    assert!((test.statistic - 2.142_857).abs() < 5e-4, "{test:?}");
    assert!(!test.contradicts(), "{test:?}");
    for own in fit.foretold(&belief) {
        assert!((own.abs() - 1.463_85).abs() < 1e-4, "{own}");
    }
}

/// Ammeters may be told as beliefs instead of as readings: a reading's normalised residual is then
/// the unknown's, as Ω = R − H G⁻¹ Hᵀ does not ask what a measurement is called. Here the sources'
/// voltages are measured once as readings and once as beliefs.
#[test]
fn a_belief_has_the_normalised_residual_of_the_reading_that_says_the_same() {
    let vehicle = grainger_and_stevenson();
    let voltmeters = meters(&vehicle, [9.01, 3.02, 6.98, 4.40])[2..].to_vec();
    let (told, variance) = ([16.1, 8.1], 0.04);
    let mut as_readings = voltmeters.clone();
    for (number, (battery, told)) in ["first", "second"].into_iter().zip(told).enumerate() {
        let across = volts(&vehicle, &format!("{battery}/+"), &format!("{battery}/-"));
        let number = 5 + u32::try_from(number).expect("small");
        as_readings.push(with_variance(number, across, told, variance));
    }
    let (fit_readings, broad, _) = fitted(&vehicle, &as_readings);
    let foretold = fit_readings.foretold(&broad);

    let mut forward = Forward::new(&vehicle, Vec::new(), Vec::new());
    let layout = forward.layout;
    let mut belief =
        knowing_all_but(layout.len(), &[layout.emf(0), layout.emf(1)], variance.sqrt());
    for (at, told) in told.into_iter().enumerate() {
        belief.mean[layout.emf(at)] = told - vehicle.batteries[at].open_circuit[0].0;
    }
    let start = belief.mean.clone();
    let fit = fit(&mut forward, &voltmeters, &belief, &start, &[]).expect("solved");
    for at in 0..2 {
        // A reading's residual is reading less fit, a belief's move is fit less belief.
        let own = normalised(&fit, &belief, layout.emf(at)).expect("the voltmeters say something");
        assert!((own + foretold[2 + at]).abs() < 1e-3, "{own} {}", foretold[2 + at]);
    }
    // Two readings and two beliefs for two unknowns, or two readings alone: two degrees either way.
    let [one, other] =
        [statistic(&fit, &belief, &voltmeters), statistic(&fit_readings, &broad, &as_readings)];
    assert!((one - other).abs() < 1e-3, "{one} {other}");
}

/// Limits of χ² as printed in tables of the distribution, to three decimals.
#[test]
fn chi_square_limits_agree_with_printed_tables() {
    for (degrees, share, limit) in [
        (1, 0.05, 3.841),
        (1, 0.01, 6.635),
        (2, 0.10, 4.605),
        (2, 0.01, 9.210),
        (3, 0.05, 7.815),
        (5, 0.01, 15.086),
        (10, 0.05, 18.307),
        (10, 0.005, 25.188),
    ] {
        let test = ChiSquare::new(limit, degrees).expect("degrees");
        // The third decimal of a limit is worth so much of the share at most.
        assert!((test.p_value / share - 1.0).abs() < 5e-4, "{test:?} {share}");
    }
    assert!(ChiSquare::new(1.0, 0).is_none());
}
