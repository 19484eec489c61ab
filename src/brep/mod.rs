//! From the resolved chain to exact solids.
//!
//! A half is assembled directly from exact faces over truck's topology: no boolean operation.
//! Guaranteed: closed, oriented, one solid; every edge lies on both its faces. Not guaranteed
//! here: that features keep clear of each other. Room `clear` measures that before.

mod beside;
pub mod blank;
mod end;
mod eye;
mod flat;
mod half;
mod ledge;
mod mouth;
mod plan;
mod plate;
mod pocket;
pub mod pose;
mod relief;
mod rim;
mod sanding;
pub mod set_up;
pub mod shape;
pub mod spline;
mod star;
pub mod states;
mod tab;
pub mod terraces;
pub mod volume;
mod weave;
mod whole;

pub use beside::Beside;
pub use half::{BuildError, build, build_form};
pub use relief::openings;
pub use weave::NotClosed;
pub use whole::sew;
