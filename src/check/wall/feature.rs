//! Which designed feature each exact face belongs to.

use truck_modeling::Point3;

use crate::brep::shape::{Face, FaceKind, Half, Surface};
use crate::chain::{HalfForm, Side};
use crate::clear::half::{Facing, Feature};

/// A feature and the half of the body in which it lies: of a lone half the upper one.
pub type Owner = (Side, Feature);

/// Owner of each face, in the order of the faces; none for plates, tabs and marks, which are told
/// by the kind of their faces. `forms` are the body's halves: one, or upper and lower.
pub fn owners(body: &Half, forms: &[HalfForm]) -> Vec<Option<Owner>> {
    let faces = body.solid.face_iter().zip(&body.kinds);
    faces
        .map(|(face, kind)| {
            let at = middle(face);
            let lower = forms.len() > 1 && at.z < 0.0;
            let form = forms.get(usize::from(lower))?;
            let side = if lower { Side::Lower } else { Side::Upper };
            // The lower half is turned about x.
            let y = if lower { -at.y } else { at.y };
            feature(*kind, face, form, [at.x, y]).map(|f| (side, f))
        })
        .collect()
}

fn feature(kind: FaceKind, face: &Face, form: &HalfForm, at: [f64; 2]) -> Option<Feature> {
    let x = match face.surface() {
        Surface::Sphere { frame, .. } => frame.origin.x,
        _ => at[0],
    };
    let facing = if x < 0.5 * form.length {
        Facing::Front
    } else {
        Facing::Rear
    };
    let pin = || {
        let off = |p: &crate::chain::HalfPin| {
            let along = ((at[0] - p.x).abs() - 0.5 * p.slot).max(0.0);
            along.hypot(at[1] - p.y) - p.radius
        };
        nearest(form.pins.iter().map(off))
    };
    let eye = || {
        let off = |e: &crate::chain::Eye| (at[0] - e.x).hypot(at[1] - e.y) - e.radius;
        nearest(form.features.eyes.iter().map(off))
    };
    Some(match kind {
        FaceKind::SplitFace => Feature::SplitFace,
        FaceKind::Skin => Feature::Skin,
        FaceKind::Flat => Feature::Skin,
        FaceKind::Rim => Feature::Rim,
        FaceKind::Front => Feature::EndFace(Facing::Front),
        FaceKind::Rear => Feature::EndFace(Facing::Rear),
        FaceKind::Socket => Feature::Socket(facing),
        FaceKind::Flare => Feature::Flare(facing),
        FaceKind::Ball | FaceKind::Fillet => Feature::Ball(facing),
        FaceKind::Neck => Feature::Neck(facing),
        FaceKind::PinWall => Feature::PinHole(pin()?),
        FaceKind::PinFloor => Feature::PinFloor(pin()?),
        FaceKind::PinChamfer => Feature::PinChamfer(pin()?),
        FaceKind::EyeWall | FaceKind::EyeFloor => Feature::Eye(eye()?),
        FaceKind::GrooveWall | FaceKind::GrooveFloor => Feature::Groove(facing),
        FaceKind::PlateTop
        | FaceKind::PlateWall
        | FaceKind::PlateEase
        | FaceKind::TabTop
        | FaceKind::TabUnderside
        | FaceKind::TabWall
        | FaceKind::MarkWall
        | FaceKind::MarkFloor
        | FaceKind::StockFace
        | FaceKind::StockSide
        | FaceKind::WindowWall
        | FaceKind::DowelWall
        | FaceKind::SandingWall
        | FaceKind::ReliefWall
        | FaceKind::ReliefFloor
        | FaceKind::RoughWall
        | FaceKind::RoughLevel => return None,
    })
}

/// Number from 1 of the least.
fn nearest(off: impl Iterator<Item = f64>) -> Option<usize> {
    off.enumerate()
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(k, _)| k + 1)
}

/// Mean of the middles of the face's edges.
fn middle(face: &Face) -> Point3 {
    let (mut sum, mut count) = (truck_modeling::Vector3::new(0.0, 0.0, 0.0), 0.0);
    for wire in face.boundaries() {
        for edge in wire.edge_iter() {
            let curve = edge.curve();
            let (from, to) = curve.range();
            let at = curve.at(0.5 * (from + to));
            sum += at - Point3::new(0.0, 0.0, 0.0);
            count += 1.0;
        }
    }
    Point3::new(0.0, 0.0, 0.0) + sum / f64::max(count, 1.0)
}
