//! One question a file: each holds the answers that it times to each other.

pub(crate) mod reading;
pub(crate) mod refactor;
pub(crate) mod states;
pub(crate) mod what_if;
pub(crate) mod draws;
pub(crate) mod estimation;
pub(crate) mod failures;
pub(crate) mod large;
