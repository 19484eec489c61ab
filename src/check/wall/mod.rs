//! The wall of one finished body: how thick the wood is.
//!
//! Wall at a point: the shortest way through wood to a face that looks the other way (outward
//! normals more than 120 degrees apart), where neither end lies within one wall limit of an edge
//! or corner that the two faces share: a thin edge is not a wall. Where the way only ends at that
//! limit, or at the 120 degrees of a round, and would go on getting shorter towards the edge, the
//! place belongs to the edge ([`WallMap::edges`]); a wall has a place where it is least.
//!
//! The search runs over the mesh, triangle against triangle, so edges and corners count; then the
//! ends are moved on the exact faces and edges (`Finish::way` in `exact.rs`).
//!
//! Guaranteed: of each pair of faces the mesh's least way is found, to the mesh's own normals; an
//! [`Found::Exact`] way is at a right angle to the exact faces, or as an edge allows, within
//! rounding; of places of one pair that are nearly as thin, up to `PLACES` are finished; the same
//! input gives the same answer.

mod body;
mod descent;
mod exact;
mod feature;
mod judge;
mod pair;
#[cfg(test)]
mod tests;
mod vertex;
mod zone;

pub use feature::{Owner, owners};
pub use judge::{Part, findings};

use rayon::prelude::*;

use crate::brep::shape::{FaceKind, Half};
use crate::mesh::Mesh;
use body::{Body, V};
use exact::{End, Finish};
use pair::Pair;
use zone::Zones;

/// The map ends at so many limits: thicker is thick enough.
pub const MOST: f64 = 4.0;
/// Walls are listed up to so many limits.
pub const LISTED: f64 = 2.0;
/// Places of one pair of faces that are looked at before its edge is taken for all there is.
const PLACES: usize = 6;

/// The wall that is thick enough between two faces, mm; none when they are not looked at.
pub type Limits<'a> = dyn Fn(usize, usize) -> Option<f64> + Sync + 'a;

/// Places of one pair of faces this near in thickness, mm, after two others: the wall is even
/// there, as between concentric balls, and the search ends.
const EVEN: f64 = 1e-7;

/// Walls of a body.
#[derive(Debug, Clone, Default)]
pub struct WallMap {
    /// The least wall of each pair of faces below [`LISTED`] limits, thinnest first.
    pub least: Vec<Wall>,
    /// Edges so thin that one limit away from them the wood is still below [`LISTED`] limits:
    /// wedges (there as thick as stated) and small rounds.
    pub edges: Vec<Wall>,
}

/// The wall at each corner of a mesh.
#[derive(Debug, Clone, Default)]
pub struct Thickness {
    /// Corners in the body's own frame, mm.
    pub positions: Vec<[f64; 3]>,
    /// Wall at each, mm, at most [`MOST`] limits.
    pub thickness: Vec<f32>,
}

/// The least way between two faces.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wall {
    /// Length of the way, mm.
    pub thickness: f64,
    /// Its ends, on the first face and on the second.
    pub at: [[f64; 3]; 2],
    /// Numbers of the faces in the order of the solid.
    pub faces: (usize, usize),
    /// Kinds of the faces.
    pub kinds: (FaceKind, FaceKind),
    /// How well it is known.
    pub found: Found,
}

/// How well a wall is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Found {
    /// Between the exact faces, to 1e-6 mm.
    Exact,
    /// Between the meshes; the exact way is within this, mm.
    Mesh {
        /// Twice the mesh's deviation.
        within: f64,
    },
}

impl WallMap {
    /// Walls of a body and its mesh.
    pub fn of(half: &Half, mesh: &Mesh, limits: &Limits) -> WallMap {
        let faces = exact::faces(half);
        let body = Body::of(mesh, faces.len());
        let zones = Zones::of(mesh);
        let finish = Finish {
            faces: &faces,
            body: &body,
            deviation: mesh.deviation,
        };
        let pairs: Vec<(usize, usize, f64)> = (0..faces.len())
            .flat_map(|a| (a..faces.len()).map(move |b| (a, b)))
            .filter_map(|(a, b)| Some((a, b, limits(a, b)?)))
            .filter(|&(a, b, limit)| meet(&body, a, b, LISTED * limit))
            .collect();
        let places: Vec<Place> = pairs
            .par_iter()
            .flat_map_iter(|&(a, b, limit)| places(half, &finish, &zones, (a, b), limit))
            .collect();
        let mut map = WallMap::default();
        for place in places {
            match place {
                Place::Wall(wall) => map.least.push(wall),
                Place::Edge(wall) => map.edges.push(wall),
            }
        }
        for list in [&mut map.least, &mut map.edges] {
            list.sort_by(|a, b| {
                let faces = a.faces.cmp(&b.faces);
                a.thickness.total_cmp(&b.thickness).then(faces)
            });
        }
        map
    }
}

impl Thickness {
    /// At each corner of a body's mesh; `limit` is the wall that is thick enough, mm.
    pub fn of(half: &Half, mesh: &Mesh, limit: f64) -> Thickness {
        let body = Body::of(mesh, half.solid.face_iter().count());
        let thickness = vertex::walls(mesh, &body, &Zones::of(mesh), limit, MOST * limit);
        Thickness {
            positions: mesh.positions.clone(),
            thickness,
        }
    }
}

/// Whether two faces come as near as `most` mm and may look away from each other.
fn meet(body: &Body, a: usize, b: usize, most: f64) -> bool {
    let (Some(a), Some(b)) = (body.roots[a], body.roots[b]) else {
        return false;
    };
    let (m, n) = (&body.nodes[a], &body.nodes[b]);
    m.apart(n) < most * most && m.faces(n)
}

enum Place {
    Wall(Wall),
    Edge(Wall),
}

/// The least wall of one pair of faces, and the edge that was passed over on the way to it.
///
/// After an exact place the search goes on beside it for ways that the mesh's deviation may have
/// made longer than that: of two places nearly as thin either may be the thinner.
fn places(
    half: &Half,
    finish: &Finish,
    zones: &Zones,
    faces: (usize, usize),
    limit: f64,
) -> Vec<Place> {
    let mut out: Vec<(V, f64)> = Vec::new();
    let (mut edge, mut least): (Option<Wall>, Option<Wall>) = (None, None);
    if !Pair::any(finish.body, faces, LISTED * limit) {
        return Vec::new();
    }
    let clipped = zones.clipped(finish.body, faces, limit, LISTED * limit);
    let (search, roots) = match &clipped {
        Some(clipped) => (clipped, [clipped.roots[0], clipped.roots[1]]),
        None => (
            finish.body,
            [faces.0, faces.1].map(|face| finish.body.roots[face]),
        ),
    };
    let kind = |face: usize| half.kinds.get(face).copied().unwrap_or(FaceKind::Skin);
    let within = 2.0 * finish.deviation;
    for turn in 0..PLACES {
        let pair = Pair {
            body: finish.body,
            search,
            roots,
            zones,
            faces,
            limit,
            out: &out,
        };
        let most = least.map_or(LISTED * limit, |wall| wall.thickness + within);
        let Some(way) = pair.least(most) else {
            break;
        };
        let wall = |thickness: f64, ends: [V; 2], found: Found| Wall {
            thickness,
            at: ends.map(Into::into),
            faces,
            kinds: (kind(faces.0), kind(faces.1)),
            found,
        };
        let meshed = wall(way.square.sqrt(), way.ends, Found::Mesh { within });
        match finish.way(&pair, &way) {
            End::Exact(distance, ends) => {
                let same = |wall: Wall| (wall.thickness - distance).abs() < EVEN;
                if turn > 1 && least.is_some_and(same) {
                    break;
                }
                let found = wall(distance, ends, Found::Exact);
                let thinner = least.is_none_or(|wall| found.thickness < wall.thickness);
                least = if thinner { Some(found) } else { least };
            }
            End::Lost => {
                let thinner = least.is_none_or(|wall| meshed.thickness < wall.thickness);
                least = if thinner { Some(meshed) } else { least };
                break;
            }
            End::Slides if turn == 0 => edge = Some(meshed),
            End::Slides => {}
        }
        // Look beside it, ever wider: edges are long, and walls may be even.
        let middle = (way.ends[0] + way.ends[1]) * 0.5;
        let wide = limit * f64::from(1u32 << turn.min(16));
        out.push((middle, wide + 0.5 * way.square.sqrt()));
    }
    let edge = edge.map(Place::Edge);
    edge.into_iter().chain(least.map(Place::Wall)).collect()
}
