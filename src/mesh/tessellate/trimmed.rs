//! Spline faces that are a part of their patch: windows, notches, holes.
//!
//! A constrained Delaunay mesh in the patch's parameters, each stretched so that the grid of a
//! whole patch has square cells: the metric in which a step either way costs as much deviation. Outline points are those of the divided edges, found again on the
//! patch; inner points begin as the grid of a whole patch and are added where a triangle lies too
//! far off. The outline is never divided further, so the mesh stays closed.

use spade::{Point2, Triangulation};

use crate::brep::NotClosed;
use crate::skin::patch::Patch;

use super::Mesh;
use super::division::Division;
use super::foot::Foot;
use super::plane::{Chart, Site, chart, flipped, inside};
use super::stretch::Stretched;
use super::topology::FaceData;

/// Rounds of adding points to triangles that lie too far off.
const ROUNDS: usize = 16;
/// Inner points keep this part of a cell away from the outline.
const MARGIN: f64 = 0.45;
/// An outline point further off its patch than this is a fault, mm.
const ON_PATCH: f64 = 1e-6;
/// A parameter that changes along an edge by less than this part of its range stands still.
const STILL: f64 = 1e-8;

/// Adds a trimmed spline face.
///
/// # Errors
/// [`NotClosed`] when an edge lies off the patch or the outline crosses itself.
pub fn mesh(
    mesh: &mut Mesh,
    face: &FaceData,
    patch: &Patch,
    division: &Division,
    deviation: f64,
) -> Result<(), NotClosed> {
    let stretched = Stretched::of(patch, deviation);
    let (us, vs) = (stretched.u_lines(), stretched.v_lines());
    let mut places = std::collections::BTreeMap::new();
    let mut rings = Vec::new();
    for uses in &face.loops {
        ring_places(mesh, patch, uses, division, &mut places)?;
        rings.push(division.ring(uses));
    }
    let border: Vec<Vec<Point2<f64>>> = rings
        .iter()
        .map(|ring| ring.iter().map(|v| stretched.place(places[v])).collect())
        .collect();
    let mut sites = places;
    for (i, pair) in us.windows(3).enumerate() {
        for j in 1..vs.len().saturating_sub(1) {
            let at = [us[i + 1], vs[j]];
            let cell = [0.5 * (pair[2] - pair[0]), 0.5 * (vs[j + 1] - vs[j - 1])];
            let (low, high) = (
                stretched.place([at[0] - cell[0], at[1] - cell[1]]),
                stretched.place([at[0] + cell[0], at[1] + cell[1]]),
            );
            let size = [0.5 * (high.x - low.x), 0.5 * (high.y - low.y)];
            if clear(&border, stretched.place(at), size) {
                mesh.positions.push(patch.jet(at[0], at[1]).p);
                sites.insert(mesh.positions.len() as u32 - 1, at);
            }
        }
    }
    let ringed: std::collections::BTreeSet<u32> = rings.iter().flatten().copied().collect();
    let loose: Vec<u32> = sites
        .keys()
        .copied()
        .filter(|v| !ringed.contains(v))
        .collect();
    let mut chart = chart(&rings, &loose, |v| stretched.place(sites[&v]))?;
    refine(mesh, &mut chart, &stretched, deviation)?;
    let triangles = inside(&chart);
    let place: std::collections::BTreeMap<u32, Point2<f64>> = chart
        .vertices()
        .map(|v| (v.data().id, v.data().at))
        .collect();
    for triangle in triangles {
        let worst = samples()
            .map(|share| measured(mesh, &stretched, triangle.map(|v| (v, place[&v])), share).0)
            .into_iter()
            .fold(0.0, f64::max);
        mesh.deviation = mesh.deviation.max(worst);
        mesh.triangles.push(if face.outside {
            triangle
        } else {
            flipped(triangle)
        });
    }
    Ok(())
}

/// Shares of the corners: middle of the triangle, of its sides, and half way to its corners.
fn samples() -> [[f64; 3]; 7] {
    let (third, near, far) = (1.0 / 3.0, 1.0 / 6.0, 2.0 / 3.0);
    [
        [third, third, third],
        [0.5, 0.5, 0.0],
        [0.0, 0.5, 0.5],
        [0.5, 0.0, 0.5],
        [far, near, near],
        [near, far, near],
        [near, near, far],
    ]
}

/// How far a mixed point of a triangle lies off the surface, and its place in the chart.
fn measured(
    mesh: &Mesh,
    stretched: &Stretched<'_>,
    corners: [(u32, Point2<f64>); 3],
    share: [f64; 3],
) -> (f64, Point2<f64>) {
    let (mut p, mut x, mut y) = ([0.0; 3], 0.0, 0.0);
    for ((v, at), s) in corners.iter().zip(share) {
        let q = mesh.positions[*v as usize];
        for c in 0..3 {
            p[c] += s * q[c];
        }
        x += s * at.x;
        y += s * at.y;
    }
    let at = Point2::new(x, y);
    (stretched.off(at, p), at)
}

/// Finds the outline's vertices on the patch. Along an edge on which a parameter stands still it
/// is made one number, so that no sliver lies between points of one line.
fn ring_places(
    mesh: &Mesh,
    patch: &Patch,
    uses: &[super::topology::Use],
    division: &Division,
    places: &mut std::collections::BTreeMap<u32, [f64; 2]>,
) -> Result<(), NotClosed> {
    let mut foot = Foot::new(patch);
    for use_ in uses {
        for vertex in division.along(*use_) {
            let p = mesh.positions[vertex as usize];
            let (at, miss) = foot.find(p);
            if miss > ON_PATCH {
                return Err(NotClosed(format!(
                    "an edge lies {miss:.1e} mm off its face at {p:?}"
                )));
            }
            places.entry(vertex).or_insert(at);
        }
    }
    let ranges = [patch.u_range(), patch.v_range()];
    for use_ in uses {
        let along = division.along(*use_);
        for (c, (from, to)) in ranges.into_iter().enumerate() {
            let values = || along.iter().map(|v| places[v][c]);
            let (low, high) = (
                values().fold(f64::INFINITY, f64::min),
                values().fold(f64::NEG_INFINITY, f64::max),
            );
            let still = STILL * (to - from);
            if high - low > still {
                continue;
            }
            let one = if low - from < still {
                from
            } else if to - high < still {
                to
            } else {
                low
            };
            for v in &along {
                if let Some(at) = places.get_mut(v) {
                    at[c] = one;
                }
            }
        }
    }
    Ok(())
}

/// Whether a place lies inside the outline and a part of its cell away from it.
fn clear(border: &[Vec<Point2<f64>>], p: Point2<f64>, cell: [f64; 2]) -> bool {
    let mut within = false;
    for ring in border {
        for (k, a) in ring.iter().enumerate() {
            let b = ring[(k + 1) % ring.len()];
            if (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x) {
                within = !within;
            }
            // In cells, so that narrow cells may come nearer.
            let scaled = |q: Point2<f64>| [(q.x - p.x) / cell[0], (q.y - p.y) / cell[1]];
            let (a, b) = (scaled(*a), scaled(b));
            let d = [b[0] - a[0], b[1] - a[1]];
            let square = d[0] * d[0] + d[1] * d[1];
            let t = if square > 0.0 {
                (-(a[0] * d[0] + a[1] * d[1]) / square).clamp(0.0, 1.0)
            } else {
                0.0
            };
            if (a[0] + t * d[0]).hypot(a[1] + t * d[1]) < MARGIN {
                return false;
            }
        }
    }
    within
}

/// Adds points to triangles that lie off the surface: on a side that is no outline, or inside.
fn refine(
    mesh: &mut Mesh,
    chart: &mut Chart,
    stretched: &Stretched<'_>,
    deviation: f64,
) -> Result<(), NotClosed> {
    for _ in 0..ROUNDS {
        let mut added: Vec<Point2<f64>> = Vec::new();
        let within: std::collections::BTreeSet<[u32; 3]> = inside(chart).into_iter().collect();
        for face in chart.inner_faces() {
            let corners = face.vertices().map(|v| (v.data().id, v.data().at));
            if !within.contains(&corners.map(|c| c.0)) {
                continue;
            }
            let edges = face.adjacent_edges();
            let fixed = edges.map(|e| e.is_constraint_edge());
            let worst = samples()
                .into_iter()
                .enumerate()
                .map(|(k, share)| (k, measured(mesh, stretched, corners, share)))
                .max_by(|a, b| a.1.0.total_cmp(&b.1.0));
            let Some((k, (off, at))) = worst else {
                continue;
            };
            if off <= deviation {
                continue;
            }
            // Sides are sampled in the order of the triangle's edges.
            let middle = measured(mesh, stretched, corners, samples()[0]).1;
            added.push(match k {
                1..=3 if !fixed[k - 1] => at,
                _ => middle,
            });
        }
        added.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
        added.dedup_by(|a, b| (a.x - b.x).hypot(a.y - b.y) < 1e-9);
        if added.is_empty() {
            return Ok(());
        }
        for at in added {
            mesh.positions.push(stretched.point(at));
            let id = mesh.positions.len() as u32 - 1;
            let before = chart.num_vertices();
            chart
                .insert(Site { at, id })
                .map_err(|e| NotClosed(format!("a trimmed face cannot be meshed: {e}")))?;
            if chart.num_vertices() == before {
                mesh.positions.pop();
            }
        }
    }
    Ok(())
}
