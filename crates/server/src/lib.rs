//! The workbench's local server: the garage and the answers over HTTP, for the page and for phones.
//!
//! What it defends against, and how, is in `docs/workbench.md`. Every request passes `gate` first:
//! its Host, its Origin, its key and role; only then a route sees it. Work that takes long runs on
//! threads of its own.

mod host;
mod image;
mod keys;
mod slug;
mod error;
mod app;
mod limits;
mod events;
mod pairing;
mod gate;
mod asking;
mod body;
mod measured;
mod subject;
mod asked;
mod routes;
mod jobs;
mod pages;
mod listen;
mod openapi;
mod run;

pub use host::{Host, HostError, parse as parse_host};
pub use image::{MediaType, sniff as sniff_image};
pub use openapi::openapi;
pub use routes::report::{ReportParts, report_of};
pub use run::{FirstPairing, Options, Ready, ServerError, Template, network_addresses, run};

/// The port that is tried first, always the same: a phone keeps what it has not sent under it.
pub const USUAL_PORT: u16 = 7450;
