//! Where edges are divided. Opposite edges of a four-sided face share their lines, so a family
//! of edges tied together in this way is divided alike.

use truck_modeling::InnerSpace;

use crate::brep::NotClosed;
use crate::brep::shape::{Arc, Curve, Surface};
use crate::skin::patch::breaks;

use super::SHARE;
use super::bow;
use super::spline;
use super::stretch::Stretched;
use super::topology::{FaceData, Net, PatchSide, Topology, Use, point};

/// Places at which the bend of a spline is looked at.
const BEND_SAMPLES: u32 = 64;

/// Divided edges.
pub struct Division {
    /// Family of each edge.
    family: Vec<usize>,
    /// Lines of each family: parameters of the patch for a family with spline faces, else parts
    /// of the curve's range from 0 to 1.
    lines: Vec<Vec<f64>>,
    /// Vertex indices along each edge, in curve direction.
    chains: Vec<Vec<u32>>,
}

/// What a family is divided by.
#[derive(Clone, Default)]
struct Wish {
    /// Spline families: knots and pieces between neighbours.
    spans: Option<(Vec<f64>, Vec<usize>)>,
    /// Least number of equal pieces.
    pieces: usize,
}

impl Division {
    /// Decides the lines of every family.
    ///
    /// # Errors
    /// [`NotClosed`] when a face is not of a known form.
    pub fn plan(topology: &Topology, deviation: f64) -> Result<Self, NotClosed> {
        let family = families(topology)?;
        let mut wishes = vec![Wish::default(); topology.edges.len()];
        for (e, edge) in topology.edges.iter().enumerate() {
            let wish = &mut wishes[family[e]];
            wish.pieces = wish.pieces.max(pieces(&edge.curve, deviation * SHARE));
        }
        for face in &topology.faces {
            let Some(Net { patch, borders }) = &face.net else {
                continue;
            };
            let counts = spline::counts(patch, deviation);
            if face.part().is_some() {
                let stretched = Stretched::with(patch, &counts);
                let straight = face.loops.iter().flatten().filter_map(|use_| {
                    let curve = &topology.edges[use_.edge].curve;
                    matches!(curve, Curve::Line(..)).then_some((use_.edge, curve))
                });
                for (edge, curve) in straight {
                    let wish = &mut wishes[family[edge]];
                    wish.pieces = wish.pieces.max(bow::pieces(&stretched, curve));
                }
            }
            for (edge, side) in borders {
                let (knots, count) = if side.along_u {
                    (breaks(&patch.u_knots), &counts.0)
                } else {
                    (breaks(&patch.v_knots), &counts.1)
                };
                wishes[family[*edge]].take(knots, count)?;
            }
        }
        let lines = wishes.iter().map(Wish::lines).collect();
        Ok(Division {
            family,
            lines,
            chains: vec![Vec::new(); topology.edges.len()],
        })
    }

    /// Puts the points of every edge; spline families take them from a patch.
    pub fn place(&mut self, topology: &Topology, positions: &mut Vec<[f64; 3]>) {
        for face in &topology.faces {
            let Some(Net { patch, borders }) = &face.net else {
                continue;
            };
            for (edge, side) in borders {
                if !self.chains[*edge].is_empty() {
                    continue;
                }
                let lines = &self.lines[self.family[*edge]];
                let points = lines
                    .iter()
                    .map(|&t| spline::on_side(patch, *side, t))
                    .collect();
                self.chain(topology, *edge, side.with, points, positions);
            }
        }
        for (e, edge) in topology.edges.iter().enumerate() {
            if self.chains[e].is_empty() {
                let (a, b) = edge.curve.range();
                let lines = &self.lines[self.family[e]];
                let points = lines
                    .iter()
                    .map(|s| point(edge.curve.at(a + (b - a) * s)))
                    .collect();
                self.chain(topology, e, true, points, positions);
            }
        }
    }

    fn chain(
        &mut self,
        topology: &Topology,
        e: usize,
        with: bool,
        mut points: Vec<[f64; 3]>,
        positions: &mut Vec<[f64; 3]>,
    ) {
        if !with {
            points.reverse();
        }
        let [first, last] = topology.edges[e].ends;
        let mut chain = vec![first];
        for p in &points[1..points.len() - 1] {
            positions.push(*p);
            chain.push(positions.len() as u32 - 1);
        }
        chain.push(last);
        self.chains[e] = chain;
    }

    /// Largest distance of the divided arcs from their curves, mm. Faces of revolution turn about
    /// the arcs' axis; a grid over two arcs (a fillet) adds both.
    pub fn sagitta(&self, topology: &Topology) -> f64 {
        // Sides of patches are measured with their grids, or the triangles of their parts.
        let whole: std::collections::BTreeSet<usize> = topology
            .faces
            .iter()
            .filter_map(|face| face.net.as_ref())
            .flat_map(|net| net.borders.iter().map(|b| b.0))
            .collect();
        let sag = |e: usize| match &topology.edges[e].curve {
            Curve::Arc(Arc { a, b, range, .. }) => {
                let pieces = (self.chains[e].len() - 1) as f64;
                let radius = a.magnitude().max(b.magnitude());
                radius * (1.0 - (0.5 * (range.1 - range.0) / pieces).cos())
            }
            curve @ Curve::Spline(_) if !whole.contains(&e) => {
                chord_error(curve, self.chains[e].len() - 1)
            }
            Curve::Line(..) | Curve::Spline(_) => 0.0,
        };
        let of_face = |face: &FaceData| match (face.whole(), face.loops.as_slice()) {
            (None, [uses]) if is_four_sided(face) => {
                let s: Vec<f64> = uses.iter().map(|u| sag(u.edge)).collect();
                s[0].max(s[2]) + s[1].max(s[3])
            }
            (None, loops) => loops
                .iter()
                .flatten()
                .map(|u| sag(u.edge))
                .fold(0.0, f64::max),
            // The grid of a spline face measures itself.
            (Some(_), _) => 0.0,
        };
        topology.faces.iter().map(of_face).fold(0.0, f64::max)
    }

    /// Vertices along a use of an edge, in the loop's direction, both ends included.
    pub fn along(&self, use_: Use) -> Vec<u32> {
        let mut chain = self.chains[use_.edge].clone();
        if !use_.forward {
            chain.reverse();
        }
        chain
    }

    /// Vertices of a loop in order, each once.
    pub fn ring(&self, uses: &[Use]) -> Vec<u32> {
        let mut ring = Vec::new();
        for use_ in uses {
            let mut chain = self.along(*use_);
            chain.pop();
            ring.append(&mut chain);
        }
        ring
    }

    /// Lines of the family of an edge.
    pub fn lines(&self, edge: usize) -> &[f64] {
        &self.lines[self.family[edge]]
    }
}

impl Wish {
    fn take(&mut self, knots: Vec<f64>, counts: &[usize]) -> Result<(), NotClosed> {
        match &mut self.spans {
            None => self.spans = Some((knots, counts.to_vec())),
            Some((own, pieces)) if *own == knots => {
                for (p, c) in pieces.iter_mut().zip(counts) {
                    *p = (*p).max(*c);
                }
            }
            Some((own, pieces)) => {
                // A coarser patch on the same side: its single span takes the finer lines.
                if knots.len() > own.len() {
                    *own = knots;
                    *pieces = counts.to_vec();
                }
            }
        }
        Ok(())
    }

    fn lines(&self) -> Vec<f64> {
        let Some((knots, counts)) = &self.spans else {
            let n = self.pieces.max(1);
            return (0..=n).map(|i| i as f64 / n as f64).collect();
        };
        let mut lines = vec![knots[0]];
        for (pair, &n) in knots.windows(2).zip(counts) {
            for i in 1..=n {
                let part = i as f64 / n as f64;
                lines.push(if i == n {
                    pair[1]
                } else {
                    pair[0] + (pair[1] - pair[0]) * part
                });
            }
        }
        lines
    }
}

/// An arc that turns by less may be one piece, radians.
const SLIGHT: f64 = 0.2;

/// Equal pieces of a curve within `tolerance` of it (sagitta of the larger radius, facts 8.21).
fn pieces(curve: &Curve, tolerance: f64) -> usize {
    match curve {
        Curve::Arc(Arc { a, b, range, .. }) => {
            let radius = a.magnitude().max(b.magnitude());
            let step = 2.0 * (1.0 - (tolerance / radius).min(1.0)).acos();
            let sweep = range.1 - range.0;
            // The middle of a slight bend is no corner: in 32 bits it would lie on the chord.
            let least = if sweep < SLIGHT { 1.0 } else { 2.0 };
            (sweep / step).ceil().max(least) as usize
        }
        // Where a spline is a side of a whole patch, the patch has the last word.
        Curve::Spline(_) => {
            let (from, to) = curve.range();
            let bend = largest_bend(curve);
            ((to - from) * (bend / (8.0 * tolerance)).sqrt())
                .ceil()
                .max(1.0) as usize
        }
        Curve::Line(..) => 1,
    }
}

/// Largest second derivative across a curve, from differences of even samples.
fn largest_bend(curve: &Curve) -> f64 {
    let (from, to) = curve.range();
    let step = (to - from) / f64::from(BEND_SAMPLES);
    let at = |k: u32| curve.at(from + step * f64::from(k));
    let points: Vec<_> = (0..=BEND_SAMPLES).map(at).collect();
    let bends = points.windows(3).map(|p| {
        let (second, along) = ((p[2] - p[1]) - (p[1] - p[0]), p[2] - p[0]);
        let size = along.magnitude().max(f64::MIN_POSITIVE);
        along.cross(second).magnitude() / (size * step * step)
    });
    bends.fold(0.0, f64::max)
}

/// Distance of a divided curve from its chords, at the middle of each.
fn chord_error(curve: &Curve, pieces: usize) -> f64 {
    let (from, to) = curve.range();
    let at = |k: f64| curve.at(from + (to - from) * k / pieces as f64);
    let error = |k: usize| {
        let (a, b) = (at(k as f64), at(k as f64 + 1.0));
        let along = b - a;
        along.cross(at(k as f64 + 0.5) - a).magnitude() / along.magnitude().max(f64::MIN_POSITIVE)
    };
    (0..pieces).map(error).fold(0.0, f64::max)
}

/// Ties the opposite edges of four-sided faces; returns each edge's family.
fn families(topology: &Topology) -> Result<Vec<usize>, NotClosed> {
    let mut parent: Vec<usize> = (0..topology.edges.len()).collect();
    for face in &topology.faces {
        if !is_four_sided(face) {
            continue;
        }
        let [uses] = face.loops.as_slice() else {
            return Err(NotClosed("a four-sided face with a hole".to_owned()));
        };
        let [a, b, c, d] = uses.as_slice() else {
            return Err(NotClosed("a curved face that is not four-sided".to_owned()));
        };
        for (p, q) in [(a, c), (b, d)] {
            let (p, q) = (root(&mut parent, p.edge), root(&mut parent, q.edge));
            parent[p.max(q)] = p.min(q);
        }
    }
    Ok((0..parent.len()).map(|e| root(&mut parent, e)).collect())
}

fn root(parent: &mut [usize], mut e: usize) -> usize {
    while parent[e] != e {
        parent[e] = parent[parent[e]];
        e = parent[e];
    }
    e
}

/// Planes, spheres and parts of patches are meshed from any outline; everything else is a grid.
fn is_four_sided(face: &FaceData) -> bool {
    !matches!(face.surface, Surface::Plane(_) | Surface::Sphere { .. }) && face.part().is_none()
}

/// Whether a side's lines run in the direction of the edge's use in its loop.
pub fn runs_with(side: PatchSide, use_: Use) -> bool {
    side.with == use_.forward
}
