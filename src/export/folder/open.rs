//! Before the work: the folder is there, ours alone, writable, and its past is known.

use super::{Folder, FolderError, LOCK, Parents, UNFINISHED, plain};
use crate::export::manifest::{self, FileEntry};
use std::collections::BTreeMap;
use std::fs::{self, File, OpenOptions, TryLockError};
use std::path::Path;

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
            Parents::MustExist => fs::create_dir(path).or_else(|e| match e.kind() {
                std::io::ErrorKind::NotFound => Err(FolderError::NoParent(path.to_path_buf())),
                // Another run made it in the same instant; the lock decides who goes on.
                std::io::ErrorKind::AlreadyExists if path.is_dir() => Ok(()),
                _ => Err(io("make")(e)),
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
