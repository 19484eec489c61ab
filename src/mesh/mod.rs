//! From exact solids to closed triangle meshes, and what such a mesh is asked.

pub mod deviation;
pub mod inspect;
pub mod nearest;
mod tessellate;
mod tree;

pub use tessellate::{Mesh, tessellate};
