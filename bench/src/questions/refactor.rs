//! One value has changed: how long until a linear network is factorised and solved again?

use std::hint::black_box;

use sparse::{Factor, Pattern};

use crate::linear::{Linear, assert_equal};
use crate::peers::scipy::Scipy;
use crate::peers::suitesparse::{Blocks, Cholmod, Klu, MISSING, Rows};
use crate::table::Table;
use crate::timer::{Contender, Time, side_by_side};

/// A branch's conductance goes up and down by this share of itself.
const SHARE: f64 = 0.25;

/// `known` are the volts that the network is known to have, if they are.
pub(crate) fn measure(
    table: &mut Table,
    name: &str,
    linear: &Linear,
    known: Option<&[f64]>,
    wish: Option<f64>,
    scipy: &Scipy,
) {
    let branch = linear.branches.len() / 2;
    let change = SHARE * linear.siemens[branch].max(1.0);
    let question = format!(
        "{name}, {} nodes and {} branches: one value changed, factorise and solve",
        linear.n,
        linear.branches.len()
    );

    let pattern = Pattern::new(linear.n, &linear.branches);
    let mut factor = Factor::new(&pattern);
    let mut values = pattern.assemble(&linear.siemens, &linear.anchors);
    let mut volts = linear.injection.clone();
    let mut next = Alternate(change);
    let mut ours = || {
        pattern.add(&mut values, branch, next.turn());
        factor.factor(&pattern, &values).expect("positive definite");
        volts.copy_from_slice(&linear.injection);
        factor.solve(&pattern, black_box(&mut volts));
        volts.clone()
    };
    let (changed, first) = (ours(), ours());
    if let Some(known) = known {
        assert_equal("the linear network", known, &first);
    }

    let shape = linear.both_triangles();
    let klu = |rows: Rows| {
        let mut klu = Klu::new(&shape, rows)?;
        let mut both = shape.clone();
        let mut next = Alternate(change);
        let mut volts = linear.injection.clone();
        Some(move || {
            both.add(branch, next.turn());
            volts.copy_from_slice(&linear.injection);
            klu.refactor_and_solve(&both.values, black_box(&mut volts));
            volts.clone()
        })
    };
    let (mut klu, mut scaled) = (klu(Rows::AsTheyAre), klu(Rows::Scaled));
    let mut upper = linear.upper();
    let upper_shape = upper.clone();
    let mut cholmod = Cholmod::new(&upper_shape, Blocks::Never).map(|mut cholmod| {
        let mut next = Alternate(change);
        move || {
            upper.add(branch, next.turn());
            black_box(cholmod.factor_and_solve(&upper.values, &linear.injection)).to_vec()
        }
    });
    for expected in [&changed, &first] {
        for klu in [&mut klu, &mut scaled].into_iter().flatten() {
            assert_equal("KLU", expected, &klu());
        }
        if let Some(cholmod) = &mut cholmod {
            assert_equal("CHOLMOD", expected, &cholmod());
        }
    }

    let (with_klu, with_cholmod) = (klu.is_some(), cholmod.is_some());
    let [time, klu_time, scaled_time, cholmod_time] = side_by_side([
        Contender::new(|| drop(black_box(ours()))),
        Contender::new(|| drop(black_box(klu.as_mut().map(|klu| klu())))),
        Contender::new(|| drop(black_box(scaled.as_mut().map(|klu| klu())))),
        Contender::new(|| drop(black_box(cholmod.as_mut().map(|cholmod| cholmod())))),
    ]);
    table.ours(&question, time, wish);
    let present = |there: bool, time: Time| there.then_some(time).ok_or(MISSING.to_owned());
    table.peer("KLU refactor, solve", present(with_klu, klu_time));
    table.peer("KLU, rows scaled", present(with_klu, scaled_time));
    table.peer("CHOLMOD simplicial", present(with_cholmod, cholmod_time));
    table.peer("SciPy splu, all anew", scipy.splu(linear, &first));
}

/// Up, down, up, down.
struct Alternate(f64);

impl Alternate {
    fn turn(&mut self) -> f64 {
        let change = self.0;
        self.0 = -change;
        change
    }
}
