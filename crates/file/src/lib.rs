//! The vehicle file: what may be written, what is wrong with it and where, and the vehicle it means.
//!
//! [`read`](read::read) takes the bytes of a file and gives a [`Reading`]: every problem with its
//! place, and the vehicle if there was no error. Nothing here opens a file.

pub mod spec;
pub mod suggest;
mod listing;
pub mod document;
mod equalisers;
mod quantities;
mod curves;
mod shared_curves;
mod defaults;
mod names;
mod expanded;
mod joints;
mod lent;
mod likely;
mod conductors;
mod surroundings;
mod structures;
mod sources;
mod batteries;
mod converter_input;
mod states;
mod workshop;
mod loads;
mod inlines;
mod sensing;
mod shunts;
mod standing;
mod plug_checks;
pub mod read;
mod potentials;
mod polarity;
mod battery_loops;
mod voltage_class;
mod plausible;
pub mod edit;
pub mod rewrite;
pub mod format;
pub mod schema;
pub mod reference;

pub use read::{LARGEST_FILE, Reading, read};
pub use states::is_known_state;
