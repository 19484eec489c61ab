//! From a path to text.

use std::fs::File;
use std::io::{ErrorKind, Read};
use std::path::Path;

use crate::diagnostic::{Diagnostic, Diagnostics, Place};

/// Size of a file at most, in bytes: 1,000 sections with every key written are under 2 MB.
pub(super) const MOST_BYTES: u64 = 4 * 1024 * 1024;

/// Reads a file as text.
///
/// # Errors
/// A message for a file that is missing, unreadable, too large (found before it is read) or
/// not UTF-8.
pub fn read_text(path: &Path) -> Result<String, Diagnostics> {
    text_of(path, read_raw(path)?)
}

/// The text of a file's bytes.
///
/// # Errors
/// A message for bytes that are not UTF-8.
pub(super) fn text_of(path: &Path, bytes: Vec<u8>) -> Result<String, Diagnostics> {
    decode(bytes, Place::of_file(&path.display().to_string()))
}

/// Reads the bytes of a file.
///
/// # Errors
/// A message for a file that is missing, unreadable or too large (found before it is read).
pub fn read_raw(path: &Path) -> Result<Vec<u8>, Diagnostics> {
    let name = path.display().to_string();
    let place = Place::of_file(&name);
    let mut file = File::open(path).map_err(|error| unreadable(&error, place.clone()))?;
    let metadata = file
        .metadata()
        .map_err(|error| unreadable(&error, place.clone()))?;
    if metadata.is_dir() {
        return Err(Diagnostic::error(place, "a folder")
            .allowed("a YAML file")
            .way_out("name the file in it")
            .into());
    }
    if metadata.len() > MOST_BYTES {
        return Err(too_large(
            place,
            &format!("a file of {} bytes", metadata.len()),
        ));
    }
    let mut bytes = Vec::new();
    file.by_ref()
        .take(MOST_BYTES + 1)
        .read_to_end(&mut bytes)
        .map_err(|error| unreadable(&error, place.clone()))?;
    if bytes.len() as u64 > MOST_BYTES {
        return Err(too_large(place, &format!("more than {MOST_BYTES} bytes")));
    }
    Ok(bytes)
}

/// Refuses a text above the limit.
pub(super) fn within_size(source: &str, file: &str) -> Result<(), Diagnostics> {
    if source.len() as u64 <= MOST_BYTES {
        return Ok(());
    }
    Err(too_large(
        Place::of_file(file),
        &format!("a file of {} bytes", source.len()),
    ))
}

fn too_large(place: Place, found: &str) -> Diagnostics {
    Diagnostic::error(place, found)
        .allowed(format!("at most {MOST_BYTES} bytes (4 MB)"))
        .way_out("use `defaults`, `like` or `repeat` instead of long lists")
        .into()
}

fn unreadable(error: &std::io::Error, place: Place) -> Diagnostics {
    let (found, way_out) = match error.kind() {
        ErrorKind::NotFound => ("no such file".to_owned(), "check the path"),
        ErrorKind::PermissionDenied => (
            "a file that may not be read".to_owned(),
            "change its permissions",
        ),
        _ => (
            format!("a file that can't be read ({error})"),
            "check the path",
        ),
    };
    Diagnostic::error(place, found).way_out(way_out).into()
}

fn decode(bytes: Vec<u8>, place: Place) -> Result<String, Diagnostics> {
    let utf16 = bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]);
    String::from_utf8(bytes).map_err(|error| {
        let valid = &error.as_bytes()[..error.utf8_error().valid_up_to()];
        let text = String::from_utf8_lossy(valid);
        let line = text.matches('\n').count() + 1;
        let column = text
            .rsplit('\n')
            .next()
            .map_or(0, |last| last.chars().count())
            + 1;
        let narrow = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        let found = if utf16 {
            "a file in UTF-16"
        } else {
            "bytes that are not UTF-8 text"
        };
        Diagnostic::error(place.at(narrow(line), narrow(column)), found)
            .allowed("UTF-8")
            .way_out("save the file as UTF-8")
            .into()
    })
}
