//! One distinct half: exact solid, mesh and numbers.

use super::refused::Refused;
use crate::brep::pose::Pose;
use crate::brep::shape::Half;
use crate::brep::{build, sew, volume};
use crate::chain::{HalfForm, SectionForm, Side, Walls};
use crate::clear::half::{Ligament, Refusal, eye_rims, ligaments, refusals};
use crate::diagnostic::Severity;
use crate::mesh::inspect::inspect;
use crate::mesh::{Mesh, second_opinion, tessellate};
use crate::skin::{self, Skin};

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
    /// Its first moments, mm4.
    pub moments: [f64; 3],
    /// How far the skin's section curves lie off their superellipses, mm.
    pub misfit: f64,
}

/// The two bodies of a half that are written, and walls thinner than the habit of the shop.
#[derive(Debug, Clone)]
pub struct Bodies {
    /// Without tabs: what the creature is made of.
    pub finished: Model,
    /// With the tabs that hold it in the blank; none when it has no tabs.
    pub held: Option<Model>,
    /// Thin walls, none of them refused, with the half of this body that they lie in: of a lone
    /// half the upper one.
    pub thin: Vec<(Side, Refusal)>,
    /// Distances between the features of a half, or of each side of a whole section.
    pub ligaments: Vec<Vec<Ligament>>,
}

/// A half with its outer form and what it keeps apart.
struct Measured {
    skin: Skin,
    /// Least distance between two features, mm.
    least: f64,
    thin: Vec<Refusal>,
    ligaments: Vec<Ligament>,
}

/// Measures, builds and meshes both bodies of a half.
///
/// # Errors
/// See [`Refused`].
pub fn bodies(
    finished: &HalfForm,
    held: &HalfForm,
    deviation: f64,
    walls: &Walls,
    bench_only: bool,
) -> Result<Bodies, Refused> {
    // The held half has every feature of the finished one, and the tabs.
    let measured = measure(held, walls, bench_only)?;
    let tabs = !held.features.tabs.is_empty();
    let (own, with_tabs) = rayon::join(
        || meshed(finished, &measured, deviation),
        || tabs.then(|| meshed(held, &measured, deviation)).transpose(),
    );
    Ok(Bodies {
        finished: own?,
        held: with_tabs?,
        thin: measured
            .thin
            .into_iter()
            .map(|r| (Side::Upper, r))
            .collect(),
        ligaments: vec![measured.ligaments],
    })
}

/// Measures, builds and meshes both bodies of a whole section: both halves are measured, and
/// their shells sewn.
///
/// # Errors
/// See [`Refused`].
pub fn whole(
    form: &SectionForm,
    deviation: f64,
    walls: &Walls,
    bench_only: bool,
) -> Result<Bodies, Refused> {
    let held = [Side::Upper, Side::Lower].map(|side| HalfForm::held(form, side));
    let (upper, lower) = rayon::join(
        || measure(&held[0], walls, bench_only),
        || measure(&held[1], walls, bench_only),
    );
    let (upper, lower) = (upper?, lower?);
    let body = |half: [&HalfForm; 2]| -> Result<Model, Refused> {
        let solids = (solid(half[0], &upper.skin)?, solid(half[1], &lower.skin)?);
        let sewn = sew(&solids.0, &solids.1).map_err(|e| Refused::Fault(e.0))?;
        let least = upper.least.min(lower.least);
        let misfit = upper.skin.misfit.max(lower.skin.misfit);
        finished(sewn, misfit, least, deviation)
    };
    let own = [Side::Upper, Side::Lower].map(|side| HalfForm::of(form, side));
    let tabs = !form.features.tabs.is_empty();
    let (finished, with_tabs) = rayon::join(
        || body([&own[0], &own[1]]),
        || tabs.then(|| body([&held[0], &held[1]])).transpose(),
    );
    Ok(Bodies {
        finished: finished?,
        held: with_tabs?,
        thin: in_whole(upper.thin, lower.thin),
        ligaments: vec![upper.ligaments, lower.ligaments],
    })
}

/// Thin walls of both halves in the frame of the whole: the lower half is turned about x.
fn in_whole(upper: Vec<Refusal>, lower: Vec<Refusal>) -> Vec<(Side, Refusal)> {
    let lower = lower.into_iter().map(|mut thin| {
        let [x, y, z] = thin.at;
        thin.at = [x, -y, -z];
        (Side::Lower, thin)
    });
    let upper = upper.into_iter().map(|thin| (Side::Upper, thin));
    upper.chain(lower).collect()
}

/// Measures, builds and meshes one body.
///
/// # Errors
/// See [`Refused`].
pub fn model(
    half: &HalfForm,
    deviation: f64,
    walls: &Walls,
    bench_only: bool,
) -> Result<Model, Refused> {
    meshed(half, &measure(half, walls, bench_only)?, deviation)
}

/// Measures and builds a half, without a mesh; and the coarsest deviation at which its features can
/// be meshed apart, mm.
///
/// # Errors
/// See [`Refused`].
pub(super) fn measured_solid(
    half: &HalfForm,
    walls: &Walls,
    bench_only: bool,
) -> Result<(Half, f64), Refused> {
    let measured = measure(half, walls, bench_only)?;
    Ok((solid(half, &measured.skin)?, MESH_GAP * measured.least))
}

fn measure(half: &HalfForm, walls: &Walls, bench_only: bool) -> Result<Measured, Refused> {
    let skin = skin::skin(half).map_err(Refused::Skin)?;
    eye_rims(half, &skin).map_err(|(number, e)| Refused::Eye(number, e))?;
    let ligaments = ligaments(half, &skin);
    let near = refusals(&ligaments, walls, bench_only);
    if near.iter().any(|r| r.severity == Severity::Error) {
        return Err(Refused::Near(near));
    }
    if let Some((at, down)) = skin.faces_down() {
        return Err(Refused::FacesDown(at, down));
    }
    let least = ligaments
        .iter()
        .map(|l| l.gap)
        .fold(f64::INFINITY, f64::min);
    Ok(Measured {
        skin,
        least,
        thin: near,
        ligaments,
    })
}

/// The walls of a half that are refused or thin, and all its distances, without a solid.
///
/// # Errors
/// An outer form that cannot be.
pub(super) fn distances(
    half: &HalfForm,
    walls: &Walls,
    bench_only: bool,
) -> Result<(Vec<Refusal>, Vec<Ligament>), Refused> {
    let skin = skin::skin(half).map_err(Refused::Skin)?;
    let ligaments = ligaments(half, &skin);
    Ok((refusals(&ligaments, walls, bench_only), ligaments))
}

fn solid(half: &HalfForm, skin: &Skin) -> Result<Half, Refused> {
    build(half, skin).map_err(Refused::from)
}

fn meshed(half: &HalfForm, measured: &Measured, deviation: f64) -> Result<Model, Refused> {
    let solid = solid(half, &measured.skin)?;
    finished(solid, measured.skin.misfit, measured.least, deviation)
}

/// Meshes a solid whose features keep `least` apart.
fn finished(solid: Half, misfit: f64, least: f64, deviation: f64) -> Result<Model, Refused> {
    // Facets of two faces that lie closer than twice the deviation could meet.
    let finer = deviation.min(MESH_GAP * least);
    let mesh = tessellate(&solid, finer).map_err(|e| Refused::Fault(e.0))?;
    let (volume, moments) = volume::moments(&solid);
    compare(&mesh, volume, deviation)?;
    Ok(Model {
        half: solid,
        mesh,
        volume,
        moments,
        misfit,
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

/// Corner positions of a mesh in a pose as they are written.
pub(super) fn positions(mesh: &Mesh, pose: Pose) -> Vec<[f32; 3]> {
    let corners = mesh.positions.iter();
    corners.map(|&p| pose.apply(p).map(|c| c as f32)).collect()
}

impl Model {
    /// Corner positions in a pose as they are written.
    pub fn positions(&self, pose: Pose) -> Vec<[f32; 3]> {
        positions(&self.mesh, pose)
    }

    /// Inspects the mesh as it will be written in a pose.
    ///
    /// # Errors
    /// The first finding, in words.
    pub fn check(&self, positions: &[[f32; 3]]) -> Result<(), String> {
        let seen = inspect(positions, &self.mesh.triangles);
        if seen.shells != 1 {
            return Err(format!("the mesh is {} bodies, not one", seen.shells));
        }
        match seen.findings.first() {
            None => Ok(()),
            Some(first) => Err(format!(
                "the mesh is not sound: {} at {:?}",
                first.fault, first.place
            )),
        }
    }
}
