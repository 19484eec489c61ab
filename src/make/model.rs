//! One distinct half: exact solid, mesh and numbers.

use crate::brep::pose::Pose;
use crate::brep::shape::Half;
use crate::brep::{BuildError, build, volume};
use crate::chain::{HalfForm, Walls};
use crate::clear::half::{Refusal, ligaments, refusals};
use crate::diagnostic::{Diagnostic, Diagnostics, Place, Severity};
use crate::mesh::inspect::inspect;
use crate::mesh::{Mesh, second_opinion, tessellate};
use crate::skin::{self, SkinError};
use crate::units::Unit;

/// The mesh keeps within this part of the least distance between two features (derived: below
/// a half, facets of the two cannot meet).
const MESH_GAP: f64 = 0.25;

/// A distinct half, built and meshed.
#[derive(Debug, Clone)]
pub struct Model {
    /// The exact solid.
    pub half: Half,
    /// Its mesh.
    pub mesh: Mesh,
    /// Volume of the exact solid, mm3.
    pub volume: f64,
    /// How far the skin's section curves lie off their superellipses, mm.
    pub misfit: f64,
    /// Walls thinner than the habit of the shop, none of them refused.
    pub thin: Vec<Refusal>,
}

/// Why a half cannot be made.
#[derive(Debug, Clone)]
pub enum Refused {
    /// The outer form cannot be built.
    Skin(SkinError),
    /// Features too near to each other, with the thin walls found beside them.
    Near(Vec<Refusal>),
    /// A fault of this program: the faces do not close, or the mesh is not sound.
    Fault(String),
}

impl Refused {
    /// As messages at the section's place, lengths in `unit`.
    pub fn diagnostics(&self, place: &Place, part: &str, unit: Unit) -> Diagnostics {
        if let Refused::Near(refusals) = self {
            let mut all = Diagnostics::new();
            all.extend(
                refusals
                    .iter()
                    .map(|r| named(r.diagnostic(place.clone(), unit), part)),
            );
            return all;
        }
        let message = match self {
            Refused::Skin(SkinError::UnequalDomes(front, rear)) => Diagnostic::error(
                place.clone(),
                format!("both ends domed, with circles of radius {front:.2} and {rear:.2} mm"),
            )
            .allowed("one domed end, or two of equal radius")
            .way_out("give both end points the same half_width, or set one end to flat"),
            Refused::Skin(SkinError::RimOverDome(radius, rim)) => Diagnostic::error(
                place.clone(),
                format!("rim {rim:.2} mm against a domed end of radius {radius:.2} mm"),
            )
            .allowed("a rim lower than the domed end's radius")
            .way_out("lower the rim or widen the domed end"),
            Refused::Near(_) => Diagnostic::error(place.clone(), String::new()),
            Refused::Fault(what) => {
                Diagnostic::error(place.clone(), format!("{part} could not be made: {what}"))
                    .way_out(
                        "this is a fault of the program: please report it with the design file",
                    )
            }
        };
        Diagnostics::from(message)
    }
}

/// Names the part in front of what was found.
pub fn named(mut message: Diagnostic, part: &str) -> Diagnostic {
    message.found = format!("{part}: {}", message.found);
    message
}

/// Measures, builds and meshes a half.
///
/// # Errors
/// See [`Refused`].
pub fn model(
    half: &HalfForm,
    deviation: f64,
    walls: &Walls,
    bench_only: bool,
) -> Result<Model, Refused> {
    let skin = skin::skin(half).map_err(Refused::Skin)?;
    let ligaments = ligaments(half, &skin);
    let near = refusals(&ligaments, walls, bench_only);
    if near.iter().any(|r| r.severity == Severity::Error) {
        return Err(Refused::Near(near));
    }
    let solid = build(half, &skin).map_err(|e| match e {
        BuildError::Skin(e) => Refused::Skin(e),
        BuildError::NotClosed(e) => Refused::Fault(e.0),
    })?;
    // Facets of two faces that lie closer than twice the deviation could meet.
    let least = ligaments
        .iter()
        .map(|l| l.gap)
        .fold(f64::INFINITY, f64::min);
    let mesh =
        tessellate(&solid, deviation.min(MESH_GAP * least)).map_err(|e| Refused::Fault(e.0))?;
    let volume = volume::volume(&solid);
    compare(&mesh, volume, deviation)?;
    Ok(Model {
        half: solid,
        mesh,
        volume,
        misfit: skin.misfit,
        thin: near,
    })
}

/// The mesh against the solid, asked of a library that is not ours: closed, and the volume within
/// what the deviation allows over the whole surface.
fn compare(mesh: &Mesh, volume: f64, deviation: f64) -> Result<(), Refused> {
    let second = second_opinion(mesh);
    let allowed = mesh.area() * deviation;
    if !second.closed {
        return Err(Refused::Fault("the mesh is not closed".to_owned()));
    }
    if (second.volume - volume).abs() > allowed {
        return Err(Refused::Fault(format!(
            "the mesh holds {:.3} mm3, the solid {volume:.3} mm3, allowed {allowed:.3} apart",
            second.volume
        )));
    }
    Ok(())
}

impl Model {
    /// Corner positions in a pose as they are written.
    pub fn positions(&self, pose: Pose) -> Vec<[f32; 3]> {
        self.mesh
            .positions
            .iter()
            .map(|&p| pose.apply(p).map(|c| c as f32))
            .collect()
    }

    /// Inspects the mesh as it will be written in a pose.
    ///
    /// # Errors
    /// The first finding, in words.
    pub fn check(&self, positions: &[[f32; 3]]) -> Result<(), String> {
        let seen = inspect(positions, &self.mesh.triangles);
        match seen.findings.first() {
            None => Ok(()),
            Some(first) => Err(format!(
                "the mesh is not sound: {} at {:?}",
                first.fault, first.place
            )),
        }
    }
}
