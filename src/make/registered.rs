//! What the flip of pieces does to the balls on them, and so to the fit of their joints.

use super::blanks::Laid;
use super::checked::joint_name;
use crate::blank::{BallStep, Kind, Layout, ball_steps};
use crate::chain::joint::flip::FlipStep;
use crate::chain::{ChainJoint, Resolved};
use crate::check::budget;
use crate::check::finding::{Finding, Subject};
use crate::export::blanks::BallRow;
use crate::report::FlipRow;
use crate::units::Unit;

/// The joints whose balls a form of section has, one for each section of that form; none in a coupon,
/// whose joints were checked one by one.
fn joints<'a>(resolved: &'a Resolved, laid: &Laid, ball: &BallStep) -> Vec<&'a ChainJoint> {
    let part = &laid.parts[ball.part];
    let rear = part.balls[ball.ball].rear;
    let all = part.sections.iter().filter_map(|&number| {
        // Joint k lies between the sections of numbers k + 1 and k + 2.
        let after = (number - 1).checked_sub(usize::from(!rear))?;
        let mut joints = resolved.joints.iter();
        joints.find(|j| j.after == after && j.ball_in_front == rear)
    });
    all.collect()
}

/// What is left of the clearance of a joint whose ball has this step, worst and likely, mm.
fn left(resolved: &Resolved, joint: &ChainJoint, step: &FlipStep) -> (f64, f64) {
    let making = &resolved.fits.making;
    budget::left(&joint.joint, &joint.limits, making, Some(step))
}

/// The least of what is left of clearances, worst and likely, mm.
fn least(all: impl Iterator<Item = (f64, f64)>) -> Option<[f64; 2]> {
    all.map(|(worst, likely)| [worst, likely])
        .reduce(|a, b| [0, 1].map(|k: usize| a[k].min(b[k])))
}

/// The balls on a kind of piece for its record.
pub(super) fn rows(
    resolved: &Resolved,
    laid: &Laid,
    (layout, kind): (&Layout, &Kind),
) -> Vec<BallRow> {
    let row = |ball: BallStep| {
        let part = &laid.parts[ball.part];
        let joints = joints(resolved, laid, &ball);
        let step = ball.step;
        let left = least(joints.iter().map(|j| left(resolved, j, &step)));
        BallRow {
            sections: part.sections.clone(),
            end: ["front", "rear"][usize::from(part.balls[ball.ball].rear)],
            part: ball.placed,
            step_worst_mm: step.worst,
            step_likely_mm: step.likely,
            step_per_mm_of_line: step.per_line,
            step_per_degree_of_skew_mm: layout.flip.per_skew * step.per_turn * 1f64.to_radians(),
            budget_takes_mm: FlipStep::usual(layout.flip.play.slip).worst,
            left_worst_mm: left.map(|l| l[0]),
            left_likely_mm: left.map(|l| l[1]),
        }
    };
    let all = ball_steps(layout, kind, &laid.parts);
    all.into_iter().map(row).collect()
}

/// The same in a few numbers, for the shop sheet.
pub(super) fn sheet_row(
    resolved: &Resolved,
    laid: &Laid,
    (layout, kind): (&Layout, &Kind),
) -> FlipRow {
    let balls = ball_steps(layout, kind, &laid.parts);
    let each = balls.iter().flat_map(|ball| {
        let joints = joints(resolved, laid, ball).into_iter();
        joints.map(|j| left(resolved, j, &ball.step))
    });
    FlipRow {
        moves: layout.flip.worst,
        step: balls.iter().map(|b| b.step.worst).reduce(f64::max),
        left: least(each),
    }
}

/// One finding for each joint whose ball lies on a piece: of the piece where its step is worst. `names`
/// are those of the kinds of pieces.
pub(super) fn findings(
    resolved: &Resolved,
    laid: &Laid,
    names: &[String],
    unit: Unit,
) -> Vec<Finding> {
    let mut worst: Vec<Option<(f64, Finding)>> = vec![None; resolved.joints.len()];
    for ((layout, kind), name) in laid.blanks.kinds().zip(names) {
        for ball in ball_steps(layout, kind, &laid.parts) {
            for joint in joints(resolved, laid, &ball) {
                let known = worst[joint.after].as_ref();
                if known.is_some_and(|(step, _)| *step >= ball.step.worst) {
                    continue;
                }
                let found = finding(resolved, joint, (name, layout, &ball.step), unit);
                worst[joint.after] = Some((ball.step.worst, found));
            }
        }
    }
    worst
        .into_iter()
        .flatten()
        .map(|(_, found)| found)
        .collect()
}

fn finding(
    resolved: &Resolved,
    joint: &ChainJoint,
    (piece, layout, step): (&str, &Layout, &FlipStep),
    unit: Unit,
) -> Finding {
    let section = &resolved.creature.sections[joint.after];
    let name = joint_name(&section.name);
    let subject = Subject {
        name: &name,
        section: Some(section.number),
        place: &joint.place,
        unit,
    };
    let making = &resolved.fits.making;
    budget::on_piece(
        &subject,
        (&joint.joint, &joint.limits, making),
        (piece, &layout.flip.play, step),
    )
}
