//! Least distance of two sets of triangles, and what belongs to which feature.

use std::collections::BTreeMap;

use limberwood::brep::shape::{FaceKind, Half};
use limberwood::chain::HalfForm;
use limberwood::clear::half::{Facing, Feature};
use limberwood::mesh::Mesh;
use nalgebra::Point3;

pub type Triangle = [Point3<f64>; 3];

/// Features of each exact face, in the order of the faces. A face of a pin hole belongs to the
/// hole and, if it is one, to its floor.
fn owners(form: &HalfForm, half: &Half, mesh: &Mesh) -> Vec<Vec<Feature>> {
    let middle = |index: usize| {
        let of: Vec<f64> = mesh
            .triangles
            .iter()
            .zip(&mesh.face)
            .filter(|(_, f)| **f as usize == index)
            .flat_map(|(t, _)| t.map(|i| mesh.positions[i as usize][0]))
            .collect();
        of.iter().sum::<f64>() / of.len() as f64
    };
    let alike = |kind: FaceKind| half.kinds.iter().filter(|k| **k == kind).count();
    let socket_in_front = matches!(form.front.joint, limberwood::chain::EndJoint::Socket(_));
    let ball_in_front = matches!(form.front.joint, limberwood::chain::EndJoint::Ball(_));
    let facing = |index: usize, kind: FaceKind, in_front: bool| {
        let other = half
            .kinds
            .iter()
            .enumerate()
            .find(|(k, other)| *k != index && **other == kind);
        let front = match (alike(kind), other) {
            (2, Some((other, _))) => middle(index) < middle(other),
            _ => in_front,
        };
        if front { Facing::Front } else { Facing::Rear }
    };
    let (mut pin, mut groove, mut stroke) = (1, 0, 0);
    let strokes: Vec<usize> = form
        .features
        .marks
        .iter()
        .enumerate()
        .flat_map(|(k, m)| m.strokes.iter().map(move |_| k + 1))
        .collect();
    let groove_at = |k: usize| match form.features.grooves[k].mouth {
        m if m > 0.0 => Facing::Rear,
        _ => Facing::Front,
    };
    half.kinds
        .iter()
        .enumerate()
        .map(|(index, kind)| match kind {
            FaceKind::Skin => vec![Feature::Skin],
            FaceKind::Rim => vec![Feature::Rim],
            FaceKind::Front => vec![Feature::EndFace(Facing::Front)],
            FaceKind::Rear => vec![Feature::EndFace(Facing::Rear)],
            FaceKind::Socket => vec![Feature::Socket(facing(index, *kind, socket_in_front))],
            FaceKind::Flare => vec![Feature::Flare(facing(index, *kind, socket_in_front))],
            FaceKind::Ball | FaceKind::Fillet => {
                vec![Feature::Ball(facing(index, *kind, ball_in_front))]
            }
            FaceKind::Neck => vec![Feature::Neck(facing(index, *kind, ball_in_front))],
            FaceKind::PinWall => vec![Feature::PinHole(pin)],
            FaceKind::PinFloor => {
                pin += 1;
                vec![Feature::PinHole(pin - 1), Feature::PinFloor(pin - 1)]
            }
            FaceKind::PinChamfer => vec![Feature::PinChamfer(pin)],
            FaceKind::GrooveWall => vec![Feature::Groove(groove_at(groove))],
            FaceKind::GrooveFloor => {
                groove += 1;
                vec![Feature::Groove(groove_at(groove - 1))]
            }
            FaceKind::MarkWall => vec![Feature::Mark(strokes[stroke])],
            FaceKind::MarkFloor => {
                stroke += 1;
                vec![Feature::Mark(strokes[stroke - 1])]
            }
            // The forms measured here carry no other features.
            _ => vec![],
        })
        .collect()
}

/// A mesh by features.
pub struct Parts {
    triangles: BTreeMap<Feature, Vec<Triangle>>,
    /// Mesh edges shared by faces of two features.
    edges: BTreeMap<(Feature, Feature), Vec<[Point3<f64>; 2]>>,
}

impl Parts {
    pub fn of(form: &HalfForm, half: &Half, mesh: &Mesh) -> Self {
        let owners = owners(form, half, mesh);
        let at = |i: u32| Point3::from(mesh.positions[i as usize]);
        let mut triangles: BTreeMap<Feature, Vec<Triangle>> = BTreeMap::new();
        let mut used: BTreeMap<(u32, u32), u32> = BTreeMap::new();
        for (t, face) in mesh.triangles.iter().zip(&mesh.face) {
            for feature in &owners[*face as usize] {
                triangles.entry(*feature).or_default().push(t.map(at));
            }
            for k in 0..3 {
                used.insert((t[k], t[(k + 1) % 3]), *face);
            }
        }
        let mut edges: BTreeMap<(Feature, Feature), Vec<[Point3<f64>; 2]>> = BTreeMap::new();
        for ((a, b), face) in &used {
            let other = used[&(*b, *a)];
            if *face != other {
                for one in &owners[*face as usize] {
                    for two in &owners[other as usize] {
                        edges
                            .entry((*one, *two))
                            .or_default()
                            .push([at(*a), at(*b)]);
                    }
                }
            }
        }
        Parts { triangles, edges }
    }

    pub fn triangles(&self, feature: Feature) -> &[Triangle] {
        self.triangles.get(&feature).map_or(&[], Vec::as_slice)
    }

    /// Triangles of a feature; a flare with the disc of its mouth, which it counts as its own.
    pub fn hull(&self, feature: Feature) -> Vec<Triangle> {
        let mut all = self.triangles(feature).to_vec();
        if let Feature::Flare(at) = feature {
            let mouth = self.edges(feature, Feature::Socket(at));
            // The mouth circle's centre lies on the joint axis.
            let centre = Point3::new(mouth[0][0].x, 0.0, 0.0);
            all.extend(mouth.iter().map(|[a, b]| [*a, *b, centre]));
        }
        all
    }

    pub fn edges(&self, a: Feature, b: Feature) -> &[[Point3<f64>; 2]] {
        self.edges.get(&(a, b)).map_or(&[], Vec::as_slice)
    }
}

/// Distance of two segments, squared: the four ends against the other segment, and the crossing
/// of the two lines when it lies within both.
pub fn segments(a: &[Point3<f64>; 2], b: &[Point3<f64>; 2]) -> f64 {
    let foot = |p: &Point3<f64>, s: &[Point3<f64>; 2]| {
        let d = s[1] - s[0];
        let t = ((p - s[0]).dot(&d) / d.norm_squared()).clamp(0.0, 1.0);
        (p - (s[0] + d * t)).norm_squared()
    };
    let mut least = foot(&a[0], b).min(foot(&a[1], b));
    least = least.min(foot(&b[0], a)).min(foot(&b[1], a));
    let (u, v, w) = (a[1] - a[0], b[1] - b[0], a[0] - b[0]);
    let n = u.cross(&v);
    let square = n.norm_squared();
    if square > 1e-18 * u.norm_squared() * v.norm_squared() {
        let s = v.cross(&w).dot(&n) / square;
        let t = u.cross(&w).dot(&n) / square;
        if (0.0..=1.0).contains(&s) && (0.0..=1.0).contains(&t) {
            least = least.min(w.dot(&n).powi(2) / square);
        }
    }
    least
}

/// Distance of a point over the inside of a triangle, squared; none beside it.
fn over(p: &Point3<f64>, t: &Triangle) -> Option<f64> {
    let n = (t[1] - t[0]).cross(&(t[2] - t[0]));
    let inside = (0..3).all(|k| (t[(k + 1) % 3] - t[k]).cross(&(p - t[k])).dot(&n) >= 0.0);
    let height = (p - t[0]).dot(&n);
    (inside && n.norm_squared() > 0.0).then(|| height * height / n.norm_squared())
}

fn two_triangles(a: &Triangle, b: &Triangle) -> f64 {
    let mut least = f64::INFINITY;
    for (p, t) in a.iter().map(|p| (p, b)).chain(b.iter().map(|p| (p, a))) {
        least = least.min(over(p, t).unwrap_or(f64::INFINITY));
    }
    for i in 0..3 {
        for j in 0..3 {
            least = least.min(segments(&[a[i], a[(i + 1) % 3]], &[b[j], b[(j + 1) % 3]]));
        }
    }
    least
}

/// A tree of boxes over triangles.
pub struct Tree {
    low: Point3<f64>,
    high: Point3<f64>,
    inner: Inner,
}

enum Inner {
    Leaf(Vec<Triangle>),
    Pair(Box<[Tree; 2]>),
}

impl Tree {
    pub fn of(mut all: Vec<Triangle>) -> Tree {
        let corners = || all.iter().flatten();
        let low = corners().fold(Point3::from([f64::INFINITY; 3]), |m, p| m.inf(p));
        let high = corners().fold(Point3::from([f64::NEG_INFINITY; 3]), |m, p| m.sup(p));
        let inner = if all.len() <= 4 {
            Inner::Leaf(all)
        } else {
            let axis = (high - low).imax();
            let middle = |t: &Triangle| t[0][axis] + t[1][axis] + t[2][axis];
            all.sort_by(|a, b| middle(a).total_cmp(&middle(b)));
            let other = all.split_off(all.len() / 2);
            Inner::Pair(Box::new([Tree::of(all), Tree::of(other)]))
        };
        Tree { low, high, inner }
    }

    fn apart(&self, other: &Tree) -> f64 {
        (0..3)
            .map(|k| {
                (other.low[k] - self.high[k])
                    .max(self.low[k] - other.high[k])
                    .max(0.0)
                    .powi(2)
            })
            .sum()
    }

    /// Square of the least distance, if lower than `best`.
    fn search(&self, other: &Tree, best: &mut f64) {
        if self.apart(other) >= *best {
            return;
        }
        match (&self.inner, &other.inner) {
            (Inner::Leaf(a), Inner::Leaf(b)) => {
                for s in a {
                    for t in b {
                        *best = best.min(two_triangles(s, t));
                    }
                }
            }
            (Inner::Pair(pair), _)
                if self.size() >= other.size() || matches!(other.inner, Inner::Leaf(_)) =>
            {
                nearer_first(pair, other, best, |a, b, best| a.search(b, best));
            }
            (_, Inner::Pair(pair)) => {
                nearer_first(pair, self, best, |a, b, best| b.search(a, best));
            }
            (Inner::Pair(_), Inner::Leaf(_)) => {}
        }
    }

    fn size(&self) -> f64 {
        (self.high - self.low).amax()
    }

    pub fn distance(&self, other: &Tree) -> f64 {
        let mut best = f64::INFINITY;
        self.search(other, &mut best);
        best.sqrt()
    }
}

fn nearer_first(
    pair: &[Tree; 2],
    other: &Tree,
    best: &mut f64,
    go: impl Fn(&Tree, &Tree, &mut f64),
) {
    let turned = pair[1].apart(other) < pair[0].apart(other);
    for k in if turned { [1, 0] } else { [0, 1] } {
        go(&pair[k], other, best);
    }
}
