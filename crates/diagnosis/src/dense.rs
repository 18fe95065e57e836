//! The small dense systems of estimation: one row for each reading.

/// A symmetric positive definite matrix of readings, factorised (Cholesky).
#[derive(Debug, Clone)]
pub(crate) struct Cholesky {
    n: usize,
    lower: Vec<f64>,
}

impl Cholesky {
    /// Factorises a matrix given row by row; nothing when it is not positive definite.
    pub(crate) fn new(n: usize, matrix: &[f64]) -> Option<Self> {
        let mut lower = matrix.to_vec();
        for k in 0..n {
            let pivot =
                lower[k * n + k] - (0..k).map(|j| lower[k * n + j] * lower[k * n + j]).sum::<f64>();
            if pivot.is_nan() || pivot <= 0.0 {
                return None;
            }
            let root = pivot.sqrt();
            lower[k * n + k] = root;
            for i in k + 1..n {
                let dot: f64 = (0..k).map(|j| lower[i * n + j] * lower[k * n + j]).sum();
                lower[i * n + k] = (lower[i * n + k] - dot) / root;
            }
        }
        Some(Self { n, lower })
    }

    /// Solves `A x = b`.
    pub(crate) fn solve(&self, right: &[f64]) -> Vec<f64> {
        let n = self.n;
        let mut x = right.to_vec();
        for i in 0..n {
            let dot: f64 = (0..i).map(|j| self.lower[i * n + j] * x[j]).sum();
            x[i] = (x[i] - dot) / self.lower[i * n + i];
        }
        for i in (0..n).rev() {
            let dot: f64 = (i + 1..n).map(|j| self.lower[j * n + i] * x[j]).sum();
            x[i] = (x[i] - dot) / self.lower[i * n + i];
        }
        x
    }

    /// Logarithm of the determinant.
    pub(crate) fn log_determinant(&self) -> f64 {
        2.0 * (0..self.n).map(|k| self.lower[k * self.n + k].ln()).sum::<f64>()
    }

    /// What each value is foretold to be by all the others, when `solved` is the solution for the
    /// values themselves: with `A` their covariance, off by `(A⁻¹y)ᵢ/(A⁻¹)ᵢᵢ` with the variance
    /// `1/(A⁻¹)ᵢᵢ` (Rasmussen and Williams 2006, equations 5.12).
    pub(crate) fn foretold_by_the_rest(&self, solved: &[f64]) -> Vec<ByTheRest> {
        let n = self.n;
        // Diagonal of the inverse: sums of squares down the columns of the inverse of the factor.
        let mut diagonal = vec![0.0; n];
        let mut column = vec![0.0; n];
        for at in 0..n {
            column[at] = 1.0 / self.lower[at * n + at];
            let mut sum = column[at] * column[at];
            for i in at + 1..n {
                let dot: f64 = (at..i).map(|j| self.lower[i * n + j] * column[j]).sum();
                column[i] = -dot / self.lower[i * n + i];
                sum += column[i] * column[i];
            }
            diagonal[at] = sum;
        }
        solved
            .iter()
            .zip(&diagonal)
            .map(|(solved, own)| ByTheRest { off: solved / own, spread: 1.0 / own.sqrt() })
            .collect()
    }
}

/// A value beside what all the others foretell of it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ByTheRest {
    /// The value less what is foretold.
    pub off: f64,
    /// Standard deviation of that.
    pub spread: f64,
}

impl ByTheRest {
    /// Logarithm of the density of the value by what the others foretell.
    pub(crate) fn log_density(&self) -> f64 {
        let z = self.off / self.spread;
        -0.5 * z * z - self.spread.ln() - 0.5 * (2.0 * std::f64::consts::PI).ln()
    }
}
