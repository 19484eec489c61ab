//! The edge of a round upright pocket in the outer form.
//!
//! The intersection of cylinder and skin is no spline; it is followed by cubic Hermite pieces over
//! the angle, their number doubled until the curve keeps within [`MODEL_TOLERANCE`] of both surfaces.

use super::patch::{Jet, Patch, breaks};
use super::{MODEL_TOLERANCE, Skin};
use crate::chain::Eye;
use std::f64::consts::PI;

/// The skin is no steeper along the edge: least z of its unit normal (habit; below it the pieces
/// grow without end and the edge is a feather).
pub const LEAST_RISE: f64 = 0.3;
/// Pieces of a half circle, first and at most.
const PIECES: (usize, usize) = (32, 2048);
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
    let mut pieces = PIECES.0;
    loop {
        let mut worst = 0.0f64;
        let mut heights = (f64::INFINITY, f64::NEG_INFINITY);
        let mut halves: [(Vec<f64>, Vec<[f64; 3]>); 2] = Default::default();
        for (k, half) in halves.iter_mut().enumerate() {
            let from = PI * k as f64;
            *half = follow(&mut over, eye, from, pieces, &mut worst, &mut heights)?;
        }
        if worst < MODEL_TOLERANCE || pieces >= PIECES.1 {
            return Ok(EyeRim {
                halves,
                heights,
                floor: centre.p[2] - eye.depth,
            });
        }
        pieces *= 2;
    }
}

/// Point and derivative by the angle.
fn at(over: &mut Over<'_>, eye: &Eye, angle: f64) -> Result<([f64; 3], [f64; 3]), EyeError> {
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
    Ok(([plan[0], plan[1], jet.p[2]], [way[0], way[1], dz]))
}

fn follow(
    over: &mut Over<'_>,
    eye: &Eye,
    from: f64,
    pieces: usize,
    worst: &mut f64,
    heights: &mut (f64, f64),
) -> Result<(Vec<f64>, Vec<[f64; 3]>), EyeError> {
    let step = PI / pieces as f64;
    let angles: Vec<f64> = (0..=pieces).map(|k| from + step * k as f64).collect();
    let jets = angles
        .iter()
        .map(|&a| at(over, eye, a))
        .collect::<Result<Vec<_>, _>>()?;
    for pair in jets.windows(2) {
        let ((p, d), (q, e)) = (pair[0], pair[1]);
        // Middle of the cubic through both ends with their slopes.
        let middle = [0, 1, 2].map(|c| 0.5 * (p[c] + q[c]) + 0.125 * step * (d[c] - e[c]));
        let off = (middle[0] - eye.x).hypot(middle[1] - eye.y) - eye.radius;
        let skin = over.find([middle[0], middle[1]]).ok_or(EyeError::OffSkin)?;
        *worst = worst.max(off.abs()).max((skin.p[2] - middle[2]).abs());
        *heights = (
            heights.0.min(p[2]).min(middle[2]),
            heights.1.max(p[2]).max(middle[2]),
        );
    }
    let value: Vec<[f64; 3]> = jets.iter().map(|j| j.0).collect();
    let slope: Vec<[f64; 3]> = jets.iter().map(|j| j.1).collect();
    let knots = super::patch::hermite_knots(&angles);
    Ok((knots, super::patch::hermite_points(&angles, &value, &slope)))
}
