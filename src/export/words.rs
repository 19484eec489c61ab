//! Words that stand in every kind of file.

/// The mark of a body that is for benches and tests only.
pub const NOT_FOR_CUTTING: &str = "NOT FOR CUTTING";
