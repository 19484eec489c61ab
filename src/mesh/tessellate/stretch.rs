//! The chart in which a part of a patch is meshed: its parameters, stretched so that the grid of
//! the whole patch has square cells.

use spade::Point2;

use crate::skin::patch::Patch;

use super::spline::counts;

/// The patch with a stretched chart of its parameters.
pub struct Stretched<'a> {
    patch: &'a Patch,
    u: Stretch,
    v: Stretch,
}

/// A monotone map of one parameter, straight between the places of a table.
struct Stretch {
    from: Vec<f64>,
    to: Vec<f64>,
}

impl Stretch {
    /// One unit from each line of the grid to the next.
    fn of(lines: Vec<f64>) -> Self {
        let to = (0..lines.len()).map(|k| k as f64).collect();
        Stretch { from: lines, to }
    }

    fn map(x: f64, from: &[f64], to: &[f64]) -> f64 {
        let k = from[1..from.len() - 1].partition_point(|&f| f <= x);
        let part = (x - from[k]) / (from[k + 1] - from[k]);
        to[k] + part * (to[k + 1] - to[k])
    }

    fn there(&self, x: f64) -> f64 {
        Self::map(x, &self.from, &self.to)
    }

    fn back(&self, x: f64) -> f64 {
        Self::map(x, &self.to, &self.from)
    }
}

impl<'a> Stretched<'a> {
    /// A unit from each line to the next of the grid that keeps a whole patch within `deviation`.
    pub fn of(patch: &'a Patch, deviation: f64) -> Self {
        Self::with(patch, &counts(patch, deviation))
    }

    /// The same when that grid is known, by its cells between neighbouring knots along u and v.
    pub fn with(patch: &'a Patch, (nu, nv): &(Vec<usize>, Vec<usize>)) -> Self {
        Stretched {
            patch,
            u: Stretch::of(lines(&patch.u_knots, nu)),
            v: Stretch::of(lines(&patch.v_knots, nv)),
        }
    }

    /// The patch.
    pub fn patch(&self) -> &'a Patch {
        self.patch
    }

    /// Lines of the grid along u.
    pub fn u_lines(&self) -> &[f64] {
        &self.u.from
    }

    /// Lines of the grid along v.
    pub fn v_lines(&self) -> &[f64] {
        &self.v.from
    }

    /// The place of parameters in the chart.
    pub fn place(&self, [u, v]: [f64; 2]) -> Point2<f64> {
        Point2::new(self.u.there(u), self.v.there(v))
    }

    /// The point over a place of the chart.
    pub fn point(&self, at: Point2<f64>) -> [f64; 3] {
        self.patch.jet(self.u.back(at.x), self.v.back(at.y)).p
    }

    /// How far a point of the mesh over a place of the chart lies off the surface, along its
    /// normal.
    pub fn off(&self, at: Point2<f64>, p: [f64; 3]) -> f64 {
        let jet = self.patch.jet(self.u.back(at.x), self.v.back(at.y));
        let n = jet.normal();
        let along: f64 = (0..3).map(|c| (p[c] - jet.p[c]) * n[c]).sum();
        along.abs() / length(n).max(1e-300)
    }
}

fn length(v: [f64; 3]) -> f64 {
    (v[0] * v[0] + v[1] * v[1] + v[2] * v[2]).sqrt()
}

/// Lines of the grid of a whole patch.
fn lines(knots: &[f64], counts: &[usize]) -> Vec<f64> {
    let breaks = crate::skin::patch::breaks(knots);
    let mut out = vec![breaks[0]];
    for (pair, &n) in breaks.windows(2).zip(counts) {
        out.extend((1..n).map(|i| pair[0] + (pair[1] - pair[0]) * i as f64 / n as f64));
        out.push(pair[1]);
    }
    out
}
