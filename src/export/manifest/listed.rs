//! Reading an older manifest: only whose it is, and which files it lists.

use super::{FileEntry, ManifestError, TOOL};
use serde::Deserialize;

/// The least that a manifest of any version tells: whose it is and which files it lists.
#[derive(Deserialize)]
struct Outline {
    tool: Option<OutlineTool>,
    #[serde(default)]
    files: Vec<FileEntry>,
    #[serde(default)]
    parts: Vec<OutlinePart>,
}

#[derive(Deserialize)]
struct OutlineTool {
    name: String,
}

#[derive(Deserialize)]
struct OutlinePart {
    #[serde(default)]
    files: Vec<FileEntry>,
    held: Option<OutlineHeld>,
}

#[derive(Deserialize)]
struct OutlineHeld {
    #[serde(default)]
    files: Vec<FileEntry>,
}

/// All files that a manifest of this program lists, also of another version of it.
///
/// # Errors
/// [`ManifestError::Json`], [`ManifestError::Foreign`].
pub fn listed(bytes: &[u8]) -> Result<Vec<FileEntry>, ManifestError> {
    let outline: Outline =
        serde_json::from_slice(bytes).map_err(|e| ManifestError::Json(e.to_string()))?;
    if outline.tool.is_none_or(|tool| tool.name != TOOL) {
        return Err(ManifestError::Foreign);
    }
    let mut files = outline.files;
    for part in outline.parts {
        files.extend(part.files);
        files.extend(part.held.into_iter().flat_map(|held| held.files));
    }
    files.sort();
    Ok(files)
}
