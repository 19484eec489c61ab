//! One distinct half: exact solid, mesh and numbers.

use crate::brep::pose::Pose;
use crate::brep::shape::Half;
use crate::brep::{BuildError, build, volume};
use crate::chain::{HalfForm, Walls};
use crate::diagnostic::{Diagnostic, Diagnostics, Place};
use crate::mesh::inspect::inspect;
use crate::mesh::{Mesh, tessellate};
use crate::skin::{self, SkinError};

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
}

/// Why a half cannot be made.
#[derive(Debug, Clone)]
pub enum Refused {
    /// The outer form cannot be built.
    Skin(SkinError),
    /// A fault of this program: the faces do not close, or the mesh is not sound.
    Fault(String),
}

impl Refused {
    /// As messages at the section's place.
    pub fn diagnostics(&self, place: &Place, part: &str) -> Diagnostics {
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

/// Builds, meshes and inspects a half.
///
/// # Errors
/// See [`Refused`].
pub fn model(
    half: &HalfForm,
    deviation: f64,
    _walls: &Walls,
    _bench_only: bool,
) -> Result<Model, Refused> {
    let skin = skin::skin(half).map_err(Refused::Skin)?;
    let solid = build(half, &skin).map_err(|e| match e {
        BuildError::Skin(e) => Refused::Skin(e),
        BuildError::NotClosed(e) => Refused::Fault(e.0),
    })?;
    let mesh = tessellate(&solid, deviation).map_err(|e| Refused::Fault(e.0))?;
    let volume = volume::volume(&solid);
    Ok(Model {
        half: solid,
        mesh,
        volume,
        misfit: skin.misfit,
    })
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
