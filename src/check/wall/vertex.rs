//! The wall at each corner of the mesh.

use rayon::prelude::*;

use super::body::{APART_COS, Body, V};
use super::zone::Zones;
use crate::mesh::Mesh;
use crate::mesh::nearest::nearest_on_triangle;

/// Wall at each position of the mesh, mm, at most `most`: the least over the faces that meet
/// there.
pub(super) fn walls(mesh: &Mesh, body: &Body, zones: &Zones, limit: f64, most: f64) -> Vec<f32> {
    let normals = normals(mesh);
    let places: Vec<V> = mesh.positions.iter().map(|p| V::from(*p)).collect();
    places
        .par_iter()
        .zip(&normals)
        .map(|(p, own)| {
            let mut best = most * most;
            for (face, normal) in own {
                let at = At {
                    p: *p,
                    normal: *normal,
                    face: *face,
                };
                best = at.least(body, zones, limit, best);
            }
            best.sqrt() as f32
        })
        .collect()
}

/// Unit normals of the faces that meet at each corner: means of the triangles' by area.
fn normals(mesh: &Mesh) -> Vec<Vec<(usize, V)>> {
    let mut all: Vec<Vec<(usize, V)>> = vec![Vec::new(); mesh.positions.len()];
    for (t, face) in mesh.triangles.iter().zip(&mesh.face) {
        let [a, b, c] = t.map(|i| V::from(mesh.positions[i as usize]));
        let normal = (b - a).cross(&(c - a));
        for i in t {
            let own = &mut all[*i as usize];
            match own.iter_mut().find(|o| o.0 == *face as usize) {
                Some(found) => found.1 += normal,
                None => own.push((*face as usize, normal)),
            }
        }
    }
    for own in &mut all {
        own.retain_mut(|o| o.1.try_normalize_mut(0.0).is_some());
    }
    all
}

struct At {
    p: V,
    normal: V,
    face: usize,
}

impl At {
    /// Square of the least way that is shorter than `best`, or `best`.
    fn least(&self, body: &Body, zones: &Zones, limit: f64, mut best: f64) -> f64 {
        let roots = body.roots.iter().enumerate();
        let mut faces: Vec<(f64, usize, usize)> = roots
            .filter_map(|(face, root)| {
                let root = (*root)?;
                let square = self.bound(body, root)?;
                (square < best).then_some((square, face, root))
            })
            .collect();
        faces.sort_unstable_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        let mut stack = Vec::new();
        for (least, face, root) in faces {
            if least >= best {
                break;
            }
            if zones.hold(self.face, face, &self.p, limit) {
                continue;
            }
            stack.push((least, root));
            while let Some((least, k)) = stack.pop() {
                if least >= best {
                    continue;
                }
                let node = &body.nodes[k];
                if node.count > 0 {
                    self.leaf(body, zones, limit, face, k, &mut best);
                    continue;
                }
                let child = |k: usize| Some((self.bound(body, k)?, k));
                let (one, two) = (child(k + 1), child(node.first as usize));
                let turned = match (one, two) {
                    (Some(one), Some(two)) => one.0 < two.0,
                    _ => false,
                };
                // The nearer child last, so that it is looked at first.
                let pair = if turned { [two, one] } else { [one, two] };
                stack.extend(pair.into_iter().flatten());
            }
        }
        best
    }

    /// Least square of the distance of what looks away in a node.
    fn bound(&self, body: &Body, k: usize) -> Option<f64> {
        let node = &body.nodes[k];
        (self.normal.dot(&node.axis) < node.away).then(|| node.square(&self.p))
    }

    fn leaf(&self, body: &Body, zones: &Zones, limit: f64, face: usize, k: usize, best: &mut f64) {
        for t in &body.triangles[body.nodes[k].run()] {
            if self.normal.dot(&t.normal) >= APART_COS {
                continue;
            }
            let q = V::from(nearest_on_triangle(self.p.into(), &t.corners));
            let way = q - self.p;
            let square = way.norm_squared();
            if square < *best
                && square > 0.0
                && way.dot(&self.normal) <= 0.0
                && way.dot(&t.normal) >= 0.0
                && !zones.hold(self.face, face, &q, limit)
                && body.clear(&self.p, &q)
            {
                *best = square;
            }
        }
    }
}
