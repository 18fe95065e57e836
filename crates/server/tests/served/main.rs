//! The server as browsers, phones and strangers meet it, over real connections on loopback.

mod client;
mod refusals;
mod pairing;
mod together;
mod questions;
