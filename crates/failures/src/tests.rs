//! Failures of the example vehicle, and laws of the survey.

use std::ops::ControlFlow;

use model::{StateId, Vehicle};

use crate::Analysis;

pub(crate) fn example() -> Vehicle {
    let text = include_str!("../../../examples/rescue-ambulance.toml");
    file::read(text.as_bytes()).vehicle.expect("the example is sound")
}

fn every_state(vehicle: &Vehicle) -> Vec<StateId> {
    (0..vehicle.states.len()).map(StateId::at).collect()
}

#[test]
fn the_quick_screen_passes_over_nothing_that_a_full_solution_finds() {
    let vehicle = example();
    let mut analysis = Analysis::new(&vehicle, &every_state(&vehicle));
    let survey = analysis.survey(&mut |_| ControlFlow::Continue(()));
    assert!(
        survey.complete && survey.tried > 3 * survey.solved,
        "{} {}",
        survey.tried,
        survey.solved
    );
    let mut missed = Vec::new();
    for state in analysis.states() {
        for fault in crate::fault::singles(&vehicle) {
            let (_, findings) = analysis.solved(state, &[fault]).expect("a state that was asked");
            let known = survey.cases.iter().any(|case| case.fault == fault && case.state == state);
            if known == findings.is_empty() {
                missed.push((
                    fault.name(&vehicle),
                    vehicle.state(state).id.clone(),
                    fault,
                    findings,
                ));
            }
        }
    }
    assert!(missed.is_empty(), "{missed:#?}");
}
