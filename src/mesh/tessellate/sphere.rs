//! Sphere faces: Delaunay on the sphere through the stereographic chart.
//!
//! The chart is conformal and maps circles to circles, so Delaunay in it is Delaunay on the
//! sphere. Faces of a half lie at or above the split plane through the centre, so the projection
//! from the lowest point of the sphere is safe; those of a whole section's lower half lie at or
//! below it and are seen in the mirror.

use spade::{Point2, Triangulation};
use truck_modeling::Point3;

use crate::brep::NotClosed;

use super::Mesh;
use super::division::Division;
use super::plane::{Chart, Site, chart, flipped, inside};
use super::topology::{FaceData, point};
use crate::mesh::nearest::on_triangle;

/// Rounds of adding points to triangles that are too flat, each round halving the worst.
const ROUNDS: usize = 12;
/// Spacing of inner points over the one whose triangles reach the deviation.
const SPACING: f64 = 0.88;
/// Inner points keep this part of the spacing away from the outline.
const MARGIN: f64 = 0.55;
/// Points added in one round stand at least this part of the spacing apart.
const APART: f64 = 0.2;

/// An outline this part of the radius under the centre belongs to a lower half (rounding noise
/// lies far below, every outline reaches far over it).
const BELOW: f64 = 1e-6;

struct Ball {
    centre: [f64; 3],
    radius: f64,
    /// 1 for the half over the split plane, -1 for the one under it, seen in the mirror z.
    up: f64,
}

impl Ball {
    fn place(&self, p: [f64; 3]) -> Point2<f64> {
        let d = [0, 1, 2].map(|c| (p[c] - self.centre[c]) / self.radius);
        let far = 1.0 + self.up * d[2];
        Point2::new(d[0] / far, d[1] / far)
    }

    fn onto(&self, p: [f64; 3]) -> [f64; 3] {
        let d = [0, 1, 2].map(|c| p[c] - self.centre[c]);
        let l = norm(d);
        [0, 1, 2].map(|c| self.centre[c] + d[c] * self.radius / l)
    }

    /// How far a triangle with corners on the sphere lies inside it, and where.
    fn sag(&self, t: [[f64; 3]; 3]) -> (f64, [f64; 3]) {
        let nearest = point(on_triangle(Point3::from(self.centre), &t.map(Point3::from)));
        (self.radius - gap(nearest, self.centre), nearest)
    }
}

fn norm(d: [f64; 3]) -> f64 {
    (d[0] * d[0] + d[1] * d[1] + d[2] * d[2]).sqrt()
}

fn gap(a: [f64; 3], b: [f64; 3]) -> f64 {
    norm([0, 1, 2].map(|c| a[c] - b[c]))
}

/// Adds a sphere face.
///
/// # Errors
/// [`NotClosed`] when the outline crosses itself.
pub fn mesh(
    mesh: &mut Mesh,
    face: &FaceData,
    division: &Division,
    centre: Point3,
    radius: f64,
    deviation: f64,
) -> Result<(), NotClosed> {
    let rings: Vec<Vec<u32>> = face.loops.iter().map(|uses| division.ring(uses)).collect();
    let mut outlined = rings.iter().flatten();
    let low = outlined.any(|&v| mesh.positions[v as usize][2] < centre.z - BELOW * radius);
    let ball = Ball {
        centre: [centre.x, centre.y, centre.z],
        radius,
        up: if low { -1.0 } else { 1.0 },
    };
    // An equilateral triangle of side h has its circumcircle at h / sqrt 3, sagitta h^2 / 6R.
    let spacing = SPACING * (6.0 * radius * deviation).sqrt();
    let outline: Vec<[f64; 3]> = rings
        .iter()
        .flatten()
        .map(|&v| mesh.positions[v as usize])
        .collect();
    let first = mesh.positions.len() as u32;
    let border: Vec<Vec<Point2<f64>>> = rings
        .iter()
        .map(|r| {
            r.iter()
                .map(|&v| ball.place(mesh.positions[v as usize]))
                .collect()
        })
        .collect();
    for p in lattice(&ball, spacing) {
        let clear = outline.iter().all(|&q| gap(p, q) > MARGIN * spacing);
        if clear && within(&border, ball.place(p)) {
            mesh.positions.push(p);
        }
    }
    let loose: Vec<u32> = (first..mesh.positions.len() as u32).collect();
    let mut chart = chart(&rings, &loose, |v| ball.place(mesh.positions[v as usize]))?;
    refine(mesh, &mut chart, &ball, deviation)?;
    for triangle in inside(&chart) {
        let (sag, _) = ball.sag(triangle.map(|v| mesh.positions[v as usize]));
        mesh.deviation = mesh.deviation.max(sag);
        // Counter-clockwise in the chart seen from its projection point's far side is
        // counter-clockwise from outside the sphere.
        mesh.triangles.push(if face.outside != low {
            triangle
        } else {
            flipped(triangle)
        });
    }
    Ok(())
}

fn refine(
    mesh: &mut Mesh,
    chart: &mut Chart,
    ball: &Ball,
    deviation: f64,
) -> Result<(), NotClosed> {
    let apart = APART * (6.0 * ball.radius * deviation).sqrt();
    for _ in 0..ROUNDS {
        let mut added = Vec::new();
        for t in inside(chart) {
            let (sag, place) = ball.sag(t.map(|v| mesh.positions[v as usize]));
            let p = ball.onto(place);
            // Two triangles may ask for the same point of their common side, but for rounding.
            if sag > deviation && added.iter().all(|&q| gap(p, q) > apart) {
                added.push(p);
            }
        }
        if added.is_empty() {
            return Ok(());
        }
        for p in added {
            let at = ball.place(p);
            mesh.positions.push(p);
            let id = mesh.positions.len() as u32 - 1;
            let before = chart.num_vertices();
            chart
                .insert(Site { at, id })
                .map_err(|e| NotClosed(format!("a sphere cannot be meshed: {e}")))?;
            if chart.num_vertices() == before {
                mesh.positions.pop();
            }
        }
    }
    Ok(())
}

/// Even points over the upper half sphere, in rings about its top.
fn lattice(ball: &Ball, spacing: f64) -> Vec<[f64; 3]> {
    let row = spacing * 3f64.sqrt() / 2.0 / ball.radius;
    let rows = (std::f64::consts::FRAC_PI_2 / row).ceil() as usize;
    let mut points = Vec::new();
    for k in 0..=rows {
        let polar = k as f64 * row;
        let ring = ball.radius * polar.sin();
        let count = ((std::f64::consts::TAU * ring / spacing).round() as usize).max(1);
        for i in 0..count {
            let turn = (i as f64 + 0.5 * (k % 2) as f64) / count as f64 * std::f64::consts::TAU;
            let d = [
                polar.sin() * turn.cos(),
                polar.sin() * turn.sin(),
                polar.cos(),
            ];
            let d = [d[0], d[1], ball.up * d[2]];
            points.push([0, 1, 2].map(|c| ball.centre[c] + ball.radius * d[c]));
        }
    }
    points
}

/// Even-odd test over all rings.
fn within(rings: &[Vec<Point2<f64>>], p: Point2<f64>) -> bool {
    let mut inside = false;
    for ring in rings {
        for (k, a) in ring.iter().enumerate() {
            let b = ring[(k + 1) % ring.len()];
            if (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x) {
                inside = !inside;
            }
        }
    }
    inside
}
