//! Findings of the joint room in words, with their places.

use super::report::Report;
use crate::chain::joint::{Finding, JointKey, Measure, Rule};
use crate::diagnostic::Place;
use crate::units::mm_text;

/// A written key of a joint; the value as inside (radii, mm, radians).
#[derive(Debug, Clone, Copy)]
pub(super) struct Given<'a> {
    pub key: JointKey,
    pub value: f64,
    pub place: &'a Place,
    /// Written for this joint alone.
    pub own: bool,
}

/// The joint that a finding is about.
pub(super) struct Subject<'s, 'a> {
    /// Name of the section in front of it.
    pub after: &'s str,
    pub given: &'s [Given<'a>],
    pub place: &'a Place,
}

/// Reports a finding at the first of its keys that is written, the joint's own before the
/// general ones. Of a design that is based on another, keys of the file that changes the joint come
/// first: the others stood well without them.
pub(super) fn say(finding: &Finding, subject: &Subject<'_, '_>, report: &mut Report) {
    let written = |own: bool, here: bool| {
        let keys = finding.values.iter();
        let given = |key| move |g: &&Given<'_>| g.key == key && g.own == own;
        keys.filter_map(move |&(key, _)| subject.given.iter().find(given(key)))
            .find(|g| !here || g.place.file == subject.place.file)
    };
    let place = written(true, true)
        .or_else(|| written(false, true))
        .or_else(|| written(true, false))
        .or_else(|| written(false, false))
        .map_or(subject.place, |g| g.place);
    let rule = format!("{:?}", finding.rule);
    let found = found(finding, subject, report);
    let allowed = allowed(finding, report);
    let way_out = way_out(finding, report);
    if finding.rule.refuses() {
        report.error(&rule, place, found, allowed, way_out);
    } else {
        report.advice(&rule, place, found, allowed, way_out);
    }
}

/// The keys in conflict with their values, and where they come from.
fn found(finding: &Finding, subject: &Subject<'_, '_>, report: &Report) -> String {
    let word = |&(key, value): &(JointKey, f64)| {
        let text = report.measure(key.written(value));
        match subject.given.iter().find(|g| g.key == key) {
            Some(given) if given.place.is_known() => {
                let line = given.place.line;
                if given.place.file == subject.place.file {
                    format!("{} {text} (line {line})", key.name())
                } else {
                    format!("{} {text} ({} line {line})", key.name(), given.place.file)
                }
            }
            Some(_) => format!("{} {text}", key.name()),
            None => format!("{} {text} (not written)", key.name()),
        }
    };
    let words: Vec<String> = finding.values.iter().map(word).collect();
    format!(
        "{} at the joint after `{}`",
        words.join(", "),
        subject.after
    )
}

fn allowed(finding: &Finding, report: &Report) -> String {
    let (measured, limit) = report.pair(finding.measured, finding.limit);
    let text = match finding.rule {
        Rule::Size => format!("a number beyond {limit}"),
        Rule::Agreement => {
            format!("a swing within 0.1 deg of {limit}, which the other sizes give, not {measured}")
        }
        Rule::Capture => format!(
            "a mouth narrower than the ball, under {limit}; at {measured} the ball falls out"
        ),
        Rule::SwingTooWide => {
            format!("a swing under {limit}, where the mouth is as wide as the ball")
        }
        Rule::NeckInBall => format!("a neck thinner than the ball, {limit}"),
        Rule::NeckInMouth => format!(
            "a neck under {limit}, the mouth less the clearance on both sides, not {measured}"
        ),
        Rule::NoNeck => format!("a swing under {limit}, where no neck is left"),
        Rule::FilletInMouth => "a fillet that leaves the mouth's edge free".to_owned(),
        Rule::FilletLength => format!(
            "a fillet that ends within {limit} of the ball's centre, before the end face; it ends at {measured}"
        ),
        Rule::FlareAngle => "1 deg to under 80 deg".to_owned(),
        Rule::FlareInFace => format!(
            "a flare that opens to under {limit}, the width of its face; it opens to {measured}"
        ),
        Rule::GapTooSmall => format!("a gap above the clearance, {limit}"),
        Rule::WideSwing => format!("up to {limit}"),
        Rule::ThinCapture => {
            format!("a mouth whose radius is {limit} less than the ball's, not {measured}")
        }
        Rule::OddClearance => "0.25 to 0.5 mm".to_owned(),
        Rule::ThinNeck => format!("at least {limit}: a joint is broken by prying at its stop"),
        Rule::ThinLand => format!("at least {limit} of this wood"),
        Rule::NarrowFlare => format!(
            "a flare of at least the swing: the neck meets the flare's outer edge at {measured} already"
        ),
        Rule::PinchGap => format!("under {limit} or at least 13 mm: a finger fits between"),
        Rule::FacesMeet => {
            format!("faces that let the joint swing by {limit}; they meet at {measured}")
        }
    };
    if finding.rule.is_habit() {
        format!("{text} (habit)")
    } else {
        text
    }
}

/// The values that agree, each alone; one-sided limits with their side.
fn way_out(finding: &Finding, report: &Report) -> String {
    let word = |&(key, agrees): &(JointKey, f64)| {
        let text = match key.written(agrees) {
            // The nearest 64th of an inch would not agree.
            Measure::Length(mm) if finding.rule == Rule::Agreement => mm_text(mm),
            measure => bare(&report.measure(measure)).to_owned(),
        };
        format!("`{}: {}{text}`", key.name(), side(finding, key, agrees))
    };
    let words: Vec<String> = finding.agrees.iter().map(word).collect();
    if words.is_empty() {
        String::new()
    } else {
        format!("write {}", words.join(" or "))
    }
}

/// On which side of an agreeing value a key may lie; the limits of what is refused are open.
fn side(finding: &Finding, key: JointKey, agrees: f64) -> &'static str {
    let exact = matches!(
        finding.rule,
        Rule::Agreement | Rule::GapTooSmall | Rule::PinchGap
    );
    let now = finding.values.iter().find(|(k, _)| *k == key);
    match now {
        Some((_, now)) if !exact && agrees != 0.0 => {
            match (agrees < *now, finding.rule.refuses()) {
                (true, true) => "under ",
                (false, true) => "over ",
                (true, false) => "at most ",
                (false, false) => "at least ",
            }
        }
        _ => "",
    }
}

/// A length in inches reads `5/8 in (0.625)`: without the decimal it can be written.
fn bare(text: &str) -> &str {
    text.split(" (").next().unwrap_or(text)
}

/// A finding about flat faces.
pub(super) fn faces_meet(swing: f64, faces: f64, gap: (f64, f64)) -> Finding {
    Finding {
        rule: Rule::FacesMeet,
        values: vec![(JointKey::Gap, gap.0), (JointKey::Swing, swing)],
        measured: Measure::Angle(faces),
        limit: Measure::Angle(swing),
        agrees: vec![(JointKey::Gap, gap.1)],
    }
}
