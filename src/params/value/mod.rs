//! The kinds of value that a key can hold.

mod auto;
mod choice;
mod compound;
mod file_name;
mod plain;
mod quantity;
mod ratio;
mod taper;

pub use auto::OrAuto;
pub use choice::{
    CutterKind, EndForm, Feel, HalfSide, Job, JointKind, PlateSide, Product, SplitPose,
    StationSetUp, UnitName, Wanted, WorkOffset,
};
pub use compound::{Pins, SectionTaper, Tabs, TaperTo};
pub use file_name::FileName;
pub use plain::{Name, Version};
pub use ratio::{Along, Factor, Percent, Scalar};
pub use taper::CutterTaper;
