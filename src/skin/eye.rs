//! The edge of a round upright pocket in the outer form.
//!
//! The intersection of cylinder and skin is no spline; it is followed by cubic Hermite pieces over
//! the angle, each halved until it keeps within [`MODEL_TOLERANCE`] of both surfaces. Where the circle
//! crosses a station of the outline the skin's curvature jumps, and pieces get short there alone.

use super::patch::{Jet, Patch, breaks, hermite_knots, hermite_points};
use super::{MODEL_TOLERANCE, Skin};
use crate::chain::Eye;
use std::f64::consts::PI;

/// The skin is no steeper along the edge: least z of its unit normal (habit; below it the pieces
/// grow without end and the edge is a feather).
pub const LEAST_RISE: f64 = 0.3;
/// Pieces of a half circle to begin with, and how often each may be halved.
const PIECES: (usize, u32) = (32, 11);
/// Parts of a piece where it is held against the surfaces. The middle alone would not see a jump of
/// curvature that lies in the middle.
const LOOKED_AT: [f64; 3] = [0.25, 0.5, 0.75];
/// Newton steps to a place in plan.
const STEPS: usize = 50;

/// The edge of an eye.
#[derive(Debug, Clone)]
pub struct EyeRim {
    /// Knots and control points of both half circles, from angle 0 to pi and from pi to 2 pi about
    /// the axis, angle 0 towards the rear.
    pub halves: [(Vec<f64>, Vec<[f64; 3]>); 2],
    /// Least and greatest height of the edge, mm.
    pub heights: (f64, f64),
    /// Height of the floor, mm.
    pub floor: f64,
}

/// Why an eye has no edge on the skin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum EyeError {
    /// Its circle leaves the skin in plan.
    OffSkin,
    /// The skin is too steep there: angle of its normal from upright, radians.
    Steep(f64),
}

/// A place of the skin over a place in plan.
struct Over<'a> {
    patch: &'a Patch,
    last: [f64; 2],
}

impl Over<'_> {
    fn find(&mut self, p: [f64; 2]) -> Option<Jet> {
        if let Some(jet) = self.newton(p, self.last) {
            return Some(jet);
        }
        let start = self.nearest(p);
        self.newton(p, start)
    }

    fn nearest(&self, p: [f64; 2]) -> [f64; 2] {
        let grid = |knots: &[f64]| -> Vec<f64> {
            breaks(knots)
                .windows(2)
                .flat_map(|k| [0.25, 0.75].map(|t| k[0] + t * (k[1] - k[0])))
                .collect()
        };
        let mut best = (f64::INFINITY, self.last);
        for u in grid(&self.patch.u_knots) {
            let section = self.patch.section(u);
            for v in grid(&self.patch.v_knots) {
                let q = section.jet(v).p;
                let far = (q[0] - p[0]).hypot(q[1] - p[1]);
                if far < best.0 {
                    best = (far, [u, v]);
                }
            }
        }
        best.1
    }

    fn newton(&mut self, p: [f64; 2], [mut u, mut v]: [f64; 2]) -> Option<Jet> {
        let (ru, rv) = (self.patch.u_range(), self.patch.v_range());
        for _ in 0..STEPS {
            let jet = self.patch.jet(u, v);
            let r = [p[0] - jet.p[0], p[1] - jet.p[1]];
            let det = jet.du[0] * jet.dv[1] - jet.du[1] * jet.dv[0];
            if r[0].hypot(r[1]) < 1e-12 {
                self.last = [u, v];
                return Some(jet);
            }
            if det == 0.0 {
                return None;
            }
            let du = (r[0] * jet.dv[1] - r[1] * jet.dv[0]) / det;
            let dv = (jet.du[0] * r[1] - jet.du[1] * r[0]) / det;
            (u, v) = ((u + du).clamp(ru.0, ru.1), (v + dv).clamp(rv.0, rv.1));
        }
        let jet = self.patch.jet(u, v);
        let off = (p[0] - jet.p[0]).hypot(p[1] - jet.p[1]);
        self.last = [u, v];
        (off < 1e-10).then_some(jet)
    }
}

/// Follows the edge of an eye on the skin of its half (the eye in the half's own frame).
///
/// # Errors
/// See [`EyeError`].
pub fn eye_rim(skin: &Skin, eye: &Eye) -> Result<EyeRim, EyeError> {
    let patch = &skin.skin;
    let mut over = Over {
        patch,
        last: [
            0.5 * (patch.u_range().0 + patch.u_range().1),
            0.5 * (patch.v_range().0 + patch.v_range().1),
        ],
    };
    let centre = over.find([eye.x, eye.y]).ok_or(EyeError::OffSkin)?;
    let mut heights = (f64::INFINITY, f64::NEG_INFINITY);
    let mut halves: [(Vec<f64>, Vec<[f64; 3]>); 2] = Default::default();
    for (k, half) in halves.iter_mut().enumerate() {
        *half = follow(&mut over, eye, PI * k as f64, &mut heights)?;
    }
    Ok(EyeRim {
        halves,
        heights,
        floor: centre.p[2] - eye.depth,
    })
}

/// A place of the edge.
#[derive(Debug, Clone, Copy)]
struct At {
    angle: f64,
    point: [f64; 3],
    /// Derivative of the point by the angle.
    slope: [f64; 3],
}

fn at(over: &mut Over<'_>, eye: &Eye, angle: f64) -> Result<At, EyeError> {
    let (sin, cos) = angle.sin_cos();
    let plan = [eye.x + eye.radius * cos, eye.y + eye.radius * sin];
    let jet = over.find(plan).ok_or(EyeError::OffSkin)?;
    let n = jet.normal();
    let rise = n[2] / (n[0] * n[0] + n[1] * n[1] + n[2] * n[2]).sqrt();
    if rise < LEAST_RISE {
        return Err(EyeError::Steep(rise.acos()));
    }
    let way = [-eye.radius * sin, eye.radius * cos];
    // On the surface dz = -(n_x dx + n_y dy) / n_z.
    let dz = -(n[0] * way[0] + n[1] * way[1]) / n[2];
    Ok(At {
        angle,
        point: [plan[0], plan[1], jet.p[2]],
        slope: [way[0], way[1], dz],
    })
}

/// A half circle from an angle on, as knots and points.
fn follow(
    over: &mut Over<'_>,
    eye: &Eye,
    from: f64,
    heights: &mut (f64, f64),
) -> Result<(Vec<f64>, Vec<[f64; 3]>), EyeError> {
    let step = PI / PIECES.0 as f64;
    let mut places = vec![at(over, eye, from)?];
    for k in 0..PIECES.0 {
        let first = places[places.len() - 1];
        let last = at(over, eye, from + step * (k + 1) as f64)?;
        // The rear ends of pieces that lie ahead, with how often they were halved.
        let mut ahead = vec![(last, 0)];
        let mut start = first;
        while let Some((end, halved)) = ahead.pop() {
            if halved < PIECES.1 && off(over, eye, (&start, &end))? >= MODEL_TOLERANCE {
                let middle = at(over, eye, 0.5 * (start.angle + end.angle))?;
                ahead.extend([(end, halved + 1), (middle, halved + 1)]);
                continue;
            }
            places.push(end);
            start = end;
        }
    }
    for place in &places {
        let z = place.point[2];
        *heights = (heights.0.min(z), heights.1.max(z));
    }
    let angles: Vec<f64> = places.iter().map(|p| p.angle).collect();
    let value: Vec<[f64; 3]> = places.iter().map(|p| p.point).collect();
    let slope: Vec<[f64; 3]> = places.iter().map(|p| p.slope).collect();
    let points = hermite_points(&angles, &value, &slope);
    Ok((hermite_knots(&angles), points))
}

/// How far the cubic through two places with their slopes leaves the cylinder or the skin, mm.
fn off(over: &mut Over<'_>, eye: &Eye, (a, b): (&At, &At)) -> Result<f64, EyeError> {
    let step = b.angle - a.angle;
    let mut worst = 0.0f64;
    for t in LOOKED_AT {
        // Hermite's basis.
        let (t2, t3) = (t * t, t * t * t);
        let (h1, g0, g1) = (3.0 * t2 - 2.0 * t3, t - 2.0 * t2 + t3, t3 - t2);
        let p = [0, 1, 2].map(|c| {
            let slopes = g0 * a.slope[c] + g1 * b.slope[c];
            a.point[c] + h1 * (b.point[c] - a.point[c]) + step * slopes
        });
        let round = (p[0] - eye.x).hypot(p[1] - eye.y) - eye.radius;
        let skin = over.find([p[0], p[1]]).ok_or(EyeError::OffSkin)?;
        worst = worst.max(round.abs()).max((skin.p[2] - p[2]).abs());
    }
    Ok(worst)
}
