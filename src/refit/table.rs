//! What changed and why, as records that text and JSON read.

use serde::Serialize;

use super::bench::{Bench, Wish};
use super::joint::{Sized, TooSmall};
use super::plan::Plan;
use crate::chain::Resolved;
use crate::check::finding::{Amount, Finding, Limit, Subject};
use crate::diagnostic::Severity;
use crate::units::Unit;

/// What stays whatever the size.
pub(super) const KEPT: [&str; 7] = [
    "clearance",
    "rest gap",
    "fillet",
    "rim and walls",
    "thickness of plates",
    "tabs",
    "cutters",
];

/// One change.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Change {
    /// What changed.
    pub what: String,
    /// Before; nothing for words.
    pub from: Option<Amount>,
    /// After.
    pub to: Option<Amount>,
    /// Why.
    pub why: String,
}

impl Change {
    /// One line for people.
    #[must_use]
    pub fn text(&self, unit: Unit) -> String {
        let amount = |a: Amount| match a {
            // A scale counts to more than one decimal.
            Amount::Factor(times) => format!("{times:.4}"),
            other => other.text(unit),
        };
        let numbers = match (self.from, self.to) {
            (Some(from), Some(to)) => format!(": {} -> {}", amount(from), amount(to)),
            _ => String::new(),
        };
        format!("{}{numbers} ({})", self.what, self.why)
    }
}

/// A joint that cannot be made this small.
pub(super) fn no_joint(bench: &Bench<'_>, joint: usize, small: TooSmall) -> Finding {
    let link = &bench.resolved.joints[joint];
    let after = &bench.resolved.creature.sections[link.after];
    let subject = Subject {
        name: &format!("joint after `{}`", after.name),
        section: Some(after.number),
        place: &link.place,
        unit: bench.unit,
    };
    let words = "scaled, with a neck as thick as the wood asks, its swing would be";
    let limit = Limit::least(Amount::Angle(5f64.to_radians()), "habit");
    let found = subject.finds(
        Severity::Error,
        "refit",
        words,
        Amount::Angle(small.swing),
        Some(limit),
    );
    found.way_out("take thicker boards or a stronger wood")
}

/// All changes of a plan; `new` is what it resolves to.
pub(super) fn changes(bench: &Bench<'_>, plan: &Plan, new: &Resolved, wish: &Wish) -> Vec<Change> {
    let mut all = Vec::new();
    if let Some(species) = &bench.species {
        let old = &bench.resolved.creature.species;
        all.push(Change {
            what: format!("wood: {old} -> {species}"),
            from: None,
            to: None,
            why: "asked for".to_owned(),
        });
    }
    all.extend(scales(bench, plan, wish));
    all.extend(sizes(bench, new, plan));
    all.extend(joints(bench, plan, new));
    all.extend(dowels(bench, plan));
    for (entry, count) in plan.pins.iter().enumerate() {
        if count.is_some() {
            all.push(Change {
                what: format!("pins of `{}`, which were written out", name(bench, entry)),
                from: None,
                to: None,
                why: "they are placed anew: pins do not scale".to_owned(),
            });
        }
    }
    all
}

fn name<'b>(bench: &'b Bench<'_>, entry: usize) -> &'b str {
    let entry = &bench.design.sections.value[entry].value;
    entry.name.as_ref().map_or("", |n| n.value.0.as_str())
}

fn why_scaled(bench: &Bench<'_>, wish: &Wish) -> String {
    match bench.boards {
        _ if wish.scale.is_some() => "asked for".to_owned(),
        _ if wish.length.is_some() => "the length asked for".to_owned(),
        Some(boards) => {
            let text = |mm| Amount::Length(mm).text(bench.unit);
            format!(
                "boards of {} instead of {}",
                text(boards.new),
                text(boards.old)
            )
        }
        None => "asked for".to_owned(),
    }
}

/// Scales of the entries: one line when they are equal.
fn scales(bench: &Bench<'_>, plan: &Plan, wish: &Wish) -> Vec<Change> {
    let one = |what: String, scale: f64| Change {
        what,
        from: Some(Amount::Factor(1.0)),
        to: Some(Amount::Factor(scale)),
        why: why_scaled(bench, wish),
    };
    let changed = |scale: &f64| (scale - 1.0).abs() > 1e-12;
    let first = plan.scales[0];
    if plan.scales.iter().all(|s| (s - first).abs() < 1e-12) {
        let what = "scale of length, outline, eyes, flats and plans of plates".to_owned();
        return changed(&first)
            .then(|| one(what, first))
            .into_iter()
            .collect();
    }
    let entries = plan.scales.iter().enumerate().filter(|(_, s)| changed(s));
    let each = entries.map(|(i, &s)| one(format!("scale of `{}`", name(bench, i)), s));
    each.collect()
}

/// Tallest half, length, and the greatest height.
fn sizes(bench: &Bench<'_>, new: &Resolved, plan: &Plan) -> Vec<Change> {
    let tallest = |r: &Resolved| {
        let halves = r.creature.sections.iter().filter(|s| !s.form.whole);
        let heights = halves.flat_map(|s| s.form.outline.iter().map(|p| p.above.max(p.below)));
        heights.fold(0.0, f64::max)
    };
    let length = |r: &Resolved| {
        let sections: f64 = r.creature.sections.iter().map(|s| s.form.length).sum();
        sections + r.joints.iter().map(|j| j.joint.gap).sum::<f64>()
    };
    let change = |what: &str, of: &dyn Fn(&Resolved) -> f64, why: &str| {
        let (from, to) = (of(&bench.resolved), of(new));
        ((from - to).abs() > 1e-6).then(|| Change {
            what: what.to_owned(),
            from: Some(Amount::Length(from)),
            to: Some(Amount::Length(to)),
            why: why.to_owned(),
        })
    };
    let why = if plan.choice.highest.is_some() {
        "what the board leaves beside sanding and skin"
    } else {
        "follows the scale"
    };
    [
        change("tallest half", &tallest, why),
        change(
            "length of the creature",
            &length,
            "follows the scale; gaps do not",
        ),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// Sizes of joints, equal neighbours together.
fn joints(bench: &Bench<'_>, plan: &Plan, new: &Resolved) -> Vec<Change> {
    let Some(sized) = &plan.joints else {
        return Vec::new();
    };
    // First and last of a run of joints, and their lines.
    let mut all: Vec<(String, Option<String>, Vec<Change>)> = Vec::new();
    for (k, size) in sized.iter().enumerate() {
        let after = bench.resolved.creature.sections[k].name.clone();
        let lines = joint(bench, plan, k, size, new);
        match all.last_mut() {
            Some((_, to, last)) if *last == lines => *to = Some(after),
            _ => all.push((after, None, lines)),
        }
    }
    let named = all.into_iter().flat_map(|(from, to, lines)| {
        let names = to.map_or(from.clone(), |to| format!("{from} to {to}"));
        lines.into_iter().map(move |line| Change {
            what: format!("{} after {names}", line.what),
            ..line
        })
    });
    named.collect()
}

fn joint(bench: &Bench<'_>, plan: &Plan, k: usize, size: &Sized, new: &Resolved) -> Vec<Change> {
    let link = &bench.resolved.joints[k];
    let old = Sized::of(&link.joint);
    let ends = [k, k + 1].map(|section| plan.scales[bench.entries[section]]);
    let of_ball = plan.ball_scale(bench, k);
    let text = |mm: f64| Amount::Length(mm).text(bench.unit);
    let follows = |new: f64, old: f64, why: String| {
        if (new - old).abs() < 1e-6 {
            "follows the scale".to_owned()
        } else {
            why
        }
    };
    let held = format!(
        "scaled it would be {}, too small for this neck and swing",
        text(2.0 * old.ball * of_ball)
    );
    let thick = format!(
        "{} asks for at least {}; scaled it would be {}",
        bench.wood,
        text(2.0 * bench.least_neck),
        text(2.0 * old.neck * of_ball)
    );
    let ring = if (size.land - bench.least_land).abs() < 1e-9 {
        format!(
            "{} asks for a ring of at least {}",
            bench.wood,
            text(bench.least_land)
        )
    } else {
        "the dome follows its section, the clearance does not".to_owned()
    };
    let narrow = if plan.choice.swing < 1.0 {
        "with more of it no joint that was tried passes the checks".to_owned()
    } else {
        "more does not hold a ball of this size".to_owned()
    };
    let length = |what: &str, from: f64, to: f64, why: String| Change {
        what: what.to_owned(),
        from: Some(Amount::Length(from)),
        to: Some(Amount::Length(to)),
        why,
    };
    let swing = new.joints[k].joint.swing;
    let lines = [
        length(
            "ball",
            2.0 * old.ball,
            2.0 * size.ball,
            follows(size.ball, old.ball * of_ball, held),
        ),
        length(
            "neck",
            2.0 * old.neck,
            2.0 * size.neck,
            follows(size.neck, old.neck * of_ball, thick),
        ),
        length(
            "land",
            old.land,
            size.land,
            follows(size.land, old.land * ends[0].min(ends[1]), ring),
        ),
        Change {
            what: "swing".to_owned(),
            from: Some(Amount::Angle(old.swing)),
            to: Some(Amount::Angle(swing)),
            why: narrow,
        },
    ];
    let differs = |change: &Change| match (change.from, change.to) {
        (Some(Amount::Length(a)), Some(Amount::Length(b))) => (a - b).abs() > 1e-6,
        (Some(Amount::Angle(a)), Some(Amount::Angle(b))) => (a - b).abs() > 1e-4,
        _ => true,
    };
    lines.into_iter().filter(differs).collect()
}

fn dowels(bench: &Bench<'_>, plan: &Plan) -> Option<Change> {
    let (from, to) = (bench.dowel, plan.choice.dowel);
    let why = if bench.pinned {
        "asked for".to_owned()
    } else {
        format!(
            "pins of {} find no room; the next standard dowel that does",
            Amount::Length(from).text(bench.unit)
        )
    };
    ((from - to).abs() > 1e-9).then(|| Change {
        what: "dowel of the half pins".to_owned(),
        from: Some(Amount::Length(from)),
        to: Some(Amount::Length(to)),
        why,
    })
}
