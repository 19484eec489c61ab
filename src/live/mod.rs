//! A design kept on the screen while its files change: what is on disk ([`files`]), what a browser is
//! told ([`board`]), and the small server between the two ([`server`]).
//!
//! Guaranteed: the server listens on the loopback address alone; it answers GET for two addresses,
//! to requests that name its own host and come from its own page; a client that is slow or silent
//! holds up nobody but itself. Not guaranteed: other programs of the same machine can read what it
//! shows, as they can read the design.

pub mod board;
pub mod files;
mod reply;
mod request;
pub mod server;

pub use board::{Board, faults_of};
pub use files::{Files, Snapshot};
pub use server::{BindError, Server};
