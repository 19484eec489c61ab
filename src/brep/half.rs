//! One half as an exact solid.

use truck_modeling::{Point3, Vector3};

use super::end::{self, Axis, Corners};
use super::eye;
use super::flat;
use super::pocket;
use super::rim::{self, Border};
use super::shape::{Curve, Edge, FaceKind, Half, Surface, Vertex};
use super::spline;
use super::weave::{NotClosed, Weave, frame, line, vertex};
use crate::chain::{EndFace, Flank, HalfForm};
use crate::skin::eye::EyeError;
use crate::skin::flank::RimSide;
use crate::skin::patch::Patch;
use crate::skin::{self, Skin, SkinError};

/// Why a half was not built. The distances of room `clear` are to be kept before; what is left
/// here is a form the outer skin cannot take, or a fault of this program.
#[derive(Debug, Clone, PartialEq)]
pub enum BuildError {
    /// The outer form.
    Skin(SkinError),
    /// An eye without an edge on the skin.
    Eye(EyeError),
    /// The faces do not close.
    NotClosed(NotClosed),
}

impl From<NotClosed> for BuildError {
    fn from(e: NotClosed) -> Self {
        BuildError::NotClosed(e)
    }
}

/// Builds the exact solid of a half from its outer form ([`skin::skin`]).
///
/// # Errors
/// See [`BuildError`].
pub fn build(half: &HalfForm, skin: &Skin) -> Result<Half, BuildError> {
    let mut weave = Weave::default();
    let side = RimSide::of(half, skin);
    let rim = [skin.rim.clone(), skin.rim.mirrored_y()];
    let feet = [0, 1].map(|s| [false, true].map(|rear| corner(&rim[s], rear, false)));
    let tops = [0, 1].map(|s| [false, true].map(|rear| corner(&rim[s], rear, true)));
    let crest = [0, 1].map(|s: usize| along(&tops[s][0], &tops[s][1], &rim[s], true));
    let ends = [0, 1].map(|rear| Corners {
        foot: [0, 1].map(|s: usize| feet[s][rear].clone()),
        rim: [0, 1].map(|s: usize| rim_edge(half, rear, &feet[s][rear], &tops[s][rear])),
        skin: skin_edge(half, skin, rear, &tops[0][rear], &tops[1][rear]),
    });
    let eyes = half.features.eyes.iter();
    let mut holes = eyes
        .map(|e| eye::eye(&mut weave, skin, e))
        .collect::<Result<Vec<_>, _>>()?;
    for flat in &half.features.flats {
        holes.push(flat::flat(&mut weave, flat)?);
    }
    skin_face(&mut weave, skin, &crest, &ends, holes)?;
    let foot = Flank::BOTH.map(|flank| {
        let s = usize::from(flank == Flank::Plus);
        let border = Border {
            feet: [&feet[s][0], &feet[s][1]],
            top: &crest[s],
            ends: [&ends[0].rim[s], &ends[1].rim[s]],
        };
        rim::rim(&mut weave, half, &side, flank, &border)
    });
    let [minus, plus] = foot;
    let (minus, plus) = (minus?, plus?);
    let tilt = half.lean.tan();
    let front = Axis {
        datum: 0.0,
        out: -1.0,
        tilt,
    };
    let rear = Axis {
        datum: half.length,
        out: 1.0,
        tilt,
    };
    let front = end::end(&mut weave, &half.front, front, &ends[0])?;
    let rear = end::end(&mut weave, &half.rear, rear, &ends[1])?;
    // The split face looks down: clockwise seen from above, along y > 0 to the rear.
    let mut outline = plus.split;
    outline.extend(rear.iter().rev().map(Edge::inverse));
    outline.extend(minus.split.iter().rev().map(Edge::inverse));
    outline.extend(front);
    let mut loops = vec![outline];
    loops.extend(pocket::pockets(&mut weave, half)?);
    let plane = frame(
        Point3::new(0.0, 0.0, 0.0),
        -Vector3::unit_z(),
        Vector3::unit_x(),
    );
    weave.face(FaceKind::SplitFace, Surface::Plane(plane), true, loops)?;
    Ok(weave.finish()?)
}

/// Builds skin and solid in one go.
///
/// # Errors
/// See [`BuildError`].
pub fn build_form(half: &HalfForm) -> Result<(Half, Skin), BuildError> {
    let skin = skin::skin(half).map_err(BuildError::Skin)?;
    let solid = build(half, &skin)?;
    Ok((solid, skin))
}

fn corner(rim: &Patch, rear: bool, top: bool) -> Vertex {
    let row = &rim.net[if rear { rim.net.len() - 1 } else { 0 }];
    let p = row[if top { row.len() - 1 } else { 0 }];
    vertex(Point3::new(p[0], p[1], p[2]))
}

fn along(a: &Vertex, b: &Vertex, patch: &Patch, last: bool) -> Edge {
    Edge::new(a, b, Curve::Spline(spline::along_u(patch, last)))
}

fn end_of(half: &HalfForm, rear: usize) -> (EndFace, f64) {
    let end = if rear == 1 { &half.rear } else { &half.front };
    let station = if rear == 1 {
        half.stations.last()
    } else {
        half.stations.first()
    };
    (end.face, station.map_or(0.0, |s| s.x))
}

/// Up the rim's end: a ruling, or the circle's arc on a domed end.
fn rim_edge(half: &HalfForm, rear: usize, foot: &Vertex, top: &Vertex) -> Edge {
    match end_of(half, rear) {
        (EndFace::Domed { .. }, x) => {
            let turn = if foot.point().y < 0.0 { -1.0 } else { 1.0 };
            super::weave::arc(
                foot,
                top,
                Point3::new(x, 0.0, 0.0),
                Vector3::unit_x() * turn,
            )
        }
        _ => line(foot, top),
    }
}

/// Over the skin's end from y < 0 to y > 0: a spline, or the circle's arc on a domed end.
fn skin_edge(half: &HalfForm, skin: &Skin, rear: usize, minus: &Vertex, plus: &Vertex) -> Edge {
    match end_of(half, rear) {
        (EndFace::Domed { .. }, x) => {
            super::weave::arc(minus, plus, Point3::new(x, 0.0, 0.0), -Vector3::unit_x())
        }
        _ => Edge::new(
            minus,
            plus,
            Curve::Spline(spline::along_v(&skin.skin, rear == 1)),
        ),
    }
}

fn skin_face(
    weave: &mut Weave,
    skin: &Skin,
    crest: &[Edge; 2],
    ends: &[Corners; 2],
    holes: Vec<Vec<Edge>>,
) -> Result<(), NotClosed> {
    let edges = vec![
        crest[0].clone(),
        ends[1].skin.clone(),
        crest[1].inverse(),
        ends[0].skin.inverse(),
    ];
    weave.face(
        FaceKind::Skin,
        Surface::Spline(spline::surface(&skin.skin)),
        true,
        std::iter::once(edges).chain(holes).collect(),
    )
}
