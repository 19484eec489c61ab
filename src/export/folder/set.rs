//! A new set of files: written aside, then put in place all together.

use super::stream::Streamed;
use super::sync::Syncer;
use super::{Folder, FolderError, Report, UNFINISHED};
use crate::export::manifest::{self, FileEntry};
use std::collections::{BTreeMap, BTreeSet};
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Mutex, PoisonError};

/// How bytes go into an unfinished file; tests put a failing disk here.
pub(super) type WriteAll = fn(&mut File, &[u8]) -> io::Result<()>;

/// The files of a run until [`FileSet::commit`]. Given up, it leaves the folder as it was.
#[derive(Debug)]
pub struct FileSet<'a> {
    folder: &'a Folder,
    stop: &'a AtomicBool,
    claimed: BTreeSet<String>,
    /// What was put so far; whether an unfinished file lies there.
    put: Mutex<BTreeMap<String, (FileEntry, bool)>>,
    journal: PathBuf,
    /// Copy of the manifest that goes away, while stale files of its set are still there.
    past: PathBuf,
    syncer: Syncer,
    pub(super) write_all: WriteAll,
}

impl<'a> FileSet<'a> {
    pub(super) fn new(folder: &'a Folder, names: &[String], stop: &'a AtomicBool) -> Self {
        let free = |i: &usize| !folder.journals.contains(&journal(folder, *i));
        // Journals of killed runs are finitely many, so two of the next names are free.
        let mut next = (0..=folder.journals.len() + 1).filter(free);
        let mut next = || journal(folder, next.next().unwrap_or_default());
        FileSet {
            folder,
            stop,
            claimed: names.iter().cloned().collect(),
            put: Mutex::default(),
            journal: next(),
            past: next(),
            syncer: Syncer::new(),
            write_all: |file, bytes| file.write_all(bytes),
        }
    }

    /// Writes one file aside, unless the same bytes are in place already. Any order, any thread.
    ///
    /// # Errors
    /// A name that was not claimed or was put before, a full disk, a stop.
    pub fn put(&self, name: &str, bytes: &[u8]) -> Result<FileEntry, FolderError> {
        self.check_name(name)?;
        let entry = FileEntry::of(name, bytes);
        let fresh = !self.folder.holds(&entry);
        self.enter(&entry, fresh)?;
        if !fresh {
            return Ok(entry);
        }
        match self.write_aside(&self.aside(name), name, bytes) {
            Ok(file) => self.syncer.take(file, name),
            Err(error) => {
                // Not put after all, so that no commit can take the torn file.
                self.give_up(name);
                self.lock_put().remove(name);
                return Err(error);
            }
        }
        Ok(entry)
    }

    /// Takes files over that lie in the folder with these very bytes, all of them or none; whether it
    /// did.
    ///
    /// # Errors
    /// A name that was put before, a stop.
    pub fn keep(&self, entries: &[FileEntry]) -> Result<bool, FolderError> {
        self.check_stop()?;
        let there = |e: &FileEntry| self.claimed.contains(&e.name) && self.folder.holds(e);
        if !entries.iter().all(there) {
            return Ok(false);
        }
        for entry in entries {
            self.enter(entry, false)?;
        }
        Ok(true)
    }

    /// Opens one file aside that is written bit by bit and put by [`Streamed::finish`].
    ///
    /// # Errors
    /// As [`FileSet::put`].
    pub fn stream(&self, name: &str) -> Result<Streamed<'_>, FolderError> {
        self.check_name(name)?;
        let mut options = fs::OpenOptions::new();
        let open = options.read(true).write(true).create_new(true);
        let file = open
            .open(self.aside(name))
            .map_err(|cause| self.cannot_write(name, cause))?;
        Ok(Streamed::new(self, name, file))
    }

    /// Takes a streamed file, or drops it when the same bytes are in place already.
    pub(super) fn take(&self, file: File, entry: FileEntry) -> Result<FileEntry, FolderError> {
        let fresh = !self.folder.holds(&entry);
        self.enter(&entry, fresh)?;
        if fresh {
            self.syncer.take(file, &entry.name);
        } else {
            // Some systems remove no open file.
            drop(file);
            self.give_up(&entry.name);
        }
        Ok(entry)
    }

    /// Removes what was written aside.
    pub(super) fn give_up(&self, name: &str) {
        let _ = fs::remove_file(self.aside(name));
    }

    pub(crate) fn cannot_write(&self, name: &str, cause: io::Error) -> FolderError {
        self.folder.error(name, "write")(cause)
    }

    fn check_name(&self, name: &str) -> Result<(), FolderError> {
        self.check_stop()?;
        if self.claimed.contains(name) {
            return Ok(());
        }
        Err(FolderError::BadName(name.to_string()))
    }

    /// Notes a file as put.
    fn enter(&self, entry: &FileEntry, fresh: bool) -> Result<(), FolderError> {
        let mut put = self.lock_put();
        let name = &entry.name;
        if put.contains_key(name) {
            return Err(FolderError::SameName(name.clone(), name.clone()));
        }
        put.insert(name.clone(), (entry.clone(), fresh));
        Ok(())
    }

    /// Puts all files in place, the manifest last, and removes stale ones.
    ///
    /// # Errors
    /// Before the first rename: a claimed file that was not put, a manifest that does not list
    /// exactly the set, a full disk, a stop; the old set is untouched then.
    /// [`FolderError::Mixed`] after it.
    pub fn commit(mut self, manifest: &[u8]) -> Result<Report, FolderError> {
        self.check_complete(manifest)?;
        self.wait_for_disk()?;
        let put = std::mem::take(&mut *self.lock_put());
        let outcome = self.place(&put, manifest);
        // After a failure in the middle the journal says what the run was about to do.
        if !matches!(outcome, Ok(_) | Err(FolderError::Mixed { .. })) {
            let _ = fs::remove_file(&self.journal);
            let _ = fs::remove_file(&self.past);
        }
        if outcome.is_err() {
            *self.put.get_mut().unwrap_or_else(PoisonError::into_inner) = put;
        }
        outcome
    }

    fn place(
        &self,
        put: &BTreeMap<String, (FileEntry, bool)>,
        manifest: &[u8],
    ) -> Result<Report, FolderError> {
        let fresh: Vec<&String> = put.iter().filter(|p| p.1.1).map(|p| p.0).collect();
        let entry = FileEntry::of(manifest::FILE, manifest);
        let new_manifest = !(fresh.is_empty() && self.folder.holds(&entry));
        if new_manifest {
            let file = self.write_aside(&self.journal, manifest::FILE, manifest)?;
            let error = self.folder.error(manifest::FILE, "write");
            file.sync_data().map_err(error)?;
            self.keep_past(put)?;
        }
        for name in &fresh {
            self.folder.refuse_foreign(name)?;
        }
        self.folder.sync()?;
        self.check_stop()?;
        for name in &fresh {
            self.rename(&self.aside(name), name)?;
        }
        if new_manifest {
            self.rename(&self.journal, manifest::FILE)?;
        }
        self.folder.sync()?;
        let mut report = Report::default();
        for (name, (_, fresh)) in put {
            let list = if *fresh {
                &mut report.written
            } else {
                &mut report.unchanged
            };
            list.push(name.clone());
        }
        self.folder.remove_stale(put.keys(), &mut report);
        // What stays here is read and removed by the next run.
        let _ = fs::remove_file(&self.past);
        Ok(report)
    }

    /// Copies the manifest in place if it lists files that the new set has not: a run that is
    /// killed after the new manifest is in place and before they are gone would forget them.
    fn keep_past(&self, put: &BTreeMap<String, (FileEntry, bool)>) -> Result<(), FolderError> {
        if self.folder.ours.keys().all(|name| put.contains_key(name)) {
            return Ok(());
        }
        let error = || self.folder.error(manifest::FILE, "copy");
        let bytes = match fs::read(self.folder.at(manifest::FILE)) {
            Ok(bytes) => bytes,
            // Only journals tell of such files then, and they stay to the end.
            Err(e) if e.kind() == io::ErrorKind::NotFound => return Ok(()),
            Err(e) => return Err(error()(e)),
        };
        let file = self.write_aside(&self.past, manifest::FILE, &bytes)?;
        file.sync_data().map_err(error())
    }

    /// Exactly the claimed files were put, and exactly they stand in the manifest.
    fn check_complete(&self, manifest: &[u8]) -> Result<(), FolderError> {
        let put = self.lock_put();
        if let Some(missing) = self.claimed.iter().find(|name| !put.contains_key(*name)) {
            return Err(FolderError::Unlisted(missing.clone()));
        }
        let listed = manifest::listed(manifest)
            .map_err(|_| FolderError::Unlisted(manifest::FILE.to_string()))?;
        let mut entries = put.values().map(|(entry, _)| entry);
        let mut listed = listed.iter();
        loop {
            match (entries.next(), listed.next()) {
                (None, None) => return Ok(()),
                (a, b) if a == b => (),
                (a, b) => {
                    let name = a.or(b).map(|e| e.name.clone()).unwrap_or_default();
                    return Err(FolderError::Unlisted(name));
                }
            }
        }
    }

    fn write_aside(&self, path: &Path, name: &str, bytes: &[u8]) -> Result<File, FolderError> {
        let error = self.folder.error(name, "write");
        let mut file = File::create_new(path).map_err(&error)?;
        (self.write_all)(&mut file, bytes).map_err(error)?;
        Ok(file)
    }

    fn wait_for_disk(&mut self) -> Result<(), FolderError> {
        let folder = self.folder;
        let outcome = self.syncer.finish();
        outcome.map_err(|(name, cause)| folder.error(&name, "write")(cause))
    }

    fn rename(&self, from: &Path, name: &str) -> Result<(), FolderError> {
        fs::rename(from, self.folder.at(name)).map_err(|cause| FolderError::Mixed {
            folder: self.folder.path.clone(),
            file: name.to_string(),
            cause,
        })
    }

    fn aside(&self, name: &str) -> PathBuf {
        self.folder.at(&format!("{name}{UNFINISHED}"))
    }

    fn check_stop(&self) -> Result<(), FolderError> {
        if self.stop.load(Ordering::Relaxed) {
            return Err(FolderError::Stopped(self.folder.path.clone()));
        }
        Ok(())
    }

    fn lock_put(&self) -> std::sync::MutexGuard<'_, BTreeMap<String, (FileEntry, bool)>> {
        self.put.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Drop for FileSet<'_> {
    fn drop(&mut self) {
        // Some systems remove no open file.
        let _ = self.syncer.finish();
        for (name, (_, fresh)) in self.lock_put().iter() {
            if *fresh {
                // It may have been renamed already, or never made.
                let _ = fs::remove_file(self.aside(name));
            }
        }
    }
}

fn journal(folder: &Folder, i: usize) -> PathBuf {
    folder.at(&format!("{}.{i}{UNFINISHED}", manifest::FILE))
}
