//! The written files, one to one.

mod located;
mod record;
pub mod value;
pub mod written;

pub use located::Located;
