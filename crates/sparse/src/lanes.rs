//! The same elimination for eight sets of numbers at once, for estimation and sampling.
//!
//! The order of elimination is computed once and written out as a list of places; each step then
//! works on eight networks side by side, which the compiler turns into vector instructions. The
//! arithmetic of a lane does not depend on the other lanes, nor on the machine.

use crate::elimination::Elimination;
use crate::pattern::Pattern;

/// How many networks are solved side by side.
pub const LANES: usize = 8;

type Lane = [f64; LANES];

/// The elimination of one [`Pattern`] for eight sets of numbers.
#[derive(Debug, Clone)]
pub struct Lanes {
    elimination: Elimination,
    /// Where the numbers of each branch go: its two pivots and its off-diagonal entry.
    place: Vec<Option<[u32; 3]>>,
    position: Vec<u32>,
}

/// Memory for one run of [`Lanes::solve`].
#[derive(Debug, Clone)]
pub struct LanesWork {
    entries: Vec<Lane>,
    right: Vec<Lane>,
}

impl LanesWork {
    /// Volts at a node in all eight networks, after a solve.
    #[must_use]
    pub fn volts(&self, lanes: &Lanes, node: usize) -> Lane {
        self.right[lanes.position[node] as usize]
    }
}

impl Lanes {
    /// Lays out eight networks; `None` for one so large or so full that its elimination is not written out.
    #[must_use]
    pub fn new(pattern: &Pattern) -> Option<Self> {
        let elimination = pattern.elimination.clone()?;
        let place = pattern
            .branches
            .iter()
            .map(|&(a, b)| {
                let (a, b) = (pattern.position[a as usize], pattern.position[b as usize]);
                (a != b).then(|| {
                    [
                        elimination.pivot(a),
                        elimination.pivot(b),
                        elimination.entry(a.min(b), a.max(b)),
                    ]
                })
            })
            .collect();
        Some(Self { elimination, place, position: pattern.position.clone() })
    }

    /// Memory for solving.
    #[must_use]
    pub fn work(&self) -> LanesWork {
        let Elimination { row, columns, .. } = &self.elimination;
        LanesWork {
            entries: vec![[0.0; LANES]; row.len()],
            right: vec![[0.0; LANES]; columns.len()],
        }
    }

    /// Assembles, factorises and solves eight networks.
    ///
    /// `conductance` holds one lane of eight siemens a branch, `anchors` conductances from nodes to
    /// the outside, `injection` the amperes put into nodes, the same in all lanes. The volts are
    /// then read from `work`. A network that is not positive definite gives values that are not
    /// numbers in its own lane and nothing in the others.
    ///
    /// # Panics
    ///
    /// When there is not one lane a branch.
    pub fn solve(
        &self,
        conductance: &[Lane],
        anchors: &[(usize, f64)],
        injection: &[(usize, f64)],
        work: &mut LanesWork,
    ) {
        assert_eq!(conductance.len(), self.place.len(), "one lane a branch");
        let entries = &mut work.entries;
        entries.fill([0.0; LANES]);
        for (place, g) in self.place.iter().zip(conductance) {
            if let Some([a, b, off]) = place {
                for lane in 0..LANES {
                    entries[*a as usize][lane] += g[lane];
                    entries[*b as usize][lane] += g[lane];
                    entries[*off as usize][lane] -= g[lane];
                }
            }
        }
        for &(node, g) in anchors {
            for value in &mut entries[self.elimination.pivot(self.position[node]) as usize] {
                *value += g;
            }
        }
        work.right.fill([0.0; LANES]);
        for &(node, amperes) in injection {
            for value in &mut work.right[self.position[node] as usize] {
                *value += amperes;
            }
        }
        self.eliminate(entries, &mut work.right);
        self.substitute_back(entries, &mut work.right);
    }

    /// Factorises in place and carries the right-hand side along.
    fn eliminate(&self, entries: &mut [Lane], right: &mut [Lane]) {
        let mut next = 0;
        for (k, &(begin, end)) in self.elimination.columns.iter().enumerate() {
            let (begin, end) = (begin as usize, end as usize);
            let mut inverse = entries[begin];
            for value in &mut inverse {
                *value = if *value > 0.0 { 1.0 / *value } else { f64::NAN };
            }
            entries[begin] = inverse;
            let carried = right[k];
            for first in begin + 1..end {
                let mut factor = entries[first];
                for lane in 0..LANES {
                    factor[lane] *= inverse[lane];
                }
                for second in first..end {
                    let other = entries[second];
                    let target = &mut entries[self.elimination.target[next] as usize];
                    next += 1;
                    for lane in 0..LANES {
                        target[lane] -= factor[lane] * other[lane];
                    }
                }
                let into = &mut right[self.elimination.row[first] as usize];
                for lane in 0..LANES {
                    into[lane] -= factor[lane] * carried[lane];
                }
                entries[first] = factor;
            }
        }
    }

    fn substitute_back(&self, entries: &[Lane], right: &mut [Lane]) {
        for (k, &(begin, end)) in self.elimination.columns.iter().enumerate().rev() {
            let (begin, end) = (begin as usize, end as usize);
            let mut value = right[k];
            for lane in 0..LANES {
                value[lane] *= entries[begin][lane];
            }
            for below in begin + 1..end {
                let known = &right[self.elimination.row[below] as usize];
                for lane in 0..LANES {
                    value[lane] -= entries[below][lane] * known[lane];
                }
            }
            right[k] = value;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Factor;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn eight_networks_side_by_side_agree_with_each_on_its_own(n in 2_usize..40, seed in 0_u64..1000) {
            let mut state = seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1;
            let mut next = || { state ^= state << 13; state ^= state >> 7; state ^= state << 17; state };
            let mut edges: Vec<(usize, usize)> = (1..n).map(|k| (next() as usize % k, k)).collect();
            for _ in 0..n / 3 { edges.push((next() as usize % n, next() as usize % n)); }
            let g: Vec<Lane> = edges.iter().map(|_| std::array::from_fn(|_| 10_f64.powf((next() % 600) as f64 / 100.0 - 1.0))).collect();
            let pattern = Pattern::new(n, &edges);
            let lanes = Lanes::new(&pattern).expect("small");
            let mut work = lanes.work();
            lanes.solve(&g, &[(0, 100.0)], &[(n - 1, 5.0), (0, -5.0)], &mut work);
            let mut factor = Factor::new(&pattern);
            for lane in 0..LANES {
                let own: Vec<f64> = g.iter().map(|g| g[lane]).collect();
                factor.factor(&pattern, &pattern.assemble(&own, &[(0, 100.0)])).expect("connected");
                let mut volts = vec![0.0; n];
                volts[n - 1] += 5.0;
                volts[0] -= 5.0;
                factor.solve(&pattern, &mut volts);
                let scale = volts.iter().fold(1e-3_f64, |most, v| most.max((v - volts[0]).abs()));
                let zero = work.volts(&lanes, 0)[lane];
                for (node, v) in volts.iter().enumerate() {
                    let found = work.volts(&lanes, node)[lane] - zero;
                    let expected = v - volts[0];
                    prop_assert!((found - expected).abs() < 1e-9 * scale, "{} {}", found, expected);
                }
            }
        }
    }

    #[test]
    fn a_lane_without_an_operating_point_does_not_spoil_the_others() {
        let pattern = Pattern::new(2, &[(0, 1)]);
        let lanes = Lanes::new(&pattern).expect("small");
        let mut work = lanes.work();
        let mut g = [[2.0; LANES]];
        g[0][3] = -1.0;
        lanes.solve(&g, &[(0, 1.0)], &[(1, 1.0), (0, -1.0)], &mut work);
        let volts = work.volts(&lanes, 1);
        assert!((volts[0] - 0.5).abs() < 1e-12);
        assert!(!volts[3].is_finite());
    }
}
