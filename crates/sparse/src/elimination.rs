//! The order of elimination written out as a list of places, so that a factorisation only does arithmetic.

/// A longer list is slower to write out and to walk than looking places up as one goes.
const MOST_STEPS: usize = 4_000_000;

/// The elimination of one [`Pattern`](crate::Pattern), written out.
#[derive(Debug, Clone)]
pub(crate) struct Elimination {
    /// For each column: where its pivot lies, and where its entries below the pivot end.
    pub columns: Vec<(u32, u32)>,
    /// Row of each entry of the factor; a column's first is its pivot.
    pub row: Vec<u32>,
    /// For each column, for each pair of its entries: the entry that they change.
    pub target: Vec<u32>,
    /// For each entry of the matrix: the entry of the factor where it stands before.
    matrix: Vec<u32>,
}

impl Elimination {
    /// Writes out the elimination of a factor with these columns, of a matrix whose upper triangle has these;
    /// nothing where that would be too long.
    pub(crate) fn new(
        (column_start, row): (&[u32], &[u32]),
        (matrix_start, matrix_row): (&[u32], &[u32]),
    ) -> Option<Self> {
        let columns: Vec<(u32, u32)> =
            column_start.windows(2).map(|pair| (pair[0], pair[1])).collect();
        let below = |&(begin, end): &(u32, u32)| (end - begin).saturating_sub(1) as usize;
        let steps: usize = columns.iter().map(|own| below(own) * (below(own) + 1) / 2).sum();
        if steps > MOST_STEPS {
            return None;
        }
        let mut whole = Self {
            columns,
            row: row.to_vec(),
            target: Vec::with_capacity(steps),
            matrix: Vec::with_capacity(matrix_row.len()),
        };
        for k in 0..whole.columns.len() {
            let (begin, end) = whole.columns[k];
            for first in begin + 1..end {
                for second in first..end {
                    let (j, i) = (whole.row[first as usize], whole.row[second as usize]);
                    let entry = whole.entry(j.min(i), j.max(i));
                    whole.target.push(entry);
                }
            }
        }
        for (column, pair) in matrix_start.windows(2).enumerate() {
            for &row in &matrix_row[pair[0] as usize..pair[1] as usize] {
                let entry = whole.entry(row, narrow(column));
                whole.matrix.push(entry);
            }
        }
        Some(whole)
    }

    /// Puts the numbers of a matrix where a factorisation begins.
    pub(crate) fn spread(&self, matrix: &[f64], entries: &mut [f64]) {
        entries.fill(0.0);
        for (value, &entry) in matrix.iter().zip(&self.matrix) {
            entries[entry as usize] = *value;
        }
    }

    /// The entry of the factor in a column and a row at or below its pivot.
    ///
    /// # Panics
    ///
    /// When there is none: the symbolic step foresaw every entry that is asked for.
    pub(crate) fn entry(&self, column: u32, row: u32) -> u32 {
        let (begin, end) = self.columns[column as usize];
        let rows = &self.row[begin as usize..end as usize];
        let at = rows.binary_search(&row).expect("fill-in was foreseen by the symbolic step");
        begin + narrow(at)
    }

    /// The entry of a column's pivot.
    pub(crate) fn pivot(&self, column: u32) -> u32 {
        self.columns[column as usize].0
    }

    /// Factorises in place: inverse pivots, and below them what each row takes of its column's.
    ///
    /// # Errors
    ///
    /// The column whose pivot is not above zero.
    pub(crate) fn factor(&self, entries: &mut [f64]) -> Result<(), usize> {
        let mut targets = self.target.iter();
        for (k, &(begin, end)) in self.columns.iter().enumerate() {
            let (begin, end) = (begin as usize, end as usize);
            if !is_positive(entries[begin]) {
                return Err(k);
            }
            let inverse = 1.0 / entries[begin];
            entries[begin] = inverse;
            for first in begin + 1..end {
                let factor = entries[first] * inverse;
                for (second, &target) in (first..end).zip(targets.by_ref()) {
                    let change = factor * entries[second];
                    entries[target as usize] -= change;
                }
                entries[first] = factor;
            }
        }
        Ok(())
    }

    /// Solves in place, in the order of elimination.
    pub(crate) fn solve(&self, entries: &[f64], right: &mut [f64]) {
        let parts = |&(begin, end): &(u32, u32)| {
            let below = begin as usize + 1..end as usize;
            (entries[begin as usize], self.row[below.clone()].iter().zip(&entries[below]))
        };
        for (k, column) in self.columns.iter().enumerate() {
            let carried = right[k];
            for (&row, factor) in parts(column).1 {
                right[row as usize] -= factor * carried;
            }
        }
        for (k, column) in self.columns.iter().enumerate().rev() {
            let (inverse, below) = parts(column);
            let known: f64 = below.map(|(&row, factor)| factor * right[row as usize]).sum();
            right[k] = right[k] * inverse - known;
        }
    }
}

/// As `u32`; indices of a network that fits in memory do.
pub(crate) fn narrow(index: usize) -> u32 {
    u32::try_from(index).expect("fewer than 2^32 nodes, branches and entries")
}

/// True above zero; false for zero, below, and what is not a number.
pub(crate) fn is_positive(pivot: f64) -> bool {
    pivot > 0.0
}
