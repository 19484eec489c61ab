//! Sound bodies for the tests, and ways to spoil them.

use std::collections::BTreeMap;

/// Positions and triangles.
#[derive(Debug, Clone)]
pub(super) struct Body {
    pub(super) positions: Vec<[f32; 3]>,
    pub(super) triangles: Vec<[u32; 3]>,
}

impl Body {
    /// Axis-parallel box, two triangles a side.
    pub(super) fn block(lo: [f32; 3], hi: [f32; 3]) -> Body {
        let positions = (0..8)
            .map(|k| std::array::from_fn(|a| if k >> a & 1 == 0 { lo[a] } else { hi[a] }))
            .collect();
        let triangles = vec![
            [0, 2, 3],
            [0, 3, 1],
            [4, 5, 7],
            [4, 7, 6],
            [0, 1, 5],
            [0, 5, 4],
            [2, 6, 7],
            [2, 7, 3],
            [0, 4, 6],
            [0, 6, 2],
            [1, 3, 7],
            [1, 7, 5],
        ];
        Body {
            positions,
            triangles,
        }
    }

    /// Tetrahedron, turned outside out whatever the order of its corners.
    pub(super) fn tetrahedron(p: [[f32; 3]; 4]) -> Body {
        let d = |k: usize| p[k].map(f64::from);
        let sub = |a: [f64; 3], b: [f64; 3]| [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
        let (u, v, w) = (sub(d(1), d(0)), sub(d(2), d(0)), sub(d(3), d(0)));
        let six = u[0] * (v[1] * w[2] - v[2] * w[1])
            + u[1] * (v[2] * w[0] - v[0] * w[2])
            + u[2] * (v[0] * w[1] - v[1] * w[0]);
        let body = Body {
            positions: p.to_vec(),
            triangles: vec![[0, 2, 1], [0, 1, 3], [1, 2, 3], [0, 3, 2]],
        };
        if six < 0.0 { body.turned_over() } else { body }
    }

    /// Sphere by splitting an icosahedron's triangles in four, `times` over.
    pub(super) fn icosphere(radius: f64, times: u32) -> Body {
        let g = (1.0 + 5f64.sqrt()) / 2.0;
        let mut unit: Vec<[f64; 3]> = Vec::new();
        for (a, b) in [(1.0, g), (-1.0, g), (1.0, -g), (-1.0, -g)] {
            unit.extend([[0.0, a, b], [a, b, 0.0], [b, 0.0, a]]);
        }
        let mut triangles = hull_faces(&unit);
        for _ in 0..times {
            triangles = split_in_four(&mut unit, &triangles);
        }
        let positions = unit
            .iter()
            .map(|p| {
                let size = (p[0] * p[0] + p[1] * p[1] + p[2] * p[2]).sqrt();
                p.map(|x| (x * radius / size) as f32)
            })
            .collect();
        Body {
            positions,
            triangles,
        }
    }

    /// A cube of side 2 `outer` with square tunnels of half width `inner` along x and along y,
    /// neither of which knows of the other.
    pub(super) fn two_tunnels(outer: f32, inner: f32) -> Body {
        let mut body = Body::block([-outer; 3], [outer; 3]);
        body.triangles.clear();
        for axis in [0, 1] {
            body.tunnel(axis, outer, inner);
        }
        // The sides across z are whole.
        body.triangles
            .extend([[0, 2, 3], [0, 3, 1], [4, 5, 7], [4, 7, 6]]);
        body
    }

    /// Both pierced sides across `axis` and the tunnel's walls.
    fn tunnel(&mut self, axis: usize, outer: f32, inner: f32) {
        let (b, c) = ((axis + 1) % 3, (axis + 2) % 3);
        let first = self.positions.len() as u32;
        let signs = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)];
        for end in [-outer, outer] {
            for (s, t) in signs {
                let mut p = [0.0; 3];
                (p[axis], p[b], p[c]) = (end, s * inner, t * inner);
                self.positions.push(p);
            }
        }
        let rim = |end: u32, k: u32| first + 4 * end + k % 4;
        let cube = |end: u32, k: u32| {
            let (s, t) = signs[k as usize % 4];
            (end << axis) + (u32::from(s > 0.0) << b) + (u32::from(t > 0.0) << c)
        };
        for k in 0..4 {
            let [o, p, q, r] = [cube(1, k), cube(1, k + 1), rim(1, k + 1), rim(1, k)];
            self.triangles.extend([[o, p, q], [o, q, r]]);
            let [o, p, q, r] = [cube(0, k + 1), cube(0, k), rim(0, k), rim(0, k + 1)];
            self.triangles.extend([[o, p, q], [o, q, r]]);
            let [o, p, q, r] = [rim(0, k), rim(1, k), rim(1, k + 1), rim(0, k + 1)];
            self.triangles.extend([[o, p, q], [o, q, r]]);
        }
    }

    /// Every triangle the other way round.
    pub(super) fn turned_over(mut self) -> Body {
        self.triangles.iter_mut().for_each(|t| t.swap(1, 2));
        self
    }

    /// Both bodies in one mesh.
    pub(super) fn and(mut self, other: &Body) -> Body {
        let first = self.positions.len() as u32;
        self.positions.extend(&other.positions);
        let moved = other.triangles.iter().map(|t| t.map(|p| p + first));
        self.triangles.extend(moved);
        self
    }

    /// Every position replaced.
    pub(super) fn moved(mut self, by: impl Fn([f32; 3]) -> [f32; 3]) -> Body {
        self.positions.iter_mut().for_each(|p| *p = by(*p));
        self
    }

    /// Three positions of its own for every triangle, as STL stores them.
    pub(super) fn soup(&self) -> Body {
        let positions = self
            .triangles
            .iter()
            .flatten()
            .map(|&c| self.positions[c as usize])
            .collect();
        let triangles = (0..self.triangles.len() as u32)
            .map(|t| [3 * t, 3 * t + 1, 3 * t + 2])
            .collect();
        Body {
            positions,
            triangles,
        }
    }
}

/// The triples of an icosahedron's corners at edge length 2, outward.
fn hull_faces(p: &[[f64; 3]]) -> Vec<[u32; 3]> {
    let near = |a: usize, b: usize| {
        let d: f64 = (0..3).map(|k| (p[a][k] - p[b][k]).powi(2)).sum();
        (d - 4.0).abs() < 1e-9
    };
    let mut faces = Vec::new();
    for a in 0..p.len() {
        for b in a + 1..p.len() {
            for c in b + 1..p.len() {
                if near(a, b) && near(b, c) && near(c, a) {
                    let (u, v, w) = (p[a], p[b], p[c]);
                    let det = u[0] * (v[1] * w[2] - v[2] * w[1])
                        + u[1] * (v[2] * w[0] - v[0] * w[2])
                        + u[2] * (v[0] * w[1] - v[1] * w[0]);
                    let [a, b, c] = [a, b, c].map(|k| k as u32);
                    faces.push(if det > 0.0 { [a, b, c] } else { [a, c, b] });
                }
            }
        }
    }
    faces
}

fn split_in_four(points: &mut Vec<[f64; 3]>, triangles: &[[u32; 3]]) -> Vec<[u32; 3]> {
    let mut middles: BTreeMap<(u32, u32), u32> = BTreeMap::new();
    let mut finer = Vec::new();
    for &[a, b, c] in triangles {
        let [ab, bc, ca] = [(a, b), (b, c), (c, a)].map(|(s, t)| {
            *middles.entry((s.min(t), s.max(t))).or_insert_with(|| {
                let (p, q) = (points[s as usize], points[t as usize]);
                let m: [f64; 3] = std::array::from_fn(|k| p[k] + q[k]);
                let size = (m[0] * m[0] + m[1] * m[1] + m[2] * m[2]).sqrt();
                points.push(m.map(|x| x * 2.0 / size));
                points.len() as u32 - 1
            })
        });
        finer.extend([[a, ab, ca], [ab, b, bc], [ca, bc, c], [ab, bc, ca]]);
    }
    finer
}
