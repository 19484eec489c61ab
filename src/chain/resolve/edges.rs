//! Straight outer edges of plates, where tabs stand when the free rim does not take them.

use super::foot::{FootLine, sub, turns};
use super::tabs::{BESIDE, OVER, STEEP, Sides};
use crate::chain::feature::{Flank, Plate};

/// Straight edge left beside a tab, mm: room for the chisel, and for the rim's rulings, which
/// turn the plate's corners a little (common practice, no source).
const AT_CORNER: f64 = 1.0;

/// A straight outer edge, everything at y < 0.
#[derive(Debug, Clone, Copy)]
pub(super) struct Edge {
    /// Number of its plate among those of the flank.
    pub plate: usize,
    /// What a tab may take of it along x.
    pub from: f64,
    pub to: f64,
    /// A place on it, and its slope in plan by x.
    place: [f64; 2],
    slope: f64,
    /// Up to here it is upright: half the plate's thickness less its ease.
    pub upright: f64,
}

/// The plan of one plate.
pub(super) struct PlateOf {
    /// Root along x.
    pub root: (f64, f64),
    /// All of it along x.
    pub all: (f64, f64),
    pub edges: Vec<Edge>,
    /// Whether its corners run on from front to rear, so that no wall lies outside another.
    plain: bool,
}

impl Edge {
    /// How far it lies from the middle plane at x.
    pub fn far(&self, x: f64) -> f64 {
        -(self.place[1] + self.slope * (x - self.place[0]))
    }

    /// Whether it takes a tab from x to x.
    pub fn holds(&self, (a, b): (f64, f64)) -> bool {
        self.from <= a && b <= self.to
    }

    /// Whether it is upright up to a little over the tab's top.
    pub fn thick(&self, top: f64) -> bool {
        top + OVER <= self.upright + 1e-9
    }
}

impl PlateOf {
    fn of(line: &FootLine, plate: &Plate, number: usize) -> Option<Self> {
        let root = (plate.corners.first()?.x, plate.corners.last()?.x);
        let path = line.path(&plate.corners);
        let xs = || path.iter().map(|p| p[0]);
        let upright = plate.half_thickness - plate.ease;
        let inner = &path[1..path.len() - 1];
        Some(PlateOf {
            root,
            all: (
                xs().fold(f64::INFINITY, f64::min),
                xs().fold(f64::NEG_INFINITY, f64::max),
            ),
            edges: edges(&path, plate, number, upright),
            plain: inner.windows(2).all(|p| p[0][0] < p[1][0]),
        })
    }

    /// All plates of a flank.
    pub fn all(line: &FootLine, plates: &[Plate], flank: Flank) -> Vec<Self> {
        let own = plates.iter().filter(|p| p.flank == flank).enumerate();
        own.filter_map(|(number, p)| PlateOf::of(line, p, number))
            .collect()
    }

    /// Edges on which a tab is placed without being asked for by place.
    pub fn usual(&self, top: f64) -> impl Iterator<Item = &Edge> {
        let fit = move |e: &&Edge| e.thick(top) && e.slope.abs() <= STEEP;
        self.edges.iter().filter(move |e| self.plain && fit(e))
    }
}

/// Walls between the corners of a path that run to the rear, less their roundings and what a tab
/// leaves beside it.
fn edges(path: &[[f64; 2]], plate: &Plate, number: usize, upright: f64) -> Vec<Edge> {
    let turns = turns(path);
    let taken = |k: usize| plate.corners[k].radius * (0.5 * turns[k].abs()).tan();
    // In a hollow corner the next wall stands up beside the tab.
    let left = |k: usize| if turns[k] < 0.0 { BESIDE } else { AT_CORNER };
    let walls = plate.corners.windows(2).enumerate();
    walls
        .filter_map(|(k, _)| {
            let (p, q) = (path[k + 1], path[k + 2]);
            let d = sub(q, p);
            let part = d[0] / d[0].hypot(d[1]);
            (d[0] > 0.0).then(|| Edge {
                plate: number,
                from: p[0] + taken(k) * part + left(k),
                to: q[0] - taken(k + 1) * part - left(k + 1),
                place: p,
                slope: d[1] / d[0],
                upright,
            })
        })
        .collect()
}

/// A tab as it is written.
pub(super) struct Wanted {
    pub x: f64,
    pub width: f64,
    /// How far it would reach out of the rim.
    pub length: f64,
    pub top: f64,
}

/// Where a written tab stands.
pub(super) enum Where {
    Rim,
    Plate(usize),
    /// Over a plate with this root, off what its straight outer edges offer, both along x.
    Beside {
        root: (f64, f64),
        edges: Vec<(f64, f64)>,
    },
    /// On an edge that is upright only up to here.
    Thin(f64),
}

/// Where a written tab stands: on a plate where one is in its way, else on the rim.
pub(super) fn place(sides: &Sides<'_>, flank: Flank, tab: &Wanted) -> Where {
    let x = tab.x;
    let ends = (x - 0.5 * tab.width, x + 0.5 * tab.width);
    let plates = PlateOf::all(sides.line, sides.plates, flank);
    let over = |p: &PlateOf| ends.0 < p.root.1 && p.root.0 < ends.1;
    // A plate may reach over the rim beside its root.
    let reach = sides.line.half_width(x).0 + tab.length;
    let edges = plates.iter().flat_map(|p| {
        let met = over(p);
        let edges = p.edges.iter().filter(|e| e.holds(ends));
        edges.filter(move |e| met || e.far(x) < reach)
    });
    let outermost = edges.max_by(|a, b| a.far(x).total_cmp(&b.far(x)));
    match (outermost, plates.iter().find(|p| over(p))) {
        (Some(edge), _) if edge.thick(tab.top) => Where::Plate(edge.plate),
        (Some(edge), _) => Where::Thin(edge.upright),
        (None, None) => Where::Rim,
        (None, Some(plate)) => Where::Beside {
            root: plate.root,
            edges: plate.edges.iter().map(|e| (e.from, e.to)).collect(),
        },
    }
}
