//! How much may be left on which face.

use super::task::{OF_CLEARANCE, OUTER, PIN};
use crate::brep::shape::FaceKind;
use crate::check::view::{View, normal_and_area};

/// Leftover that lands bear, mm (habit).
const LAND: f64 = 0.1;
/// Sine of the turn between two facets over which their edge is an inside corner: 11 degrees, well
/// over the turn of facets on a smooth hollow at the usual deviation (derived).
const CORNER: f64 = 0.2;

/// Limits of leftover by kind of face and, on the outer form, by place.
#[derive(Debug, Clone, Default)]
pub(super) struct Limits {
    /// Of ball and socket.
    joint: f64,
    /// Radius of the widest tip: what inside corners bear, and how far from them.
    corner: f64,
    edges: Vec<[[f64; 3]; 2]>,
    none: bool,
}

/// What a face is judged as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Judged {
    Joint,
    Pin,
    Land,
    /// Grooves and marks: closed forms tell of them.
    Untold,
    Outer,
}

impl Judged {
    pub fn of(kind: FaceKind) -> Judged {
        use FaceKind::{
            Ball, Fillet, Flare, GrooveFloor, GrooveWall, MarkFloor, MarkWall, PinChamfer,
            PinFloor, PinWall, Socket, TabTop, TabUnderside, TabWall,
        };
        match kind {
            Ball | Socket | Fillet => Judged::Joint,
            PinWall | PinFloor => Judged::Pin,
            Flare => Judged::Land,
            PinChamfer | GrooveFloor | GrooveWall | MarkFloor | MarkWall => Judged::Untold,
            TabTop | TabUnderside | TabWall => Judged::Untold,
            _ => Judged::Outer,
        }
    }
}

impl Limits {
    /// Nothing may be left: every place is searched to the end.
    #[cfg(test)]
    pub fn none() -> Limits {
        Limits {
            none: true,
            ..Limits::default()
        }
    }

    /// Of a body with this clearance, cut with tips of at most this radius.
    pub fn of(view: &View, clearance: f64, tip: f64) -> Limits {
        Limits {
            joint: OF_CLEARANCE * clearance,
            corner: tip,
            edges: inside_corners(view),
            none: false,
        }
    }

    /// At a place, and whether it is that of an inside corner.
    pub fn at(&self, kind: FaceKind, at: &[f64; 3]) -> (f64, bool) {
        if self.none {
            return (0.0, false);
        }
        match Judged::of(kind) {
            Judged::Joint => (self.joint, false),
            Judged::Pin => (PIN, false),
            Judged::Land => (LAND, false),
            Judged::Untold => (f64::INFINITY, false),
            Judged::Outer => {
                let near = self.edges.iter().any(|e| distance(at, e) <= self.corner);
                (if near { self.corner.max(OUTER) } else { OUTER }, near)
            }
        }
    }
}

/// Edges of a mesh where its faces turn towards each other by more than a hollow does.
fn inside_corners(view: &View) -> Vec<[[f64; 3]; 2]> {
    let mut all = Vec::new();
    for (number, beyond) in view.neighbours().iter().enumerate() {
        let corners = view.corners(number);
        for k in 0..3 {
            let other = beyond[k].map(|o| o as usize).filter(|&o| o < number);
            let Some(other) = other else { continue };
            let normals = [number, other].map(|t| normal_and_area(&view.corners(t)));
            let [Some((n, _)), Some((m, _))] = normals else {
                continue;
            };
            let cross = [
                n[1] * m[2] - n[2] * m[1],
                n[2] * m[0] - n[0] * m[2],
                n[0] * m[1] - n[1] * m[0],
            ];
            let turn = cross.iter().map(|c| c * c).sum::<f64>().sqrt();
            let hollow = view.over(number, other).is_some_and(|over| over > 0.0);
            if hollow && turn > CORNER {
                all.push([corners[k], corners[(k + 1) % 3]]);
            }
        }
    }
    all
}

/// Distance of a place from a segment.
fn distance(at: &[f64; 3], [a, b]: &[[f64; 3]; 2]) -> f64 {
    let d: [f64; 3] = std::array::from_fn(|k| b[k] - a[k]);
    let v: [f64; 3] = std::array::from_fn(|k| at[k] - a[k]);
    let long: f64 = d.iter().map(|c| c * c).sum();
    let along: f64 = (0..3).map(|k| d[k] * v[k]).sum();
    let t = if long > 0.0 {
        (along / long).clamp(0.0, 1.0)
    } else {
        0.0
    };
    (0..3)
        .map(|k| (v[k] - t * d[k]).powi(2))
        .sum::<f64>()
        .sqrt()
}
