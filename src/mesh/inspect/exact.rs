//! Exact decisions on float32 points.
//!
//! Coordinates are widened to float64, where Shewchuk's adaptive predicates (Adaptive
//! Precision Floating-Point Arithmetic and Fast Robust Geometric Predicates, 1997) give the
//! true sign. Products of three float32 numbers stay far from the ends of the float64 range
//! (2^±447 against 2^±1022), so no underflow spoils that.

use robust::{Coord, Coord3D, orient2d, orient3d};

/// A point as written to the file.
pub(super) type Point = [f32; 3];

/// Corners of a triangle.
pub(super) type Corners = [Point; 3];

/// A triangle with the normal of its plane at hand, so that most sides cost a dot product.
#[derive(Debug, Clone, Copy)]
pub(super) struct Plane {
    corners: Corners,
    normal: [f64; 3],
    /// Largest sum of sizes behind a component of the normal.
    size: f64,
}

impl Plane {
    /// The plane through three corners that are not in line.
    pub(super) fn new(corners: &Corners) -> Plane {
        let [a, b, c] = corners.map(|p| widen(&p));
        let (u, v) = (minus(&b, &a), minus(&c, &a));
        let mut size = 0.0;
        let normal = std::array::from_fn(|k| {
            let (l, m) = ((k + 1) % 3, (k + 2) % 3);
            let (s, t) = (u[l] * v[m], u[m] * v[l]);
            size = f64::max(size, s.abs() + t.abs());
            s - t
        });
        Plane {
            corners: *corners,
            normal,
            size,
        }
    }

    /// Which side of the plane `p` lies on: the sign is exact, zero means in the plane.
    /// Positive is the back (the side from which the corners run clockwise).
    ///
    /// Eight roundings lie on the way of each term, so the sum is wrong by at most 8 e, and a
    /// little, times size and distance; e = 2^-53. Where 10 e leaves doubt, the adaptive
    /// predicate decides.
    pub(super) fn side(&self, p: &Point) -> f64 {
        let d = minus(&widen(p), &widen(&self.corners[0]));
        let n = &self.normal;
        let height = d[0] * n[0] + d[1] * n[1] + d[2] * n[2];
        let doubt = 5.0 * f64::EPSILON * self.size * (d[0].abs() + d[1].abs() + d[2].abs());
        if height.abs() > doubt {
            return -height;
        }
        side(&self.corners, p)
    }
}

/// [`Plane::side`] without a plane at hand.
pub(super) fn side(plane: &Corners, p: &Point) -> f64 {
    let [a, b, c] = plane;
    // Planes across an axis are common (split face, plates) and would take the slow way.
    if (0..3).any(|k| a[k] == b[k] && b[k] == c[k] && c[k] == p[k]) {
        return 0.0;
    }
    orient3d(wide(a), wide(b), wide(c), wide(p))
}

/// Turn of a, b, c seen along `axis`: the sign is exact, zero means in line in that view.
pub(super) fn turn(axis: usize, a: &Point, b: &Point, c: &Point) -> f64 {
    orient2d(flat(axis, a), flat(axis, b), flat(axis, c))
}

/// Whether the three points lie on one line (or coincide), exactly.
pub(super) fn in_line(corners: &Corners) -> bool {
    let [a, b, c] = corners;
    (0..3).all(|axis| turn(axis, a, b, c) == 0.0)
}

/// The axis along which a triangle that is not [`in_line`] looks largest.
pub(super) fn best_view(corners: &Corners) -> usize {
    let [a, b, c] = corners;
    let seen: [f64; 3] = std::array::from_fn(|axis| turn(axis, a, b, c).abs());
    if seen[0] >= seen[1] && seen[0] >= seen[2] {
        0
    } else if seen[1] >= seen[2] {
        1
    } else {
        2
    }
}

/// Widened to float64.
pub(super) fn widen(p: &Point) -> [f64; 3] {
    p.map(f64::from)
}

fn minus(p: &[f64; 3], q: &[f64; 3]) -> [f64; 3] {
    [p[0] - q[0], p[1] - q[1], p[2] - q[2]]
}

fn wide(p: &Point) -> Coord3D<f64> {
    let [x, y, z] = widen(p);
    Coord3D { x, y, z }
}

fn flat(axis: usize, p: &Point) -> Coord<f64> {
    let (x, y) = match axis {
        0 => (p[1], p[2]),
        1 => (p[2], p[0]),
        _ => (p[0], p[1]),
    };
    Coord {
        x: f64::from(x),
        y: f64::from(y),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_last_bit_off_the_plane_is_seen() {
        // Three points of the plane x + y + z = 3 with no round coordinates.
        let plane = [[0.5, 0.25, 2.25], [1.75, 0.125, 1.125], [0.375, 1.5, 1.125]];
        let on = [1.0f32, 1.0, 1.0];
        let above = [1.0f32, 1.0, 1.0 + f32::EPSILON];
        let below = [1.0f32, 1.0, 1.0 - f32::EPSILON / 2.0];
        assert_eq!(side(&plane, &on), 0.0);
        assert!(side(&plane, &above) * side(&plane, &below) < 0.0);
    }

    #[test]
    fn positive_is_the_back() {
        let plane = [[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0]];
        assert!(side(&plane, &[0.2, 0.2, -1.0]) > 0.0);
        assert!(turn(2, &plane[0], &plane[1], &plane[2]) > 0.0);
    }

    #[test]
    fn in_line_only_when_every_view_says_so() {
        assert!(in_line(&[
            [1.0, 2.0, 3.0],
            [2.0, 4.0, 6.0],
            [4.0, 8.0, 12.0]
        ]));
        // In line when seen along x and along z.
        assert!(!in_line(&[
            [0.0, 0.0, 0.0],
            [1.0, 0.0, 0.0],
            [1.0, 0.0, 1e-30]
        ]));
        assert!(in_line(&[[1.0; 3], [1.0; 3], [2.0, 0.0, 5.0]]));
    }

    #[test]
    fn the_best_view_is_never_edge_on() {
        for axis in 0..3 {
            let mut t = [[0.0f32; 3]; 3];
            t[1][(axis + 1) % 3] = 1.0;
            t[2][(axis + 2) % 3] = 1.0;
            assert_eq!(best_view(&t), axis);
        }
    }
}
