//! A value that remembers where it was written.

use crate::diagnostic::Place;

/// A value with the place in the file where it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Located<T> {
    /// The value.
    pub value: T,
    /// Where it stands: file, line, column and key path.
    pub place: Place,
}

impl<T> Located<T> {
    /// Puts a value and its place together.
    #[must_use]
    pub fn new(value: T, place: Place) -> Self {
        Self { value, place }
    }

    /// The same place with another value.
    pub fn map<U>(self, f: impl FnOnce(T) -> U) -> Located<U> {
        Located {
            value: f(self.value),
            place: self.place,
        }
    }
}
