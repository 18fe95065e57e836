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
}
