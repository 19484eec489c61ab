//! The written files, one to one.

mod keys;
mod limits;
mod load;
mod located;
mod near;
mod reader;
mod record;
mod scalar;
mod syntax;
mod tag;
mod tree;
pub mod value;
pub mod written;

pub use located::Located;
