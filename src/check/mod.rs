//! Proof before wood is cut: what a design leaves of walls, reach and joints.
//!
//! Results of this room are records and maps; nothing is printed here.

pub mod collide;
pub mod reach;
pub mod wall;
