//! The kinds of value that a key can hold.

mod choice;
mod compound;
mod plain;
mod quantity;
mod ratio;
mod taper;

pub use choice::{
    CutterKind, EndForm, Feel, HalfSide, Job, JointKind, PlateSide, Product, SplitPose,
    StationSetUp, UnitName, Wanted, WorkOffset,
};
pub use compound::{Pins, SectionTaper, Tabs, TaperTo};
pub use plain::{Name, Version};
pub use ratio::{Along, Factor, Percent, Scalar};
pub use taper::CutterTaper;
