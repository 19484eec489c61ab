//! The page of a creature: one HTML file that shows it in space, bends it, and lists what there is to
//! know. It needs nothing from outside: its one script is named by its hash, and nothing else may run
//! or load.

mod body;
mod kinds;
mod live;
mod machine;
mod packed;
mod script;
mod tables;

#[cfg(test)]
mod tests;

pub use live::{LiveFault, live_waiting};
pub use packed::{Measures, PackedMesh, left_sign};

use serde::Serialize;

use super::html::inline;
use crate::diagnostic::Severity;
use crate::report::ShopSheet;

/// The sign that a file is a page of this program.
const MAKER: &str = "<meta name=\"generator\" content=\"limberwood page\">";

/// Whether the bytes are a page of this program.
pub fn is_page(html: &[u8]) -> bool {
    let head = &html[..html.len().min(512)];
    head.windows(MAKER.len()).any(|w| w == MAKER.as_bytes())
}

/// What the page shows. Lengths in mm, angles in radians; places in the straight creature, which looks
/// along -x, its back along +z.
#[derive(Debug, Clone, PartialEq)]
pub struct CreaturePage {
    /// Name of the creature.
    pub creature: String,
    /// A body for benches: not for cutting.
    pub bench_only: bool,
    /// Wood.
    pub species: String,
    /// Linear light of its early and late wood.
    pub wood: [[f32; 3]; 2],
    /// Linear light of the colour scale, dark to pale.
    pub ramp: Vec<[f32; 3]>,
    /// The wall that is thick enough, and the most that is told apart.
    pub walls: [f64; 2],
    /// What the cutters leave, where it was measured: names of the two set-ups and the most on the scale.
    pub left: PageLeft,
    /// Mass of all parts, g.
    pub mass: f64,
    /// Length of the straight creature.
    pub length: f64,
    /// Names of the sections, front to rear.
    pub sections: Vec<String>,
    /// What the checks say, in three words.
    pub verdict: String,
    /// Whether the checks are done; else the page says that they are at work.
    pub checked: bool,
    /// The creature as PNG, for machines that cannot draw in space.
    pub picture: Vec<u8>,
    /// Meshes of the distinct parts, in their own frames.
    pub meshes: Vec<PackedMesh>,
    /// All parts, front to rear.
    pub parts: Vec<PagePart>,
    /// All joints, front to rear.
    pub joints: Vec<PageJoint>,
    /// All pins.
    pub pins: Vec<PagePin>,
    /// What the checks found, gravest first.
    pub findings: Vec<PageFinding>,
    /// What is left of the clearance of the joints.
    pub fits: Vec<PageFit>,
    /// The pieces of stock and the work at the machine.
    pub machine: PageMachine,
    /// Drawings of the distinct parts.
    pub drawings: Vec<PageDrawings>,
    /// Cautions.
    pub cautions: Vec<String>,
}

/// The scale of what the cutters leave.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PageLeft {
    /// Names of the first and the second set-up.
    pub names: [&'static str; 2],
    /// The most that is told apart by colour.
    pub most: f64,
}

/// A part.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PagePart {
    /// Its name.
    pub name: String,
    /// Index of its section.
    pub section: usize,
    /// Index of its mesh and its drawings.
    pub mesh: usize,
    /// Rows of the 4 x 4 matrix from its own frame into the straight creature.
    pub pose: [[f64; 4]; 4],
    /// A section in one piece.
    pub whole: bool,
    /// Extent of its box along its own axes.
    #[serde(skip)]
    pub size: [f64; 3],
    /// Mass, g.
    #[serde(skip)]
    pub mass: f64,
}

/// A joint.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PageJoint {
    /// Index of the section in front of it.
    pub after: usize,
    /// Common centre of ball and socket.
    pub centre: [f64; 3],
    /// Bend at which it stops, in any direction.
    pub limit: f64,
    /// What stops it.
    pub stop: &'static str,
    /// Diameters of ball, neck and mouth.
    #[serde(skip)]
    pub diameters: [f64; 3],
    /// Radial clearance.
    #[serde(skip)]
    pub clearance: f64,
    /// Ball radius less mouth radius.
    #[serde(skip)]
    pub capture: f64,
    /// Free movement along the axis.
    #[serde(skip)]
    pub play: f64,
    /// Gap at rest.
    #[serde(skip)]
    pub gap: f64,
}

/// A pin between two halves.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PagePin {
    /// Index of its section.
    pub section: usize,
    /// Its two ends.
    pub ends: [[f64; 3]; 2],
    /// Radius.
    pub radius: f64,
}

/// What a check found.
#[derive(Debug, Clone, PartialEq)]
pub struct PageFinding {
    /// How grave it is.
    pub severity: Severity,
    /// Name of the check.
    pub check: String,
    /// What it says.
    pub words: String,
    /// What was measured, in words.
    pub measured: Option<String>,
    /// Lines of the table under it.
    pub rows: Vec<String>,
    /// The reason for which the design accepts it.
    pub accepted: Option<String>,
    /// Index of the part and the place, where it has one.
    pub at: Option<(usize, [f64; 3])>,
}

/// The budget of a clearance.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PageFit {
    /// Joints with these numbers.
    pub joints: Vec<String>,
    /// What takes or gives, in the worst case, likely, and where the numbers come from.
    pub rows: Vec<[String; 4]>,
}

/// The work at the machine.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct PageMachine {
    /// The sheet for one creature.
    pub sheet: Option<ShopSheet>,
    /// Why there is none.
    pub refused: Vec<String>,
}

/// Both drawings of a distinct part.
#[derive(Debug, Clone, PartialEq)]
pub struct PageDrawings {
    /// Names of the parts.
    pub parts: Vec<String>,
    /// Name of each set-up and its drawing as SVG.
    pub set_ups: [(String, String); 2],
}

/// What the script reads.
#[derive(Serialize)]
struct Record<'a> {
    wood: [[f32; 3]; 2],
    ramp: &'a [[f32; 3]],
    walls: [f64; 2],
    left: &'a PageLeft,
    groups: Vec<&'static str>,
    meshes: &'a [PackedMesh],
    parts: &'a [PagePart],
    joints: &'a [PageJoint],
    pins: &'a [PagePin],
    places: Vec<Place<'a>>,
}

/// A place that the picture flies to.
#[derive(Serialize)]
struct Place<'a> {
    part: usize,
    at: [f64; 3],
    measured: &'a str,
    check: &'a str,
}

impl CreaturePage {
    /// The page.
    ///
    /// # Errors
    /// A number that JSON cannot hold.
    pub fn html(&self) -> Result<String, serde_json::Error> {
        let record = serde_json::to_string(&self.record())?;
        Ok(script::document(
            &self.creature,
            &self.body(),
            &record,
            None,
        ))
    }

    fn record(&self) -> Record<'_> {
        Record {
            wood: self.wood,
            ramp: &self.ramp,
            walls: self.walls,
            left: &self.left,
            groups: kinds::GROUPS.to_vec(),
            meshes: &self.meshes,
            parts: &self.parts,
            joints: &self.joints,
            pins: &self.pins,
            places: self.placed().map(|(_, place)| place).collect(),
        }
    }

    /// Findings with a place, by their index.
    fn placed(&self) -> impl Iterator<Item = (usize, Place<'_>)> {
        let all = self.findings.iter().enumerate();
        all.filter_map(|(k, f)| {
            let (part, at) = f.at?;
            let measured = f.measured.as_deref().unwrap_or_default();
            let check = f.check.as_str();
            Some((
                k,
                Place {
                    part,
                    at,
                    measured,
                    check,
                },
            ))
        })
    }
}

/// A drawing to stand in the page, where it is not 1:1, and without names that look like addresses.
fn drawn(svg: &str) -> String {
    inline(svg)
        .replace(" xmlns=\"http://www.w3.org/2000/svg\"", "")
        .replace("unit mm, 1:1", "unit mm")
}
