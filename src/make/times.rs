//! How long the cutting of a piece takes, from the feeds of the shop file.

use super::blanks::Laid;
use crate::blank::{Kind, Layout};
use crate::brep::shape::FaceKind;
use crate::chain::{Cutter, Resolved};
use crate::params::value::{CutterKind, Job};

/// Minutes of cutting in one set-up of a piece: of roughing, the volume over pass, stepover and feed;
/// of finishing, the area over stepover and feed; of grooves, the length of all passes over the feed
/// (derived; speeding up, lifting and air are left out). Nothing when a cutter lacks a number.
pub(super) fn minutes(
    resolved: &Resolved,
    laid: &Laid,
    (layout, kind): (&Layout, &Kind),
    inside_up: bool,
) -> Option<f64> {
    let cutters = &resolved.cutters;
    let thickness = layout.board.thickness;
    let mut sum = 0.0;
    for p in &kind.placed {
        let (known, window) = (laid.known(p), &laid.parts[p.part].windows[p.side]);
        let body = laid.body(p.part, p.side);
        let whole = !body.kinds.contains(&FaceKind::SplitFace);
        // Of a section in one piece, each set-up does one half.
        let share = if whole { 0.5 } else { 1.0 };
        let outer = share * known.outer;
        let waste = window.core.area_within(window.width) * thickness - known.volume;
        let rough = || Some(share * waste / roughing(cutters)?);
        if whole || !inside_up {
            sum += rough()? + outer / finishing(cutters)?;
        }
        if inside_up && !whole {
            sum += known.inner / finishing(cutters)?;
            let (_, border) = window.core.area_and_border();
            sum += border * passes(cutters, Job::Relief, resolved.relief)?;
        }
    }
    Some(sum)
}

/// Cusp height of the finishing cutter's stepover s on a flat: r - sqrt(r^2 - s^2 / 4) for a ball of
/// radius r (published formula).
pub(super) fn cusp(cutters: &[Cutter]) -> Option<f64> {
    let finish = cutters.iter().find(|c| c.does(Job::Finish))?;
    let (r, s) = (finish.radius, finish.stepover?);
    let ball = finish.kind == CutterKind::Ball && s <= 2.0 * r;
    ball.then(|| r - (r * r - 0.25 * s * s).sqrt())
}

/// Volume in a minute, mm3.
fn roughing(cutters: &[Cutter]) -> Option<f64> {
    let rough = cutters.iter().find(|c| c.does(Job::Rough))?;
    Some(rough.pass_depth? * rough.stepover? * rough.feed?)
}

/// Area in a minute, mm2.
fn finishing(cutters: &[Cutter]) -> Option<f64> {
    let finish = cutters.iter().find(|c| c.does(Job::Finish))?;
    Some(finish.stepover? * finish.feed?)
}

/// Minutes for a mm of a groove of a depth.
fn passes(cutters: &[Cutter], job: Job, depth: f64) -> Option<f64> {
    let own = cutters.iter().find(|c| c.does(job))?;
    Some((depth / own.pass_depth?).ceil() / own.feed?)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chain::resolve;
    use crate::params::{built_in_shop, read_design_str};

    #[test]
    fn cusps_are_those_of_the_published_formula() {
        let (design, _) = read_design_str(include_str!("../../params/newt.yaml"), "n").unwrap();
        let mut cutters = resolve(&design, &built_in_shop()).unwrap().cutters;
        let finish = cutters.iter_mut().find(|c| c.does(Job::Finish)).unwrap();
        // Fact 3.1: r = 1.5875, s = 0.3175 and 0.5.
        for (s, wanted) in [(0.3175, 0.007_957_4), (0.5, 0.019_808_6)] {
            finish.stepover = Some(s);
            let own = cusp(std::slice::from_ref(finish)).unwrap();
            assert!((own - wanted).abs() < 5e-8, "{own}");
        }
        finish.stepover = None;
        assert_eq!(cusp(&cutters), None);
    }
}
