//! From the resolved chain to exact solids.

pub mod shape;
pub mod volume;
