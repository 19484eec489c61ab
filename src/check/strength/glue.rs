//! The glue face: area and least width, exact from the split face, and what opens it.

use truck_modeling::{InnerSpace, Point3};

use super::load::{PRIED, PULL, PULLED};
use super::{Finding, Held, Subject, finding};
use crate::brep::Beside;
use crate::brep::shape::{Arc, Curve, Edge, Face, FaceKind, Half};
use crate::brep::volume::plan_moments;
use crate::chain::joint::{Joint, hoop_force, mouth_plane};
use crate::chain::strengths::{PRYING, Strengths};
use crate::check::finding::{Amount, Limit};
use crate::diagnostic::Severity;

/// Places along an edge where the width is looked for before it is refined.
const PLACES: usize = 64;
/// Steps of the golden section: the width to rounding.
const STEPS: usize = 60;
/// Least width beside a socket, mm (common practice, no source).
const LEAST_WIDTH: f64 = 4.0;

/// The split face of a half in plan.
#[derive(Debug, Clone, PartialEq)]
pub struct GlueFace {
    /// Area, mm2: all of it, with ball and neck.
    pub area: f64,
    /// Its middle along x, mm.
    pub middle: f64,
    /// Second moment along x about the middle, mm4.
    pub second: f64,
    /// From where to where it reaches along x, mm.
    pub reach: (f64, f64),
    /// Least width beside each socket.
    pub beside: Vec<Width>,
}

/// Wood beside a socket in the split plane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Width {
    /// mm, a glue groove in it counted as wood.
    pub width: f64,
    /// Where, on the outline, mm.
    pub at: [f64; 3],
}

impl GlueFace {
    /// Of a half; nothing when it has no split face.
    pub fn of(half: &Half) -> Option<GlueFace> {
        let faces = half.solid.face_iter().zip(&half.kinds);
        let split: Vec<&Face> = faces
            .filter(|(_, kind)| **kind == FaceKind::SplitFace)
            .map(|(face, _)| face)
            .collect();
        let (mut area, mut x, mut xx) = (0.0, 0.0, 0.0);
        for face in &split {
            let m = plan_moments(face);
            (area, x, xx) = (area + m.area, x + m.x, xx + m.xx);
        }
        if area <= 0.0 {
            return None;
        }
        let wires = split.iter().flat_map(|face| face.boundaries());
        let edges: Vec<Edge> = wires
            .flat_map(|w| w.edge_iter().cloned().collect::<Vec<_>>())
            .collect();
        let ends = edges.iter().map(|e| e.front().point().x);
        let reach = ends.fold((f64::INFINITY, f64::NEG_INFINITY), |r, x| {
            (r.0.min(x), r.1.max(x))
        });
        Some(GlueFace {
            area,
            middle: x / area,
            second: xx - x * x / area,
            reach,
            beside: beside(&Beside::of(half), &edges),
        })
    }

    /// Greatest stress, MPa, when a force (N) at `x` pulls two stiff halves apart: F / A + F e c / I,
    /// as under an eccentric footing (derived: stress grows linearly along x).
    pub fn opened(&self, force: f64, x: f64) -> f64 {
        let off = x - self.middle;
        let edge = if off > 0.0 {
            self.reach.1
        } else {
            self.reach.0
        };
        force / self.area + force * off * (edge - self.middle) / self.second
    }
}

/// The least width beside each socket.
fn beside(near: &Beside, edges: &[Edge]) -> Vec<Width> {
    let of = |kinds: &'static [FaceKind]| {
        edges
            .iter()
            .filter(move |e| near.any(std::slice::from_ref(e), kinds))
            .map(|e| e.curve())
    };
    let outline: Vec<Curve> = of(&[FaceKind::Rim, FaceKind::Skin, FaceKind::PlateWall]).collect();
    let mut widths: Vec<(Point3, Width)> = Vec::new();
    for curve in of(&[FaceKind::Socket]) {
        let Curve::Arc(arc) = curve else { continue };
        let found = outline.iter().filter_map(|curve| least(&arc, curve));
        let Some(width) = found.min_by(|a, b| a.width.total_cmp(&b.width)) else {
            continue;
        };
        // A socket has an arc on each side of its pole.
        match widths
            .iter_mut()
            .find(|(c, _)| (c - arc.centre).magnitude() < 1e-6)
        {
            Some((_, own)) if own.width <= width.width => {}
            Some((_, own)) => *own = width,
            None => widths.push((arc.centre, width)),
        }
    }
    widths.into_iter().map(|(_, width)| width).collect()
}

/// The least distance from an arc of a circle to a curve, outwards along its radii.
fn least(arc: &Arc, curve: &Curve) -> Option<Width> {
    let (from, to) = curve.range();
    let radius = arc.a.magnitude();
    let width = |t: f64| {
        let v = curve.at(t) - arc.centre;
        let angle = v.dot(arc.b).atan2(v.dot(arc.a));
        let turn = (angle - arc.range.0).rem_euclid(std::f64::consts::TAU);
        (turn <= arc.range.1 - arc.range.0).then(|| v.magnitude() - radius)
    };
    let place = |k: f64| from + (to - from) * k / PLACES as f64;
    let places = (0..=PLACES).filter_map(|k| Some((k as f64, width(place(k as f64))?)));
    let (k, rough) = places.min_by(|a, b| a.1.total_cmp(&b.1))?;
    let (mut low, mut high) = ((k - 1.0).max(0.0), (k + 1.0).min(PLACES as f64));
    let golden = 0.5 * (5f64.sqrt() - 1.0);
    for _ in 0..STEPS {
        let (a, b) = (high - golden * (high - low), low + golden * (high - low));
        let far = |k: f64| width(place(k)).unwrap_or(f64::INFINITY);
        if far(a) < far(b) { high = b } else { low = a }
    }
    let middle = 0.5 * (low + high);
    let fine = width(place(middle)).filter(|&w| w < rough);
    let (k, width) = fine.map_or((k, rough), |w| (middle, w));
    let at = curve.at(place(k));
    Some(Width {
        width,
        at: [at.x, at.y, at.z],
    })
}

/// Area, least width and opening of a section's glue face. `sockets` are its joints, each with the
/// place of its socket's centre along x and the direction of its mouth, -1 or 1, in the section.
pub fn glue(
    subject: &Subject<'_>,
    face: &GlueFace,
    sockets: &[(&Joint, f64, f64)],
    wood: &Strengths,
) -> Vec<Finding> {
    let area = Amount::Area(face.area);
    let mut all = vec![subject.finds(Severity::Note, "glue-area", "glue face of", area, None)];
    let narrow = face
        .beside
        .iter()
        .min_by(|a, b| a.width.total_cmp(&b.width));
    all.extend(narrow.map(|w| {
        let limit = Limit::least(Amount::Length(LEAST_WIDTH), "habit");
        let words = "least width of glue beside a socket";
        let width = Amount::Length(w.width);
        subject
            .finds(Severity::Note, "glue-width", words, width, Some(limit))
            .at(w.at)
    }));
    let held = sockets
        .iter()
        .flat_map(|&(joint, x, mouth)| opened(face, joint, (x, mouth), wood));
    let mut held: Vec<Held> = held.collect();
    // Of two sockets the worse of each kind.
    held.sort_by(|a, b| {
        (a.name, b.stress)
            .partial_cmp(&(b.name, a.stress))
            .unwrap_or(std::cmp::Ordering::Equal)
    });
    held.dedup_by_key(|h| h.name);
    if !held.is_empty() {
        let way_out = "make the glue face wider beside the socket, or the section longer";
        all.push(finding(
            subject,
            "the glue line, as strong as wood across the grain",
            &held,
            way_out,
        ));
    }
    all
}

/// Pulled, the mouth opens its two halves by twice the hoop force (5.8). Pried, the neck presses
/// one half's lip outwards with the lever's force and the ball's, M / hm, together, while the ball
/// presses the other half away (derived: a lever over the lip).
fn opened(face: &GlueFace, joint: &Joint, (x, mouth): (f64, f64), wood: &Strengths) -> [Held; 2] {
    let hm = mouth_plane(joint.socket(), joint.mouth);
    let lip = x + mouth * hm;
    let pulled = 2.0 * hoop_force(PULL, joint.ball, joint.mouth);
    let pried = PRYING.0 + PRYING.0 * PRYING.1 / hm;
    [
        ("glue line pulled open", pulled, PULLED),
        ("glue line pried open", pried, PRIED),
    ]
    .map(|(name, force, source)| Held {
        name,
        stress: face.opened(force, lip),
        strength: wood.across,
        judged: true,
        source,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::brep::build_form;
    use crate::brep::volume::face_area;
    use crate::chain::{EndJoint, HalfForm, Side};
    use crate::mesh::tessellate;

    const PAIR: &str = "limberwood: 1\nname: Pair\nunits: mm\njoint: {ball: 20, neck: 8.5, swing: 25 deg, \
        land: 3.3}\nsections:\n  - {name: head, length: 48, tip_width: 12, rim: 5, outline: [{at: 0%, \
        half_width: 6, height: 6}, {at: 40%, half_width: 17, height: 15}, {at: 100%, half_width: 13, \
        height: 13, squareness: 2}]}\n  - {name: tail, length: 62, tip_width: 10, rim: 5, outline: [{at: 0%, \
        half_width: 13, height: 13, squareness: 2}, {at: 40%, half_width: 15, height: 16}, {at: 100%, \
        half_width: 5, height: 5}]}\n";

    /// Against the triangles of a fine mesh's split face and the places of its outline.
    #[test]
    fn area_moments_and_width_of_a_tail() {
        let (design, _) = crate::params::read_design_str(PAIR, "pair.yaml").unwrap();
        let shop = crate::params::built_in_shop();
        let creature = crate::chain::resolve(&design, &shop).unwrap().creature;
        let form = HalfForm::of(&creature.sections[1].form, Side::Upper);
        let (half, _) = build_form(&form).unwrap();
        let found = GlueFace::of(&half).unwrap();
        let mesh = tessellate(&half, 0.002).unwrap();
        let (mut area, mut x, mut xx) = (0.0, 0.0, 0.0);
        let mut middles = Vec::new();
        for (t, &face) in mesh.triangles.iter().zip(&mesh.face) {
            if half.kinds[face as usize] == FaceKind::SplitFace {
                let [a, b, c] = t.map(|k| mesh.positions[k as usize]);
                let own =
                    0.5 * ((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])).abs();
                let sides = [a[0] + b[0], b[0] + c[0], c[0] + a[0]].map(|s| 0.5 * s);
                area += own;
                x += own * sides.iter().sum::<f64>() / 3.0;
                xx += own * sides.iter().map(|s| s * s).sum::<f64>() / 3.0;
                middles.push((own, sides));
            }
        }
        let faces = half.solid.face_iter().zip(&half.kinds);
        let split = faces.filter(|(_, k)| **k == FaceKind::SplitFace);
        let exact: f64 = split.map(|(face, _)| face_area(face).abs()).sum();
        assert!((found.area - exact).abs() < 1e-9 * exact);
        assert!(
            (found.area - area).abs() < 1e-3 * area,
            "{} {area}",
            found.area
        );
        assert!((found.middle - x / area).abs() < 1e-2);
        assert!((found.second / (xx - x * x / area) - 1.0).abs() < 2e-3);
        // Stress over the face carries force and moment.
        let (force, at) = (300.0, 7.0);
        let stress = |x: f64| {
            let off = at - found.middle;
            force / found.area + force * off * (x - found.middle) / found.second
        };
        let sum = |f: &dyn Fn(f64) -> f64| -> f64 {
            middles
                .iter()
                .map(|(own, s)| own * s.iter().map(|&x| f(x)).sum::<f64>() / 3.0)
                .sum()
        };
        assert!((sum(&stress) - force).abs() < 1e-2 * force);
        assert!((sum(&|x| stress(x) * x) - force * at).abs() < 2e-2 * force * found.middle);
        assert!((found.opened(force, at) - stress(found.reach.0)).abs() < 1e-12);
        assert!((found.opened(force, found.middle) - force / found.area).abs() < 1e-9);
        let EndJoint::Socket(socket) = form.front.joint else {
            panic!("{:?}", form.front)
        };
        let rim = mesh.triangles.iter().zip(&mesh.face);
        let rim = rim.filter(|(_, f)| half.kinds[**f as usize] == FaceKind::Rim);
        let places = rim.flat_map(|(t, _)| t.map(|k| mesh.positions[k as usize]));
        let seen = places
            .filter(|p| p[2].abs() < 1e-9 && p[0] > socket.depth - 5.0)
            .map(|p| (p[0] - socket.depth).hypot(p[1]) - socket.radius)
            .fold(f64::INFINITY, f64::min);
        let [width] = found.beside[..] else {
            panic!("{found:?}")
        };
        assert!(
            width.width <= seen + 1e-9 && seen - width.width < 0.01,
            "{width:?} {seen}"
        );
    }
}
