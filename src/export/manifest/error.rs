//! What can be wrong with a manifest.

use super::{FILE, TOOL};
use std::fmt;

/// Why a manifest cannot be written or used.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ManifestError {
    /// A number that is not finite, with the part where it stands.
    OddNumber(String),
    /// JSON that cannot be written or read, in the words of the library.
    Json(String),
    /// A manifest that some other program wrote.
    Foreign,
}

impl fmt::Display for ManifestError {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            ManifestError::OddNumber(place) => {
                write!(f, "\"{place}\" has a number that is not finite")
            }
            ManifestError::Json(words) => write!(f, "{FILE} cannot be read: {words}"),
            ManifestError::Foreign => write!(f, "{FILE} was not written by {TOOL}"),
        }
    }
}

impl std::error::Error for ManifestError {}
