//! Networks made up by rule: trees with loops, and a sheet.

use rand::RngExt;
use rand_pcg::Pcg64Mcg;

use crate::linear::Linear;

/// Seed of everything that is drawn.
pub(crate) const SEED: u128 = 20_260_101;

/// A tree of `n` nodes with `loops` more branches, each between 0.1 mΩ and 1 Ω, fed with 100 A from end to end.
///
/// A node hangs on one of the `near` nodes before it, and loops span at most four times as many, as
/// the parts of a long harness do.
pub(crate) fn tree_with_loops(n: usize, loops: usize, near: usize) -> Linear {
    let mut random = Pcg64Mcg::new(SEED);
    let mut branches: Vec<(usize, usize)> =
        (1..n).map(|k| (random.random_range(k.saturating_sub(near)..k), k)).collect();
    while branches.len() < n - 1 + loops {
        let a = random.random_range(0..n);
        let b = random.random_range(a.saturating_sub(4 * near)..(a + 4 * near).min(n));
        if a != b {
            branches.push((a, b));
        }
    }
    let siemens =
        branches.iter().map(|_| 10_f64.powf(random.random_range(0.0..4.0))).collect::<Vec<_>>();
    Linear::anchored(n, branches, siemens, end_to_end(n), 0)
}

/// A long tree of `n` nodes with loops, as a harness in a body: a node in a hundred is bonded to node 0.
///
/// Besides, a node in ten has a branch to another one nearby.
pub(crate) fn bonded_tree(n: usize) -> Linear {
    let mut random = Pcg64Mcg::new(SEED + 1);
    let mut linear = tree_with_loops(n, n / 10, 10);
    let bonds = (100..n).step_by(100).map(|at| (0, at));
    linear.branches.extend(bonds);
    let more = linear.branches.len() - linear.siemens.len();
    linear.siemens.extend((0..more).map(|_| 10_f64.powf(random.random_range(0.0..4.0))));
    linear
}

/// A sheet of `wide` by `high` nodes with a siemens between neighbours, fed from corner to corner.
pub(crate) fn sheet(wide: usize, high: usize) -> Linear {
    let at = |x: usize, y: usize| y * wide + x;
    let mut branches = Vec::new();
    for y in 0..high {
        for x in 0..wide {
            if x + 1 < wide {
                branches.push((at(x, y), at(x + 1, y)));
            }
            if y + 1 < high {
                branches.push((at(x, y), at(x, y + 1)));
            }
        }
    }
    let siemens = vec![1.0; branches.len()];
    Linear::anchored(wide * high, branches, siemens, end_to_end(wide * high), 0)
}

fn end_to_end(n: usize) -> Vec<f64> {
    let mut injection = vec![0.0; n];
    injection[0] = -100.0;
    injection[n - 1] = 100.0;
    injection
}

/// A vehicle file with so many loads, each with a feed and a return of its own: four joints a load, and four
/// of two grounds. Loads come home to a body of ten points; all are on with the key.
pub(crate) fn vehicle_of_loads(loads: usize) -> String {
    let mut text =
        "format = 1\n[vehicle]\nname = \"generated\"\nnominal = \"12 V\"\nstates = [\"key-on\"]\n\
        [batteries.main]\ncapacity = \"200 Ah\"\ncranking = \"1000 A\"\ncharge = \"90 %\"\n\
        [structures.body]\nresistance = \"0.2 mΩ\"\n[structures.body.points]\n"
            .to_owned();
    for point in 0..10 {
        text.push_str(&format!("p{point} = {{}}\n"));
    }
    for (name, to) in [("main-negative", "body/p0"), ("second-negative", "body/p5")] {
        text.push_str(&format!(
            "[conductors.{name}]\nfrom = \"main/-\"\nto = \"{to}\"\nsize = \"35 mm²\"\nlength = \"0.6 m\"\n"
        ));
    }
    for load in 0..loads {
        // About a hundred amperes in all, however many share them.
        let watts = 1200.0 / loads as f64;
        text.push_str(&format!(
            "[loads.load{load}]\nkind = \"resistive\"\ndraws = \"{watts:.3} W\"\non = [\"key-on\"]\n\
             feed = {{ from = \"main/+\", size = \"6 mm²\", length = \"2 m\" }}\n\
             return = {{ to = \"body/p{}\", size = \"6 mm²\", length = \"0.5 m\" }}\n",
            load % 10
        ));
    }
    text
}
