//! Drawings of a piece of stock with all that lies on it, and the template for its dowels.

use super::layer::Layer;
use super::loops;
use super::stroke::{Place, Stroke};
use super::{Contour, Drawing, Shape};
use crate::blank::{Dowel, Layout, Placed, Window};
use crate::brep::set_up::SetUp;
use crate::brep::shape::Half;
use crate::skin::plan::{Corner, Way};

/// What is drawn of a part on a piece.
#[derive(Debug, Clone, Copy)]
pub struct Lying<'a> {
    /// Where it lies.
    pub placed: Placed,
    /// Its finished body, in its own frame.
    pub finished: &'a Half,
    /// The body with its tabs.
    pub held: &'a Half,
    /// The window round it.
    pub window: &'a Window,
}

/// Lengths of the bars to measure on a template, mm: 100 mm and 4 in.
const BARS: [f64; 2] = [100.0, 101.6];
/// From the flip line to the first bar and from bar to bar, and the height of their ticks, mm (by eye).
const BAR_PLACES: (f64, f64) = (12.0, 8.0);
const BAR_TICK: f64 = 3.0;

impl Drawing {
    /// The drawing of a piece as a set-up sees it: the origin is the axis of the front dowel, x runs
    /// along the flip line to the rear.
    pub fn of_piece(
        layout: &Layout,
        clamps: [f64; 2],
        lying: &[Lying<'_>],
        setup: SetUp,
    ) -> Drawing {
        let mut shapes = stock(layout, clamps);
        for part in lying {
            let mut own = loops::of_finished(part.finished);
            own.extend(loops::of_held(part.held));
            own.push(closed(Layer::Windows, strokes(&part.window.outline())));
            own.iter_mut().for_each(|s| s.place(&part.placed));
            shapes.extend(own);
        }
        let [x, y] = layout.dowels[0].at;
        shapes.iter_mut().for_each(|s| s.shift([-x, -y]));
        if setup == SetUp::InsideUp {
            shapes.iter_mut().for_each(Shape::turn);
        }
        shapes.sort_by_key(|s| s.layer);
        Drawing {
            setup,
            whole: false,
            shapes,
        }
    }

    /// The holes to drill into the base for the dowels of a stock, with two bars to measure: 100 mm and
    /// 4 in.
    pub fn of_template(layout: &Layout) -> Drawing {
        let mut shapes = vec![border(layout)];
        shapes.extend(layout.dowels.iter().map(|d| circle(d, 0.5 * d.rod)));
        let middle = 0.5 * layout.size[0];
        for (k, length) in BARS.into_iter().enumerate() {
            let y = layout.dowels[0].at[1] + BAR_PLACES.0 + BAR_PLACES.1 * k as f64;
            let ends = [middle - 0.5 * length, middle + 0.5 * length];
            shapes.push(bar(ends, y));
        }
        let [x, y] = layout.dowels[0].at;
        shapes.iter_mut().for_each(|s| s.shift([-x, -y]));
        shapes.sort_by_key(|s| s.layer);
        Drawing {
            setup: SetUp::OutsideUp,
            whole: false,
            shapes,
        }
    }
}

/// Border of the stock, what is kept free inside it, and the holes of the dowels.
fn stock(layout: &Layout, [ends, sides]: [f64; 2]) -> Vec<Shape> {
    let [length, width] = layout.size;
    let mut shapes = vec![
        border(layout),
        rectangle(Layer::Clamps, [ends, sides], [length - ends, width - sides]),
    ];
    shapes.extend(layout.dowels.iter().map(|d| circle(d, 0.5 * d.hole)));
    shapes
}

fn border(layout: &Layout) -> Shape {
    rectangle(Layer::Stock, [0.0; 2], layout.size)
}

fn closed(layer: Layer, strokes: Vec<Stroke>) -> Shape {
    Shape {
        layer,
        seen: None,
        contour: Contour {
            strokes,
            closed: true,
        },
    }
}

fn rectangle(layer: Layer, low: Place, high: Place) -> Shape {
    let corners = [low, [high[0], low[1]], high, [low[0], high[1]]];
    let side = |k: usize| Stroke::Line(corners[k], corners[(k + 1) % 4]);
    closed(layer, (0..4).map(side).collect())
}

fn circle(dowel: &Dowel, radius: f64) -> Shape {
    let centre = dowel.at;
    closed(Layer::Dowels, vec![Stroke::Circle { centre, radius }])
}

/// A bar between two places along x, with ticks at its ends.
fn bar([from, to]: [f64; 2], y: f64) -> Shape {
    let path = [[from, y + BAR_TICK], [from, y], [to, y], [to, y + BAR_TICK]];
    let lines = path.windows(2).map(|p| Stroke::Line(p[0], p[1]));
    Shape {
        layer: Layer::Bars,
        seen: None,
        contour: Contour {
            strokes: lines.collect(),
            closed: false,
        },
    }
}

/// Lines and arcs of an outline.
fn strokes(outline: &[Corner]) -> Vec<Stroke> {
    let arc = |from: Place, to: Place, centre: Place, radius: f64, left: bool| {
        let angle = |p: Place| (p[1] - centre[1]).atan2(p[0] - centre[0]);
        let (start, end) = (angle(from), angle(to));
        let full = std::f64::consts::TAU;
        let turn = if left {
            (end - start).rem_euclid(full)
        } else {
            -(start - end).rem_euclid(full)
        };
        Stroke::Arc {
            centre,
            radius,
            start,
            turn,
        }
    };
    (0..outline.len())
        .map(|k| {
            let (from, to) = (outline[k].at, outline[(k + 1) % outline.len()].at);
            match outline[k].way {
                Way::Line => Stroke::Line(from, to),
                Way::Left { centre, radius } => arc(from, to, centre, radius, true),
                Way::Right { centre, radius } => arc(from, to, centre, radius, false),
            }
        })
        .collect()
}

impl Shape {
    /// Onto a piece.
    fn place(&mut self, placed: &Placed) {
        if placed.turned {
            self.each(Stroke::half_turned);
        }
        self.shift(placed.at);
    }

    fn shift(&mut self, by: Place) {
        self.each(|stroke| stroke.shifted(by));
    }

    fn each(&mut self, map: impl Fn(&Stroke) -> Stroke) {
        for stroke in &mut self.contour.strokes {
            *stroke = map(stroke);
        }
    }
}
