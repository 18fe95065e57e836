//! The most probable vehicle against SciPy's `least_squares` on the same equations, built anew in
//! Python from a description in numbers (`checks/estimation.py`).

use serde_json::Value;

use super::cases::all;
use super::described::Described;
use super::recorded::{recorded, written_or_same};
use crate::Session;
use crate::agreement::statistic;

/// What Python is given is what the program works with now. `UPDATE=1` writes it anew; then
/// `checks/regenerate.py` has to be run.
#[test]
fn the_description_that_python_is_given_is_that_of_the_program() {
    let cases = all();
    let found: Vec<Value> = cases
        .iter()
        .map(|case| {
            let session = Session::new(&case.vehicle);
            let belief = case.belief(&session);
            Described {
                name: case.name,
                vehicle: &case.vehicle,
                points: &session.estimator.forward.points,
                layout: session.estimator.forward.layout,
                belief: &belief,
                observations: &case.observations,
                start: &belief.mean,
            }
            .json()
        })
        .collect();
    written_or_same("estimations.json", &found);
}

/// Unknowns and objective of `scipy.optimize.least_squares`, method `lm`, followed by full
/// Gauss–Newton steps to the last digit. Ours stops when a step lowers the misfit by less than 1e-4,
/// so it may lie above the bottom by about that, and every unknown by a hundredth of a standard
/// deviation of its belief.
#[test]
fn the_most_probable_vehicle_agrees_with_scipys_least_squares() {
    let recorded = recorded("vectors/estimation.json");
    let recorded = recorded["cases"].as_array().expect("cases");
    let cases = all();
    assert_eq!(recorded.len(), cases.len());
    let (mut worst_objective, mut worst_unknown) = (0.0_f64, 0.0_f64);
    for (case, theirs) in cases.iter().zip(recorded) {
        assert_eq!(theirs["name"], case.name);
        let mut session = Session::new(&case.vehicle);
        let belief = case.belief(&session);
        let fit = case.fit(&mut session, &belief);
        let ours = 0.5 * statistic(&fit, &belief, &case.observations);
        let bottom = theirs["solution"]["objective"].as_f64().expect("a number");
        let unknowns = theirs["solution"]["unknowns"].as_array().expect("a list");
        assert_eq!(unknowns.len(), fit.unknowns.len(), "{}", case.name);
        let apart = unknowns
            .iter()
            .zip(fit.unknowns.iter().zip(&belief.spread))
            .map(|(theirs, (own, spread))| {
                (theirs.as_f64().expect("a number") - own).abs() / spread
            })
            .fold(0.0, f64::max);
        println!("{}: {ours:.6} {bottom:.6}, unknowns {apart:.2e} apart", case.name);
        worst_objective = worst_objective.max((ours - bottom).abs());
        worst_unknown = worst_unknown.max(apart);
    }
    assert!(worst_objective < 1e-4, "{worst_objective}");
    assert!(worst_unknown < 0.01, "{worst_unknown}");
}
