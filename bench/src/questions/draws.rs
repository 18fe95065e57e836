//! How long do 100 000 draws of all resistances of the example take, in one state?

use std::hint::black_box;
use std::ops::Range;

use model::{StateId, Vehicle};
use network::{Draws, Network};
use rand_distr::{Distribution, LogNormal};
use rand_pcg::Pcg64Mcg;
use rayon::prelude::*;
use sparse::LANES;

use crate::demo::{Open, busiest_joint, linearised};
use crate::generated::SEED;
use crate::linear::{Linear, assert_equal};
use crate::peers::suitesparse::{Klu, MISSING, Rows};
use crate::table::Table;
use crate::timer::{Contender, side_by_side};

const DRAWS: usize = 100_000;
/// Spread of the logarithm of a resistance: two thirds within a factor of 1.35.
const SPREAD: f64 = 0.3;
/// Shares of the work; each has its own memory.
const SHARES: usize = 16;
/// Rows of the shared table of factors, a power of two; with eight factors a row it fits in a core's cache.
const ROWS: usize = 4096;

type Lane = [f64; LANES];

/// Drawn once; every draw takes its factors from places that differ from branch to branch.
struct Factors(Vec<Lane>);

impl Factors {
    fn new() -> Self {
        let mut random = Pcg64Mcg::new(SEED);
        let law = law();
        Self((0..ROWS).map(|_| std::array::from_fn(|_| law.sample(&mut random))).collect())
    }

    /// Factors of a branch in eight draws.
    #[inline]
    fn of(&self, eight: usize, branch: usize) -> Lane {
        let mixed = (eight.wrapping_mul(0x9e37_79b1) ^ branch).wrapping_mul(0x85eb_ca6b);
        self.0[(mixed >> 12) & (ROWS - 1)]
    }
}

fn law() -> LogNormal<f64> {
    LogNormal::new(0.0, SPREAD).expect("a spread above zero")
}

/// The draws in `SHARES` runs of eights.
fn shares() -> Vec<Range<usize>> {
    let eights = DRAWS / LANES;
    (0..SHARES).map(|k| k * eights / SHARES..(k + 1) * eights / SHARES).collect()
}

pub(crate) fn measure(table: &mut Table, vehicle: &Vehicle, state: StateId) {
    let mut network = Network::new(vehicle);
    let point = network.operating_point(state);
    let draws = network.draws(&point).expect("the example is small");
    let linear = linearised(&network, &point, Open::Megohm).linear;
    let linear = Linear { anchors: linear.anchors[..1].to_vec(), ..linear };
    let factors = Factors::new();
    let read = vehicle.joint(busiest_joint(vehicle, &point)).point;

    let ours = |share: Range<usize>| ours(&draws, &factors, read, share);
    let klu = |share: Range<usize>| klu(&linear, draws.branches(), &factors, read.index(), share);
    let anew = |share: Range<usize>| drawn_anew(&draws, read, share);
    let few = || shares()[0].start..shares()[0].start + 64;
    let ours_few = ours(few());
    assert!(ours_few.iter().all(|v| v.is_finite()), "every draw has an answer");
    let present = match klu(few()) {
        Some(klu_few) => {
            assert_equal("KLU", &ours_few, &klu_few);
            true
        }
        None => false,
    };

    let sum = |volts: Vec<f64>| volts.iter().sum::<f64>();
    let on_two = |solve: &(dyn Fn(Range<usize>) -> Vec<f64> + Sync)| {
        let parts: Vec<f64> = shares().into_par_iter().map(|share| sum(solve(share))).collect();
        black_box(sum(parts));
    };
    let on_one = |solve: &dyn Fn(Range<usize>) -> Vec<f64>| {
        black_box(shares().into_iter().map(|share| sum(solve(share))).sum::<f64>());
    };
    let klu_or_nothing = |share| klu(share).unwrap_or_default();
    let [two, one, anew_two, klu_two, klu_one] = side_by_side([
        Contender::new(|| on_two(&ours)),
        Contender::new(|| on_one(&ours)),
        Contender::new(|| on_two(&anew)),
        Contender::new(|| on_two(&klu_or_nothing)),
        Contender::new(|| on_one(&klu_or_nothing)),
    ]);
    let threads = rayon::current_num_threads();
    let question = format!(
        "demo, `{}`: 100 000 draws of {} resistances, factors from a shared table",
        vehicle.state(state).id,
        draws.branches()
    );
    let per_second = |seconds: f64, threads: f64| {
        format!("{:.2} million a second and thread", DRAWS as f64 / seconds / threads / 1e6)
    };
    table.ours(
        &format!("{question}, {threads} threads ({})", per_second(two.median, threads as f64)),
        two,
        Some(0.1),
    );
    let peer = |time| if present { Ok(time) } else { Err(MISSING.to_owned()) };
    table.peer("KLU refactor, solve", peer(klu_two));
    table.ours(&format!("… one thread ({})", per_second(one.median, 1.0)), one, None);
    table.peer("KLU refactor, solve", peer(klu_one));
    table.aside(&format!("… every factor drawn anew, {threads} threads"), anew_two);
}

fn ours(draws: &Draws, factors: &Factors, read: model::PointId, share: Range<usize>) -> Vec<f64> {
    let mut work = draws.work();
    let mut found = Vec::with_capacity(share.len() * LANES);
    for eight in share {
        draws.solve(&mut work, |branch| factors.of(eight, branch));
        found.extend(draws.volts(&work, read));
    }
    found
}

fn drawn_anew(draws: &Draws, read: model::PointId, share: Range<usize>) -> Vec<f64> {
    let mut random = Pcg64Mcg::new(SEED + share.start as u128);
    let law = law();
    let mut work = draws.work();
    let mut found = Vec::with_capacity(share.len() * LANES);
    for _ in share {
        draws.solve(&mut work, |_| std::array::from_fn(|_| law.sample(&mut random)));
        found.extend(draws.volts(&work, read));
    }
    found
}

fn klu(
    linear: &Linear,
    drawn: usize,
    factors: &Factors,
    read: usize,
    share: Range<usize>,
) -> Option<Vec<f64>> {
    let mut columns = linear.both_triangles();
    let shape = columns.clone();
    let mut klu = Klu::new(&shape, Rows::AsTheyAre)?;
    let mut siemens = linear.siemens.clone();
    let mut volts = linear.injection.clone();
    let mut found = Vec::with_capacity(share.len() * LANES);
    for eight in share {
        for lane in 0..LANES {
            for (branch, (g, base)) in
                siemens.iter_mut().zip(&linear.siemens).take(drawn).enumerate()
            {
                *g = base * factors.of(eight, branch)[lane];
            }
            columns.assemble(&siemens);
            volts.copy_from_slice(&linear.injection);
            klu.refactor_and_solve(&columns.values, &mut volts);
            found.push(volts[read] - volts[linear.anchors[0].0]);
        }
    }
    Some(found)
}
