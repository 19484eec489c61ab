//! Nearest points of segments and triangles; degenerate ones are allowed.

use truck_modeling::{InnerSpace, Point3};

/// Two points, one on each, and the square of their distance.
#[derive(Debug, Clone, Copy)]
pub(super) struct Apart {
    pub(super) square: f64,
    pub(super) points: [Point3; 2],
}

impl Apart {
    fn new(p: Point3, q: Point3) -> Apart {
        Apart {
            square: (q - p).magnitude2(),
            points: [p, q],
        }
    }

    fn nearer(self, other: Apart) -> Apart {
        if other.square < self.square {
            other
        } else {
            self
        }
    }
}

/// Nearest point of a triangle: of its border, or the foot on its plane when that lies inside.
/// Both are asked, since in a sliver the plane is lost in rounding but the border is near.
pub(in crate::mesh) fn on_triangle(p: Point3, t: &[Point3; 3]) -> Point3 {
    let mut best = Apart::new(on_segment(p, t[0], t[1]), p);
    for (from, to) in [(t[1], t[2]), (t[2], t[0])] {
        best = best.nearer(Apart::new(on_segment(p, from, to), p));
    }
    if let Some(foot) = foot_inside(p, t) {
        best = best.nearer(Apart::new(foot, p));
    }
    best.points[0]
}

/// Foot of the perpendicular, if it falls inside a triangle that has area; mixed from the
/// corners with shares that are not negative, so that it cannot leave the triangle.
fn foot_inside(p: Point3, t: &[Point3; 3]) -> Option<Point3> {
    let normal = (t[1] - t[0]).cross(t[2] - t[0]);
    let share = |k: usize| {
        let edge = t[(k + 2) % 3] - t[(k + 1) % 3];
        edge.cross(p - t[(k + 1) % 3]).dot(normal)
    };
    let [a, b, c] = [share(0), share(1), share(2)];
    let all = a + b + c;
    (all > 0.0 && a >= 0.0 && b >= 0.0 && c >= 0.0)
        .then(|| t[0] + (t[1] - t[0]) * (b / all) + (t[2] - t[0]) * (c / all))
}

fn on_segment(p: Point3, from: Point3, to: Point3) -> Point3 {
    let along = to - from;
    let square = along.magnitude2();
    if square > 0.0 {
        from + along * ((p - from).dot(along) / square).clamp(0.0, 1.0)
    } else {
        from
    }
}

/// Nearest points of two segments: where the common perpendicular meets both inside, else the
/// nearest of the four ends to the other segment.
fn segments(a: [Point3; 2], b: [Point3; 2]) -> Apart {
    let mut best = Apart::new(a[0], on_segment(a[0], b[0], b[1]));
    best = best.nearer(Apart::new(a[1], on_segment(a[1], b[0], b[1])));
    for end in b {
        best = best.nearer(Apart::new(on_segment(end, a[0], a[1]), end));
    }
    let (u, v, w) = (a[1] - a[0], b[1] - b[0], b[0] - a[0]);
    let n = u.cross(v);
    let square = n.magnitude2();
    if square > 0.0 {
        let (s, t) = (w.cross(v).dot(n) / square, w.cross(u).dot(n) / square);
        if (0.0..=1.0).contains(&s) && (0.0..=1.0).contains(&t) {
            best = best.nearer(Apart::new(a[0] + u * s, b[0] + v * t));
        }
    }
    best
}

/// Nearest points of two triangles, one on each in order: of their edges, or of a corner and the other
/// triangle, or where an edge passes through.
pub(super) fn triangles(a: &[Point3; 3], b: &[Point3; 3]) -> Apart {
    let edge = |t: &[Point3; 3], k: usize| [t[k], t[(k + 1) % 3]];
    let mut best = segments(edge(a, 0), edge(b, 0));
    for k in 0..3 {
        for l in 0..3 {
            best = best.nearer(segments(edge(a, k), edge(b, l)));
        }
        best = best.nearer(Apart::new(a[k], on_triangle(a[k], b)));
        best = best.nearer(Apart::new(on_triangle(b[k], a), b[k]));
        if let Some(apart) = pierced(edge(a, k), b) {
            best = best.nearer(apart);
        }
        if let Some(Apart {
            square,
            points: [on_b, on_a],
        }) = pierced(edge(b, k), a)
        {
            let points = [on_a, on_b];
            best = best.nearer(Apart { square, points });
        }
    }
    best
}

/// Where a segment passes through a triangle, on both. Within rounding of its border it may be
/// missed; then the edges are as near as rounding.
fn pierced([p, q]: [Point3; 2], t: &[Point3; 3]) -> Option<Apart> {
    let normal = (t[1] - t[0]).cross(t[2] - t[0]);
    let (below, above) = ((p - t[0]).dot(normal), (q - t[0]).dot(normal));
    if below * above >= 0.0 {
        return None;
    }
    let point = p + (q - p) * (below / (below - above));
    foot_inside(point, t).map(|foot| Apart::new(point, foot))
}
