//! What people say of a vehicle: files and lines of meter readings, what was seen, felt and tried.

mod reader;

pub use reader::*;
