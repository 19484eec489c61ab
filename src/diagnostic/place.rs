//! Where in a written file something stands.

use std::fmt;
use std::sync::Arc;

/// A place in a written file. Line and column count from 1; 0 means "not known".
///
/// A value that came from no file (a built-in default) has the file name of its origin and
/// line 0.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord, Default)]
pub struct Place {
    /// File as the user named it.
    pub file: Arc<str>,
    /// Line, from 1; 0 when not known.
    pub line: u32,
    /// Column in characters, from 1; 0 when not known.
    pub column: u32,
    /// Key path such as `sections[6].outline[2].half_width`; empty for the whole file.
    pub path: String,
}

impl Place {
    /// The whole of a file.
    #[must_use]
    pub fn of_file(file: &str) -> Self {
        Self {
            file: Arc::from(file),
            ..Self::default()
        }
    }

    /// The whole of the file that this place is in.
    #[must_use]
    pub fn whole_file(&self) -> Self {
        Self {
            file: Arc::clone(&self.file),
            ..Self::default()
        }
    }

    /// The place of an entry below this one; line and column stay those of the parent.
    #[must_use]
    pub fn key(&self, key: &str) -> Self {
        let path = if self.path.is_empty() {
            key.to_owned()
        } else {
            format!("{}.{key}", self.path)
        };
        Self {
            path,
            ..self.clone()
        }
    }

    /// The place of a list entry below this one (counted from 0); line and column stay.
    #[must_use]
    pub fn index(&self, index: usize) -> Self {
        Self {
            path: format!("{}[{index}]", self.path),
            ..self.clone()
        }
    }

    /// The same key path at another line and column.
    #[must_use]
    pub fn at(&self, line: u32, column: u32) -> Self {
        Self {
            line,
            column,
            ..self.clone()
        }
    }

    /// Where this is for one who reads `other`: line and column, with the file when that differs.
    #[must_use]
    pub fn seen_from(&self, other: &Place) -> String {
        let there = format!("line {}, column {}", self.line, self.column);
        if self.file == other.file {
            return there;
        }
        format!("{} {there}", self.file)
    }

    /// Whether line and column are known.
    #[must_use]
    pub fn is_known(&self) -> bool {
        self.line > 0
    }
}

impl fmt::Display for Place {
    /// `file:line:column`, leaving out what is not known.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.file)?;
        if self.line > 0 {
            write!(f, ":{}", self.line)?;
            if self.column > 0 {
                write!(f, ":{}", self.column)?;
            }
        }
        Ok(())
    }
}
