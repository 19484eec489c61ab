//! manifest.json: what a folder holds, by name, size and hash, and what each part is.
//!
//! Guaranteed: sorted, no clock, the same bytes for the same set. It is written last, so that
//! a set that it describes is whole, and any mix of two sets shows by the hashes.

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::fmt;

/// Name of the file.
pub const FILE: &str = "manifest.json";

/// Version of the form below; grows when a reader must know of a change.
pub const SCHEMA_VERSION: u32 = 1;

/// The program's name in the manifest: the sign that a folder is ours.
const TOOL: &str = env!("CARGO_PKG_NAME");

/// What a maker must know. Short, and never a claim that a toy complies with anything.
pub const CAUTIONS: [&str; 7] = [
    "Router: spinning cutters maim. Wear eye and ear protection, keep hands clear, stay beside \
     a running machine, and check cutters, zero and clamps before each start.",
    "Dust: wood dust harms lungs and can ignite. Use extraction and a mask.",
    "Adhesive: follow its maker's sheet. Instant glue heats on cotton; keep glue out of the \
     joints.",
    "Small parts: balls, tips and broken pieces can choke a child. What this program says of \
     small parts is a screening, not a test.",
    "Finish: use one fit for things that go into mouths and let it cure. Oily rags can catch \
     fire by themselves; nut oils can cause allergies.",
    "Rules: the laws and standards for toys and for workshops where you are come first. This \
     program screens and warns; it never claims that a toy complies.",
    "Files: check every part and its size in mm in your own toolpath program before cutting.",
];

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
    /// Files that belong to the whole creature, by name.
    pub files: Vec<FileEntry>,
    /// The parts, by section and side.
    pub parts: Vec<Part>,
    /// [`CAUTIONS`].
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

/// A part: one half.
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
            files: Vec::new(),
            parts: Vec::new(),
            cautions: CAUTIONS.map(String::from).to_vec(),
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
            let single = [p.volume_mm3, p.mass_g, p.density_kg_m3, p.deviation_mm];
            let mut all = p.placement.iter().flatten().chain(&single);
            let mut corners = p.bounding_box.min.iter().chain(&p.bounding_box.max);
            !(all.all(|x| x.is_finite()) && corners.all(|x| x.is_finite()))
        };
        self.parts.iter().find(odd).map(|p| p.name.clone())
    }
}

/// Mass in g of a volume in mm3 at a density in kg/m3 (derived: 1 kg/m3 is 1e-6 g/mm3).
pub fn mass_g(volume_mm3: f64, density_kg_m3: f64) -> f64 {
    volume_mm3 * density_kg_m3 * 1e-6
}

/// SHA-256 in hexadecimal.
pub fn sha256(bytes: &[u8]) -> String {
    const DIGITS: &[u8; 16] = b"0123456789abcdef";
    Sha256::digest(bytes)
        .iter()
        .flat_map(|b| [DIGITS[usize::from(b >> 4)], DIGITS[usize::from(b & 15)]])
        .map(char::from)
        .collect()
}

/// Why a manifest cannot be written or used.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ManifestError {
    /// A number that is not finite, with the part where it stands.
    OddNumber(String),
    /// JSON that cannot be written or read, in the words of the library.
    Json(String),
    /// A manifest that some other program wrote.
    Foreign,
}

impl fmt::Display for ManifestError {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            ManifestError::OddNumber(place) => {
                write!(f, "\"{place}\" has a number that is not finite")
            }
            ManifestError::Json(words) => write!(f, "{FILE} cannot be read: {words}"),
            ManifestError::Foreign => write!(f, "{FILE} was not written by {TOOL}"),
        }
    }
}

impl std::error::Error for ManifestError {}

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
    files.extend(outline.parts.into_iter().flat_map(|p| p.files));
    files.sort();
    Ok(files)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn part(section: usize, side: Side) -> Part {
        let name = format!("S{section:02}-{side:?}");
        Part {
            files: vec![
                FileEntry::of(&format!("{name}.stl"), b"stl"),
                FileEntry::of(&format!("{name}.step"), b"step"),
            ],
            name,
            section,
            side,
            placement: [
                [1.0, 0.0, 0.0, 24.5],
                [0.0, -1.0, 0.0, 0.0],
                [0.0, 0.0, -1.0, 0.0],
                [0.0, 0.0, 0.0, 1.0],
            ],
            bounding_box: BoundingBox {
                min: [0.0, -10.0, 0.0],
                max: [30.0, 10.0, 8.0],
            },
            volume_mm3: 2048.0,
            mass_g: mass_g(2048.0, 750.0),
            species: "hard maple".to_string(),
            density_kg_m3: 750.0,
            triangles: 1200,
            deviation_mm: 0.0156,
            faces: BTreeMap::from([("split face".to_string(), 1)]),
        }
    }

    fn manifest(parts: Vec<Part>) -> Manifest {
        let settings = Settings { deviation_mm: 0.02 };
        Manifest {
            parts,
            ..Manifest::new("Käfer", false, settings)
        }
    }

    #[test]
    fn order_of_parts_does_not_reach_the_bytes() {
        let (a, b, c) = (
            part(2, Side::Upper),
            part(10, Side::Upper),
            part(2, Side::Lower),
        );
        let one = manifest(vec![a.clone(), b.clone(), c.clone()]);
        let two = manifest(vec![c, b, a]);
        assert_eq!(one.to_bytes(), two.to_bytes());
    }

    #[test]
    fn it_reads_back_and_lists_its_files() {
        let bytes = manifest(vec![part(1, Side::Upper)]).to_bytes().unwrap();
        let back: Manifest = serde_json::from_slice(&bytes).unwrap();
        assert_eq!(back.clone().to_bytes().unwrap(), bytes);
        assert_eq!(back.unit, "mm");
        let names: Vec<_> = listed(&bytes)
            .unwrap()
            .into_iter()
            .map(|f| f.name)
            .collect();
        assert_eq!(names, ["S01-Upper.step", "S01-Upper.stl"]);
    }

    #[test]
    fn hashes_and_masses() {
        // SHA-256 of "abc": FIPS 180-4 example.
        let abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!(sha256(b"abc"), abc);
        // 1 dm3 of water, 1000 kg/m3: 1 kg.
        assert!((mass_g(1e6, 1000.0) - 1000.0).abs() < 1e-9);
    }

    #[test]
    fn numbers_that_json_lacks_are_refused() {
        let mut bad = part(1, Side::Upper);
        bad.volume_mm3 = f64::NAN;
        assert_eq!(
            manifest(vec![bad]).to_bytes(),
            Err(ManifestError::OddNumber("S01-Upper".to_string()))
        );
    }

    #[test]
    fn foreign_manifests_are_told_apart() {
        for text in ["{}", r#"{"tool":{"name":"other"},"files":[]}"#] {
            assert_eq!(listed(text.as_bytes()), Err(ManifestError::Foreign));
        }
        assert!(matches!(listed(b"{\"tool\""), Err(ManifestError::Json(_))));
    }

    #[test]
    fn cautions_claim_nothing() {
        let all = CAUTIONS.join(" ").to_lowercase();
        for word in [
            "router",
            "dust",
            "adhesive",
            "small parts",
            "finish",
            "laws",
        ] {
            assert!(all.contains(word), "{word}");
        }
        assert!(all.contains("never claims that a toy complies"));
    }
}
