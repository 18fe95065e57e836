//! What fails when something fails: every single failure, and every pair, in all states?

use std::hint::black_box;
use std::ops::ControlFlow;

use failures::Analysis;
use model::{StateId, Vehicle};

use crate::linear::Linear;
use crate::peers::scipy::Scipy;
use crate::table::Table;
use crate::timer::{Time, alone};

pub(crate) fn measure(
    table: &mut Table,
    vehicle: &Vehicle,
    demo: &Linear,
    volts: &[f64],
    scipy: &Scipy,
) {
    let states: Vec<StateId> = (0..vehicle.states.len()).map(StateId::at).collect();
    let mut analysis = Analysis::new(vehicle, &states);
    let go_on = |_| ControlFlow::Continue(());
    let survey = analysis.survey(&mut { go_on });
    let pairs = analysis.pairs(&mut { go_on });
    assert!(survey.complete && pairs.complete, "nobody stopped it");
    // The peer factorises and solves the linear network once a case: no Newton steps, no judging.
    let once = scipy.splu(demo, volts);
    let each = |cases: usize| {
        let times = cases as f64;
        once.as_ref().map_err(Clone::clone).map(|time| Time {
            median: time.median * times,
            quick: time.quick * times,
            slow: time.slow * times,
        })
    };
    let single = alone(|| drop(black_box(analysis.survey(&mut { go_on }))));
    let question =
        format!("demo: all {} single failures and states, solved and judged", survey.tried);
    table.ours(&question, single, Some(0.1));
    table.peer("SciPy splu once a case, without judging", each(survey.tried));
    let pair = alone(|| drop(black_box(analysis.pairs(&mut { go_on }))));
    let question = format!("demo: all {} pairs of openings and states", pairs.tried);
    table.ours(&question, pair, Some(5.0));
    table.peer("SciPy splu once a case, without judging", each(pairs.tried));
    let laid = alone(|| drop(black_box(Analysis::new(vehicle, &states))));
    table.aside("… solving the states before anything fails, once", laid);
}
