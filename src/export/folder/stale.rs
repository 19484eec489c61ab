//! Files on disk against what manifests state of them.

use super::{Folder, FolderError, Report, special};
use crate::export::manifest::{self, FileEntry, sha256};
use std::collections::BTreeSet;
use std::fs;
use std::io;
use std::path::Path;

impl Folder {
    /// Whether the file is in place with these very bytes.
    pub(super) fn holds(&self, entry: &FileEntry) -> bool {
        let path = self.at(&entry.name);
        let same_size =
            fs::symlink_metadata(&path).is_ok_and(|m| m.is_file() && m.len() == entry.bytes);
        same_size && spelled(&path, &entry.name) && hash(&path).as_ref() == Some(&entry.sha256)
    }

    /// Removes files of earlier sets that are not in the new one, if their bytes are as some
    /// manifest of ours states; then the manifests of killed runs.
    pub(super) fn remove_stale<'a>(
        &self,
        set: impl Iterator<Item = &'a String>,
        report: &mut Report,
    ) {
        let set: BTreeSet<&String> = set.collect();
        for (name, hashes) in &self.ours {
            let path = self.at(name);
            if set.contains(name) || special(name) || fs::symlink_metadata(&path).is_err() {
                continue;
            }
            // Another spelling of a file of the new set, where the system leaves case aside.
            if !spelled(&path, name) {
                continue;
            }
            let known = hash(&path).is_some_and(|h| hashes.contains(&h));
            if known && fs::remove_file(&path).is_ok() {
                report.removed.push(name.clone());
            } else {
                report.kept.push(name.clone());
            }
        }
        for journal in &self.journals {
            // What stays here is read and removed by the next run.
            let _ = fs::remove_file(journal);
        }
    }

    /// Removes the set as it removes stale files, its manifest last: a kill before that leaves the rest
    /// ours. With a file that stays the manifest stays too.
    ///
    /// # Errors
    /// The system's refusals.
    pub fn clear(&self) -> Result<(), FolderError> {
        let mut report = Report::default();
        self.remove_stale(std::iter::empty(), &mut report);
        self.sync()?;
        if !report.kept.is_empty() {
            return Ok(());
        }
        match fs::remove_file(self.at(manifest::FILE)) {
            Err(e) if e.kind() != io::ErrorKind::NotFound => {
                Err(self.error(manifest::FILE, "remove")(e))
            }
            _ => self.sync(),
        }
    }

    /// Makes the names in the folder last over a loss of power, where the system can.
    pub(super) fn sync(&self) -> Result<(), FolderError> {
        if cfg!(unix) {
            let folder = fs::File::open(&self.path).map_err(self.error("", "open"))?;
            folder.sync_all().map_err(self.error("", "write into"))?;
        }
        Ok(())
    }
}

/// SHA-256 of a plain file; nothing for links, folders and files that cannot be read.
fn hash(path: &Path) -> Option<String> {
    let plain = fs::symlink_metadata(path).is_ok_and(|m| m.is_file());
    plain
        .then(|| fs::read(path).ok())
        .flatten()
        .map(|b| sha256(&b))
}

/// Whether the file on disk has exactly this name, and not another spelling of it.
fn spelled(path: &Path, name: &str) -> bool {
    if fs::symlink_metadata(path).is_ok_and(|m| m.is_symlink()) {
        return true;
    }
    fs::canonicalize(path).is_ok_and(|p| p.file_name().is_some_and(|f| f == name))
}
