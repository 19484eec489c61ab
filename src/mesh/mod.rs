//! From exact solids to closed triangle meshes within a stated deviation.

mod tessellate;

pub use tessellate::{Mesh, tessellate};
