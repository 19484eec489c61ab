//! What the shop's record of a coupon does to a creature, in words; or that there is none.

use super::finding::{Amount, Finding, Subject};
use crate::chain::Measured;

/// One note.
pub fn finding(subject: &Subject<'_>, measured: &Measured) -> Finding {
    subject.notes("measured", words(subject, measured))
}

fn words(subject: &Subject<'_>, measured: &Measured) -> String {
    if !measured.any() {
        return "the shop has no record of a coupon: how balls, sockets and holes come out, and which \
                gap fits, is a guess; `limberwood coupon` makes one, `limberwood record` takes what \
                it showed"
            .to_owned();
    }
    let text = |mm: f64| Amount::Length(mm).text(subject.unit);
    let drawn = [
        ("balls", measured.ball),
        ("sockets", measured.socket),
        ("pin holes", measured.hole),
    ];
    let drawn = drawn.into_iter().filter_map(|(what, off)| {
        let off = off?;
        let word = if off < 0.0 { "wider" } else { "narrower" };
        Some(format!("{what} are drawn {} {word}", text(off.abs())))
    });
    let [stiff, easy, loose] = measured.gaps;
    let found = [
        ("slip", measured.slip),
        ("stiff", stiff),
        ("easy", easy),
        ("loose", loose),
    ];
    let found = found
        .into_iter()
        .filter_map(|(what, size)| Some(format!("{what} is {}", text(size?))));
    let high = measured.height.map(|h| {
        let word = if h < 0.0 { "low" } else { "high" };
        format!("halves come out {} {word}", text(h.abs()))
    });
    let all: Vec<String> = drawn.chain(found).chain(high).collect();
    format!("by the shop's record of a coupon {}", all.join(", "))
}
