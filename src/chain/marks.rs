//! Digits and an arrow as strokes of a cutter: open paths that do not touch each other.
//!
//! Drawn by ourselves, in units of the stroke's width: a digit is 7 high and up to 4.6 wide over
//! all. Bends are 45 degrees where they can be, and wood of two thirds stays between two strokes.
//! Upside down, a number of 6, 8, 9 and 0 reads as another one; it gets a bar under it.

/// Height of a digit's middle lines.
pub const HEIGHT: f64 = 6.0;
/// Width of a digit's middle lines.
pub const WIDTH: f64 = 3.4;
/// Length and width of the arrow's middle lines, along and across its direction.
pub const ARROW: (f64, f64) = (4.6, 4.0);
/// Between the middle lines of two neighbours in a row.
pub const SPACE: f64 = 2.0;

/// A glyph: middle lines (right, up) about its own middle.
pub type Glyph = &'static [&'static [[f64; 2]]];

const ZERO: Glyph = &[&[
    [-0.85, 3.0],
    [-1.7, 2.15],
    [-1.7, -2.15],
    [-0.85, -3.0],
    [0.85, -3.0],
    [1.7, -2.15],
    [1.7, 2.15],
    [0.85, 3.0],
]];
const ONE: Glyph = &[&[[-0.9, 1.9], [0.2, 3.0], [0.2, -3.0]]];
const TWO: Glyph = &[&[
    [-1.7, 2.15],
    [-0.85, 3.0],
    [0.85, 3.0],
    [1.7, 2.15],
    [1.7, 1.0],
    [-1.7, -3.0],
    [1.7, -3.0],
]];
const THREE: Glyph = &[&[
    [-1.7, 2.15],
    [-0.85, 3.0],
    [0.85, 3.0],
    [1.7, 2.15],
    [1.7, 1.1],
    [0.6, 0.0],
    [1.7, -1.1],
    [1.7, -2.15],
    [0.85, -3.0],
    [-0.85, -3.0],
    [-1.7, -2.15],
]];
const FOUR: Glyph = &[
    &[[-0.5, 3.0], [-1.8, -0.9], [-0.45, -0.9]],
    &[[1.25, 1.2], [1.25, -3.0]],
];
const FIVE: Glyph = &[&[
    [1.5, 3.0],
    [-1.6, 3.0],
    [-1.6, 0.5],
    [0.7, 0.5],
    [1.7, -0.5],
    [1.7, -2.15],
    [0.85, -3.0],
    [-0.85, -3.0],
    [-1.7, -2.15],
]];
const SIX: Glyph = &[&[
    [1.7, 2.15],
    [0.85, 3.0],
    [-0.85, 3.0],
    [-1.7, 2.15],
    [-1.7, -2.15],
    [-0.85, -3.0],
    [0.85, -3.0],
    [1.7, -2.15],
    [1.7, -0.6],
    [0.85, 0.25],
    [0.0, 0.25],
]];
const SEVEN: Glyph = &[&[[-1.7, 3.0], [1.7, 3.0], [-0.6, -3.0]]];
const EIGHT: Glyph = &[&[
    [-0.85, 3.0],
    [-1.7, 2.15],
    [-1.7, 0.85],
    [-0.85, 0.0],
    [-1.7, -0.85],
    [-1.7, -2.15],
    [-0.85, -3.0],
    [0.85, -3.0],
    [1.7, -2.15],
    [1.7, -0.85],
    [0.85, 0.0],
    [1.7, 0.85],
    [1.7, 2.15],
    [0.85, 3.0],
]];
const NINE: Glyph = &[&[
    [-1.7, -2.15],
    [-0.85, -3.0],
    [0.85, -3.0],
    [1.7, -2.15],
    [1.7, 2.15],
    [0.85, 3.0],
    [-0.85, 3.0],
    [-1.7, 2.15],
    [-1.7, 0.6],
    [-0.85, -0.25],
    [0.0, -0.25],
]];

/// The digits by their value.
const DIGITS: [Glyph; 10] = [ZERO, ONE, TWO, THREE, FOUR, FIVE, SIX, SEVEN, EIGHT, NINE];

/// An arrow to the left.
pub const LEFT: Glyph = &[
    &[[-0.3, -2.0], [-2.3, 0.0], [-0.3, 2.0]],
    &[[2.3, 0.0], [0.15, 0.0]],
];
/// How far a bar's middle line lies under that of a digit's foot.
pub const BAR: f64 = 1.8;

/// Whether a number reads as another one upside down.
pub fn reads_upside_down(mut number: usize) -> bool {
    let mut turns = false;
    loop {
        match number % 10 {
            6 | 9 => turns = true,
            0 | 8 => {}
            _ => return false,
        }
        number /= 10;
        if number == 0 {
            return turns;
        }
    }
}

/// The digits of a number.
pub fn digits(mut number: usize) -> Vec<Glyph> {
    let mut all = Vec::new();
    loop {
        all.push(DIGITS[number % 10]);
        number /= 10;
        if number == 0 {
            break;
        }
    }
    all.reverse();
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    fn apart(a: [[f64; 2]; 2], b: [[f64; 2]; 2]) -> f64 {
        let at = |s: [[f64; 2]; 2], t: f64| [0, 1].map(|c| s[0][c] + (s[1][c] - s[0][c]) * t);
        let mut least = f64::INFINITY;
        for i in 0..=100 {
            for j in 0..=100 {
                let (p, q) = (at(a, f64::from(i) / 100.0), at(b, f64::from(j) / 100.0));
                least = least.min((p[0] - q[0]).hypot(p[1] - q[1]));
            }
        }
        least
    }

    /// Strokes of width 1 leave wood of 0.65 between them; sampled, so a little less is asked.
    #[test]
    fn strokes_do_not_touch() {
        for (k, glyph) in DIGITS.iter().chain([&LEFT]).enumerate() {
            let mut pieces = Vec::new();
            for (s, path) in glyph.iter().enumerate() {
                pieces.extend(
                    path.windows(2)
                        .enumerate()
                        .map(|(i, p)| (s, i, [p[0], p[1]])),
                );
            }
            for (n, a) in pieces.iter().enumerate() {
                for b in pieces[n + 1..]
                    .iter()
                    .filter(|b| b.0 != a.0 || b.1 > a.1 + 1)
                {
                    // Two pieces of one bend part as they leave the short one between them.
                    let bend = a.0 == b.0 && b.1 == a.1 + 2;
                    let least = if bend { 1.0 } else { 1.65 };
                    let gap = apart(a.2, b.2);
                    assert!(gap > least, "glyph {k}: {gap} between {a:?} and {b:?}");
                }
            }
        }
    }

    #[test]
    fn glyphs_keep_their_boxes() {
        for glyph in DIGITS {
            for p in glyph.iter().flat_map(|path| path.iter()) {
                assert!(p[0].abs() <= 0.5 * WIDTH + 0.1 && p[1].abs() <= 0.5 * HEIGHT);
            }
        }
        for p in LEFT.iter().flat_map(|path| path.iter()) {
            assert!(p[0].abs() <= 0.5 * ARROW.0 && p[1].abs() <= 0.5 * ARROW.1);
        }
        assert_eq!(digits(1043).len(), 4);
        let bars: Vec<usize> = (1..100).filter(|&n| reads_upside_down(n)).collect();
        assert_eq!(bars, [6, 9, 60, 66, 68, 69, 86, 89, 90, 96, 98, 99]);
        assert_eq!(digits(0), [ZERO]);
    }
}
