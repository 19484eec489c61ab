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
//!   left alone. A kill between the renames leaves a mix that the hashes show.
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
mod report;
mod set;
mod stale;

pub use error::{EXIT_CODE, FolderError};
pub use report::Report;
pub use set::FileSet;

use super::manifest::{self, FileEntry};
use super::names::folded;
use std::collections::BTreeMap;
use std::fs::{self, File, OpenOptions, TryLockError};
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
    /// Opens the folder, or makes it; to be called before the work.
    ///
    /// # Errors
    /// Any [`FolderError`] of opening: not a folder, no parent, not writable, held by another
    /// run, a foreign manifest.
    pub fn open(path: &Path, parents: Parents) -> Result<Folder, FolderError> {
        make(path, parents)?;
        let lock = lock(path)?;
        let mut folder = Folder {
            path: path.to_path_buf(),
            _lock: lock,
            ours: BTreeMap::new(),
            journals: Vec::new(),
        };
        folder.read_manifest()?;
        folder.clear_leftovers()?;
        folder.probe()?;
        Ok(folder)
    }

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

    fn read_manifest(&mut self) -> Result<(), FolderError> {
        match fs::read(self.at(manifest::FILE)) {
            Ok(bytes) => {
                let files =
                    manifest::listed(&bytes).map_err(|cause| FolderError::ForeignManifest {
                        folder: self.path.clone(),
                        cause,
                    })?;
                self.remember(files);
                Ok(())
            }
            Err(e) if e.kind() == std::io::ErrorKind::NotFound => Ok(()),
            Err(e) => Err(self.error(manifest::FILE, "read")(e)),
        }
    }

    /// Only plain names count: a manifest is a file that anyone can change, and must not lead
    /// out of the folder.
    fn remember(&mut self, files: Vec<FileEntry>) {
        for file in files.into_iter().filter(|f| plain(&f.name)) {
            self.ours.entry(file.name).or_default().push(file.sha256);
        }
    }

    /// Removes unfinished files of a killed run; reads its manifest first, if it got so far.
    fn clear_leftovers(&mut self) -> Result<(), FolderError> {
        let entries = fs::read_dir(&self.path).map_err(self.error("", "list"))?;
        for entry in entries {
            let entry = entry.map_err(self.error("", "list"))?;
            let name = entry.file_name().to_string_lossy().into_owned();
            let is_file = entry.file_type().is_ok_and(|t| t.is_file());
            if !name.ends_with(UNFINISHED) || !is_file {
                continue;
            }
            let journal = name
                .starts_with(manifest::FILE)
                .then(|| fs::read(entry.path()).ok())
                .flatten()
                .and_then(|bytes| manifest::listed(&bytes).ok());
            match journal {
                Some(files) => {
                    self.remember(files);
                    self.journals.push(entry.path());
                }
                None => {
                    fs::remove_file(entry.path()).map_err(self.error(&name, "remove"))?;
                }
            }
        }
        Ok(())
    }

    /// Makes and removes an empty file: an old lock file says nothing about today's rights.
    fn probe(&self) -> Result<(), FolderError> {
        let name = format!("probe{UNFINISHED}");
        File::create_new(self.at(&name)).map_err(self.error("", "write into"))?;
        fs::remove_file(self.at(&name)).map_err(self.error("", "remove from"))
    }
}

fn make(path: &Path, parents: Parents) -> Result<(), FolderError> {
    let io = |doing| {
        move |cause| FolderError::Io {
            folder: path.to_path_buf(),
            file: String::new(),
            doing,
            cause,
        }
    };
    match fs::metadata(path) {
        Ok(found) if found.is_dir() => Ok(()),
        Ok(_) => Err(FolderError::NotAFolder(path.to_path_buf())),
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => match parents {
            Parents::Make => fs::create_dir_all(path).map_err(io("make")),
            Parents::MustExist => fs::create_dir(path).map_err(|e| match e.kind() {
                std::io::ErrorKind::NotFound => FolderError::NoParent(path.to_path_buf()),
                _ => io("make")(e),
            }),
        },
        Err(e) => Err(io("open")(e)),
    }
}

fn lock(path: &Path) -> Result<File, FolderError> {
    let io = |doing| {
        move |cause| FolderError::Io {
            folder: path.to_path_buf(),
            file: LOCK.to_string(),
            doing,
            cause,
        }
    };
    let mut options = OpenOptions::new();
    options.write(true).create(true).truncate(false);
    let file = options.open(path.join(LOCK)).map_err(io("open"))?;
    match file.try_lock() {
        Ok(()) => Ok(file),
        Err(TryLockError::WouldBlock) => Err(FolderError::Busy(path.to_path_buf())),
        Err(TryLockError::Error(cause)) => Err(io("lock")(cause)),
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
