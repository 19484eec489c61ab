//! The single other choice that would pass, when the checks refuse the choices made.

use super::choose::Choices;
use crate::chain::resolve;
use crate::check::finding::Verdict;
use crate::cli::progress::with_progress_of;
use crate::kinds::{Frame, Ruler};
use crate::make::{Settings, check, lay_out};
use crate::params::read_design_str;
use crate::params::written::Shop;

/// Lengths that are tried over the whole range (habit: a sixth of the range apart, a second each).
const LENGTHS: u32 = 6;
/// Numbers of sections that are tried, nearest first (habit).
const SECTIONS: usize = 2;

/// The nearest length with this verdict or a better one, else the nearest number of sections at its
/// usual length, as the options that choose it. `own_shop` was there before, and may say nothing of its
/// pieces.
pub fn nearest(
    choices: &Choices,
    shop: &Shop,
    (own_shop, quiet): (bool, bool),
    verdict: Verdict,
) -> Option<String> {
    let ruler = Ruler {
        unit: choices.frame.unit,
    };
    let (lengths, sections) = (lengths(choices), sections(choices));
    let most = lengths.len() + sections.len();
    with_progress_of(quiet, "other choices", |step| {
        let mut tried = 0;
        let mut passes = |frame: &Frame, length: f64| {
            tried += 1;
            step(tried, most);
            judged(frame, length, (shop, own_shop)).is_some_and(|own| own <= verdict)
        };
        let length = lengths
            .into_iter()
            .find(|&length| passes(&choices.frame, length));
        if let Some(length) = length {
            let text = ruler.words(length);
            return Some(format!("--length '{text}'"));
        }
        let found = sections
            .into_iter()
            .find(|(frame, length)| passes(frame, *length));
        found.map(|(frame, length)| {
            let (n, text) = (frame.sections, ruler.words(length));
            format!("--sections {n} --length '{text}'")
        })
    })
}

/// Other lengths of the same frame, nearest first.
fn lengths(choices: &Choices) -> Vec<f64> {
    let (_, usual) = choices.frame.lengths();
    let mut all = choices.frame.lengths_spread(LENGTHS);
    all.push(usual);
    let far = |length: &f64| (length - choices.length).abs();
    all.retain(|length| far(length) >= super::prove::SAME);
    all.sort_by(|a, b| far(a).total_cmp(&far(b)));
    all.dedup();
    all
}

/// Other numbers of sections at their usual lengths, nearest first.
fn sections(choices: &Choices) -> Vec<(Frame, f64)> {
    let own = choices.frame.sections;
    let kind = choices.frame.kind;
    let mut counts: Vec<u32> = (kind.least..=kind.most).filter(|&n| n != own).collect();
    counts.sort_by_key(|n| n.abs_diff(own));
    let of = |sections: u32| {
        let frame = Frame {
            sections,
            ..choices.frame
        };
        (frame, frame.lengths().1)
    };
    counts.into_iter().take(SECTIONS).map(of).collect()
}

/// What the checks say of these choices; nothing when they cannot be made or laid out.
fn judged(frame: &Frame, length: f64, (shop, own_shop): (&Shop, bool)) -> Option<Verdict> {
    let text = frame.settled("Proposal", length, shop).ok()?;
    let (design, mut warnings) = read_design_str(&text, "proposal.yaml").ok()?;
    let resolved = resolve(&design, shop).ok()?;
    warnings.extend(resolved.warnings.clone().sorted());
    let settings = Settings {
        leftover: true,
        ..Settings::of(&resolved, frame.unit)
    };
    let findings = check(&resolved, &settings, &warnings, &|_, _| {});
    let laid = own_shop || lay_out(&resolved, &settings, 1).is_ok();
    laid.then(|| Verdict::of(&findings))
}
