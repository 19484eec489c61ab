//! Proof before wood is cut: what a design leaves of walls, reach and joints.
//!
//! Results of this room are records and maps; nothing is printed here.

pub mod collide;
mod plan;
pub mod reach;
mod set_up;
pub mod undercut;

pub use set_up::SetUp;
