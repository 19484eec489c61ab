//! An archive to give away: a ZIP file (APPNOTE of the format) without a clock.

use std::io::{self, Read, Seek, Write};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

/// The archive's comment: the sign that a file is ours.
const COMMENT: &str = concat!("made by ", env!("CARGO_PKG_NAME"));

/// Whether the bytes are an archive of this program: its comment ends the file.
pub fn is_ours(bytes: &[u8]) -> bool {
    bytes.starts_with(b"PK") && bytes.ends_with(COMMENT.as_bytes())
}

/// An archive as it grows; everything lies in one folder.
pub struct Archive<W: Write + Seek> {
    zip: ZipWriter<W>,
    folder: String,
}

impl<W: Write + Seek> Archive<W> {
    /// Begins an archive whose files lie in `folder`.
    ///
    /// # Errors
    /// Those of the writer, as for all that follows.
    pub fn begin(out: W, folder: &str) -> io::Result<Self> {
        let mut zip = ZipWriter::new(out);
        zip.set_comment(COMMENT)?;
        let folder = folder.to_owned();
        Ok(Archive { zip, folder })
    }

    /// Adds a file under a name in the folder; `/` separates.
    ///
    /// # Errors
    /// Those of reader and writer.
    pub fn add(&mut self, name: &str, mut from: impl Read) -> io::Result<()> {
        // The mode is that of a plain file; the time is the format's first.
        let options = SimpleFileOptions::default()
            .compression_method(CompressionMethod::Deflated)
            .last_modified_time(zip::DateTime::default())
            .unix_permissions(0o644);
        let name = format!("{}/{name}", self.folder);
        self.zip.start_file(name, options)?;
        io::copy(&mut from, &mut self.zip)?;
        Ok(())
    }

    /// Closes the archive.
    ///
    /// # Errors
    /// Those of the writer.
    pub fn end(self) -> io::Result<W> {
        Ok(self.zip.finish()?)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::io::Cursor;

    #[test]
    fn what_goes_in_comes_out_and_the_bytes_repeat() {
        let make = || {
            let mut archive = Archive::begin(Cursor::new(Vec::new()), "newt ü").unwrap();
            archive.add("README.txt", &b"first"[..]).unwrap();
            archive.add("parts/a.stl", &[7u8; 5000][..]).unwrap();
            archive.end().unwrap().into_inner()
        };
        let bytes = make();
        assert_eq!(bytes, make());
        assert!(is_ours(&bytes) && !is_ours(b"PK") && !is_ours(&bytes[..bytes.len() - 1]));
        let mut read = zip::ZipArchive::new(Cursor::new(bytes)).unwrap();
        let names: Vec<String> = (0..read.len())
            .map(|i| read.by_index(i).unwrap().name().unwrap().into_owned())
            .collect();
        assert_eq!(names, ["newt ü/README.txt", "newt ü/parts/a.stl"]);
        let mut text = String::new();
        read.by_index(0).unwrap().read_to_string(&mut text).unwrap();
        assert_eq!(text, "first");
    }
}
