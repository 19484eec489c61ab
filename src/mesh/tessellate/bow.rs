//! Straight edges on a part of a patch, such as those of a flat, bow in its parameters. A chord in
//! the chart that strays from its edge would have inner points on the wrong side of the edge, and
//! folded triangles between.

use crate::brep::shape::Curve;

use super::foot::Foot;
use super::stretch::Stretched;

/// Most pieces of an edge.
const MOST: usize = 64;
/// A chord strays by at most this part of a cell; inner points keep over four times as far away.
const STRAY: f64 = 0.1;

/// Equal pieces of a curve on a patch whose chords stray little from it in the chart.
pub fn pieces(stretched: &Stretched<'_>, curve: &Curve) -> usize {
    let mut foot = Foot::new(stretched.patch());
    let (from, to) = curve.range();
    let places: Vec<[f64; 2]> = (0..=MOST)
        .map(|k| {
            let p = curve.at(from + (to - from) * k as f64 / MOST as f64);
            let at = stretched.place(foot.find([p.x, p.y, p.z]).0);
            [at.x, at.y]
        })
        .collect();
    let mut count = 1;
    while count < MOST && stray(&places, MOST / count) > STRAY {
        count *= 2;
    }
    count
}

/// Furthest that the places stray from the chords over every `step` of them.
fn stray(places: &[[f64; 2]], step: usize) -> f64 {
    let mut most = 0.0f64;
    for chord in places.windows(step + 1).step_by(step) {
        let (a, b) = (chord[0], chord[step]);
        let [x, y] = [b[0] - a[0], b[1] - a[1]];
        let long = x.hypot(y).max(f64::MIN_POSITIVE);
        for p in chord {
            let across = (p[0] - a[0]) * y - (p[1] - a[1]) * x;
            most = most.max(across.abs() / long);
        }
    }
    most
}
