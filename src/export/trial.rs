//! The numbers of a coupon as a file, for the record of what it showed.

use crate::chain::Trial;

/// The file's bytes.
pub fn to_bytes(trial: &Trial) -> Vec<u8> {
    // Text, numbers and lists alone: it cannot fail, and an empty file would be refused when read.
    let mut bytes = serde_json::to_vec_pretty(trial).unwrap_or_default();
    bytes.push(b'\n');
    bytes
}

/// Reads them back.
///
/// # Errors
/// What is wrong, in words.
pub fn from_bytes(bytes: &[u8]) -> Result<Trial, String> {
    let trial: Trial = serde_json::from_slice(bytes).map_err(|e| e.to_string())?;
    match trial.limberwood_coupon {
        1 => Ok(trial),
        other => Err(format!(
            "version {other} of the form; this program reads version 1"
        )),
    }
}

/// Whether bytes are such a file.
pub fn is_ours(bytes: &[u8]) -> bool {
    from_bytes(bytes).is_ok()
}
