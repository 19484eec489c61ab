//! The mesh of a body, face by face: one tree of boxes and cones of normals for each exact face.

use nalgebra::Vector3;

use crate::mesh::Mesh;
use crate::mesh::nearest::nearest_on_triangle;

/// Most triangles in a leaf (a guess; only pace depends on it).
const LEAF: usize = 4;
/// Lengths near which a crossing counts as the end of the way, mm: over the rounding of
/// coordinates below a metre.
const END: f64 = 1e-7;
/// Two faces look away from each other when their normals are further apart than this, radians.
pub(super) const APART: f64 = 2.0 * std::f64::consts::FRAC_PI_3;
/// Cosine of [`APART`].
pub(super) const APART_COS: f64 = -0.5;

pub(super) type V = Vector3<f64>;

/// A triangle with its unit normal.
#[derive(Debug, Clone, Copy)]
pub(super) struct Triangle {
    pub corners: [[f64; 3]; 3],
    pub normal: V,
}

/// A box with a cone of normals, and either two children or a run of triangles.
#[derive(Debug, Clone, Copy)]
pub(super) struct Node {
    pub lo: [f64; 3],
    pub hi: [f64; 3],
    /// Mean normal of the triangles.
    pub axis: V,
    /// Largest angle of a normal from it, radians.
    pub spread: f64,
    /// A normal must have a lower cosine with the axis than this for any to look away from it.
    pub away: f64,
    /// First triangle of a leaf; second child of an inner node.
    pub first: u32,
    /// Triangles of a leaf; 0 marks an inner node.
    pub count: u32,
}

/// All faces of a body.
#[derive(Debug, Clone, Default)]
pub(super) struct Body {
    pub triangles: Vec<Triangle>,
    pub nodes: Vec<Node>,
    /// Root of each exact face; none for a face without triangles.
    pub roots: Vec<Option<usize>>,
    /// End of each face's run of triangles.
    ends: Vec<usize>,
}

impl Body {
    pub fn of(mesh: &Mesh, faces: usize) -> Body {
        let mut by_face = vec![Vec::new(); faces];
        for (t, face) in mesh.triangles.iter().zip(&mesh.face) {
            let corners = t.map(|i| mesh.positions[i as usize]);
            let [a, b, c] = corners.map(V::from);
            let normal = (b - a).cross(&(c - a));
            let area = normal.norm();
            // A triangle without area has no side to look to; its edges belong to others too.
            if area > 0.0 {
                by_face[*face as usize].push(Triangle {
                    corners,
                    normal: normal / area,
                });
            }
        }
        Body::over(by_face)
    }

    /// Trees over the triangles of each face.
    pub fn over(by_face: Vec<Vec<Triangle>>) -> Body {
        let mut body = Body::default();
        for mut run in by_face {
            let root = (!run.is_empty()).then_some(body.nodes.len());
            if root.is_some() {
                body.grow(&mut run);
            }
            body.roots.push(root);
            body.ends.push(body.triangles.len());
        }
        body
    }

    /// Triangles of a face.
    pub fn run(&self, face: usize) -> std::ops::Range<usize> {
        let from = face.checked_sub(1).map_or(0, |before| self.ends[before]);
        from..self.ends[face]
    }

    fn grow(&mut self, run: &mut [Triangle]) {
        let own = self.nodes.len();
        self.nodes.push(Node::over(run));
        if run.len() <= LEAF {
            self.nodes[own].first = self.triangles.len() as u32;
            self.nodes[own].count = run.len() as u32;
            self.triangles.extend_from_slice(run);
            return;
        }
        let node = self.nodes[own];
        let axis = (0..3).fold(0, |most, k| {
            let wide = |k: usize| node.hi[k] - node.lo[k];
            if wide(k) > wide(most) { k } else { most }
        });
        let middle = |t: &Triangle| t.corners.iter().map(|c| c[axis]).sum::<f64>();
        let half = run.len() / 2;
        run.select_nth_unstable_by(half, |a, b| middle(a).total_cmp(&middle(b)));
        let (before, after) = run.split_at_mut(half);
        self.grow(before);
        self.nodes[own].first = self.nodes.len() as u32;
        self.grow(after);
    }

    /// Whether the open way from p to q crosses no face.
    pub fn clear(&self, p: &V, q: &V) -> bool {
        let way = q - p;
        let length = way.norm();
        if length <= 2.0 * END {
            return true;
        }
        let inverse = way.map(|x| 1.0 / x);
        let mut stack: Vec<usize> = self.roots.iter().flatten().copied().collect();
        while let Some(k) = stack.pop() {
            let node = &self.nodes[k];
            if !node.crossed(p, &inverse) {
                continue;
            }
            if node.count == 0 {
                stack.extend([k + 1, node.first as usize]);
            } else if self.triangles[node.run()]
                .iter()
                .any(|t| t.crossed(p, &way, END / length))
            {
                return false;
            }
        }
        true
    }

    /// Nearest point of the mesh of one face, and its distance.
    pub fn nearest(&self, face: usize, p: &V) -> Option<f64> {
        let mut best = f64::INFINITY;
        let mut stack = vec![self.roots[face]?];
        while let Some(k) = stack.pop() {
            let node = &self.nodes[k];
            if node.square(p) >= best {
                continue;
            }
            if node.count == 0 {
                stack.extend([k + 1, node.first as usize]);
                continue;
            }
            for t in &self.triangles[node.run()] {
                let q = V::from(nearest_on_triangle((*p).into(), &t.corners));
                best = best.min((q - p).norm_squared());
            }
        }
        Some(best.sqrt())
    }
}

impl Node {
    fn over(run: &[Triangle]) -> Node {
        let (mut lo, mut hi) = ([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]);
        let mut sum = V::zeros();
        for t in run {
            for c in t.corners {
                for k in 0..3 {
                    lo[k] = lo[k].min(c[k]);
                    hi[k] = hi[k].max(c[k]);
                }
            }
            sum += t.normal;
        }
        let axis = sum.try_normalize(1e-9).unwrap_or(run[0].normal);
        let off = |t: &Triangle| axis.dot(&t.normal).clamp(-1.0, 1.0).acos();
        // A little over, for the rounding of the angles.
        let spread = run.iter().map(off).fold(0.0, f64::max) + 1e-7;
        let away = if spread < APART {
            (APART - spread).cos()
        } else {
            2.0
        };
        Node {
            lo,
            hi,
            axis,
            spread,
            away,
            first: 0,
            count: 0,
        }
    }

    pub fn run(&self) -> std::ops::Range<usize> {
        self.first as usize..(self.first + self.count) as usize
    }

    /// Square of the distance from a point.
    pub fn square(&self, p: &V) -> f64 {
        (0..3)
            .map(|k| (self.lo[k] - p[k]).max(p[k] - self.hi[k]).max(0.0).powi(2))
            .sum()
    }

    /// Least square of the distance from another box: along the axes, or along the line of the
    /// middles, whichever is more.
    pub fn apart(&self, other: &Node) -> f64 {
        let (mut square, mut along, mut reach) = (0.0, 0.0, 0.0);
        for k in 0..3 {
            let off = (self.lo[k] - other.hi[k]).max(other.lo[k] - self.hi[k]);
            square += off.max(0.0).powi(2);
            let between = 0.5 * (self.lo[k] + self.hi[k] - other.lo[k] - other.hi[k]).abs();
            let girth = 0.5 * (self.hi[k] - self.lo[k] + other.hi[k] - other.lo[k]);
            along += between * between;
            reach += between * girth;
        }
        if along > reach {
            f64::max(square, (along - reach).powi(2) / along * (1.0 - 1e-12))
        } else {
            square
        }
    }

    /// Whether it lies wholly in a ball.
    pub fn within(&self, centre: &V, radius: f64) -> bool {
        let far = |k: usize| {
            (self.lo[k] - centre[k])
                .abs()
                .max((self.hi[k] - centre[k]).abs())
        };
        (0..3).map(|k| far(k).powi(2)).sum::<f64>() < radius * radius
    }

    /// Whether any two normals of the two nodes can look away from each other.
    pub fn faces(&self, other: &Node) -> bool {
        let left = APART - self.spread - other.spread;
        left <= 0.0 || self.axis.dot(&other.axis) <= left.cos()
    }

    /// Whether a way from here to the other node can begin and end in wood: against the normals
    /// here, and along those there.
    pub fn inwards(&self, other: &Node) -> bool {
        let (mut between, mut girth) = (V::zeros(), [0.0; 2]);
        for k in 0..3 {
            let (own, wide) = (self.lo[k] + self.hi[k], self.hi[k] - self.lo[k]);
            let (theirs, broad) = (other.lo[k] + other.hi[k], other.hi[k] - other.lo[k]);
            between[k] = 0.5 * (theirs - own);
            girth[0] += wide * wide;
            girth[1] += broad * broad;
        }
        let long = between.norm();
        let off = 0.5 * (girth[0].sqrt() + girth[1].sqrt());
        if off >= long {
            return true;
        }
        // Ways lie within this angle of the one between the middles.
        let most = (off / long).asin();
        let out = |axis: &V, spread: f64, way: &V| {
            let round = most + spread;
            round < std::f64::consts::FRAC_PI_2 && axis.dot(way) > round.sin() * long + END
        };
        !out(&self.axis, self.spread, &between) && !out(&other.axis, other.spread, &-between)
    }

    fn crossed(&self, p: &V, inverse: &V) -> bool {
        let (mut from, mut to) = (0.0f64, 1.0f64);
        for k in 0..3 {
            let (a, b) = (
                (self.lo[k] - p[k]) * inverse[k],
                (self.hi[k] - p[k]) * inverse[k],
            );
            // 0 times infinity: the way lies in the side's plane, which may touch.
            if a.is_nan() || b.is_nan() {
                continue;
            }
            (from, to) = (from.max(a.min(b)), to.min(a.max(b)));
        }
        from <= to * (1.0 + 1e-12) + 1e-12
    }
}

impl Triangle {
    /// Whether some way from here to the other may begin and end in wood; only roughly, and never
    /// no for one that does.
    pub fn inwards(&self, other: &Triangle) -> bool {
        let (p, q) = (self.corners.map(V::from), other.corners.map(V::from));
        let begins = q.iter().any(|q| self.normal.dot(&(q - p[0])) <= END);
        begins && p.iter().any(|p| other.normal.dot(&(q[0] - p)) >= -END)
    }

    /// Least square of the distance from another triangle: how far apart they are along the line
    /// of their middles.
    pub fn apart(&self, other: &Triangle) -> f64 {
        let (p, q) = (self.corners.map(V::from), other.corners.map(V::from));
        let line = q[0] + q[1] + q[2] - p[0] - p[1] - p[2];
        let least = q.iter().map(|q| q.dot(&line)).fold(f64::INFINITY, f64::min);
        let most = p
            .iter()
            .map(|p| p.dot(&line))
            .fold(f64::NEG_INFINITY, f64::max);
        let square = line.norm_squared();
        // Coordinates below a metre leave less than `END` of rounding.
        let off = (least - most) / square.sqrt() - END;
        if off > 0.0 { off * off } else { 0.0 }
    }

    /// Whether the way p + t `way` crosses it for t between `end` and 1 - `end`.
    fn crossed(&self, p: &V, way: &V, end: f64) -> bool {
        let [a, b, c] = self.corners.map(|c| V::from(c) - p);
        // Volumes spanned by the way and each edge (Plücker coordinates).
        let (u, v, w) = (
            way.dot(&c.cross(&b)),
            way.dot(&a.cross(&c)),
            way.dot(&b.cross(&a)),
        );
        if (u < 0.0 || v < 0.0 || w < 0.0) && (u > 0.0 || v > 0.0 || w > 0.0) {
            return false;
        }
        let slope = way.dot(&self.normal);
        if slope == 0.0 {
            return false;
        }
        let t = a.dot(&self.normal) / slope;
        t > end && t < 1.0 - end
    }
}
