//! manifest.json: what a folder holds, by name, size and hash, and what each part is.
//!
//! Guaranteed: sorted, no clock, the same bytes for the same set. It is written last, so that
//! a set that it describes is whole, and any mix of two sets shows by the hashes.

mod error;
mod listed;

pub use error::ManifestError;
pub use listed::listed;

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::io::{self, Read};

use crate::check::cautions::CAUTIONS;

/// Name of the file.
pub const FILE: &str = "manifest.json";

/// Version of the form below; grows when a reader must know of a change.
pub const SCHEMA_VERSION: u32 = 1;

/// The program's name in the manifest: the sign that a folder is ours.
const TOOL: &str = env!("CARGO_PKG_NAME");

/// The whole manifest.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Manifest {
    /// Program and its version.
    pub tool: Tool,
    /// [`SCHEMA_VERSION`].
    pub schema_version: u32,
    /// Name of the creature as written.
    pub creature: String,
    /// The body is for benches and tests and must not be cut.
    pub bench_only: bool,
    /// Unit of every length: "mm".
    pub unit: String,
    /// What the run was asked for.
    pub settings: Settings,
    /// What was found for joints that say `auto`, as lines of a design.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub found_joints: Option<String>,
    /// Files that belong to the whole creature, by name.
    pub files: Vec<FileEntry>,
    /// The parts, by section and side.
    pub parts: Vec<Part>,
    /// [`crate::check::cautions::CAUTIONS`].
    pub cautions: Vec<String>,
}

/// Program and version.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Tool {
    /// Name.
    pub name: String,
    /// Version.
    pub version: String,
}

/// Settings that shape the files.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Settings {
    /// Largest distance asked for between mesh and true surface, in mm.
    pub deviation_mm: f64,
}

/// A file of the set.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct FileEntry {
    /// Name within the folder.
    pub name: String,
    /// SHA-256 of the bytes, in hexadecimal.
    pub sha256: String,
    /// Length in bytes.
    pub bytes: u64,
}

/// A part: one half. Its numbers and files are those of the finished body, without tabs.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Part {
    /// Name of the part.
    pub name: String,
    /// Number of its section, from 1 at the front.
    pub section: usize,
    /// Which half.
    pub side: Side,
    /// Its files, by name.
    pub files: Vec<FileEntry>,
    /// From the half's own frame into the straight creature: rows of a 4 x 4 matrix for column
    /// vectors, lengths in mm.
    pub placement: [[f64; 4]; 4],
    /// Box of the half in its own frame.
    pub bounding_box: BoundingBox,
    /// Volume of the exact solid.
    pub volume_mm3: f64,
    /// Mass at this density.
    pub mass_g: f64,
    /// Wood.
    pub species: String,
    /// Density at the shop's moisture.
    pub density_kg_m3: f64,
    /// Triangles of the mesh.
    pub triangles: usize,
    /// Largest sampled distance between mesh and true surface.
    pub deviation_mm: f64,
    /// Largest distance of the fitted section curves from the superellipses asked for.
    pub skin_misfit_mm: f64,
    /// How many faces of each kind the solid has.
    pub faces: BTreeMap<String, usize>,
    /// Wood that the blank has over the solid, and what is cut round it.
    pub allowances: Allowances,
    /// The body with the tabs that hold it in the blank; none when it has no tabs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub held: Option<Held>,
}

/// What the blank leaves for, and cuts beside, the solid. None of it is in the files.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Allowances {
    /// Taken off the split face by sanding, in mm: the split plane lies that far under the stock's
    /// face. 0 for a section in one piece.
    pub sanding_mm: f64,
    /// Depth of the groove cut from the inside round the outline, under the split plane, in mm, into
    /// which the cutter runs from outside. 0 for a section in one piece.
    pub relief_mm: f64,
    /// Least thickness of stock, in mm: height, sanding and a margin.
    pub stock_mm: f64,
}

/// The held body of a part.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Held {
    /// Its files, by name.
    pub files: Vec<FileEntry>,
    /// Box of the body in the half's own frame.
    pub bounding_box: BoundingBox,
    /// Volume of the exact solid.
    pub volume_mm3: f64,
    /// Triangles of the mesh.
    pub triangles: usize,
    /// Largest sampled distance between mesh and true surface.
    pub deviation_mm: f64,
    /// How many faces of each kind the solid has.
    pub faces: BTreeMap<String, usize>,
}

/// A half by the place of its section's split.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Side {
    /// Upper half of a level split.
    Upper,
    /// Lower half of a level split.
    Lower,
    /// Left half of an upright split.
    Left,
    /// Right half of an upright split.
    Right,
    /// A section in one piece.
    Whole,
}

/// Least and largest coordinates, in mm.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct BoundingBox {
    /// Least x, y, z.
    pub min: [f64; 3],
    /// Largest x, y, z.
    pub max: [f64; 3],
}

impl FileEntry {
    /// The entry of a file with these bytes.
    pub fn of(name: &str, bytes: &[u8]) -> FileEntry {
        FileEntry {
            name: name.to_string(),
            sha256: sha256(bytes),
            bytes: bytes.len() as u64,
        }
    }

    /// The entry of a file that is read to its end.
    ///
    /// # Errors
    /// Those of the reader.
    pub fn read(name: &str, from: &mut impl Read) -> io::Result<FileEntry> {
        let mut hash = Sha256::new();
        let bytes = io::copy(from, &mut HashWriter(&mut hash))?;
        Ok(FileEntry {
            name: name.to_string(),
            sha256: hexadecimal(&hash.finalize()),
            bytes,
        })
    }
}

struct HashWriter<'a>(&'a mut Sha256);

impl io::Write for HashWriter<'_> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.0.update(bytes);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

impl Manifest {
    /// A manifest of this program's version, without parts yet.
    pub fn new(creature: &str, bench_only: bool, settings: Settings) -> Manifest {
        Manifest {
            tool: Tool {
                name: TOOL.to_string(),
                version: env!("CARGO_PKG_VERSION").to_string(),
            },
            schema_version: SCHEMA_VERSION,
            creature: creature.to_string(),
            bench_only,
            unit: "mm".to_string(),
            settings,
            found_joints: None,
            files: Vec::new(),
            parts: Vec::new(),
            cautions: CAUTIONS.iter().map(|c| c.text.to_owned()).collect(),
        }
    }

    /// The bytes of manifest.json: sorted, indented, closed by a new line.
    ///
    /// # Errors
    /// A number that JSON cannot hold, by the place where it stands.
    pub fn to_bytes(mut self) -> Result<Vec<u8>, ManifestError> {
        if let Some(place) = self.odd_number() {
            return Err(ManifestError::OddNumber(place));
        }
        self.files.sort();
        for part in &mut self.parts {
            part.files.sort();
            if let Some(held) = &mut part.held {
                held.files.sort();
            }
        }
        let key = |p: &Part| (p.section, p.side, p.name.clone());
        self.parts.sort_by_key(key);
        let mut bytes =
            serde_json::to_vec_pretty(&self).map_err(|e| ManifestError::Json(e.to_string()))?;
        bytes.push(b'\n');
        Ok(bytes)
    }

    fn odd_number(&self) -> Option<String> {
        if !self.settings.deviation_mm.is_finite() {
            return Some("settings".to_string());
        }
        let odd = |p: &&Part| {
            let single = [
                p.volume_mm3,
                p.mass_g,
                p.density_kg_m3,
                p.deviation_mm,
                p.skin_misfit_mm,
                p.allowances.sanding_mm,
                p.allowances.relief_mm,
                p.allowances.stock_mm,
            ];
            let held = p.held.as_ref();
            let single_held = held.map_or([0.0; 2], |h| [h.volume_mm3, h.deviation_mm]);
            let mut all = p
                .placement
                .iter()
                .flatten()
                .chain(&single)
                .chain(&single_held);
            let boxes = [Some(&p.bounding_box), held.map(|h| &h.bounding_box)];
            let mut corners = boxes
                .into_iter()
                .flatten()
                .flat_map(|b| b.min.iter().chain(&b.max));
            !(all.all(|x| x.is_finite()) && corners.all(|x| x.is_finite()))
        };
        self.parts.iter().find(odd).map(|p| p.name.clone())
    }
}

/// SHA-256 in hexadecimal.
pub fn sha256(bytes: &[u8]) -> String {
    hexadecimal(&Sha256::digest(bytes))
}

fn hexadecimal(bytes: &[u8]) -> String {
    const DIGITS: &[u8; 16] = b"0123456789abcdef";
    bytes
        .iter()
        .flat_map(|b| [DIGITS[usize::from(b >> 4)], DIGITS[usize::from(b & 15)]])
        .map(char::from)
        .collect()
}

#[cfg(test)]
mod tests;
