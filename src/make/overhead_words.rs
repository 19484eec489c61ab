//! Findings of cutters over laid-out pieces.

use super::blanks::Laid;
use super::overhead::{Hit, Over, Work, clamps_from_dowels};
use crate::blank::{Kind, Layout};
use crate::brep::set_up::SetUp;
use crate::chain::Resolved;
use crate::check::finding::{Amount, Finding, Limit, Subject};
use crate::check::reach::{Kit, Named};
use crate::diagnostic::Severity;
use crate::units::Unit;

/// Name of the check.
const RULE: &str = "reach-on-blank";

/// The worst of what a cutter meets in one work of a kind of piece.
struct Worst<'a> {
    by: &'a Named,
    /// Number of the part among those of the piece; nothing of the dowels' holes.
    placed: Option<usize>,
    hit: Hit,
}

/// One finding for each kind of piece, set-up, work and clamp area in which shank or holder meets
/// something; and a note of the cutters whose holder is not known. `names` are those of the kinds.
pub(super) fn findings(
    resolved: &Resolved,
    laid: &Laid,
    names: &[String],
    unit: Unit,
) -> Vec<Finding> {
    let kit = Kit::of(&resolved.cutters);
    let mut all = Vec::new();
    for ((layout, kind), name) in laid.blanks.kinds().zip(names) {
        for set_up in SetUp::BOTH {
            let over = Over {
                resolved,
                laid,
                layout,
                set_up,
            };
            for work in Work::ALL {
                let met = worst(&over, work, kind, &kit);
                all.extend(
                    met.iter()
                        .map(|one| told(&over, (work, kind, name), one, unit)),
                );
            }
        }
    }
    all.extend(unknown(resolved, unit));
    if resolved.creature.bench_only {
        for finding in &mut all {
            finding.message.severity = Severity::Note;
        }
    }
    all
}

/// How far clamps stay from the middles of a stock's dowels while their holes are cut, mm, if the
/// holder asks for that.
pub(super) fn from_dowels(resolved: &Resolved, layout: &Layout) -> Option<f64> {
    let kit = Kit::of(&resolved.cutters);
    let first = kit.with(Work::Dowels.job()).next()?;
    clamps_from_dowels(resolved, layout, &first.tool)
}

/// Of the first cutter of the job that meets nothing, nothing; else what the first one meets, the worst
/// of each clamp area and of wood.
fn worst<'a>(over: &Over<'_>, work: Work, kind: &Kind, kit: &'a Kit) -> Vec<Worst<'a>> {
    let meets = |by: &'a Named| -> Vec<Worst<'a>> {
        let parts = kind.placed.iter().enumerate().flat_map(|(k, p)| {
            let hits = over.part(work, p, &by.tool).into_iter();
            hits.map(move |hit| (Some(k), hit))
        });
        let dowels = match (work, over.set_up) {
            (Work::Dowels, SetUp::InsideUp) => over.dowels(&by.tool),
            _ => Vec::new(),
        };
        let mut all: Vec<Worst> = Vec::new();
        for (placed, hit) in parts.chain(dowels.into_iter().map(|hit| (None, hit))) {
            let short = |h: &Hit| h.stands - h.begins;
            let new = Worst { by, placed, hit };
            match all.iter_mut().find(|w| w.hit.area == hit.area) {
                Some(known) if short(&known.hit) >= short(&hit) => (),
                Some(known) => *known = new,
                None => all.push(new),
            }
        }
        all
    };
    let mut first: Option<Vec<Worst>> = None;
    for by in kit.with(work.job()) {
        let met = meets(by);
        if met.is_empty() {
            return met;
        }
        first = first.or(Some(met));
    }
    first.unwrap_or_default()
}

fn told(
    over: &Over<'_>,
    (work, kind, name): (Work, &Kind, &str),
    one: &Worst<'_>,
    unit: Unit,
) -> Finding {
    let part = one.placed.map(|k| &kind.placed[k]);
    let form = part.map(|p| (&over.laid.parts[p.part], p.side));
    let section = form.map(|(f, _)| f.sections[0]);
    let whole = section.is_some_and(|n| over.resolved.creature.sections[n - 1].form.whole);
    let subject = Subject {
        name: form.map_or(name, |(f, side)| &f.names[side]),
        section,
        place: form.map_or(&over.layout.board.place, |(f, _)| &f.place),
        unit,
    };
    let hit = &one.hit;
    let text = |mm: f64| Amount::Length(mm).text(unit);
    let meets = match hit.area {
        Some(area) => format!("clamps at {}", area.name()),
        None => "the wood beside it".to_owned(),
    };
    let words = format!(
        "on {name}, {}, `{}` {} {} under the face of the stock, where {} runs into {meets}: over the tip \
         it begins at",
        over.set_up.word(whole),
        one.by.name,
        work.words(),
        text(hit.depth),
        if hit.holder {
            "its holder"
        } else {
            "its shank"
        },
    );
    let source = if hit.area.is_some() {
        "so high do clamps stand, by `clamp_height` of the shop's `blank`"
    } else {
        "so high does the wood stand"
    };
    let limit = Limit::least(Amount::Length(hit.stands), source);
    // Whoever drills the holes of the dowels by hand needs no cutter for them.
    let severity = match work {
        Work::Dowels => Severity::Warning,
        _ => Severity::Error,
    };
    let measured = Amount::Length(hit.begins);
    let found = subject.finds(severity, RULE, &words, measured, Some(limit));
    found.way_out(&way_out(work, hit, text))
}

fn way_out(work: Work, hit: &Hit, text: impl Fn(f64) -> String) -> String {
    let more = text(hit.stands - hit.begins);
    let longer = if hit.holder {
        format!("let it stick out {more} more")
    } else {
        format!("take one with edges {more} longer or a thinner shank")
    };
    match (hit.area, work) {
        (Some(area), _) => format!(
            "{longer}, take lower clamps, or make `{}` of the shop's `blank` {} wider",
            area.key(),
            text(hit.nearer)
        ),
        (None, Work::Dowels) => format!("{longer}, or drill these holes"),
        (None, _) => format!("{longer}, or make the part lower"),
    }
}

/// Which cutters were not looked at whole.
fn unknown(resolved: &Resolved, unit: Unit) -> Option<Finding> {
    let unknown = resolved.cutters.iter().filter(|c| c.holder.is_none());
    let names: Vec<String> = unknown.map(|c| format!("`{}`", c.name)).collect();
    let place = crate::diagnostic::Place::default();
    let subject = Subject {
        name: &resolved.creature.name,
        section: None,
        place: &place,
        unit,
    };
    (!names.is_empty()).then(|| {
        let words = format!(
            "the shop file has no `holder` and `stick_out` of {}: whether clamps or stock are in the \
             way of their holders was not looked at",
            names.join(", ")
        );
        subject.notes(RULE, words)
    })
}
