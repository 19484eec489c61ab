//! What an entry's folder says of the work in it: a record beside the files, written last. It is only
//! believed with its own hash, and only of files whose bytes have the hashes it states.

use std::collections::BTreeMap;
use std::fs::{self, File};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::atomic::AtomicBool;

use serde::{Deserialize, Serialize};

use crate::export::folder::{FolderError, Parents, UNFINISHED, write_lone};
use crate::export::manifest::{self, FileEntry, sha256};

/// Name of the record. It belongs to this program, like the lock: whatever lies under it is replaced.
const FILE: &str = ".limberwood.entry";
/// First word of a record, with the version of its form.
const HEAD: &str = "limberwood-entry-1";

/// The record.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Kept {
    /// Content key of the design as made and checked.
    pub key: String,
    /// What is told of it, as JSON text, so that its numbers stay as they were printed.
    pub row: String,
    /// What was written, by name.
    pub products: BTreeMap<String, Written>,
}

/// One product.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Written {
    /// Content key of what it was made from.
    pub key: String,
    /// The file that stands for it: itself, or the manifest of its folder.
    pub file: FileEntry,
}

impl Kept {
    /// Reads the record of an entry; nothing if there is none, or it is damaged.
    pub fn read(folder: &Path) -> Option<Kept> {
        let text = fs::read_to_string(folder.join(FILE)).ok()?;
        let mut lines = text.splitn(3, '\n');
        let (head, hash, body) = (lines.next()?, lines.next()?, lines.next()?);
        if head != HEAD || hash != sha256(body.as_bytes()) {
            return None;
        }
        serde_json::from_str(body).ok()
    }

    /// Writes it.
    ///
    /// # Errors
    /// Those of the folder.
    pub fn write(&self, folder: &Path, stop: &AtomicBool) -> Result<(), FolderError> {
        let body = serde_json::json!(self).to_string();
        let text = format!("{HEAD}\n{}\n{body}", sha256(body.as_bytes()));
        write_lone(
            &folder.join(FILE),
            Parents::Make,
            |_| true,
            stop,
            |file| file.write_all(text.as_bytes()),
        )
    }

    /// Whether a product made from this content is there with all its files.
    pub fn holds(&self, product: &str, key: &str, path: &Path) -> bool {
        let written = self.products.get(product).filter(|w| w.key == key);
        written
            .is_some_and(|w| same(path, &w.file) && (w.file.name != manifest::FILE || whole(path)))
    }
}

/// The file that stands for what lies at a path, as it is on the disk.
pub fn on_disk(path: &Path) -> std::io::Result<FileEntry> {
    let path = standing(path);
    let name = path.file_name().map(|n| n.to_string_lossy().into_owned());
    FileEntry::read(&name.unwrap_or_default(), &mut File::open(path)?)
}

/// Whether a file, or a folder with a manifest, lies at a path.
pub fn is_there(path: &Path) -> bool {
    standing(path).is_file()
}

/// The manifest of a folder; a file itself.
fn standing(path: &Path) -> PathBuf {
    if path.is_dir() {
        path.join(manifest::FILE)
    } else {
        path.to_path_buf()
    }
}

fn same(path: &Path, stated: &FileEntry) -> bool {
    on_disk(path).is_ok_and(|found| found == *stated)
}

/// Whether a folder has all files that its manifest lists, with their bytes, and nothing of a killed
/// run, which only the next writer clears away.
fn whole(folder: &Path) -> bool {
    let mut names = fs::read_dir(folder).into_iter().flatten().flatten();
    if names.any(|e| e.file_name().to_string_lossy().ends_with(UNFINISHED)) {
        return false;
    }
    let listed = fs::read(folder.join(manifest::FILE)).ok();
    let listed = listed.and_then(|bytes| manifest::listed(&bytes).ok());
    let listed = listed.unwrap_or_default();
    !listed.is_empty()
        && listed
            .iter()
            .all(|file| same(&folder.join(&file.name), file))
}
