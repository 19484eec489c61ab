//! The outer form of a half as exact spline patches, before any topology.
//!
//! Room `clear` measures against these patches, room `brep` puts the same ones into solids.

pub mod arch;
mod bezier;
pub mod eye;
mod facing;
pub mod flank;
mod lean;
mod outer;
pub mod patch;
pub mod plan;

pub use bezier::BezierNet;
pub use outer::{Skin, SkinError, skin};
