//! What depends on topology alone: the fill-reducing order, where each branch's numbers go, the shape of the factor.

use faer::dyn_stack::{MemBuffer, MemStack};
use faer::sparse::SymbolicSparseColMatRef;
use faer::sparse::linalg::cholesky::{
    CholeskySymbolicParams, SymbolicCholesky, SymbolicCholeskyRaw, SymmetricOrdering,
    factorize_symbolic_cholesky,
};
use faer::sparse::linalg::{SupernodalThreshold, amd};

use crate::elimination::{Elimination, narrow};

/// Above this many nodes blocks of columns are worth their bookkeeping; below it the plain
/// column-by-column factorisation is faster and gives the same last bits on every machine.
const SUPERNODAL_FROM: usize = 20_000;

/// The topology of a network: nodes `0..n`, branches between them, and their order of elimination.
#[derive(Debug)]
pub struct Pattern {
    pub(crate) n: usize,
    /// Position of each node in the order of elimination.
    pub(crate) position: Vec<u32>,
    /// Upper triangle, column by column, in the order of elimination.
    pub(crate) column_start: Vec<u32>,
    pub(crate) row: Vec<u32>,
    /// Where each node's diagonal entry lies among the values.
    pub(crate) diagonal: Vec<u32>,
    /// Where each branch's off-diagonal entry lies; nothing for a branch from a node to itself.
    pub(crate) off_diagonal: Vec<Option<u32>>,
    pub(crate) branches: Vec<(u32, u32)>,
    pub(crate) symbolic: SymbolicCholesky<u32>,
    /// The elimination written out, but for very large or very full networks.
    pub(crate) elimination: Option<Elimination>,
}

/// The numbers of a conductance matrix in a [`Pattern`]'s order.
#[derive(Debug, Clone, PartialEq)]
pub struct Values(pub(crate) Vec<f64>);

impl Pattern {
    /// Orders the elimination of `n` nodes joined by `branches` and lays out the factor.
    ///
    /// Branches may be parallel, and may run from a node to itself (they then count for nothing).
    ///
    /// # Panics
    ///
    /// When a branch names a node that does not exist, or memory for the layout cannot be had.
    #[must_use]
    pub fn new(n: usize, branches: &[(usize, usize)]) -> Self {
        assert!(
            branches.iter().all(|&(a, b)| a < n && b < n),
            "branches must join nodes below {n}"
        );
        let position = elimination_order(n, branches);
        let (entries, column_start) =
            columns(n, branches, |&(a, b)| upper(position[a], position[b]));
        let row: Vec<u32> = entries.iter().map(|&(_, row)| row).collect();
        let find = |entry: (u32, u32)| {
            narrow(
                entries.binary_search(&entry).expect("every branch and diagonal was entered above"),
            )
        };
        let diagonal = position.iter().map(|&at| find((at, at))).collect();
        let off_diagonal = branches
            .iter()
            .map(|&(a, b)| (a != b).then(|| find(upper(position[a], position[b]))))
            .collect();
        let symbolic = {
            let shape = SymbolicSparseColMatRef::new_checked(n, n, &column_start, None, &row);
            let threshold = if n < SUPERNODAL_FROM {
                SupernodalThreshold::FORCE_SIMPLICIAL
            } else {
                SupernodalThreshold::AUTO
            };
            factorize_symbolic_cholesky(
                shape,
                faer::Side::Upper,
                SymmetricOrdering::Identity,
                CholeskySymbolicParams {
                    supernodal_flop_ratio_threshold: threshold,
                    ..Default::default()
                },
            )
            .expect("a factor that fits in memory")
        };
        let elimination = match symbolic.raw() {
            SymbolicCholeskyRaw::Simplicial(plain) => {
                Elimination::new((plain.col_ptr(), plain.row_idx()), (&column_start, &row))
            }
            SymbolicCholeskyRaw::Supernodal(_) => None,
        };
        let branches = branches.iter().map(|&(a, b)| (narrow(a), narrow(b))).collect();
        Self {
            n,
            position,
            column_start,
            row,
            diagonal,
            off_diagonal,
            branches,
            symbolic,
            elimination,
        }
    }

    /// Number of nodes.
    #[must_use]
    pub fn nodes(&self) -> usize {
        self.n
    }

    /// Number of branches.
    #[must_use]
    pub fn branches(&self) -> usize {
        self.branches.len()
    }

    /// Number of entries in the factor, the diagonal included: what ordering tries to keep small.
    #[must_use]
    pub fn factor_entries(&self) -> usize {
        self.symbolic.len_val()
    }

    /// The matrix for these conductances, in siemens, one a branch, and these from nodes to the outside.
    ///
    /// # Panics
    ///
    /// When there is not one conductance a branch.
    #[must_use]
    pub fn assemble(&self, conductance: &[f64], anchors: &[(usize, f64)]) -> Values {
        let mut values = Values(vec![0.0; self.row.len()]);
        self.assemble_into(conductance, anchors, &mut values);
        values
    }

    /// The same into values that exist already, without allocation.
    ///
    /// # Panics
    ///
    /// When there is not one conductance a branch.
    pub fn assemble_into(
        &self,
        conductance: &[f64],
        anchors: &[(usize, f64)],
        values: &mut Values,
    ) {
        assert_eq!(conductance.len(), self.branches.len(), "one conductance a branch");
        values.0.fill(0.0);
        for (branch, &g) in conductance.iter().enumerate() {
            self.add(values, branch, g);
        }
        for &(node, g) in anchors {
            values.0[self.diagonal[node] as usize] += g;
        }
    }

    /// Adds `change` siemens to one branch.
    ///
    /// # Panics
    ///
    /// When the branch does not exist.
    #[inline]
    pub fn add(&self, values: &mut Values, branch: usize, change: f64) {
        if let Some(at) = self.off_diagonal[branch] {
            let (a, b) = self.branches[branch];
            values.0[at as usize] -= change;
            values.0[self.diagonal[a as usize] as usize] += change;
            values.0[self.diagonal[b as usize] as usize] += change;
        }
    }
}

/// (column, row) of the upper triangle.
fn upper(a: u32, b: u32) -> (u32, u32) {
    (a.max(b), a.min(b))
}

/// Every entry of the upper triangle once, as (column, row) in order, the diagonal included, and
/// where each column begins among them; `place` says where a branch between two nodes goes.
fn columns(
    n: usize,
    branches: &[(usize, usize)],
    place: impl Fn(&(usize, usize)) -> (u32, u32),
) -> (Vec<(u32, u32)>, Vec<u32>) {
    let mut entries: Vec<(u32, u32)> = (0..narrow(n)).map(|at| (at, at)).collect();
    entries.extend(branches.iter().filter(|(a, b)| a != b).map(place));
    entries.sort_unstable();
    entries.dedup();
    let mut column_start = vec![0_u32; n + 1];
    for &(column, _) in &entries {
        column_start[column as usize + 1] += 1;
    }
    for column in 0..n {
        column_start[column + 1] += column_start[column];
    }
    (entries, column_start)
}

/// Position of each node in a fill-reducing order (approximate minimum degree).
fn elimination_order(n: usize, branches: &[(usize, usize)]) -> Vec<u32> {
    if n == 0 {
        return Vec::new();
    }
    let (entries, column_start) = columns(n, branches, |&(a, b)| upper(narrow(a), narrow(b)));
    let row: Vec<u32> = entries.iter().map(|&(_, row)| row).collect();
    let shape = SymbolicSparseColMatRef::new_checked(n, n, &column_start, None, &row);
    let (mut order, mut position) = (vec![0_u32; n], vec![0_u32; n]);
    let mut memory = MemBuffer::new(amd::order_maybe_unsorted_scratch::<u32>(n, row.len()));
    amd::order_maybe_unsorted(
        &mut order,
        &mut position,
        shape,
        amd::Control::default(),
        MemStack::new(&mut memory),
    )
    .expect("memory for the ordering");
    position
}

#[cfg(test)]
mod laws {
    use super::*;

    #[test]
    fn columns_hold_every_diagonal_and_every_pair_of_neighbours_once() {
        // Two parallel branches, one from a node to itself, one written from the higher node.
        let branches = [(0, 2), (2, 0), (1, 1), (3, 1)];
        let (entries, start) = columns(4, &branches, |&(a, b)| upper(narrow(a), narrow(b)));
        assert_eq!(entries, [(0, 0), (1, 1), (2, 0), (2, 2), (3, 1), (3, 3)]);
        assert_eq!(start, [0, 1, 2, 4, 6]);
    }
}
