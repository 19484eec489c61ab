//! Where the mark of a half goes, and its strokes there.
//!
//! A mark is read with the inside up, so x runs to the reader's right and y down: right and up on
//! the page are turned into x and y, never mirrored.

use super::face::Face;
use crate::chain::feature::{Mark, Stroke};
use crate::chain::form::Side;
use crate::chain::marks::{ARROW, HEIGHT, RIGHT, SPACE, WIDTH, digits};

/// Depth, mm (common practice, no source).
const DEPTH: f64 = 0.4;
/// Sizes that are tried: a unit of the drawing over the stroke's width.
const SIZES: [f64; 2] = [1.0, 0.85];
/// Steps of the places that are tried, mm.
const STEP: f64 = 1.0;

/// How a mark lies: the arrow points to the front in all of them.
#[derive(Debug, Clone, Copy)]
enum Lay {
    /// Read along the body: number, arrow behind it.
    Along,
    /// Read across: the arrow over the number.
    Over,
    /// Read across: the arrow behind the number.
    Beside,
}

/// A mark as drawn: middle lines (right, up) about its middle, and half sizes without the stroke.
struct Drawing {
    paths: Vec<Vec<[f64; 2]>>,
    half: [f64; 2],
}

impl Lay {
    /// Those a number is tried in. One that stands like a digit's `over` is short along the body.
    const ALL: [Lay; 3] = [Lay::Along, Lay::Over, Lay::Beside];

    fn draw(self, number: usize) -> Drawing {
        let glyphs = digits(number);
        let count = glyphs.len() as f64;
        let row = count * WIDTH + (count - 1.0) * SPACE;
        let mut paths = Vec::new();
        // Arrow: its box, and where its middle lies beside or over that of the row.
        let (size, shift) = match self {
            Lay::Along => ([ARROW.0, ARROW.1], [0.5 * (row + ARROW.0) + SPACE, 0.0]),
            Lay::Beside => ([ARROW.1, ARROW.0], [0.5 * (row + ARROW.1) + SPACE, 0.0]),
            Lay::Over => ([ARROW.1, ARROW.0], [0.0, 0.5 * (HEIGHT + ARROW.0) + SPACE]),
        };
        // The middle of all is half way of what the arrow adds.
        let middle = match self {
            Lay::Over => [0.0, 0.5 * (ARROW.0 + SPACE)],
            _ => [0.5 * (size[0] + SPACE), 0.0],
        };
        let mut add = |path: &[[f64; 2]], at: [f64; 2], upright: bool| {
            let turned = |p: [f64; 2]| if upright { [-p[1], p[0]] } else { p };
            paths.push(
                path.iter()
                    .map(|&p| {
                        let p = turned(p);
                        [p[0] + at[0] - middle[0], p[1] + at[1] - middle[1]]
                    })
                    .collect(),
            );
        };
        for (k, glyph) in glyphs.iter().enumerate() {
            let x = (WIDTH - row) * 0.5 + k as f64 * (WIDTH + SPACE);
            glyph.iter().for_each(|path| add(path, [x, 0.0], false));
        }
        let upright = !matches!(self, Lay::Along);
        RIGHT.iter().for_each(|path| add(path, shift, upright));
        let half = match self {
            Lay::Over => [row.max(size[0]), HEIGHT + SPACE + size[1]],
            _ => [row + SPACE + size[0], HEIGHT.max(size[1])],
        };
        Drawing {
            paths,
            half: half.map(|h| 0.5 * h),
        }
    }

    /// From right and up on the page to x and y: along, right is to the front; across, up is.
    fn place(self, [right, up]: [f64; 2]) -> [f64; 2] {
        match self {
            Lay::Along => [-right, up],
            Lay::Over | Lay::Beside => [-up, -right],
        }
    }

    fn text(self, number: usize) -> String {
        match self {
            Lay::Along => format!("{number}>"),
            Lay::Over | Lay::Beside => format!("{number}^"),
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
            if face.takes(side, [x, y], half) {
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
