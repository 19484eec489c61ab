//! From exact solids to closed triangle meshes within a stated deviation, and what such a mesh
//! is asked.

pub mod chart;
pub mod deviation;
pub mod inspect;
pub mod jet;
pub mod nearest;
mod second;
mod tessellate;
pub(crate) mod tree;

pub use second::{SecondOpinion, second_opinion};
pub use tessellate::{DEVIATIONS, Mesh, tessellate};
