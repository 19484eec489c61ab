//! Exact areas and volumes of a part, worked out once, when first asked for.

use std::sync::OnceLock;

use crate::brep::shape::{FaceKind, Half};
use crate::brep::volume::{face_area, volume};

/// Of a part of a piece.
#[derive(Debug, Default)]
pub(super) struct Measures(OnceLock<Known>);

/// What is known of a part, mm2 and mm3.
#[derive(Debug)]
pub(super) struct Known {
    /// Volume of the finished body.
    pub volume: f64,
    /// Area of what is finished from outside.
    pub outer: f64,
    /// Area of sockets and flares.
    pub inner: f64,
    /// Volume of the body with its tabs to the window, and of the wood under its split face that sanding
    /// takes.
    pub held: f64,
}

impl Measures {
    /// Of a finished body, the same with tabs, and the height of wood under its split face.
    pub fn of(&self, finished: &Half, held: &Half, sanding: f64) -> &Known {
        self.0.get_or_init(|| Known {
            volume: volume(finished),
            outer: area(finished, is_outer),
            inner: area(finished, is_inner),
            held: volume(held) + sanding * area(held, |kind| kind == FaceKind::SplitFace),
        })
    }
}

fn area(body: &Half, wanted: fn(FaceKind) -> bool) -> f64 {
    let faces = body.solid.face_iter().zip(&body.kinds);
    let own = faces.filter(|(_, kind)| wanted(**kind));
    own.map(|(face, _)| face_area(face)).sum()
}

fn is_outer(kind: FaceKind) -> bool {
    use FaceKind::{
        Ball, Fillet, Flat, Front, Neck, PlateEase, PlateTop, PlateWall, Rear, Rim, Skin,
    };
    matches!(
        kind,
        Ball | Fillet | Flat | Front | Neck | PlateEase | PlateTop | PlateWall | Rear | Rim | Skin
    )
}

fn is_inner(kind: FaceKind) -> bool {
    matches!(kind, FaceKind::Socket | FaceKind::Flare)
}
