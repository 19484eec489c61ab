//! What was done to a folder.

/// Names of files by what was done to them, each list sorted.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Report {
    /// Written, new or in place of an older one.
    pub written: Vec<String>,
    /// The same already, left alone.
    pub unchanged: Vec<String>,
    /// Of an earlier set, removed.
    pub removed: Vec<String>,
    /// Of an earlier set, but changed since or not removable: left for a person to look at.
    pub kept: Vec<String>,
}
