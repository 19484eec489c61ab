//! The outer form of a half as exact spline patches, before any topology.
//!
//! Room `clear` measures against these patches, room `brep` puts the same ones into solids.

pub mod arch;
mod bezier;
pub mod eye;
mod facing;
pub mod flank;
mod flat;
mod lean;
pub mod ledge;
mod outer;
pub mod patch;
pub mod plan;

/// Model tolerance, mm: edges lie on both their faces within it.
pub const MODEL_TOLERANCE: f64 = 1e-7;

pub use bezier::BezierNet;
pub use outer::{Skin, SkinError, skin};
