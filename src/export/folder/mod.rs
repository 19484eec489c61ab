//! The one place that writes files: a set of files in an output folder, whole or not at all.
//!
//! # Rules
//! - **Before the work** [`Folder::open`] makes or opens the folder, takes its lock, proves
//!   that it can be written, and reads which files are ours; [`Folder::claim`] names the files
//!   to come and refuses those that would land on a file of someone else.
//! - **Ours** is a file that manifest.json lists, or that the manifest of a killed run lists
//!   (it lies beside under a name for unfinished files). A listed file may be replaced even if
//!   its bytes have changed since: that is how a second run repairs a mix. Everything else is
//!   foreign and is never touched; a foreign file under one of our names is refused. A
//!   manifest.json of another program refuses the whole folder.
//! - **Stale** files, ours and no longer in the set, are removed only with the very bytes that
//!   a manifest states; changed ones stay and are named in the [`Report`].
//! - **Writing**: every file goes to `NAME.limberwood-new` first, so a full disk shows before
//!   any old file is touched, and the unfinished files go away. Then all are synced, the new
//!   manifest lies down as an unfinished file (the sign of what a killed run was about to do),
//!   all files are renamed into place, manifest.json last. Files that are the same already are
//!   left alone. A kill between the renames leaves a mix that the hashes show. If files become
//!   stale, a copy of the old manifest lies beside until they are removed, so that a kill in
//!   between does not make them foreign.
//! - **Lock**: an operating system's lock on `.limberwood.lock`, freed when the process ends in
//!   whatever way. The empty lock file stays: to remove it would let two runs hold two locks.
//! - Names that end in `.limberwood-new` belong to this program; leftovers of a killed run are
//!   removed by the next.
//!
//! # Not guaranteed
//! Several renames are not one: readers that look in the same instant can see a mix. File
//! systems that hold two spellings of one accented letter for the same name can make two names
//! one; the later file then wins and the manifest's hash shows it.

mod error;
mod lone;
mod open;
mod report;
mod set;
mod stale;
mod stream;
mod sync;

pub use error::{EXIT_CODE, FolderError};
pub use lone::{remove_lone, write_lone};
pub use report::Report;
pub use set::FileSet;
pub use stream::Streamed;

use super::manifest;
use super::names::folded;
use std::collections::BTreeMap;
use std::fs::{self, File};
use std::path::{Component, Path, PathBuf};
use std::sync::atomic::AtomicBool;

/// File that carries the lock.
pub const LOCK: &str = ".limberwood.lock";
/// End of the names of unfinished files.
pub const UNFINISHED: &str = ".limberwood-new";

/// What to do about folders above the output folder that do not exist.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Parents {
    /// Refuse: a folder that a person typed, where a missing parent is likely a slip.
    MustExist,
    /// Make them: the default folder.
    Make,
}

/// An output folder that this run alone may write.
#[derive(Debug)]
pub struct Folder {
    path: PathBuf,
    /// Held until this value goes.
    _lock: File,
    /// Files of earlier runs: name and the hashes that their manifests state.
    ours: BTreeMap<String, Vec<String>>,
    /// Manifests of killed runs.
    journals: Vec<PathBuf>,
}

impl Folder {
    /// Where it is.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Names the files of the new set, all but the manifest; to be called before the work.
    /// `stop` is looked at between files.
    ///
    /// # Errors
    /// A name that is not one plain component or is ours to use, two names that differ by case
    /// alone, a foreign file under one of them.
    pub fn claim<'a>(
        &'a self,
        names: &[String],
        stop: &'a AtomicBool,
    ) -> Result<FileSet<'a>, FolderError> {
        let mut seen = BTreeMap::new();
        for name in names {
            if !plain(name) || special(name) {
                return Err(FolderError::BadName(name.clone()));
            }
            if let Some(first) = seen.insert(folded(name), name) {
                return Err(FolderError::SameName(first.clone(), name.clone()));
            }
            self.refuse_foreign(name)?;
        }
        Ok(FileSet::new(self, names, stop))
    }

    fn at(&self, name: &str) -> PathBuf {
        self.path.join(name)
    }

    fn error(&self, file: &str, doing: &'static str) -> impl Fn(std::io::Error) -> FolderError {
        let (folder, file) = (self.path.clone(), file.to_string());
        move |cause| FolderError::Io {
            folder: folder.clone(),
            file: file.clone(),
            doing,
            cause,
        }
    }

    /// Refuses a name under which something lies that no manifest lists.
    fn refuse_foreign(&self, name: &str) -> Result<(), FolderError> {
        let found = match fs::symlink_metadata(self.at(name)) {
            Ok(found) => found,
            Err(e) if e.kind() == std::io::ErrorKind::NotFound => return Ok(()),
            Err(e) => return Err(self.error(name, "look at")(e)),
        };
        // By the other spelling too: a file system that leaves case aside has one file for both.
        let listed = || self.ours.keys().any(|ours| folded(ours) == folded(name));
        if found.is_dir() || !listed() {
            return Err(FolderError::ForeignFile {
                folder: self.path.clone(),
                file: name.to_string(),
            });
        }
        Ok(())
    }
}

/// One plain component of a path, on any system.
fn plain(name: &str) -> bool {
    let mut parts = Path::new(name).components();
    let one = matches!(parts.next(), Some(Component::Normal(p)) if p == name);
    one && parts.next().is_none() && !name.contains(['/', '\\', ':', '\0'])
}

/// Names that this room keeps for itself.
fn special(name: &str) -> bool {
    let name = folded(name);
    name == manifest::FILE || name == LOCK || name.ends_with(UNFINISHED)
}

#[cfg(test)]
mod tests;
