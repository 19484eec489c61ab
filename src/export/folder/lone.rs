//! A single file beside others: written aside, then put in its place.

use super::{Folder, FolderError, Parents, UNFINISHED};
use std::fs::{self, File};
use std::io::{self, BufWriter, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};

/// Writes one file. A file in its place is replaced only if `ours` says so of its bytes.
///
/// # Errors
/// No folder to write into, a foreign file in the place, the system's refusals, a stop; what was
/// there is there still.
pub fn write_lone(
    path: &Path,
    parents: Parents,
    ours: impl Fn(&[u8]) -> bool,
    stop: &AtomicBool,
    fill: impl FnOnce(&mut BufWriter<File>) -> io::Result<()>,
) -> Result<(), FolderError> {
    let (folder, name) = split(path)?;
    if parents == Parents::Make {
        fs::create_dir_all(&folder).map_err(io_error(&folder, "", "make"))?;
    } else if !folder.is_dir() {
        return Err(FolderError::NoParent(path.to_path_buf()));
    }
    refuse_foreign(path, &folder, &name, ours)?;
    let aside = folder.join(format!("{name}{UNFINISHED}"));
    let outcome = write(&aside, fill).map_err(io_error(&folder, &name, "write"));
    let outcome = outcome.and_then(|()| {
        if stop.load(Ordering::Relaxed) {
            return Err(FolderError::Stopped(folder.clone()));
        }
        fs::rename(&aside, path).map_err(io_error(&folder, &name, "write"))
    });
    if outcome.is_err() {
        let _ = fs::remove_file(&aside);
    }
    outcome
}

/// Removes one file if it is there and `ours` says so of its bytes; another stays.
///
/// # Errors
/// The system's refusals.
pub fn remove_lone(path: &Path, ours: impl Fn(&[u8]) -> bool) -> Result<(), FolderError> {
    let (folder, name) = split(path)?;
    match refuse_foreign(path, &folder, &name, ours) {
        Ok(()) => {}
        Err(FolderError::ForeignFile { .. }) => return Ok(()),
        Err(e) => return Err(e),
    }
    match fs::remove_file(path) {
        Err(e) if e.kind() != io::ErrorKind::NotFound => Err(io_error(&folder, &name, "remove")(e)),
        _ => Ok(()),
    }
}

/// Folder and name of a path.
fn split(path: &Path) -> Result<(PathBuf, String), FolderError> {
    let name = path.file_name().map(|n| n.to_string_lossy().into_owned());
    let Some(name) = name.filter(|n| !n.ends_with(UNFINISHED)) else {
        return Err(FolderError::BadName(path.display().to_string()));
    };
    let folder = match path.parent() {
        Some(folder) if folder != Path::new("") => folder.to_path_buf(),
        _ => PathBuf::from("."),
    };
    Ok((folder, name))
}

fn refuse_foreign(
    path: &Path,
    folder: &Path,
    name: &str,
    ours: impl Fn(&[u8]) -> bool,
) -> Result<(), FolderError> {
    let found = match fs::symlink_metadata(path) {
        Ok(found) => found,
        Err(e) if e.kind() == io::ErrorKind::NotFound => return Ok(()),
        Err(e) => return Err(io_error(folder, name, "look at")(e)),
    };
    if found.is_file() {
        let bytes = fs::read(path).map_err(io_error(folder, name, "read"))?;
        if ours(&bytes) {
            return Ok(());
        }
    }
    Err(FolderError::ForeignFile {
        folder: folder.to_path_buf(),
        file: name.to_owned(),
    })
}

/// What a killed run left under the name is overwritten.
fn write(
    aside: &Path,
    fill: impl FnOnce(&mut BufWriter<File>) -> io::Result<()>,
) -> io::Result<()> {
    let mut file = BufWriter::new(File::create(aside)?);
    fill(&mut file)?;
    file.flush()?;
    file.get_ref().sync_data()
}

fn io_error(folder: &Path, file: &str, doing: &'static str) -> impl Fn(io::Error) -> FolderError {
    let (folder, file) = (folder.to_path_buf(), file.to_owned());
    move |cause| FolderError::Io {
        folder: folder.clone(),
        file: file.clone(),
        doing,
        cause,
    }
}

impl Folder {
    /// Opens a file of the set for reading.
    ///
    /// # Errors
    /// The system's refusal.
    pub fn read(&self, name: &str) -> io::Result<File> {
        File::open(self.at(name))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use tempfile::tempdir;

    fn put(path: &Path, bytes: &[u8], stop: bool) -> Result<(), FolderError> {
        let ours = |old: &[u8]| old.starts_with(b"ours");
        let stop = AtomicBool::new(stop);
        write_lone(path, Parents::MustExist, ours, &stop, |f| {
            f.write_all(bytes)
        })
    }

    #[test]
    fn only_our_own_file_is_replaced() {
        let room = tempdir().unwrap();
        let path = room.path().join("a.zip");
        put(&path, b"ours 1", false).unwrap();
        put(&path, b"ours 2", false).unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"ours 2");
        assert!(matches!(
            put(&path, b"ours 3", true),
            Err(FolderError::Stopped(_))
        ));
        fs::write(&path, b"theirs").unwrap();
        let refused = put(&path, b"ours 4", false);
        assert!(matches!(refused, Err(FolderError::ForeignFile { .. })));
        assert_eq!(fs::read(&path).unwrap(), b"theirs");
        assert_eq!(fs::read_dir(room.path()).unwrap().count(), 1);
    }

    #[test]
    fn a_failed_write_leaves_nothing() {
        let room = tempdir().unwrap();
        let (path, stop) = (room.path().join("a"), AtomicBool::new(false));
        let full = |_: &mut BufWriter<File>| Err(io::Error::from(io::ErrorKind::StorageFull));
        let error = write_lone(&path, Parents::MustExist, |_| true, &stop, full).unwrap_err();
        assert!(error.to_string().contains("the disk is full"));
        assert_eq!(fs::read_dir(room.path()).unwrap().count(), 0);
        let nowhere = room.path().join("no/a");
        assert!(matches!(
            put(&nowhere, b"", false),
            Err(FolderError::NoParent(_))
        ));
    }
}
