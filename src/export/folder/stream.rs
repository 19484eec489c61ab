//! A file of a set that is too large to hold in memory: written bit by bit.

use super::FolderError;
use super::set::FileSet;
use crate::export::manifest::FileEntry;
use std::fs::File;
use std::io::{self, BufWriter, Seek, SeekFrom, Write};

/// An unfinished file of a set. Given up, it leaves nothing behind.
#[derive(Debug)]
pub struct Streamed<'a> {
    set: &'a FileSet<'a>,
    name: String,
    /// `None` once it is handed over.
    file: Option<BufWriter<File>>,
}

impl<'a> Streamed<'a> {
    pub(super) fn new(set: &'a FileSet<'a>, name: &str, file: File) -> Self {
        let file = Some(BufWriter::new(file));
        let name = name.to_string();
        Streamed { set, name, file }
    }

    /// Closes the file and puts it into the set.
    ///
    /// # Errors
    /// As [`FileSet::put`].
    pub fn finish(mut self) -> Result<FileEntry, FolderError> {
        let measured = self.measure();
        let (file, entry) = measured.map_err(|cause| self.failure(cause))?;
        self.set.take(file, entry)
    }

    /// Why this file could not be written.
    pub fn failure(&self, cause: io::Error) -> FolderError {
        self.set.cannot_write(&self.name, cause)
    }

    /// Flushes, reads the file back from its start, and lets go of it.
    fn measure(&mut self) -> io::Result<(File, FileEntry)> {
        let writer = self.inner()?;
        writer.flush()?;
        writer.get_mut().seek(SeekFrom::Start(0))?;
        let name = self.name.clone();
        let entry = FileEntry::read(&name, self.inner()?.get_mut())?;
        let Some(writer) = self.file.take() else {
            return Err(closed());
        };
        Ok((writer.into_inner().map_err(|e| e.into_error())?, entry))
    }

    fn inner(&mut self) -> io::Result<&mut BufWriter<File>> {
        self.file.as_mut().ok_or_else(closed)
    }
}

fn closed() -> io::Error {
    io::Error::other("the file is closed")
}

impl Write for Streamed<'_> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.inner()?.write(bytes)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.inner()?.flush()
    }
}

impl Seek for Streamed<'_> {
    fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
        self.inner()?.seek(to)
    }
}

impl Drop for Streamed<'_> {
    fn drop(&mut self) {
        if self.file.take().is_some() {
            self.set.give_up(&self.name);
        }
    }
}
