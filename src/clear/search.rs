//! Best-first branch and bound over patches.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use nalgebra::{Point3, Vector2};

use super::DISTANCE_TOLERANCE;
use super::bezier::{BezierCurve, BezierPatch, halve};
use super::bound::bound;
use super::convex::Convex;
use super::descent::{Found, descend};

/// The search gives up the proof after so many cells (some tenths of a second); no case in the
/// tests comes near. No source.
const MAX_CELLS: usize = 100_000;

/// A least signed distance from a feature to a set of patches or curves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Nearest {
    /// Least signed distance found, mm; negative where the target enters the feature.
    pub distance: f64,
    /// Proven, up to rounding (some 1e-13 of the coordinates): no point of the target has a lower
    /// signed distance than this.
    pub lower: f64,
    /// Whether `distance - lower` is within [`DISTANCE_TOLERANCE`]. False when the search was
    /// ended by `stop_above` or, never seen, by its limit of cells.
    pub proven: bool,
    /// The point of the target.
    pub on_target: Point3<f64>,
    /// The nearest point of the feature's surface.
    pub on_feature: Point3<f64>,
    /// Which patch or curve.
    pub index: usize,
    /// Where on it (v is 0 for a curve).
    pub uv: (f64, f64),
    /// Cells looked at.
    pub cells: usize,
}

/// A part of a patch: where its net is stored, and the part of the unit square it covers.
struct Cell {
    lower: f64,
    index: usize,
    offset: usize,
    corner: Vector2<f64>,
    size: Vector2<f64>,
    in_v: bool,
}

impl PartialEq for Cell {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Cell {}

impl PartialOrd for Cell {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Cell {
    /// Reversed, so that a heap gives the lowest bound first; ties by storage, so that a run
    /// repeats exactly.
    fn cmp(&self, other: &Self) -> Ordering {
        other
            .lower
            .total_cmp(&self.lower)
            .then(other.offset.cmp(&self.offset))
    }
}

struct Search<'a, P> {
    feature: &'a dyn Convex,
    patches: &'a [P],
    heap: BinaryHeap<Cell>,
    /// Control nets of all cells.
    nets: Vec<[f64; 4]>,
    best: Option<(Found, usize)>,
    /// Least bound of all cells put aside.
    aside: f64,
    cells: usize,
}

impl<P: AsRef<BezierPatch>> Search<'_, P> {
    fn best(&self) -> f64 {
        self.best
            .as_ref()
            .map_or(f64::INFINITY, |(found, _)| found.distance)
    }

    /// Bounds a cell whose net is stored, and keeps it if it may hold something lower.
    fn add(&mut self, mut cell: Cell) {
        let patch = self.patches[cell.index].as_ref();
        let degree = patch.degree();
        let enough = self.best() - DISTANCE_TOLERANCE;
        let net = &self.nets[cell.offset..cell.offset + patch.points().len()];
        let bounded = bound(self.feature, net, degree, enough);
        self.cells += 1;
        // A part's least is no lower than the whole's.
        cell.lower = bounded.lower.max(cell.lower);
        cell.in_v = bounded.in_v;
        if bounded.middle < self.best() {
            let found = descend(self.feature, patch, cell.corner + cell.size * 0.5);
            if found.distance < self.best() {
                self.best = Some((found, cell.index));
            }
        }
        if cell.lower >= self.best() - DISTANCE_TOLERANCE {
            self.aside = self.aside.min(cell.lower);
        } else {
            self.heap.push(cell);
        }
    }

    fn split(&mut self, cell: Cell) {
        let patch = self.patches[cell.index].as_ref();
        let length = patch.points().len();
        let offset = self.nets.len();
        self.nets.resize(offset + length, [0.0; 4]);
        let (old, new) = self.nets.split_at_mut(offset);
        let from = &mut old[cell.offset..cell.offset + length];
        halve(from, new, patch.degree(), cell.in_v);
        let axis = usize::from(cell.in_v);
        let mut size = cell.size;
        size[axis] *= 0.5;
        let mut corner = cell.corner;
        corner[axis] += size[axis];
        let upper = Cell {
            offset,
            corner,
            size,
            ..cell
        };
        self.add(Cell { size, ..cell });
        self.add(upper);
    }

    fn run(mut self, stop_above: Option<f64>) -> Option<Nearest> {
        let stop_above = stop_above.unwrap_or(f64::INFINITY);
        for (index, patch) in self.patches.iter().enumerate() {
            let offset = self.nets.len();
            self.nets.extend_from_slice(patch.as_ref().points());
            self.add(Cell {
                lower: f64::NEG_INFINITY,
                index,
                offset,
                corner: Vector2::zeros(),
                size: Vector2::repeat(1.0),
                in_v: false,
            });
        }
        let mut open = f64::INFINITY;
        while let Some(cell) = self.heap.pop() {
            if cell.lower >= self.best() - DISTANCE_TOLERANCE
                || cell.lower >= stop_above
                || self.cells >= MAX_CELLS
            {
                open = cell.lower;
                break;
            }
            self.split(cell);
        }
        let (found, index) = self.best?;
        let (distance, gradient) = self.feature.signed_distance(&found.point);
        let lower = open.min(self.aside).min(distance);
        Some(Nearest {
            distance,
            lower,
            proven: distance - lower <= DISTANCE_TOLERANCE,
            on_target: found.point,
            on_feature: found.point - gradient * distance,
            index,
            uv: (found.uv.x, found.uv.y),
            cells: self.cells,
        })
    }
}

impl AsRef<BezierPatch> for BezierPatch {
    fn as_ref(&self) -> &BezierPatch {
        self
    }
}

impl AsRef<BezierPatch> for BezierCurve {
    fn as_ref(&self) -> &BezierPatch {
        self.as_patch()
    }
}

/// [`least_distance_patches`] for patches held in any way.
pub(super) fn search<P: AsRef<BezierPatch>>(
    feature: &dyn Convex,
    patches: &[P],
    stop_above: Option<f64>,
) -> Option<Nearest> {
    Search {
        feature,
        patches,
        heap: BinaryHeap::with_capacity(256),
        nets: Vec::with_capacity(8192),
        best: None,
        aside: f64::INFINITY,
        cells: 0,
    }
    .run(stop_above)
}

/// Least signed distance of `feature` over the patches; none when there are no patches.
///
/// With `stop_above`, the search ends as soon as everything is proven to lie at least that far
/// away: then `lower >= stop_above`, and `distance` is only some value reached.
pub fn least_distance_patches(
    feature: &dyn Convex,
    patches: &[BezierPatch],
    stop_above: Option<f64>,
) -> Option<Nearest> {
    search(feature, patches, stop_above)
}

/// Least signed distance of `feature` over the curves; see [`least_distance_patches`].
pub fn least_distance_curves(
    feature: &dyn Convex,
    curves: &[BezierCurve],
    stop_above: Option<f64>,
) -> Option<Nearest> {
    search(feature, curves, stop_above)
}
