//! What a set-up's cutters leave on the faces that are cut in it.
//!
//! Depths: places on every kind of face (middles of facets and their corners, a little inward),
//! the cells of the coarse map with the most left over, and then all facets round the worst
//! places, twice. Guaranteed at each place looked at: not less than the truth but for the mesh
//! ([`Left::depth_error_mm`]). Not guaranteed: that no worse place lies between.

use std::collections::BTreeMap;

use rayon::prelude::*;

use super::cutter::{Profile, Surface};
use super::drop::Ground;
use super::finer::{Finer, Volume};
use super::limits::{Judged, Limits};
use super::point::{Cutting, Place, REACHED};
use super::tool::{Surroundings, Tool};
use super::volume::{Fineness, Mapped, Scene, StockTips};
use crate::brep::set_up::SetUp;
use crate::brep::shape::{FaceKind, Half};
use crate::check::view::{View, normal_and_area};
use crate::mesh::Mesh;

/// What is left on one kind of face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Left {
    /// Kind of the faces.
    pub kind: FaceKind,
    /// Left over above the faces, mm3, extrapolated from two pitches; from finer maps where a depth
    /// is over its limit or the greatest.
    pub volume_mm3: f64,
    /// How far the two pitches' volumes lie apart, mm3: more than the error where the error falls
    /// with the pitch.
    pub volume_error_mm3: f64,
    /// Greatest normal depth, mm: distance of a place of the face to the nearest surface cut.
    pub normal_mm: f64,
    /// Greatest vertical depth, mm, among the worst places on faces that rise less than 45
    /// degrees; 0 when there is none.
    pub vertical_mm: f64,
    /// The place of the greatest normal depth, in the body's own frame, mm.
    pub at: [f64; 3],
    /// Where most is left over the limit, or least under it.
    pub judged: Against,
    /// Bound of the normal depth's error at that place, mm: twice the deviation of the mesh and
    /// the search's step. At the foot of a wall the vertical depth of a ball of radius r may be
    /// too low by sqrt(4 r deviation) besides.
    pub depth_error_mm: f64,
}

impl Left {
    /// The number of the kind with the greatest depth among those that are judged.
    pub(super) fn deepest(all: &[Left]) -> Option<usize> {
        let judged = (0..all.len()).filter(|&k| Judged::of(all[k].kind) != Judged::Untold);
        judged.max_by(|&a, &b| all[a].normal_mm.total_cmp(&all[b].normal_mm))
    }
}

/// A depth held against its limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Against {
    /// Normal depth left, mm.
    pub normal_mm: f64,
    /// What may be left there, mm; infinite when nothing is judged.
    pub limit_mm: f64,
    /// Whether it is at an inside corner of the outer form.
    pub corner: bool,
    /// The place in the body's own frame, mm.
    pub at: [f64; 3],
}

impl Against {
    /// How far over the limit, mm; negative under it.
    pub(super) fn excess(&self) -> f64 {
        self.normal_mm - self.limit_mm
    }
}

/// Facets of one kind that are looked at first.
const FIRST: usize = 16;
/// Facets looked at round the worst place.
const AROUND: usize = 16;
/// Distances from the worst place of the two finer looks, mm (habit).
const NEAR: [f64; 2] = [1.5, 0.4];
/// Corners are looked at this far inward, mm: at the wall's foot, yet on the floor.
const INWARD: f64 = 1e-3;
/// Cutters are taken this much thinner at least, mm.
const LEAST_SLACK: f64 = 1e-5;
/// Sine over which a face counts as lying: 45 degrees.
const LYING: f64 = std::f64::consts::FRAC_1_SQRT_2;

/// What the cutters leave, by kind of face: pointwise the least over all cutters. Kinds of which
/// this set-up cuts nothing do not appear. `clearance` (mm) is that of the body's joints; depths of
/// at most three quarters of their limit are not searched to the end.
pub fn leftover(
    half: &Half,
    mesh: &Mesh,
    up: SetUp,
    tools: &[Tool],
    around: &Surroundings,
    clearance: f64,
    fineness: Fineness,
) -> Vec<Left> {
    let view = View::of(half, mesh, up);
    let tips = tools.iter().map(|t| t.profile.tip());
    let limits = Limits::of(&view, clearance, tips.fold(0.0, f64::max));
    left_on(&view, up, tools, around, (fineness, &limits))
}

pub(super) fn left_on(
    view: &View,
    up: SetUp,
    tools: &[Tool],
    around: &Surroundings,
    (fineness, limits): (Fineness, &Limits),
) -> Vec<Left> {
    let cutters: Vec<Profile> = tools.iter().map(|t| t.profile).collect();
    let widest = cutters.iter().map(Profile::radius).fold(0.0, f64::max);
    let scenes = [1.0, 0.5].map(|by| Scene::of(view, around, widest, by * fineness.pitch));
    let mapped = [&scenes[0], &scenes[1]].map(|scene| scene.left(view, &cutters));
    let ground = Ground::of(view, around.floor);
    let stocks: Vec<StockTips> = cutters
        .iter()
        .map(|c| StockTips::of(&scenes[0], c))
        .collect();
    let lookups: Vec<_> = stocks.iter().map(|s| |at| s.at(at)).collect();
    let slack = view.deviation.max(LEAST_SLACK);
    let all = cutters.iter().zip(&lookups);
    let cuttings: Vec<Cutting> = all
        .map(|(&cutter, stock)| Cutting {
            ground: &ground,
            cutter,
            thin: Surface::of(&cutter.shrunk(slack)),
            stock,
            slack,
        })
        .collect();
    let mut facets: BTreeMap<FaceKind, Vec<usize>> = BTreeMap::new();
    for triangle in (0..view.triangles.len()).filter(|&t| view.own[t]) {
        facets
            .entry(view.kinds[triangle])
            .or_default()
            .push(triangle);
    }
    let kinds: Vec<_> = facets.into_iter().collect();
    let lefts = kinds.par_iter().map(|(kind, facets)| {
        let none = Mapped::default();
        let own = [0, 1].map(|k| mapped[k].get(kind).unwrap_or(&none));
        let worst = worst(view, (*kind, facets), &cuttings, own[1], limits);
        let [coarse, fine] = own.map(|m| m.volume);
        let volume = Volume::of(coarse, fine);
        Left {
            kind: *kind,
            volume_mm3: volume.mm3,
            volume_error_mm3: volume.error,
            normal_mm: worst.normal,
            vertical_mm: worst.vertical,
            at: up.turn(worst.at),
            judged: Against {
                at: up.turn(worst.judged.at),
                ..worst.judged
            },
            depth_error_mm: 2.0 * slack + REACHED,
        }
    });
    let mut lefts: Vec<Left> = lefts.collect();
    let finer = Finer {
        view,
        cutters: &cutters,
        around,
    };
    let deepest = Left::deepest(&lefts);
    lefts.par_iter_mut().enumerate().for_each(|(k, left)| {
        let over = left.judged.limit_mm > 0.0 && left.judged.excess() > left.depth_error_mm;
        let better = if over {
            finer.surely(left.kind)
        } else if deepest == Some(k) {
            finer.quickly(left.kind)
        } else {
            None
        };
        if let Some(better) = better {
            (left.volume_mm3, left.volume_error_mm3) = (better.mm3, better.error);
        }
    });
    lefts
}

/// The worst place found so far.
#[derive(Debug, Clone, Copy)]
struct Worst {
    normal: f64,
    vertical: f64,
    at: [f64; 3],
    judged: Against,
}

/// Places of one kind of face that are searched to the end in one look, at most.
const SEARCHES: usize = 8;
/// Part of a limit under which a depth is not searched to the end.
const NEARS: f64 = 0.75;

fn worst(
    view: &View,
    (kind, facets): (FaceKind, &[usize]),
    cuttings: &[Cutting],
    mapped: &Mapped,
    limits: &Limits,
) -> Worst {
    let limit = |at: &[f64; 3]| limits.at(kind, at);
    let mut places: Vec<Place> = thinned(facets, FIRST)
        .flat_map(|t| places_of(view, t))
        .collect();
    for &(_, triangle, at) in &mapped.seeds {
        if let Some((normal, _)) = normal_and_area(&view.corners(triangle as usize)) {
            places.push(Place { at, normal });
        }
    }
    let mut worst = Worst {
        normal: 0.0,
        vertical: 0.0,
        at: places.first().map_or([0.0; 3], |p| p.at),
        judged: Against {
            normal_mm: 0.0,
            limit_mm: f64::INFINITY,
            corner: false,
            at: places.first().map_or([0.0; 3], |p| p.at),
        },
    };
    look(&mut worst, &places, cuttings, &limit);
    for near in NEAR {
        if worst.normal <= REACHED.max(NEARS * limit(&worst.at).0) {
            break;
        }
        let round: Vec<usize> = facets
            .iter()
            .copied()
            .filter(|&t| touches(view, t, worst.at, near))
            .collect();
        let places: Vec<Place> = thinned(&round, AROUND)
            .flat_map(|t| places_of(view, t))
            .collect();
        look(&mut worst, &places, cuttings, &limit);
    }
    worst
}

/// Every so many-th, `most` at most.
fn thinned(facets: &[usize], most: usize) -> impl Iterator<Item = usize> {
    facets
        .iter()
        .copied()
        .step_by(facets.len().div_ceil(most).max(1))
}

/// Whether the box of a triangle comes within a distance of a place.
fn touches(view: &View, triangle: usize, at: [f64; 3], near: f64) -> bool {
    let corners = view.corners(triangle);
    (0..3).all(|k| {
        let of = corners.map(|c| c[k]);
        let (low, high) = (of[0].min(of[1]).min(of[2]), of[0].max(of[1]).max(of[2]));
        (low - near..=high + near).contains(&at[k])
    })
}

/// Middle and corners of a facet, the corners a little inward.
fn places_of(view: &View, triangle: usize) -> Vec<Place> {
    let corners = view.corners(triangle);
    let Some((normal, _)) = normal_and_area(&corners) else {
        return Vec::new();
    };
    let middle: [f64; 3] =
        std::array::from_fn(|k| (corners[0][k] + corners[1][k] + corners[2][k]) / 3.0);
    let inward = corners.map(|c| {
        let way: [f64; 3] = std::array::from_fn(|k| middle[k] - c[k]);
        let long = way.iter().map(|w| w * w).sum::<f64>().sqrt();
        let by = (INWARD / long).min(0.5);
        std::array::from_fn(|k| c[k] + by * way[k])
    });
    std::iter::once(middle)
        .chain(inward)
        .map(|at| Place { at, normal })
        .collect()
}

/// Bounds of the depths at all places, then searches from the greatest bound down, until no bound
/// is over what was found, [`SEARCHES`] at most.
fn look(
    worst: &mut Worst,
    places: &[Place],
    cuttings: &[Cutting],
    limit: &(dyn Fn(&[f64; 3]) -> (f64, bool) + Sync),
) {
    let bounded = places.par_iter().map(|place| {
        let (limit_mm, corner) = limit(&place.at);
        let enough = (NEARS * limit_mm).max(REACHED);
        let mut normal_mm = f64::INFINITY;
        for cutting in cuttings {
            normal_mm = normal_mm.min(cutting.bound(place, enough));
            if normal_mm <= enough {
                break;
            }
        }
        let at = place.at;
        let bound = Against {
            normal_mm,
            limit_mm,
            corner,
            at,
        };
        (bound, place)
    });
    let mut bounds: Vec<(Against, &Place)> =
        bounded.filter(|b| b.0.normal_mm.is_finite()).collect();
    bounds.sort_by(|a, b| b.0.excess().total_cmp(&a.0.excess()));
    let mut searches = 0;
    for (bound, place) in bounds {
        let enough = (NEARS * bound.limit_mm).max(REACHED);
        let mut found = bound;
        if bound.normal_mm > enough {
            if searches >= SEARCHES || bound.excess() <= worst.judged.excess() {
                continue;
            }
            searches += 1;
            let all = cuttings.iter().map(|c| c.normal(place, enough));
            found.normal_mm = all.fold(bound.normal_mm, f64::min);
        }
        if found.excess() > worst.judged.excess() {
            worst.judged = found;
        }
        if found.normal_mm > worst.normal {
            (worst.normal, worst.at) = (found.normal_mm, place.at);
            if found.normal_mm > enough && place.normal[2] > LYING {
                let all = cuttings.iter().map(|c| c.vertical(place));
                worst.vertical = worst.vertical.max(all.fold(f64::INFINITY, f64::min));
            }
        }
    }
}

#[cfg(test)]
#[path = "leftover_tests.rs"]
mod tests;
