//! Edges that two faces share, as the mesh has them, and corners at which both end.

use std::collections::BTreeMap;

use super::body::{Body, Triangle, V};
use crate::mesh::Mesh;

/// Size of a piece on the border of a zone, in limits, that is not halved again: so far into the
/// zone a way of the mesh may end (habit; on the exact faces the zone is kept).
const BORDER: f64 = 0.125;

/// Shared edges of each pair of faces, lower face number first.
#[derive(Debug, Clone, Default)]
pub(super) struct Zones(BTreeMap<(usize, usize), Vec<[V; 2]>>);

impl Zones {
    pub fn of(mesh: &Mesh) -> Zones {
        let mut at: Vec<Vec<usize>> = vec![Vec::new(); mesh.positions.len()];
        let mut sides: BTreeMap<(u32, u32), usize> = BTreeMap::new();
        for (t, face) in mesh.triangles.iter().zip(&mesh.face) {
            let face = *face as usize;
            for k in 0..3 {
                let own = &mut at[t[k] as usize];
                if !own.contains(&face) {
                    own.push(face);
                }
            }
        }
        // Only edges between corners on several faces can be shared.
        for (t, face) in mesh.triangles.iter().zip(&mesh.face) {
            for k in 0..3 {
                let (a, b) = (t[k], t[(k + 1) % 3]);
                if at[a as usize].len() > 1 && at[b as usize].len() > 1 {
                    sides.insert((a, b), *face as usize);
                }
            }
        }
        let mut zones: BTreeMap<(usize, usize), Vec<[V; 2]>> = BTreeMap::new();
        let place = |i: u32| V::from(mesh.positions[i as usize]);
        for ((a, b), face) in &sides {
            if let Some(other) = sides.get(&(*b, *a))
                && face < other
            {
                zones
                    .entry((*face, *other))
                    .or_default()
                    .push([place(*a), place(*b)]);
            }
        }
        for (i, faces) in (0u32..).zip(&at) {
            // Where only two faces meet, the corner is inside their edge.
            if faces.len() > 2 {
                for one in faces {
                    for other in faces.iter().filter(|other| *other > one) {
                        let corner = [place(i), place(i)];
                        zones.entry((*one, *other)).or_default().push(corner);
                    }
                }
            }
        }
        Zones(zones)
    }

    /// Whether a point lies nearer than `limit` to an edge or corner that both faces share.
    pub fn hold(&self, a: usize, b: usize, p: &V, limit: f64) -> bool {
        let shared = self.0.get(&(a.min(b), a.max(b)));
        shared.is_some_and(|all| all.iter().any(|s| off(s, p) < limit * limit))
    }
}

impl Zones {
    /// Of two faces that share something, the triangles of each that reach further than `limit`
    /// from it, halved where they lie on the border, and no further than `most` from the other
    /// face's box; none for other faces.
    pub fn clipped(
        &self,
        body: &Body,
        (a, b): (usize, usize),
        limit: f64,
        most: f64,
    ) -> Option<Body> {
        let shared = self.0.get(&(a.min(b), a.max(b)))?;
        let round = Ball::round(shared);
        let faces = [(a, b), (b, a)].map(|(face, other)| {
            let mut kept = Vec::new();
            let other = body.roots[other].map(|root| &body.nodes[root]);
            for t in &body.triangles[body.run(face)] {
                let own = Ball::of(t);
                let reach = own.radius + most;
                if other.is_none_or(|o| o.square(&own.middle) > reach * reach) {
                    continue;
                }
                if (own.middle - round.middle).norm() > own.radius + round.radius + limit {
                    kept.push(*t);
                } else {
                    clip(t, shared, limit, &mut kept);
                }
            }
            kept
        });
        Some(Body::over(faces.into()))
    }
}

/// A ball round something.
struct Ball {
    middle: V,
    radius: f64,
}

impl Ball {
    fn of(t: &Triangle) -> Ball {
        let corners = t.corners.map(V::from);
        let middle = (corners[0] + corners[1] + corners[2]) / 3.0;
        let off = corners.iter().map(|c| (c - middle).norm_squared());
        Ball {
            middle,
            radius: off.fold(0.0, f64::max).sqrt(),
        }
    }

    fn round(segments: &[[V; 2]]) -> Ball {
        let ends = || segments.iter().flatten();
        let middle = ends().sum::<V>() / (2.0 * segments.len() as f64);
        let off = ends().map(|p| (p - middle).norm_squared());
        Ball {
            middle,
            radius: off.fold(0.0, f64::max).sqrt(),
        }
    }
}

/// Keeps what of a triangle lies outside; of small pieces on the border those whose middle does.
fn clip(t: &Triangle, shared: &[[V; 2]], limit: f64, kept: &mut Vec<Triangle>) {
    let corners = t.corners.map(V::from);
    let Ball { middle, radius } = Ball::of(t);
    let reach = limit + radius;
    let near = shared.iter().filter(|s| off(s, &middle) < reach * reach);
    let near: Vec<[V; 2]> = near.copied().collect();
    // The capsule of one segment is convex.
    let inside = |s: &[V; 2]| corners.iter().all(|p| off(s, p) < limit * limit);
    if near.iter().any(inside) {
        return;
    }
    if near.is_empty() {
        kept.push(*t);
        return;
    }
    if t.size() <= BORDER * limit {
        if near.iter().all(|s| off(s, &middle) >= limit * limit) {
            kept.push(*t);
        }
        return;
    }
    for part in &t.halves() {
        clip(part, &near, limit, kept);
    }
}

/// Square of the distance of a point from a segment.
fn off([a, b]: &[V; 2], p: &V) -> f64 {
    let (way, to) = (b - a, p - a);
    let square = way.norm_squared();
    let t = if square > 0.0 {
        (to.dot(&way) / square).clamp(0.0, 1.0)
    } else {
        0.0
    };
    (to - way * t).norm_squared()
}
