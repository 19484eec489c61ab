//! From exact solids to closed triangle meshes, and what such a mesh is asked.

pub mod inspect;

mod tree;
