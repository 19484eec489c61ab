//! Where the mark of a half goes, and its strokes there.
//!
//! A mark is read with the inside up, where x runs to the reader's right and y down: right and up
//! on the page are turned into x and y, never mirrored.

use super::face::Face;
use crate::chain::feature::{Mark, Stroke};
use crate::chain::form::Side;
use crate::chain::marks::{
    ARROW, BAR, Glyph, HEIGHT, LEFT, SPACE, WIDTH, digits, reads_upside_down,
};

/// Depth, mm (common practice, no source).
const DEPTH: f64 = 0.4;
/// Sizes that are tried: a unit of the drawing over the stroke's width.
const SIZES: [f64; 2] = [1.0, 0.85];
/// Steps of the places that are tried, mm.
const STEP: f64 = 1.0;

/// How a mark lies: the arrow points to the front in all of them.
#[derive(Debug, Clone, Copy)]
enum Lay {
    /// Read with the front to the left: arrow, number.
    Along,
    /// Read with the front up: the arrow over the number.
    Over,
    /// Read with the front up: arrow, number.
    Beside,
}

/// A mark as drawn: middle lines (right, up) about its middle, and half sizes without the stroke.
struct Drawing {
    paths: Vec<Vec<[f64; 2]>>,
    half: [f64; 2],
}

impl Drawing {
    /// Adds a glyph about a place.
    fn add(&mut self, glyph: Glyph, at: [f64; 2], turned: impl Fn([f64; 2]) -> [f64; 2]) {
        self.paths.extend(glyph.iter().map(|path| {
            let moved = |p: &[f64; 2]| {
                let p = turned(*p);
                [p[0] + at[0], p[1] + at[1]]
            };
            path.iter().map(moved).collect()
        }));
    }
}

impl Lay {
    /// Those that are tried, in this order.
    const ALL: [Lay; 3] = [Lay::Along, Lay::Over, Lay::Beside];

    fn draw(self, number: usize) -> Drawing {
        let glyphs = digits(number);
        let count = glyphs.len() as f64;
        let row = count * WIDTH + (count - 1.0) * SPACE;
        let foot = if reads_upside_down(number) { BAR } else { 0.0 };
        let high = HEIGHT + foot;
        // Middles of the number's box and of the arrow's, and the size of both together.
        let (box_at, arrow_at, size) = match self {
            Lay::Along | Lay::Beside => {
                let (long, wide) = match self {
                    Lay::Along => ARROW,
                    _ => (ARROW.1, ARROW.0),
                };
                (
                    [0.5 * (long + SPACE), 0.0],
                    [-0.5 * (row + SPACE), 0.5 * foot],
                    [long + SPACE + row, high.max(wide)],
                )
            }
            Lay::Over => (
                [0.0, -0.5 * (ARROW.0 + SPACE)],
                [0.0, 0.5 * (high + SPACE)],
                [row.max(ARROW.1), high + SPACE + ARROW.0],
            ),
        };
        let mut drawing = Drawing {
            paths: Vec::new(),
            half: size.map(|s| 0.5 * s),
        };
        for (k, glyph) in glyphs.into_iter().enumerate() {
            let right = 0.5 * (WIDTH - row) + k as f64 * (WIDTH + SPACE);
            let at = [box_at[0] + right, box_at[1] + 0.5 * foot];
            drawing.add(glyph, at, |p| p);
        }
        drawing.add(LEFT, arrow_at, |p| match self {
            Lay::Along => p,
            // A quarter to the right: left becomes up.
            Lay::Over | Lay::Beside => [p[1], -p[0]],
        });
        if foot > 0.0 {
            let under = box_at[1] - 0.5 * high;
            let end = |side: f64| [box_at[0] + side * 0.5 * row, under];
            drawing.paths.push(vec![end(-1.0), end(1.0)]);
        }
        drawing
    }

    /// From right and up on the page, with the inside up, to x and y.
    fn place(self, [right, up]: [f64; 2]) -> [f64; 2] {
        match self {
            Lay::Along => [right, -up],
            Lay::Over | Lay::Beside => [-up, -right],
        }
    }

    fn text(self, number: usize) -> String {
        match self {
            Lay::Along => format!("<{number}"),
            Lay::Over | Lay::Beside => format!("^{number}"),
        }
    }
}

/// The mark of a half in the largest size and at the most central place that is free; `None` when
/// nothing fits.
pub(super) fn mark(face: &Face, side: Side, number: usize, width: f64) -> Option<Mark> {
    for size in SIZES {
        for lay in Lay::ALL {
            let drawing = lay.draw(number);
            let unit = size * width;
            let half = lay
                .place(drawing.half)
                .map(|h| h.abs() * unit + 0.5 * width);
            let Some(at) = free_place(face, side, half) else {
                continue;
            };
            let placed = |p: &[f64; 2]| {
                let [x, y] = lay.place(*p);
                [at[0] + unit * x, at[1] + unit * y]
            };
            return Some(Mark {
                side,
                text: lay.text(number),
                strokes: drawing
                    .paths
                    .iter()
                    .map(|path| Stroke {
                        path: path.iter().map(placed).collect(),
                    })
                    .collect(),
                half_width: 0.5 * width,
                depth: DEPTH,
            });
        }
    }
    None
}

/// Nearest to the axis, then to the middle of the length, then to the front and to y > 0.
fn free_place(face: &Face, side: Side, half: [f64; 2]) -> Option<[f64; 2]> {
    let along = (0.5 * face.length / STEP).floor() as i32;
    let widest = face.half_width();
    let across = (widest / STEP).floor() as i32;
    let out = |k: i32| if k % 2 == 0 { -k / 2 } else { k / 2 + 1 };
    for k in 0..=2 * across {
        let y = STEP * f64::from(out(k));
        for j in 0..=2 * along {
            let x = 0.5 * face.length - STEP * f64::from(out(j));
            if face.takes(side, [x, y], half, DEPTH) {
                return Some([x, y]);
            }
        }
    }
    None
}

/// Size of the least place for a mark along the body, mm.
pub(super) fn least_place(number: usize, width: f64) -> (f64, f64) {
    let half = Lay::Along.draw(number).half;
    let size = |h: f64| 2.0 * h * SIZES[SIZES.len() - 1] * width + width;
    (size(half[0]), size(half[1]))
}
