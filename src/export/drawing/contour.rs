//! Lines of a drawing: strokes put end to end.

use super::layer::Layer;
use super::stroke::{Place, Stroke};
use crate::brep::set_up::SetUp;

/// Strokes put end to end.
#[derive(Debug, Clone, PartialEq)]
pub struct Contour {
    /// Each begins where the one before ends.
    pub strokes: Vec<Stroke>,
    /// Whether the last ends where the first begins.
    pub closed: bool,
}

/// A line with its meaning.
#[derive(Debug, Clone, PartialEq)]
pub struct Shape {
    /// What it shows.
    pub layer: Layer,
    /// The only set-up in which the cutter can see it; none when both can.
    pub seen: Option<SetUp>,
    /// The line.
    pub contour: Contour,
}

impl Shape {
    pub(super) fn turn(&mut self) {
        for stroke in &mut self.contour.strokes {
            *stroke = stroke.turned();
        }
    }
}

impl Contour {
    /// Signed area inside a closed line, mm2; counter-clockwise counts positive.
    pub fn area(&self) -> f64 {
        0.5 * self.strokes.iter().map(Stroke::twice_area).sum::<f64>()
    }

    /// Greatest distance between the end of a stroke and the beginning of the next, mm.
    pub fn gap(&self) -> f64 {
        let count = self.strokes.len();
        let joints = if self.closed { count } else { count.max(1) - 1 };
        let gap = |k: usize| {
            let end = self.strokes[k].ends().1;
            let next = self.strokes[(k + 1) % count].ends().0;
            (end[0] - next[0]).hypot(end[1] - next[1])
        };
        (0..joints).map(gap).fold(0.0, f64::max)
    }

    /// Least and greatest x and y, mm.
    pub fn bounds(&self) -> (Place, Place) {
        bounds(self.strokes.iter().flat_map(Stroke::extremes))
    }
}

/// The box of some places.
pub(super) fn bounds(places: impl Iterator<Item = Place>) -> (Place, Place) {
    let none = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
    places.fold(none, |(low, high), p| {
        (
            [low[0].min(p[0]), low[1].min(p[1])],
            [high[0].max(p[0]), high[1].max(p[1])],
        )
    })
}
