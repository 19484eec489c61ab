//! Random eyes, legal by plain rules of their own, and their volumes.

use std::f64::consts::TAU;

use limberwood::chain::{EndJoint, Eye, HalfForm, SectionForm, Side};
use limberwood::skin::Skin;
use truck_modeling::{BSplineCurve, KnotVec, ParametricCurve, Point3};

use super::draw::Draw;
use super::flats;
use super::gauss;
use super::spline::Spline;

/// Wood left beside an eye, mm.
const WALL: f64 = 1.0;

/// The height of the skin over a place in plan, by Newton from a start that moves along.
pub struct Over {
    skin: Spline,
    at: (f64, f64),
}

impl Over {
    pub fn of(skin: &Skin) -> Self {
        let (us, vs) = Spline::of_patch(&skin.skin).breaks();
        let middle = |k: &[f64]| 0.5 * (k[0] + k[k.len() - 1]);
        Over {
            skin: Spline::of_patch(&skin.skin),
            at: (middle(&us), middle(&vs)),
        }
    }

    /// Height and the skin's rise (z of its unit normal); none outside the patch.
    pub fn height(&mut self, x: f64, y: f64) -> Option<(f64, f64)> {
        let found = self.from(self.at, x, y);
        // From far away Newton's method may run off: again from the nearest of many places.
        found.or_else(|| self.from(self.nearest(x, y), x, y))
    }

    fn from(&mut self, (mut u, mut v): (f64, f64), x: f64, y: f64) -> Option<(f64, f64)> {
        let (us, vs) = self.skin.breaks();
        let ends = |k: &[f64]| (k[0], k[k.len() - 1]);
        let ((u0, u1), (v0, v1)) = (ends(&us), ends(&vs));
        for _ in 0..80 {
            let j = self.skin.jet(u, v);
            let (dx, dy) = (x - j.at[0], y - j.at[1]);
            if dx.hypot(dy) < 1e-11 {
                self.at = (u, v);
                return Some((j.at[2], j.normal()[2]));
            }
            let det = j.du[0] * j.dv[1] - j.du[1] * j.dv[0];
            u = (u + (dx * j.dv[1] - dy * j.dv[0]) / det).clamp(u0, u1);
            v = (v + (j.du[0] * dy - j.du[1] * dx) / det).clamp(v0, v1);
        }
        None
    }

    fn nearest(&self, x: f64, y: f64) -> (f64, f64) {
        let (us, vs) = self.skin.breaks();
        let places = |k: &[f64]| -> Vec<f64> {
            let spans = k.windows(2);
            spans
                .flat_map(|k| [0.2, 0.4, 0.6, 0.8].map(|s| k[0] + s * (k[1] - k[0])))
                .collect()
        };
        let (mut best, mut least) = (self.at, f64::INFINITY);
        for &u in &places(&us) {
            for &v in &places(&vs) {
                let at = self.skin.jet(u, v).at;
                let far = (x - at[0]).hypot(y - at[1]);
                if far < least {
                    (best, least) = ((u, v), far);
                }
            }
        }
        best
    }
}

/// What all eyes of a half take: the integral of the skin's height over the floor, in rings and
/// sectors about the axis.
pub fn volume(half: &HalfForm, skin: &Skin) -> f64 {
    let mut over = Over::of(skin);
    let mut sum = 0.0;
    for eye in &half.features.eyes {
        let (top, _) = over.height(eye.x, eye.y).unwrap_or((f64::NAN, 0.0));
        let floor = top - eye.depth;
        for ring in 0..2 {
            let r = |k: i32| eye.radius * f64::from(k) / 2.0;
            for sector in 0..16 {
                let a = |k: i32| TAU * f64::from(k) / 16.0;
                sum += gauss::five(r(ring), r(ring + 1), |r| {
                    gauss::five(a(sector), a(sector + 1), |a| {
                        let (x, y) = (eye.x + r * a.cos(), eye.y + r * a.sin());
                        let z = over.height(x, y).map_or(f64::NAN, |h| h.0);
                        (z - floor) * r
                    })
                });
            }
        }
    }
    sum
}

/// Adds eyes to a section; what finds no place is left out.
pub fn add(d: &mut Draw, form: &mut SectionForm) {
    for side in [Side::Upper, Side::Lower] {
        if !d.chance(0.3) {
            continue;
        }
        let eye = Eye {
            side,
            x: d.between(0.2, 0.8) * form.length,
            y: d.between(-0.6, 0.6) * form.outline[0].half_width,
            radius: d.between(0.8, 3.5),
            depth: d.between(0.5, 3.0),
        };
        let own = if side == Side::Upper { eye.y } else { -eye.y };
        if fits(form, &eye) && !flats::near(form, side, [eye.x, own], eye.radius + 0.2) {
            form.features.eyes.push(eye);
        }
    }
}

/// On skin that is not steep, floor below its edge, over rim and holes.
fn fits(form: &SectionForm, eye: &Eye) -> bool {
    let half = HalfForm::of(form, eye.side);
    let Ok(skin) = limberwood::skin::skin(&half) else {
        return false;
    };
    let y = if eye.side == Side::Upper {
        eye.y
    } else {
        -eye.y
    };
    let mut over = Over::of(&skin);
    let Some((top, _)) = over.height(eye.x, y) else {
        return false;
    };
    let floor = top - eye.depth;
    let reach = eye.radius + WALL;
    let round = (0..24).all(|k| {
        let a = TAU * f64::from(k) / 24.0;
        let (x, y) = (eye.x + reach * a.cos(), y + reach * a.sin());
        over.height(x, y)
            .is_some_and(|(z, rise)| rise > 0.5 && z > floor + 0.4 && z > form.rim + 0.3)
    });
    let over_socket = |end: &limberwood::chain::End, at: f64| match end.joint {
        EndJoint::Socket(s) => {
            let across = (eye.x - at).hypot(y) - reach;
            let deep = across.max(0.0);
            deep >= s.radius || floor > (s.radius.powi(2) - deep.powi(2)).sqrt() + WALL
        }
        _ => true,
    };
    let depth = |end: &limberwood::chain::End| match end.joint {
        EndJoint::Socket(s) => s.depth,
        _ => 0.0,
    };
    // Flares lie in front of their sockets, near the ends.
    let off_ends = eye.x - reach > depth(&form.front).max(2.0)
        && eye.x + reach < form.length - depth(&form.rear).max(2.0);
    let pins = half.pins.iter().all(|p| {
        let apart = ((p.x - eye.x).abs() - 0.5 * p.slot).max(0.0).hypot(p.y - y) - p.radius;
        floor > p.depth + WALL || apart > reach
    });
    let grooves = half.features.grooves.iter().all(|g| floor > g.depth + WALL);
    round
        && off_ends
        && pins
        && grooves
        && floor > 1.5
        && over_socket(&form.front, depth(&form.front))
        && over_socket(&form.rear, form.length - depth(&form.rear))
}

/// How far the edge of an eye lies off the cylinder or the skin at most, mm: it is held to the model
/// tolerance at three places of each piece, between which a jump of curvature may hide a part.
const OFF: f64 = 2.0 * limberwood::skin::MODEL_TOLERANCE;

/// Eyes whose circles cross a station, where the skin's curvature jumps, inside a piece of the edge.
#[test]
fn edges_of_eyes_keep_to_the_skin_over_stations() {
    let (mut seen, mut worst, mut most) = (0, 0.0f64, 0);
    for case in 0..40 {
        let form = super::forms::legal(case);
        let half = HalfForm::of(&form, Side::Upper);
        let Ok(skin) = limberwood::skin::skin(&half) else {
            continue;
        };
        let stations = &half.stations[1..half.stations.len() - 1];
        for (k, station) in stations.iter().enumerate() {
            let angle = TAU * (0.19 + 0.013 * (case % 7) as f64 + 0.05 * k as f64);
            let eye = Eye {
                side: Side::Upper,
                x: station.x - 2.0 * angle.cos(),
                y: 0.3,
                radius: 2.0,
                depth: 1.0,
            };
            let Ok(rim) = limberwood::skin::eye::eye_rim(&skin, &eye) else {
                continue;
            };
            let mut over = Over::of(&skin);
            for (knots, points) in rim.halves {
                let ends = (knots[0], knots[knots.len() - 1]);
                most = most.max(points.len());
                let points: Vec<Point3> = points.into_iter().map(Point3::from).collect();
                let curve = BSplineCurve::new(KnotVec::from(knots), points);
                for i in 0..=3000 {
                    let p = curve.subs(ends.0 + (ends.1 - ends.0) * f64::from(i) / 3000.0);
                    let round = (p.x - eye.x).hypot(p.y - eye.y) - eye.radius;
                    let (z, _) = over.height(p.x, p.y).unwrap();
                    worst = worst.max(round.abs()).max((z - p.z).abs());
                }
            }
            seen += 1;
        }
    }
    println!("{seen} eyes, {worst:.1e} mm off at most, {most} control points at most");
    assert!(seen > 30, "{seen} eyes");
    assert!(worst < OFF, "{worst}");
    assert!(most < 400, "{most} control points");
}
