//! Plane geometry of the tests' own: hulls of meshes, distances by all pairs, areas by many corners.

use limberwood::blank::Placed;
use limberwood::brep::shape::Half;
use limberwood::mesh::{Mesh, tessellate};
use limberwood::skin::plan::{Corner, Way};

/// Mesh deviation of the tests, mm.
pub const DEVIATION: f64 = 0.02;

pub fn mesh(body: &Half) -> Mesh {
    tessellate(body, DEVIATION).expect("it is meshed")
}

fn cross(o: [f64; 2], a: [f64; 2], b: [f64; 2]) -> f64 {
    (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0])
}

/// Convex hull, counter-clockwise (monotone chain, Andrew 1979, from memory).
pub fn hull(mut all: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    all.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    all.dedup();
    let chain = |points: &mut dyn Iterator<Item = [f64; 2]>| {
        let mut out: Vec<[f64; 2]> = Vec::new();
        for p in points {
            while out.len() > 1 && cross(out[out.len() - 2], out[out.len() - 1], p) <= 0.0 {
                out.pop();
            }
            out.push(p);
        }
        out.pop();
        out
    };
    let mut low = chain(&mut all.iter().copied());
    low.extend(chain(&mut all.iter().rev().copied()));
    low
}

/// The hull of a body in plan, as it lies on a piece.
pub fn lying(mesh: &Mesh, placed: &Placed) -> Vec<[f64; 2]> {
    let all = mesh.positions.iter();
    hull(all.map(|p| placed.apply([p[0], p[1]])).collect())
}

fn to_segment(p: [f64; 2], a: [f64; 2], b: [f64; 2]) -> f64 {
    let (d, e) = ([b[0] - a[0], b[1] - a[1]], [p[0] - a[0], p[1] - a[1]]);
    let long = d[0] * d[0] + d[1] * d[1];
    let t = if long > 0.0 {
        ((d[0] * e[0] + d[1] * e[1]) / long).clamp(0.0, 1.0)
    } else {
        0.0
    };
    (e[0] - t * d[0]).hypot(e[1] - t * d[1])
}

/// Whether a place lies in a polygon: a ray to the right crosses its border an odd number of times.
pub fn holds(polygon: &[[f64; 2]], p: [f64; 2]) -> bool {
    let edges = (0..polygon.len()).map(|k| (polygon[k], polygon[(k + 1) % polygon.len()]));
    let crossed = edges.filter(|(a, b)| {
        (a[1] > p[1]) != (b[1] > p[1])
            && p[0] < a[0] + (p[1] - a[1]) / (b[1] - a[1]) * (b[0] - a[0])
    });
    crossed.count() % 2 == 1
}

/// Distance of a place from the border of a polygon.
pub fn from_border(polygon: &[[f64; 2]], p: [f64; 2]) -> f64 {
    (0..polygon.len())
        .map(|k| to_segment(p, polygon[k], polygon[(k + 1) % polygon.len()]))
        .fold(f64::INFINITY, f64::min)
}

/// Distance of two polygons; 0 when one holds a corner of the other.
pub fn apart(a: &[[f64; 2]], b: &[[f64; 2]]) -> f64 {
    let inside = a.iter().any(|p| holds(b, *p)) || b.iter().any(|p| holds(a, *p));
    if inside {
        return 0.0;
    }
    let one = a.iter().map(|p| from_border(b, *p));
    let other = b.iter().map(|p| from_border(a, *p));
    one.chain(other).fold(f64::INFINITY, f64::min)
}

/// Corners of an outline, its arcs in short chords.
pub fn chords(outline: &[Corner]) -> Vec<[f64; 2]> {
    const EACH: u32 = 60;
    let next = |k: usize| outline[(k + 1) % outline.len()].at;
    let mut all = Vec::new();
    for (k, corner) in outline.iter().enumerate() {
        let (a, b) = (corner.at, next(k));
        let (centre, left) = match corner.way {
            Way::Line => {
                all.push(a);
                continue;
            }
            Way::Left { centre, .. } => (centre, true),
            Way::Right { centre, .. } => (centre, false),
        };
        let angle = |p: [f64; 2]| (p[1] - centre[1]).atan2(p[0] - centre[0]);
        let turn = (angle(b) - angle(a)).rem_euclid(std::f64::consts::TAU);
        let turn = if left {
            turn
        } else {
            turn - std::f64::consts::TAU
        };
        let radius = (a[0] - centre[0]).hypot(a[1] - centre[1]);
        all.extend((0..EACH).map(|i| {
            let t = angle(a) + turn * f64::from(i) / f64::from(EACH);
            [centre[0] + radius * t.cos(), centre[1] + radius * t.sin()]
        }));
    }
    all
}

/// Area of a polygon (Gauss's formula).
pub fn area(polygon: &[[f64; 2]]) -> f64 {
    let edges = (0..polygon.len()).map(|k| (polygon[k], polygon[(k + 1) % polygon.len()]));
    0.5 * edges.map(|(a, b)| a[0] * b[1] - a[1] * b[0]).sum::<f64>()
}
