//! The numbers of one factorisation, and what is solved with them.

use faer::dyn_stack::{MemBuffer, MemStack, StackReq};
use faer::linalg::cholesky::ldlt::factor::LdltRegularization;
use faer::sparse::linalg::cholesky::{LdltRef, SymbolicCholeskyRaw};
use faer::sparse::{SparseColMatRef, SymbolicSparseColMatRef};
use faer::{Conj, MatMut, Par, Side};

use crate::elimination::is_positive;
use crate::pattern::{Pattern, Values};

/// The matrix is not positive definite: the network has no stable operating point at these
/// conductances, or a part of it hangs on nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NotPositive {
    /// The node at which elimination met a pivot that is not above zero.
    pub node: usize,
}

impl std::fmt::Display for NotPositive {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "the conductance matrix is not positive definite at node {}", self.node)
    }
}

impl std::error::Error for NotPositive {}

/// A factorisation `L D Lᵀ` of a pattern's matrix, with its working memory.
pub struct Factor {
    values: Vec<f64>,
    /// Of the library that factorises what is not written out; else nothing.
    memory: MemBuffer,
    permuted: Vec<f64>,
}

impl std::fmt::Debug for Factor {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Factor").field("values", &self.values).finish_non_exhaustive()
    }
}

impl Factor {
    /// Memory for factorisations of this pattern; nothing is factorised yet.
    #[must_use]
    pub fn new(pattern: &Pattern) -> Self {
        let symbolic = &pattern.symbolic;
        let memory = if pattern.elimination.is_some() {
            MemBuffer::new(StackReq::EMPTY)
        } else {
            let factor =
                symbolic.factorize_numeric_ldlt_scratch::<f64>(Par::Seq, Default::default());
            MemBuffer::new(factor.or(symbolic.solve_in_place_scratch::<f64>(1, Par::Seq)))
        };
        Self {
            values: vec![0.0; pattern.symbolic.len_val()],
            memory,
            permuted: vec![0.0; pattern.n],
        }
    }

    /// Factorises a matrix of the pattern.
    ///
    /// # Errors
    ///
    /// [`NotPositive`] when a pivot is not above zero; the factor must then not be used to solve.
    pub fn factor(&mut self, pattern: &Pattern, matrix: &Values) -> Result<(), NotPositive> {
        let node_at = |place: usize| {
            let place = u32::try_from(place).ok();
            pattern.position.iter().position(|&at| Some(at) == place).unwrap_or(0)
        };
        let outcome = match &pattern.elimination {
            Some(elimination) => {
                elimination.spread(&matrix.0, &mut self.values);
                elimination.factor(&mut self.values)
            }
            None => self.factor_by_library(pattern, matrix),
        };
        outcome.map_err(|place| NotPositive { node: node_at(place) })
    }

    /// The column whose pivot is not above zero is the error.
    fn factor_by_library(&mut self, pattern: &Pattern, matrix: &Values) -> Result<(), usize> {
        let n = pattern.n;
        let shape =
            SymbolicSparseColMatRef::new_checked(n, n, &pattern.column_start, None, &pattern.row);
        let outcome = pattern.symbolic.factorize_numeric_ldlt(
            &mut self.values,
            SparseColMatRef::new(shape, &matrix.0),
            Side::Upper,
            LdltRegularization::default(),
            Par::Seq,
            MemStack::new(&mut self.memory),
            Default::default(),
        );
        if let Err(faer::linalg::cholesky::ldlt::factor::LdltError::ZeroPivot { index }) = outcome {
            return Err(index.saturating_sub(1));
        }
        self.first_pivot_not_positive(pattern).map_or(Ok(()), Err)
    }

    fn first_pivot_not_positive(&self, pattern: &Pattern) -> Option<usize> {
        match pattern.symbolic.raw() {
            SymbolicCholeskyRaw::Simplicial(plain) => plain.col_ptr()[..pattern.n]
                .iter()
                .position(|&start| !is_positive(self.values[start as usize])),
            SymbolicCholeskyRaw::Supernodal(blocked) => {
                (0..blocked.n_supernodes()).find_map(|block| {
                    let (begin, end) = (
                        blocked.supernode_begin()[block] as usize,
                        blocked.supernode_end()[block] as usize,
                    );
                    let start = blocked.col_ptr_for_val()[block] as usize;
                    let rows = (end - begin)
                        + (blocked.col_ptr_for_row_idx()[block + 1]
                            - blocked.col_ptr_for_row_idx()[block])
                            as usize;
                    (0..end - begin)
                        .find(|k| !is_positive(self.values[start + k * rows + k]))
                        .map(|k| begin + k)
                })
            }
        }
    }

    /// Solves `G v = right` in place: amperes into nodes become volts at nodes.
    ///
    /// # Panics
    ///
    /// When `right` does not have one entry a node.
    pub fn solve(&mut self, pattern: &Pattern, right: &mut [f64]) {
        assert_eq!(right.len(), pattern.n, "one entry a node");
        for (value, &at) in right.iter().zip(&pattern.position) {
            self.permuted[at as usize] = *value;
        }
        match &pattern.elimination {
            Some(elimination) => elimination.solve(&self.values, &mut self.permuted),
            None => LdltRef::new(&pattern.symbolic, &self.values).solve_in_place_with_conj(
                Conj::No,
                MatMut::from_column_major_slice_mut(&mut self.permuted, pattern.n, 1),
                Par::Seq,
                MemStack::new(&mut self.memory),
            ),
        }
        for (value, &at) in right.iter_mut().zip(&pattern.position) {
            *value = self.permuted[at as usize];
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn effective(n: usize, edges: &[(usize, usize)], ohms: &[f64], pair: (usize, usize)) -> f64 {
        let pattern = Pattern::new(n, edges);
        let conductance: Vec<f64> = ohms.iter().map(|r| 1.0 / r).collect();
        let mut factor = Factor::new(&pattern);
        factor
            .factor(&pattern, &pattern.assemble(&conductance, &[(pair.1, 1.0)]))
            .expect("a connected network");
        let mut volts = vec![0.0; n];
        volts[pair.0] += 1.0;
        volts[pair.1] -= 1.0;
        factor.solve(&pattern, &mut volts);
        volts[pair.0] - volts[pair.1]
    }

    mod published {
        use super::*;

        /// A cube of equal resistors, opposite corners: the textbook 5/6, 3/4 and 7/12 of one.
        #[test]
        fn five_sixths_of_r_across_the_cube_diagonal() {
            let edges: Vec<(usize, usize)> = (0..8_usize)
                .flat_map(|corner| {
                    [1, 2, 4]
                        .into_iter()
                        .filter(move |bit| corner & bit == 0)
                        .map(move |bit| (corner, corner | bit))
                })
                .collect();
            let ohms = vec![1.0; 12];
            for (pair, expected) in [((0, 7), 5.0 / 6.0), ((0, 3), 0.75), ((0, 1), 7.0 / 12.0)] {
                assert!((effective(8, &edges, &ohms, pair) - expected).abs() < 1e-12);
            }
        }

        /// The infinite square lattice has 1/2 between neighbours (superposition of two currents);
        /// the middle of a 201 by 201 mesh must come within 2e-4 of it.
        #[test]
        fn half_an_ohm_between_neighbours_of_a_large_square_mesh() {
            let side = 201;
            let at = |x: usize, y: usize| y * side + x;
            let mut edges = Vec::new();
            for y in 0..side {
                for x in 0..side {
                    if x + 1 < side {
                        edges.push((at(x, y), at(x + 1, y)));
                    }
                    if y + 1 < side {
                        edges.push((at(x, y), at(x, y + 1)));
                    }
                }
            }
            let ohms = vec![1.0; edges.len()];
            let r = effective(side * side, &edges, &ohms, (at(100, 100), at(101, 100)));
            assert!((r - 0.5).abs() < 2e-4, "{r}");
            assert!((r - 0.500_014).abs() < 1e-5, "{r}");
        }
    }

    #[test]
    fn a_node_that_hangs_on_nothing_is_reported_by_its_number() {
        let pattern = Pattern::new(3, &[(0, 1)]);
        let matrix = pattern.assemble(&[1.0], &[(0, 1.0)]);
        assert_eq!(Factor::new(&pattern).factor(&pattern, &matrix), Err(NotPositive { node: 2 }));
    }

    #[test]
    fn a_negative_conductance_beyond_the_network_is_not_positive() {
        let pattern = Pattern::new(2, &[(0, 1), (0, 1)]);
        let matrix = pattern.assemble(&[1.0, -2.0], &[(0, 1.0)]);
        assert!(Factor::new(&pattern).factor(&pattern, &matrix).is_err());
    }

    #[test]
    fn an_empty_network_is_solved_to_nothing() {
        let pattern = Pattern::new(0, &[]);
        let mut factor = Factor::new(&pattern);
        assert_eq!(factor.factor(&pattern, &pattern.assemble(&[], &[])), Ok(()));
        factor.solve(&pattern, &mut []);
    }

    mod laws {
        use super::*;

        proptest! {
            /// A factor of the matrix really solves it: the current put in comes out.
            #[test]
            fn what_flows_in_flows_out(n in 2_usize..40, seed in 0_u64..1000) {
                let mut state = seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1;
                let mut next = || { state ^= state << 13; state ^= state >> 7; state ^= state << 17; state };
                let mut edges: Vec<(usize, usize)> = (1..n).map(|k| (next() as usize % k, k)).collect();
                for _ in 0..n / 3 { edges.push((next() as usize % n, next() as usize % n)); }
                let g: Vec<f64> = edges.iter().map(|_| 10_f64.powf((next() % 600) as f64 / 100.0 - 1.0)).collect();
                let pattern = Pattern::new(n, &edges);
                let mut factor = Factor::new(&pattern);
                factor.factor(&pattern, &pattern.assemble(&g, &[(0, 1.0)])).expect("connected");
                let mut v = vec![0.0; n];
                v[n - 1] = 100.0;
                v[0] = -100.0;
                factor.solve(&pattern, &mut v);
                let mut into = vec![0.0; n];
                for (&(a, b), g) in edges.iter().zip(&g) {
                    into[a] += g * (v[a] - v[b]);
                    into[b] += g * (v[b] - v[a]);
                }
                prop_assert!((into[n - 1] - 100.0).abs() < 1e-6, "{}", into[n - 1]);
                for amperes in &into[1..n - 1] { prop_assert!(amperes.abs() < 1e-6); }
            }
        }
    }
}
