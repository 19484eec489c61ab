//! What is left of the clearance when a joint is made and used, and of the capture when its ball is
//! sanded to make up for it.

use super::finding::{Amount, Finding, Limit, Row, Subject};
use crate::chain::joint::budget::{Making, crossed_grain, losses_on_piece, sums};
use crate::chain::joint::flip::{FlipPlay, FlipStep};
use crate::chain::joint::{Joint, JointLimits, capture};
use crate::diagnostic::Severity;

/// Steps that differ by less than twice this are alike, mm: half of a step is lost, and the shop's
/// precision is 0.01 mm.
const PRINTED: f64 = 0.01;

/// Findings of one joint.
pub fn findings(
    subject: &Subject<'_>,
    joint: &Joint,
    limits: &JointLimits,
    making: &Making,
) -> Vec<Finding> {
    let (rows, left) = table(subject, joint, limits, making, None);
    vec![
        fit(subject, left, joint, making).table(rows),
        sanded(subject, joint, joint.clearance - left.0),
    ]
}

/// What is left of the clearance, worst and likely, mm, when the ball is cut on a piece with this step.
pub fn left(
    joint: &Joint,
    limits: &JointLimits,
    making: &Making,
    flip: Option<&FlipStep>,
) -> (f64, f64) {
    let (ball, socket) = (joint.ball, joint.socket());
    let (worst, likely) = sums(&losses_on_piece(
        ball,
        socket,
        limits.usable(),
        making,
        flip,
    ));
    (joint.clearance - worst, joint.clearance - likely)
}

/// What the dowels of a piece of stock, named `piece`, do to the budget of a joint whose ball is cut on
/// it: a warning where that is more than the budget takes of every joint.
pub fn on_piece(
    subject: &Subject<'_>,
    (joint, limits, making): (&Joint, &JointLimits, &Making),
    (piece, play, step): (&str, &FlipPlay, &FlipStep),
) -> Finding {
    let (rows, left) = table(subject, joint, limits, making, Some(step));
    let text = |mm: f64| Amount::Length(mm).text(subject.unit);
    let words = format!(
        "on {piece} its ball is cut on dowels {} apart that play by {}; of the clearance {} is left in \
         the worst case, likely {}; the halves of the ball step by up to",
        text(play.span),
        text(play.slip),
        text(left.0),
        text(left.1)
    );
    let measured = Amount::Length(step.worst);
    let usual = FlipStep::usual(making.slip).worst;
    if step.worst - usual <= 2.0 * PRINTED {
        let note = subject.finds(Severity::Note, "flip", &words, measured, None);
        return note.table(rows);
    }
    let limit = Limit::most(
        Amount::Length(usual),
        "what the budget of every joint takes",
    );
    let found = subject.finds(Severity::Warning, "flip", &words, measured, Some(limit));
    let way_out = format!(
        "take longer pieces, so that the dowels lie further apart, or fit them with {} of play",
        text(play.slip * usual / step.worst)
    );
    found.way_out(&way_out).table(rows)
}

/// The budget of a joint line by line, and what is left of the clearance, worst and likely, mm.
fn table(
    subject: &Subject<'_>,
    joint: &Joint,
    limits: &JointLimits,
    making: &Making,
    flip: Option<&FlipStep>,
) -> (Vec<Row>, (f64, f64)) {
    let lost = losses_on_piece(joint.ball, joint.socket(), limits.usable(), making, flip);
    let row = |name: &str, worst: f64, likely: f64, source| Row {
        name: name.to_owned(),
        cells: vec![
            ("worst", Some(Amount::Length(worst))),
            ("likely", Some(Amount::Length(likely))),
        ],
        source,
        unit: subject.unit,
    };
    let mut rows = vec![row("clearance", joint.clearance, joint.clearance, "design")];
    rows.extend(
        lost.iter()
            .map(|l| row(l.name, -l.worst, -l.likely, l.source)),
    );
    let left = left(joint, limits, making, flip);
    rows.push(row("left", left.0, left.1, "sum"));
    (rows, left)
}

/// Likely left; less than nothing sticks.
fn fit(subject: &Subject<'_>, left: (f64, f64), joint: &Joint, making: &Making) -> Finding {
    let text = |mm: f64| Amount::Length(mm).text(subject.unit);
    let words = format!(
        "of the clearance {} is left in the worst case ({} less if the grain of ball and socket \
         crossed), and likely",
        text(left.0),
        text(crossed_grain(joint.ball, making.movement))
    );
    let limit = Some(Limit::least(Amount::Length(0.0), "derived"));
    if making.measured.fits(joint.clearance) {
        // What moved in the hand needs no sum of guesses.
        let words = format!("by the shop's record this clearance moves; by sums, {words}");
        return subject.finds(
            Severity::Note,
            "budget",
            &words,
            Amount::Length(left.1),
            limit,
        );
    }
    let severity = match left.1 < 0.0 {
        true => Severity::Warning,
        false => Severity::Note,
    };
    let found = subject.finds(severity, "budget", &words, Amount::Length(left.1), limit);
    match severity {
        Severity::Note => found,
        _ => found.way_out("write a wider `clearance`, or `feel: easy`"),
    }
}

/// A ball sanded until the worst losses are made up for is smaller by them.
fn sanded(subject: &Subject<'_>, joint: &Joint, by: f64) -> Finding {
    let (held, _) = capture(joint.ball - by, joint.mouth);
    let text = Amount::Length(by).text(subject.unit);
    let words =
        format!("with its ball sanded by {text}, the worst of the budget, the mouth holds it by");
    let limit = Some(Limit::least(Amount::Length(0.0), "derived"));
    let severity = match held <= 0.0 {
        true => Severity::Warning,
        false => Severity::Note,
    };
    let found = subject.finds(severity, "budget", &words, Amount::Length(held), limit);
    match severity {
        Severity::Note => found,
        _ => found.way_out("make the mouth narrower: a ball that is sanded comes out"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chain::Measured;
    use crate::chain::joint::{JointDefaults, JointWish, SocketFace, solve};
    use crate::diagnostic::Place;
    use crate::units::Unit;

    #[test]
    fn the_rows_add_up_to_what_is_left() {
        let solved = solve(
            &JointWish::default(),
            &JointDefaults::HARD_MAPLE,
            SocketFace::Domed,
        );
        let joint = solved.unwrap().joint;
        let making = Making {
            tip: 1.5875,
            taper: 0.05,
            slip: 0.15,
            sanding: 0.1,
            movement: 0.0035,
            measured: Measured::default(),
        };
        let place = Place::default();
        let subject = Subject {
            name: "joint",
            section: None,
            place: &place,
            unit: Unit::Mm,
        };
        let found = findings(&subject, &joint, &JointLimits::of(&joint, 13.0), &making);
        let rows = &found[0].rows;
        for head in ["worst", "likely"] {
            let value = |row: &Row| match row.cell(head) {
                Some(Amount::Length(mm)) => mm,
                other => panic!("{other:?}"),
            };
            let (left, parts) = rows.split_last().unwrap();
            let sum: f64 = parts.iter().map(value).sum();
            assert!((sum - value(left)).abs() < 1e-12, "{head}");
        }
        assert_eq!(found[0].measured, rows[8].cell("likely"));
    }
}
