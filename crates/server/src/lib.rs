//! The workbench's local server: the garage and the answers over HTTP, for the page and for phones.
//!
//! What it defends against, and how, is in `docs/workbench.md`. Every request passes `gate` first:
//! its Host, its Origin, its key and role; only then a route sees it. Work that takes long runs on
//! threads of its own.

mod host;
mod image;
mod slug;
mod clock;
mod lock;
mod template;
mod error;
mod keys;
mod limits;
mod events;
mod pairing;
mod jobs;
mod known;
mod measured;
mod caller;
mod body;
mod asking;
mod app;
mod subject;
mod asked;
mod pages;
mod routes;
mod gate;
mod listen;
mod openapi;
mod run;

pub use host::{Host, HostError, parse as parse_host};
pub use image::{MediaType, sniff as sniff_image};
pub use openapi::openapi;
pub use routes::report::{ReportParts, report_of};
pub use run::{FirstPairing, Options, Ready, ServerError, network_addresses, run};
pub use template::Template;

/// The port that is tried first, always the same: a phone keeps what it has not sent under it.
pub const USUAL_PORT: u16 = 7450;
