//! General-purpose solvers of other people, asked the same questions.

pub(crate) mod suitesparse;
pub(crate) mod scipy;
