//! How long does a network of 100 000 nodes take, from its branches to its volts?

use std::hint::black_box;

use sparse::{Factor, Pattern};

use crate::linear::{Linear, assert_equal};
use crate::peers::scipy::Scipy;
use crate::peers::suitesparse::{Blocks, Cholmod, Klu, MISSING, Rows};
use crate::table::Table;
use crate::timer::{Contender, Time, side_by_side};

pub(crate) fn measure(table: &mut Table, name: &str, linear: &Linear, scipy: &Scipy) {
    let n = linear.n;
    let solve = || {
        let pattern = Pattern::new(n, &linear.branches);
        let mut factor = Factor::new(&pattern);
        let values = pattern.assemble(&linear.siemens, &linear.anchors);
        factor.factor(&pattern, &values).expect("positive definite");
        let mut volts = linear.injection.clone();
        factor.solve(&pattern, &mut volts);
        volts
    };
    let both = linear.both_triangles();
    let klu = || {
        let mut klu = Klu::new(&both, Rows::AsTheyAre)?;
        let mut volts = linear.injection.clone();
        klu.solve(&mut volts);
        Some(volts)
    };
    let upper = linear.upper();
    let cholmod = || {
        let mut cholmod = Cholmod::new(&upper, Blocks::WhenWorthWhile)?;
        Some(cholmod.factor_and_solve(&upper.values, &linear.injection).to_vec())
    };
    let expected = solve();
    let (klu_volts, cholmod_volts) = (klu(), cholmod());
    for (who, volts) in [("KLU", &klu_volts), ("CHOLMOD", &cholmod_volts)] {
        if let Some(volts) = volts {
            assert_equal(who, &expected, volts);
        }
    }

    let pattern = Pattern::new(n, &linear.branches);
    let mut factor = Factor::new(&pattern);
    let values = pattern.assemble(&linear.siemens, &linear.anchors);
    let [all, klu_time, cholmod_time, symbolic, numeric] = side_by_side([
        Contender::new(|| drop(black_box(solve()))),
        Contender::new(|| drop(black_box(klu()))),
        Contender::new(|| drop(black_box(cholmod()))),
        Contender::new(|| drop(black_box(Pattern::new(n, black_box(&linear.branches))))),
        Contender::new(|| factor.factor(&pattern, black_box(&values)).expect("as above")),
    ]);
    let mut volts = linear.injection.clone();
    let once = crate::timer::alone(|| {
        volts.copy_from_slice(&linear.injection);
        factor.solve(&pattern, black_box(&mut volts));
    });
    let question = format!("{name}, {n} nodes: order, factorise, solve");
    table.ours(&question, all, Some(1.0));
    let present = |volts: &Option<Vec<f64>>, time: Time| {
        volts.as_ref().map(|_| time).ok_or(MISSING.to_owned())
    };
    table.peer("KLU", present(&klu_volts, klu_time));
    table.peer("CHOLMOD", present(&cholmod_volts, cholmod_time));
    table.peer("SciPy splu", scipy.splu(linear, &expected));
    table.aside("… of this, order and lay out", symbolic);
    table.aside(&format!("… of this, factorise ({} entries)", pattern.factor_entries()), numeric);
    table.aside("… of this, solve", once);
}
