//! What a set-up's cutters leave at every corner of a mesh, for maps that people look at.
//!
//! Each corner is looked at a little inward on one facet of every face round it, and keeps the most.
//! Places over their limit are searched to the end like those of [`super::leftover()`]; others keep
//! the bound of a few starts, so the map is never lower than the truth but for the mesh, and calls
//! nothing a fault that a search would not.

use std::collections::BTreeSet;

use rayon::prelude::*;

use super::cutter::Profile;
use super::leftover::{depth_error, places_of, with_cuttings};
use super::limits::Limits;
use super::point::{Cutting, Place};
use super::tool::{Surroundings, Tool};
use super::volume::Scene;
use crate::brep::set_up::SetUp;
use crate::brep::shape::{FaceKind, Half};
use crate::check::undercut::over_corners;
use crate::check::view::View;
use crate::mesh::Mesh;

/// Depths under this count as reached, mm: half of what is printed.
const ENOUGH: f64 = 0.005;

/// What is left at a corner.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Depth {
    /// Normal depth, mm; 0 on faces that the set-up does not cut.
    pub left_mm: f64,
    /// Whether it is over its limit for certain: the mesh is no part of it.
    pub over: bool,
    /// Height of what stands over it, mm; 0 when a cutter sees it.
    pub hidden_mm: f64,
}

/// What is left at all corners of a body's mesh in one set-up.
#[derive(Debug, Clone, PartialEq)]
pub struct Depths {
    /// The set-up.
    pub up: SetUp,
    /// In the order of the mesh.
    pub corners: Vec<Depth>,
}

/// A corner of a facet that is looked at.
struct Looked {
    corner: usize,
    /// Triangle, and which of its corners.
    of: (usize, usize),
    kind: FaceKind,
    place: Place,
}

impl Depths {
    /// Of a body, with the clearance of its joints (mm) and the pitch of the map of the stock (mm).
    pub fn of(
        (half, mesh): (&Half, &Mesh),
        up: SetUp,
        tools: &[Tool],
        around: &Surroundings,
        (clearance, pitch): (f64, f64),
    ) -> Depths {
        let view = View::of(half, mesh, up);
        let cutters: Vec<Profile> = tools.iter().map(|t| t.profile).collect();
        let widest = cutters.iter().map(Profile::radius).fold(0.0, f64::max);
        let tip = cutters.iter().map(Profile::tip).fold(0.0, f64::max);
        let limits = Limits::of(&view, clearance, tip);
        let scene = Scene::of(&view, around, widest, pitch);
        let looked = looked(&view, mesh);
        let found: Vec<Depth> = with_cuttings(&view, &cutters, around, &scene, |cuttings| {
            let all = looked.par_iter();
            all.map(|own| left(&view, own, cuttings, &limits)).collect()
        });
        let of: Vec<(usize, usize)> = looked.iter().map(|own| own.of).collect();
        let hidden = over_corners(half, mesh, up, &of);
        let mut corners = vec![Depth::default(); mesh.positions.len()];
        for ((own, found), hidden_mm) in looked.iter().zip(found).zip(hidden) {
            let kept = &mut corners[own.corner];
            kept.left_mm = kept.left_mm.max(found.left_mm);
            kept.over |= found.over;
            kept.hidden_mm = kept.hidden_mm.max(hidden_mm);
        }
        Depths { up, corners }
    }
}

/// One facet's corner of every face round each corner of the mesh that the set-up cuts.
fn looked(view: &View, mesh: &Mesh) -> Vec<Looked> {
    let mut seen = BTreeSet::new();
    let mut all = Vec::new();
    for triangle in (0..view.triangles.len()).filter(|&t| view.own[t]) {
        // The middle of the facet comes first; a facet without area has no places.
        let places = places_of(view, triangle).into_iter().skip(1).enumerate();
        for (k, place) in places {
            if !seen.insert((view.triangles[triangle][k], mesh.face[triangle])) {
                continue;
            }
            all.push(Looked {
                corner: view.triangles[triangle][k] as usize,
                of: (triangle, k),
                kind: view.kinds[triangle],
                place,
            });
        }
    }
    all
}

fn left(view: &View, own: &Looked, cuttings: &[Cutting], limits: &Limits) -> Depth {
    let least = |measure: &dyn Fn(&Cutting) -> f64| {
        let mut least = f64::INFINITY;
        for cutting in cuttings {
            least = least.min(measure(cutting));
            if least <= ENOUGH {
                break;
            }
        }
        least
    };
    let mut left_mm = least(&|c| c.touched(&own.place));
    if left_mm > ENOUGH {
        left_mm = left_mm.min(least(&|c| c.bound(&own.place, ENOUGH)));
    }
    if !left_mm.is_finite() {
        return Depth::default();
    }
    let (limit, _) = limits.at(own.kind, &own.place.at);
    let over = |left: f64| left - depth_error(view) > limit;
    if over(left_mm) {
        left_mm = left_mm.min(least(&|c| c.normal(&own.place, ENOUGH)));
    }
    Depth {
        left_mm,
        over: over(left_mm),
        hidden_mm: 0.0,
    }
}
