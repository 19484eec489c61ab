//! A refused quantity.

use std::fmt;

/// Why a text is not read as a quantity, and what to write instead.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct QuantityError {
    /// What was found: the text in back quotes, with its fault.
    pub found: String,
    /// What is allowed here.
    pub allowed: String,
    /// What to write instead.
    pub way_out: String,
}

impl fmt::Display for QuantityError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "found {}, allowed {}; {}",
            self.found, self.allowed, self.way_out
        )
    }
}

impl std::error::Error for QuantityError {}
