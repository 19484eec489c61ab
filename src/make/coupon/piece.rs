//! The smallest piece of stock that takes a whole coupon.

use super::super::Laid;
use crate::blank::lay_out;
use crate::chain::{BlankRules, Board};

/// Step of lengths and widths that are tried, mm (a saw's everyday precision, habit).
const STEP: f64 = 10.0;

/// The rules with the stock cut down to the smallest piece that takes all parts; as they are when one
/// piece of the stock does not.
pub fn one_piece(laid: &Laid, rules: &BlankRules) -> BlankRules {
    let [layout] = &*laid.blanks.layouts else {
        return rules.clone();
    };
    if layout.pieces() != 1 {
        return rules.clone();
    }
    let [long, wide] = layout.size;
    let cut = |size: [f64; 2]| BlankRules {
        boards: vec![Board {
            size: Some(size),
            ..layout.board.clone()
        }],
        ..rules.clone()
    };
    let takes = |size: [f64; 2]| {
        let found = lay_out(&laid.parts, &cut(size), 1);
        found.is_ok_and(|b| b.layouts.iter().map(|l| l.pieces()).sum::<usize>() == 1)
    };
    let mut best = [long, wide];
    let mut width = wide;
    while width > 2.0 * rules.sides {
        // Shorter than this a piece of the width is smaller than the best one.
        let most = (best[0] * best[1] / width).min(long);
        if let Some(length) = shortest(most, |length| takes([length, width])) {
            best = [length, width];
        } else if most >= long {
            // The whole length is too short for this width, so it is for less.
            break;
        }
        width -= STEP;
    }
    cut(best)
}

/// The least length, in steps down from `most`, that is taken; nothing when `most` is not.
fn shortest(most: f64, takes: impl Fn(f64) -> bool) -> Option<f64> {
    if !takes(most) {
        return None;
    }
    let (mut taken, mut not) = (0, (most / STEP).floor() as u32);
    while not - taken > 1 {
        let middle = taken + (not - taken) / 2;
        if takes(most - STEP * f64::from(middle)) {
            taken = middle;
        } else {
            not = middle;
        }
    }
    Some(most - STEP * f64::from(taken))
}
