//! The commands, one file each.

pub(crate) mod heat;
pub(crate) mod bolt;
pub(crate) mod new;
pub(crate) mod start;
pub(crate) mod tidy;
pub(crate) mod schema;
pub(crate) mod garage;
pub(crate) mod open;
pub(crate) mod report;
