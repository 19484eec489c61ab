//! Parts laid out in rows, for a file that shows them side by side.

use crate::export::manifest::BoundingBox;

/// Space between parts, mm (habit).
const SPACE: f64 = 5.0;
/// Length of a row after which a new one begins, mm (habit: a common print bed is 220 to 250).
const ROW: f64 = 240.0;

/// A shift for each box so that all lie side by side in the positive octant, lowest point on
/// z = 0, in their order.
pub(super) fn rows(boxes: &[BoundingBox]) -> Vec<[f64; 3]> {
    let (mut x, mut y, mut deepest) = (SPACE, SPACE, 0.0_f64);
    let place = |b: &BoundingBox| {
        let size: [f64; 3] = std::array::from_fn(|k| b.max[k] - b.min[k]);
        if x > SPACE && x + size[0] > ROW {
            (x, y, deepest) = (SPACE, y + deepest + SPACE, 0.0);
        }
        let shift = [x - b.min[0], y - b.min[1], -b.min[2]];
        x += size[0] + SPACE;
        deepest = deepest.max(size[1]);
        shift
    };
    boxes.iter().map(place).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_overlaps_and_all_stand_on_the_plate() {
        let boxes: Vec<BoundingBox> = (0..40)
            .map(|i| {
                let (a, b) = (f64::from(i % 7) * 9.0 + 20.0, f64::from(i % 5) * 6.0 + 10.0);
                BoundingBox {
                    min: [-3.0, -b / 2.0, -f64::from(i % 2) * 8.0],
                    max: [a, b / 2.0, 12.0],
                }
            })
            .collect();
        let placed: Vec<[[f64; 3]; 2]> = boxes
            .iter()
            .zip(rows(&boxes))
            .map(|(b, s)| [b.min, b.max].map(|p| std::array::from_fn(|k| p[k] + s[k])))
            .collect();
        for (i, a) in placed.iter().enumerate() {
            assert!(a[0][2].abs() < 1e-12 && a[0][0] >= SPACE && a[0][1] >= SPACE);
            for b in &placed[..i] {
                let apart = |k: usize| {
                    a[0][k] >= b[1][k] + SPACE - 1e-9 || b[0][k] >= a[1][k] + SPACE - 1e-9
                };
                assert!(apart(0) || apart(1), "{a:?} {b:?}");
            }
        }
    }
}
