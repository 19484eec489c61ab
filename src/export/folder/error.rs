//! Why files could not be written, in plain words that name folder and cause.

use crate::export::manifest::ManifestError;
use std::fmt;
use std::io;
use std::path::PathBuf;

/// Exit code of the program for every [`FolderError`].
pub const EXIT_CODE: u8 = 2;

/// Why an output folder cannot be used, or a set could not be written.
#[derive(Debug)]
pub enum FolderError {
    /// Something else lies where the folder should be.
    NotAFolder(PathBuf),
    /// The folder above does not exist.
    NoParent(PathBuf),
    /// Another run holds the lock.
    Busy(PathBuf),
    /// manifest.json is not ours, or is damaged.
    ForeignManifest {
        /// The folder.
        folder: PathBuf,
        /// What is wrong with it.
        cause: ManifestError,
    },
    /// A file that no manifest lists lies under one of our names.
    ForeignFile {
        /// The folder.
        folder: PathBuf,
        /// Its name.
        file: String,
    },
    /// A name that could leave the folder, or that is kept for this program.
    BadName(String),
    /// Two names that some systems hold for one.
    SameName(String, String),
    /// The system refused.
    Io {
        /// The folder.
        folder: PathBuf,
        /// The file, or nothing for the folder itself.
        file: String,
        /// What was tried, as a verb.
        doing: &'static str,
        /// The system's answer.
        cause: io::Error,
    },
    /// A file could not be put in place when others were already.
    Mixed {
        /// The folder.
        folder: PathBuf,
        /// The file.
        file: String,
        /// The system's answer.
        cause: io::Error,
    },
    /// The set and its manifest differ: the name of the first file that does.
    Unlisted(String),
    /// Stopped by request before any old file was touched.
    Stopped(PathBuf),
}

impl fmt::Display for FolderError {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            FolderError::NotAFolder(folder) => {
                write!(
                    f,
                    "{folder:?} is not a folder; name another or move it away"
                )
            }
            FolderError::NoParent(folder) => {
                write!(
                    f,
                    "the folder above {folder:?} does not exist; make it first"
                )
            }
            FolderError::Busy(folder) => {
                write!(
                    f,
                    "another run is writing into {folder:?}; wait until it ends"
                )
            }
            FolderError::ForeignManifest { folder, cause } => {
                write!(f, "folder {folder:?}: {cause}; name another folder")
            }
            FolderError::ForeignFile { folder, file } => write!(
                f,
                "folder {folder:?} has a {file:?} that this program did not write; \
                 move it away or name another folder"
            ),
            FolderError::BadName(name) => write!(f, "{name:?} cannot be the name of a file"),
            FolderError::SameName(a, b) => {
                write!(f, "the files {a:?} and {b:?} would be one on some systems")
            }
            FolderError::Io {
                folder,
                file,
                doing,
                cause,
            } => {
                write!(f, "cannot {doing} ")?;
                if !file.is_empty() {
                    write!(f, "{file:?} in ")?;
                }
                write!(f, "folder {folder:?}: {}", words(cause))
            }
            FolderError::Mixed {
                folder,
                file,
                cause,
            } => write!(
                f,
                "cannot put {file:?} in its place in folder {folder:?}: {}; new and old files \
                 are mixed there until the next run",
                words(cause)
            ),
            FolderError::Unlisted(file) => {
                write!(f, "the manifest and the files differ at {file:?}")
            }
            FolderError::Stopped(folder) => {
                write!(f, "stopped; the files in folder {folder:?} are as before")
            }
        }
    }
}

impl std::error::Error for FolderError {}

/// The causes that people meet, in words; the rest as the system puts it.
fn words(cause: &io::Error) -> String {
    match cause.kind() {
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => "the disk is full".into(),
        io::ErrorKind::PermissionDenied => "no permission".into(),
        io::ErrorKind::ReadOnlyFilesystem => "the disk can only be read".into(),
        io::ErrorKind::NotADirectory => "a part of the path is a file, not a folder".into(),
        io::ErrorKind::InvalidFilename => "the name is too long or not allowed there".into(),
        _ => cause.to_string(),
    }
}
