//! Findings of the check `reach`, feature by feature.

use super::ask::{Ask, Fault};
use super::feature::overrun;
use super::kit::{Kit, Named};
use super::task::{Site, Task};
use crate::brep::set_up::SetUp;
use crate::check::finding::{Amount, Finding, Limit, Subject};
use crate::diagnostic::Severity;
use crate::params::value::Job;

/// Name of the check.
pub const RULE: &str = "reach";

/// The cutter that makes a feature, what it leaves, or why none can.
struct Made<'a> {
    task: &'a Task,
    by: &'a Named,
    left: f64,
    faults: Vec<Fault>,
}

/// What the cutters of a kit do to each feature of a site. With `up` given, the site is that side
/// of a whole section. A body for benches is not cut: notes only.
pub fn features(
    subject: &Subject<'_>,
    site: &Site<'_>,
    up: Option<SetUp>,
    kit: &Kit,
    bench_only: bool,
) -> Vec<Finding> {
    let mut tasks = site.tasks();
    if let Some(up) = up {
        for task in &mut tasks {
            task.set_up = up;
            task.at = up.turn(task.at);
        }
    }
    let mut all = Vec::new();
    let mut made: Vec<Made> = Vec::new();
    for task in &tasks {
        match make(task, kit) {
            Some(one) => made.push(one),
            None => all.push(nobody(subject, task)),
        }
    }
    for one in &made {
        all.extend(one.faults.iter().map(|f| told(subject, one, f, site.whole)));
    }
    if bench_only {
        for finding in &mut all {
            finding.message.severity = Severity::Note;
        }
    }
    all.extend(made.iter().filter_map(|one| below(subject, one)));
    all.extend(SetUp::BOTH.iter().flat_map(|&up| {
        let here: Vec<&Made> = made.iter().filter(|m| m.task.set_up == up).collect();
        cut_by(subject, &here, up.word(site.whole), kit)
    }));
    all
}

/// The first of its cutters that can make it, else the first.
fn make<'a>(task: &'a Task, kit: &'a Kit) -> Option<Made<'a>> {
    let all = task.jobs.iter().flat_map(|&job| kit.with(job));
    let mut best: Option<Made> = None;
    for by in all {
        let (mut left, mut faults) = (0.0_f64, Vec::new());
        for ask in &task.asks {
            match ask.of(&by.tool) {
                Ok(rest) => left = left.max(rest.unwrap_or(0.0)),
                Err(fault) => faults.push(fault),
            }
        }
        let done = faults.is_empty();
        if done || best.is_none() {
            let made = Made {
                task,
                by,
                left,
                faults,
            };
            best = Some(made);
        }
        if done {
            break;
        }
    }
    best
}

fn nobody(subject: &Subject<'_>, task: &Task) -> Finding {
    let job = task.jobs.first().copied().unwrap_or(Job::Finish).word();
    let words = format!("{}: cutters with the job `{job}`:", task.name);
    let limit = Limit::least(Amount::Count(1), "shop");
    let error = subject.finds(Severity::Error, RULE, &words, Amount::Count(0), Some(limit));
    let way_out = format!("add `{job}` to the `jobs` of the shop's cutter that makes it");
    error.way_out(&way_out).at(task.at)
}

fn told(subject: &Subject<'_>, made: &Made<'_>, fault: &Fault, whole: bool) -> Finding {
    let depth = made.task.depth.map_or(String::new(), |d| {
        format!(", {} deep", Amount::Length(d).text(subject.unit))
    });
    let words = format!(
        "{}{depth}, {}, by `{}`: {}",
        made.task.name,
        made.task.set_up.word(whole),
        made.by.name,
        fault.what
    );
    let (measured, limit) = (Amount::Length(fault.measured), Some(fault.limit.clone()));
    let found = subject.finds(fault.severity, RULE, &words, measured, limit);
    found.way_out(fault.way_out).at(made.task.at)
}

/// Note: how far the finishing cutter runs below the split face, and the groove that takes it.
fn below(subject: &Subject<'_>, made: &Made<'_>) -> Option<Finding> {
    let asks = made.task.asks.iter();
    let mut relief = asks.filter_map(|ask| match *ask {
        Ask::Relief { draft, groove } => Some((draft, groove)),
        _ => None,
    });
    let (draft, groove) = relief.next()?;
    let deep = Amount::Length(overrun(&made.by.tool.profile, draft));
    let words = format!("`{}` runs below the split face by", made.by.name);
    let limit = Limit::most(Amount::Length(groove), "the relief groove");
    let note = subject.finds(Severity::Note, RULE, &words, deep, Some(limit));
    Some(note.at(made.task.at))
}

/// Notes: which cutter makes what in a set-up, and the most that its taper leaves.
fn cut_by(subject: &Subject<'_>, made: &[&Made<'_>], up: &str, kit: &Kit) -> Vec<Finding> {
    let mut by: Vec<(&Named, Vec<&Made>)> = Vec::new();
    for one in made.iter().filter(|m| m.faults.is_empty()) {
        match by.iter_mut().find(|(named, _)| named.name == one.by.name) {
            Some((_, all)) => all.push(one),
            None => by.push((one.by, vec![one])),
        }
    }
    let note = |(named, all): &(&Named, Vec<&Made>)| {
        let names: Vec<&str> = all.iter().map(|m| m.task.name.as_str()).collect();
        let depths = if kit.without_length.contains(&named.name) {
            " (its `cutting_length` is not in the shop file, so depths are not looked at)"
        } else {
            ""
        };
        let names = names.join(", ");
        let cuts = format!("{up}, `{}` cuts {names}{depths}", named.name);
        let most = all.iter().max_by(|a, b| a.left.total_cmp(&b.left));
        match most.filter(|m| m.left > 0.0) {
            None => subject.notes(RULE, cuts),
            Some(most) => {
                let words = format!("{cuts}; it leaves most on the {}:", most.task.name);
                let left = Amount::Length(most.left);
                subject
                    .finds(Severity::Note, RULE, &words, left, None)
                    .at(most.task.at)
            }
        }
    };
    by.iter().map(note).collect()
}
