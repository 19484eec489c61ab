//! Closed outlines in plan of what is cut into the split face: lines and arcs, counter-clockwise
//! seen from above, so that the pocket lies to the left.

use crate::chain::{Groove, HalfPin};
pub use crate::skin::plan::{Corner, Way};

/// Turns flatter than this count as straight, radians (rounding noise).
const STRAIGHT: f64 = 1e-9;
/// A straight wall keeps at least this length beside its bends, mm: room `clear` asks for more.
const LEAST_WALL: f64 = 1e-6;

fn corner(at: [f64; 2], way: Way) -> Corner {
    Corner { at, way }
}

/// A pin hole whose radius is larger by `wider`: two half circles, joined by lines in a slotted
/// hole.
pub fn hole(pin: &HalfPin, wider: f64) -> Vec<Corner> {
    let (r, h) = (pin.radius + wider, 0.5 * pin.slot);
    let at = |x: f64, y: f64| [pin.x + x, pin.y + y];
    let round = |side: f64| Way::Left {
        centre: [pin.x + side * h, pin.y],
        radius: r,
    };
    let (a, b) = (at(h, -r), at(h, r));
    if h == 0.0 {
        return vec![corner(a, round(1.0)), corner(b, round(1.0))];
    }
    vec![
        corner(a, round(1.0)),
        corner(b, Way::Line),
        corner(at(-h, r), round(-1.0)),
        corner(at(-h, -r), Way::Line),
    ]
}

/// A glue groove: two arcs about the socket's centre, each in two pieces, and round ends.
pub fn groove(groove: &Groove) -> Vec<Corner> {
    let (sin, cos) = groove.free.sin_cos();
    let m = groove.mouth;
    // Seen from above the groove begins on the left of someone who looks out of the mouth.
    let end = |radius: f64, side: f64| [groove.x + m * radius * cos, side * m * radius * sin];
    let back = |radius: f64| [groove.x - m * radius, 0.0];
    let (middle, w) = (groove.radius, groove.half_width);
    let (outer, inner) = (middle + w, middle - w);
    let centre = [groove.x, 0.0];
    let out = Way::Left {
        centre,
        radius: outer,
    };
    let home = Way::Right {
        centre,
        radius: inner,
    };
    let cap = |side: f64| Way::Left {
        centre: end(middle, side),
        radius: w,
    };
    vec![
        corner(end(outer, 1.0), out),
        corner(back(outer), out),
        corner(end(outer, -1.0), cap(-1.0)),
        corner(end(inner, -1.0), home),
        corner(back(inner), home),
        corner(end(inner, 1.0), cap(1.0)),
    ]
}

/// The outline of a path of constant width, as a round cutter leaves it: round ends, arcs on
/// outer corners, sharp inner corners. `None` when a bend is so sharp, or a piece so short, that
/// the outline would cross itself there. Far pieces that meet are not looked for.
pub fn stroke(path: &[[f64; 2]], half_width: f64) -> Option<Vec<Corner>> {
    let back: Vec<[f64; 2]> = path.iter().rev().copied().collect();
    let mut out = right_side(path, half_width)?;
    out.extend(right_side(&back, half_width)?);
    Some(out)
}

/// The right side of a path and the half circle round its end.
fn right_side(path: &[[f64; 2]], w: f64) -> Option<Vec<Corner>> {
    let along: Vec<[f64; 2]> = path.windows(2).map(direction).collect::<Option<_>>()?;
    let last = *along.last()?;
    let beside = |p: [f64; 2], d: [f64; 2]| [p[0] + w * d[1], p[1] - w * d[0]];
    let round = |centre| Way::Left { centre, radius: w };
    let mut out = vec![corner(beside(path[0], along[0]), Way::Line)];
    // What bends take from the length of the wall before and behind them.
    let mut taken = vec![0.0; along.len()];
    for (k, pair) in along.windows(2).enumerate() {
        let (p, [a, b]) = (path[k + 1], [pair[0], pair[1]]);
        let (cross, dot) = (a[0] * b[1] - a[1] * b[0], a[0] * b[0] + a[1] * b[1]);
        if cross.abs() < STRAIGHT && dot > 0.0 {
            continue;
        }
        if cross > 0.0 {
            out.push(corner(beside(p, a), round(p)));
            out.push(corner(beside(p, b), Way::Line));
            continue;
        }
        let half_turn = cross.abs().atan2(dot) * 0.5;
        taken[k] += w * half_turn.tan();
        taken[k + 1] += w * half_turn.tan();
        let shift = w / (1.0 + dot);
        let inner = [p[0] + shift * (a[1] + b[1]), p[1] - shift * (a[0] + b[0])];
        out.push(corner(inner, Way::Line));
    }
    for (k, ends) in path.windows(2).enumerate() {
        let length = (ends[1][0] - ends[0][0]).hypot(ends[1][1] - ends[0][1]);
        let left = length - taken[k];
        if left.is_nan() || left <= LEAST_WALL {
            return None;
        }
    }
    let end = path[path.len() - 1];
    out.push(corner(beside(end, last), round(end)));
    Some(out)
}

fn direction(ends: &[[f64; 2]]) -> Option<[f64; 2]> {
    let v = [ends[1][0] - ends[0][0], ends[1][1] - ends[0][1]];
    let length = v[0].hypot(v[1]);
    (length > 0.0 && length.is_finite()).then(|| [v[0] / length, v[1] / length])
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Area by the polygon of the corners and the segments under the arcs.
    fn area(outline: &[Corner]) -> f64 {
        let mut twice = 0.0;
        for (k, c) in outline.iter().enumerate() {
            let (p, q) = (c.at, outline[(k + 1) % outline.len()].at);
            twice += p[0] * q[1] - p[1] * q[0];
            let (Way::Left { centre, radius } | Way::Right { centre, radius }) = c.way else {
                continue;
            };
            for end in [p, q] {
                let far = (end[0] - centre[0]).hypot(end[1] - centre[1]);
                assert!((far - radius).abs() < 1e-12, "{far} {radius}");
            }
            let angle = |p: [f64; 2]| (p[1] - centre[1]).atan2(p[0] - centre[0]);
            let turn = match c.way {
                Way::Left { .. } => (angle(q) - angle(p)).rem_euclid(std::f64::consts::TAU),
                _ => -(angle(p) - angle(q)).rem_euclid(std::f64::consts::TAU),
            };
            twice += radius * radius * (turn - turn.sin());
        }
        0.5 * twice
    }

    #[test]
    fn a_bent_stroke_has_the_area_of_its_pieces() {
        let w: f64 = 0.4;
        for degrees in [-130.0_f64, -60.0, -1.0, 0.0, 30.0, 90.0, 140.0] {
            let turn = degrees.to_radians();
            let path = [
                [1.0, 2.0],
                [4.0, 2.0],
                [4.0 + 5.0 * turn.cos(), 2.0 + 5.0 * turn.sin()],
            ];
            let found = area(&stroke(&path, w).unwrap());
            let half = 0.5 * turn.abs();
            let wanted = 16.0 * w + w * w * (std::f64::consts::PI + half - half.tan());
            assert!(
                (found - wanted).abs() < 1e-11,
                "{degrees}: {found} {wanted}"
            );
        }
    }

    #[test]
    fn a_stroke_that_folds_is_none() {
        let bad: [&[[f64; 2]]; 5] = [
            &[[0.0, 0.0]],
            &[[0.0, 0.0], [0.0, 0.0]],
            &[[0.0, 0.0], [5.0, 0.0], [1.0, 0.0]],
            &[[0.0, 0.0], [5.0, 0.0], [5.0, 0.3]],
            &[[0.0, 0.0], [f64::NAN, 0.0]],
        ];
        for path in bad {
            assert_eq!(stroke(path, 0.4), None, "{path:?}");
        }
    }

    #[test]
    fn a_groove_has_the_area_of_its_ring() {
        for (mouth, free) in [(1.0, 0.6), (-1.0, 1.4), (1.0, 2.9)] {
            let ring = Groove {
                x: 7.0,
                mouth,
                radius: 12.0,
                half_width: 0.4,
                depth: 0.8,
                free,
            };
            let turn = std::f64::consts::TAU - 2.0 * free;
            let wanted = 12.0 * turn * 0.8 + std::f64::consts::PI * 0.16;
            assert!((area(&super::groove(&ring)) - wanted).abs() < 1e-10);
        }
    }
}
