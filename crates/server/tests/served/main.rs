//! The server as browsers, phones and strangers meet it, over real connections on loopback.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on says where")]

mod client;
mod refusals;
mod pairing;
mod together;
mod questions;
mod bounds;
mod ports;
