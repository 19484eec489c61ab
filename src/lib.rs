//! From one parameter file to every half of a jointed wooden creature.
//!
//! Lengths are millimetres and angles radians everywhere inside; units live at the edges
//! ([`units`]). The rooms stand in the order of the data; a room may use those before it,
//! never those after it (`tests/rooms.rs` holds that).

pub mod blank;
pub mod brep;
pub mod chain;
pub mod check;
pub mod clear;
pub mod cli;
pub mod diagnostic;
pub mod export;
pub mod kinds;
pub mod live;
pub mod make;
pub mod mesh;
pub mod params;
pub mod picture;
pub mod refit;
pub mod report;
pub mod skin;
pub mod solve;
pub mod units;
