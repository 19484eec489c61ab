//! The kinds of value that a key can hold.

mod choice;
mod compound;
mod plain;
mod quantity;

pub use choice::{CutterKind, EndForm, Job, JointKind, SplitPose, UnitName};
pub use compound::{Pins, SectionTaper, TaperTo};
pub use plain::{Name, Version};
pub use quantity::{Along, CutterTaper, Factor, Percent, Scalar};
