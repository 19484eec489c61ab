//! The smallest piece of stock that takes a whole coupon.

use super::super::Laid;
use crate::blank::lay_out;
use crate::chain::{BlankRules, Board};

/// Step of lengths and widths that are tried, mm (a saw's everyday precision, habit).
const STEP: f64 = 10.0;

/// So many narrower widths without a smaller piece, and there will be none.
const ENOUGH: u32 = 5;

/// The rules with the stock cut down to the smallest piece that takes all parts; as they are when no
/// piece does. Many widths are tried: parts fall into rows on a narrow piece that a wide one leaves in
/// disorder.
pub fn one_piece(laid: &Laid, rules: &BlankRules) -> BlankRules {
    let [layout] = &*laid.blanks.layouts else {
        return rules.clone();
    };
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
    let mut best: Option<[f64; 2]> = None;
    let (mut width, mut failed) = (wide, 0);
    while width > 2.0 * rules.sides && (best.is_none() || failed < ENOUGH) {
        // A longer piece of this width is larger than the best one.
        let most = best.map_or(long, |[l, w]| long.min(l * w / width));
        let most = long - STEP * ((long - most) / STEP).ceil();
        if let Some(length) = shortest(most, |length| takes([length, width])) {
            (best, failed) = (Some([length, width]), 0);
        } else {
            failed += 1;
        }
        width -= STEP;
    }
    best.map_or_else(|| rules.clone(), cut)
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
