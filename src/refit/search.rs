//! The search: candidates in the order of how much they change, until one passes.

use super::bench::{Bench, Refused, Wish};
use super::boards::with_boards;
use super::dowel;
use super::oracle::{Looked, judge, look};
use super::plan::{Choice, Plan};
use super::table::{self, Change};
use crate::chain::Resolved;
use crate::check::finding::Finding;
use crate::diagnostic::{Diagnostic, Place};
use crate::units::{Length, length_text};

/// Boards that differ by no more than this part are the same stock measured: nothing scales, at most
/// heights are lowered (habit: planed boards differ by less).
const SLIGHT: f64 = 0.1;
/// Blends from one scale for all to each section on its board, and from less swing to larger balls.
const UNEVEN: [f64; 3] = [0.0, 0.5, 1.0];
const KEEP_SWING: [f64; 3] = [1.0, 0.5, 0.0];
/// Smaller scales that are tried when none by thickness passes: down to this part, in these steps.
const DOWN: (f64, u32) = (0.6, 8);
/// Halvings of the search for the nearest scale or thickness that passes.
const HALVINGS: u32 = 5;

/// How a design was fitted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Fit {
    /// Nothing at all had to change.
    Nothing,
    /// Nothing but heights had to change.
    Heights,
    /// It keeps its size; dowels or joints changed.
    Solved,
    /// It was scaled, by this much where it was scaled most.
    Scaled(f64),
}

/// A design that was fitted.
#[derive(Debug)]
pub struct Fitted {
    /// How.
    pub fit: Fit,
    /// The file that is based on the design.
    pub text: String,
    /// The design that it gives, resolved.
    pub resolved: Resolved,
    /// What changed and why.
    pub changes: Vec<Change>,
    /// What does not change with the size.
    pub kept: Vec<&'static str>,
    /// What the checks say of it.
    pub findings: Vec<Finding>,
    /// Words to say beside.
    pub said: Vec<String>,
}

/// Where the file will lie, what it calls its base, and whom to tell of the work.
pub struct Target<'a> {
    /// Path of the new file.
    pub file: &'a str,
    /// Path of the design from the folder of the new file.
    pub base: &'a str,
    /// Told after each part and joint that was checked.
    pub step: &'a (dyn Fn(usize, usize) + Sync),
}

/// Fits the design.
///
/// # Errors
/// What is wished makes no sense, or nothing that was tried passes: then what binds, with both
/// numbers, and which single change would do.
pub fn refit(bench: &mut Bench<'_>, wish: &Wish, target: &Target<'_>) -> Result<Fitted, Refused> {
    let scale = scale(bench, wish)?;
    bench.make_room(scale);
    let mut search = Search {
        bench,
        target,
        closest: None,
    };
    let asked = wish.pin.unwrap_or(search.bench.dowel);
    let same = Choice {
        scale: 1.0,
        uneven: 0.0,
        keep_swing: 1.0,
        dowel: asked,
        highest: None,
    };
    let slight = search.is_slight(wish);
    if slight && let Some(fitted) = search.kept(wish, same)? {
        return Ok(fitted);
    }
    if let Some(fitted) = search.scaled(wish, same, scale, true)? {
        return Ok(fitted);
    }
    if !wish.resizes()
        && scale < 1.0
        && let Some(mut fitted) = search.smaller(wish, same, scale)?
    {
        fitted.said.push(
            "the scale that the boards give does not pass: this is the largest one below it that was \
             found to"
                .to_owned(),
        );
        return Ok(fitted);
    }
    Err(search.refusal(wish, same, scale))
}

/// The scale that is wished, or that the boards give.
fn scale(bench: &Bench<'_>, wish: &Wish) -> Result<f64, Refused> {
    if let Some(scale) = wish.scale {
        return Ok(scale);
    }
    if let Some(length) = wish.length {
        let (body, gaps) = bench.length();
        if length <= gaps {
            let gaps = length_text(Length::from_mm(gaps), bench.unit);
            let words =
                format!("the gaps of the joints, which do not scale, are {gaps} long together");
            return Err(Refused::Wish(words));
        }
        return Ok((length - gaps) / body);
    }
    let Some(boards) = bench.boards else {
        return Ok(1.0);
    };
    // The same allowance above and below, so that there and back gives 1.
    let halves = bench.needs.iter().filter(|n| !n.whole);
    let fixed = halves.map(|n| n.fixed).reduce(f64::max);
    let fixed = fixed.unwrap_or(bench.needs[0].fixed);
    if boards.new <= fixed {
        let text = |mm| length_text(Length::from_mm(mm), bench.unit);
        let words = format!(
            "boards of {} leave nothing beside sanding and skin, {}",
            text(boards.new),
            text(fixed)
        );
        return Err(Refused::Wish(words));
    }
    Ok((boards.new - fixed) / (boards.old - fixed))
}

/// The best of what did not pass: its bars.
struct Closest {
    bars: Vec<Finding>,
}

struct Search<'s, 'a> {
    bench: &'s mut Bench<'a>,
    target: &'s Target<'s>,
    closest: Option<Closest>,
}

impl Search<'_, '_> {
    /// Whether the size may stay: no other size is wished, and boards are nearly the same.
    fn is_slight(&self, wish: &Wish) -> bool {
        let boards = self.bench.boards;
        !wish.resizes() && boards.is_none_or(|b| (b.ratio() - 1.0).abs() <= SLIGHT)
    }

    /// The design at its own size: as it stands, with lower heights, with joints or dowel anew.
    fn kept(&mut self, wish: &Wish, same: Choice) -> Result<Option<Fitted>, Refused> {
        let untouched = wish.pin.is_none() && self.bench.species.is_none();
        if untouched && let Some(looked) = self.passes(&same) {
            return Ok(Some(self.fitted(Fit::Nothing, same, looked, wish)));
        }
        if let Some(highest) = self.lowered() {
            let lower = Choice {
                highest: Some(highest),
                ..same
            };
            if let Some(looked) = self.passes(&lower) {
                return Ok(Some(self.fitted(Fit::Heights, lower, looked, wish)));
            }
        }
        if untouched && self.lowered().is_some() {
            return Ok(None);
        }
        let found = self.first(same, 1.0, wish.pin);
        Ok(found.map(|(choice, looked)| self.fitted(Fit::Solved, choice, looked, wish)))
    }

    /// The greatest height that the new boards leave a half, when some half is higher.
    fn lowered(&self) -> Option<f64> {
        let boards = self.bench.boards?;
        let halves = self.bench.needs.iter().filter(|n| !n.whole);
        let over = halves.clone().any(|n| n.thickness > boards.new + 1e-9);
        let fixed = halves.map(|n| n.fixed).reduce(f64::max)?;
        // Down to a hundredth, as people measure.
        over.then(|| ((boards.new - fixed) * 100.0 + 1e-6).floor() / 100.0)
    }

    fn scaled(
        &mut self,
        wish: &Wish,
        same: Choice,
        scale: f64,
        uneven: bool,
    ) -> Result<Option<Fitted>, Refused> {
        let highest = self.highest_follows();
        let choice = Choice { highest, ..same };
        let blends: &[f64] = if uneven && scale < 1.0 && !wish.resizes() {
            &UNEVEN
        } else {
            &UNEVEN[..1]
        };
        for &uneven in blends {
            let choice = Choice { uneven, ..choice };
            if let Some((choice, looked)) = self.first(choice, scale, wish.pin) {
                let fit = if (scale - 1.0).abs() < 1e-12 {
                    Fit::Solved
                } else {
                    Fit::Scaled(scale)
                };
                return Ok(Some(self.fitted(fit, choice, looked, wish)));
            }
        }
        Ok(None)
    }

    /// A greatest height that is written is that of the new board.
    fn highest_follows(&self) -> Option<f64> {
        let design = self.bench.design;
        let defaults = design
            .defaults
            .as_ref()
            .is_some_and(|d| d.value.highest.is_some());
        let mut sections = design.sections.value.iter();
        let written = defaults || sections.any(|s| s.value.highest.is_some());
        let boards = self.bench.boards.filter(|_| written)?;
        let fixed = self.bench.needs.iter().map(|n| n.fixed).fold(0.0, f64::max);
        Some(boards.new - fixed)
    }

    /// The largest scale below that passes.
    fn smaller(
        &mut self,
        wish: &Wish,
        same: Choice,
        scale: f64,
    ) -> Result<Option<Fitted>, Refused> {
        let (part, steps) = DOWN;
        let step = |k: u32| scale * (1.0 - (1.0 - part) * f64::from(k) / f64::from(steps));
        let found = (1..=steps).find(|&k| self.first(same, step(k), wish.pin).is_some());
        let Some(k) = found else { return Ok(None) };
        let (mut fine, mut bad) = (step(k), step(k - 1));
        for _ in 0..HALVINGS {
            let middle = 0.5 * (fine + bad);
            if self.first(same, middle, wish.pin).is_some() {
                fine = middle;
            } else {
                bad = middle;
            }
        }
        self.scaled(wish, same, fine, false)
    }

    /// The first candidate at a scale that passes.
    fn first(&mut self, same: Choice, scale: f64, pin: Option<f64>) -> Option<(Choice, Looked)> {
        let dowels = pin.map_or_else(|| dowel::candidates(self.bench.dowel), |pin| vec![pin]);
        for keep_swing in KEEP_SWING {
            for &dowel in &dowels {
                let choice = Choice {
                    scale,
                    keep_swing,
                    dowel,
                    ..same
                };
                let (looked, pins) = self.tried(&choice);
                if let Some(looked) = looked {
                    return Some((choice, looked));
                }
                // Another dowel helps only where pins stand in the way.
                if !pins {
                    break;
                }
            }
        }
        None
    }

    fn passes(&mut self, choice: &Choice) -> Option<Looked> {
        self.tried(choice).0
    }

    /// A candidate that passes; else whether pins stand in its way.
    fn tried(&mut self, choice: &Choice) -> (Option<Looked>, bool) {
        let plan = match Plan::of(self.bench, *choice) {
            Ok(plan) => plan,
            Err((joint, small)) => {
                let finding = table::no_joint(self.bench, joint, small);
                self.remember(vec![finding]);
                return (None, false);
            }
        };
        let text = plan.text(self.bench, self.target.base);
        let mut looked = look(self.bench, &text, self.target.file);
        if looked.bars.is_empty() {
            judge(self.bench, &mut looked, self.target.step);
        }
        if looked.bars.is_empty() {
            return (Some(looked), false);
        }
        let pins = looked
            .bars
            .iter()
            .any(|f| f.message.rule.contains("pin") || f.message.found.contains("pin"));
        self.remember(looked.bars);
        (None, pins)
    }

    /// Keeps the bars of the candidate that has the fewest.
    fn remember(&mut self, bars: Vec<Finding>) {
        let fewer = self
            .closest
            .as_ref()
            .is_none_or(|c| bars.len() < c.bars.len());
        if fewer {
            self.closest = Some(Closest { bars });
        }
    }

    fn fitted(&self, fit: Fit, choice: Choice, looked: Looked, wish: &Wish) -> Fitted {
        let mut said = Vec::new();
        let (text, changes, resolved) = match (Plan::of(self.bench, choice), looked.resolved) {
            (Ok(plan), Some(resolved)) => {
                let changes = if fit == Fit::Nothing {
                    Vec::new()
                } else {
                    table::changes(self.bench, &plan, &resolved, wish)
                };
                (plan.text(self.bench, self.target.base), changes, resolved)
            }
            // Not reached: a candidate that passed has both.
            (_, resolved) => {
                let same = self.bench.resolved.clone();
                (String::new(), Vec::new(), resolved.unwrap_or(same))
            }
        };
        if fit == Fit::Nothing {
            said.push("nothing had to change".to_owned());
        } else if fit == Fit::Heights {
            said.push("nothing but heights had to change".to_owned());
        }
        Fitted {
            fit,
            text,
            resolved,
            changes,
            kept: table::KEPT.to_vec(),
            findings: looked.findings,
            said,
        }
    }

    /// What binds the closest candidate, and the single change that would do.
    fn refusal(&mut self, wish: &Wish, same: Choice, scale: f64) -> Refused {
        let closest = self.closest.take();
        let mut words: Vec<Diagnostic> = closest
            .map(|c| c.bars.into_iter().map(|f| f.message).collect())
            .unwrap_or_default();
        words.truncate(5);
        let place = Place::of_file(self.target.file);
        words.push(match self.nearest(wish, same, scale) {
            Some(way) => Diagnostic::error(place, "nothing that was tried passes the checks").way_out(way),
            None => Diagnostic::error(place, "nothing that was tried passes the checks, at no size between this one and the design's own").way_out("change what the messages above name"),
        });
        Refused::Binds(words)
    }

    /// The size nearest to the wished one that passes, between it and the design's own, in words.
    fn nearest(&mut self, wish: &Wish, same: Choice, scale: f64) -> Option<String> {
        if (scale - 1.0).abs() < 1e-9 {
            return None;
        }
        let at = |part: f64| scale + part * (1.0 - scale);
        let fixed = self.bench.needs.first()?.fixed;
        let shop = self.bench.shop.clone();
        let (mut bad, mut fine) = (0.0, 1.0);
        for _ in 0..HALVINGS {
            let middle = 0.5 * (bad + fine);
            if let Some(boards) = self.bench.boards.filter(|_| !wish.resizes()) {
                let thickness = fixed + at(middle) * (boards.old - fixed);
                self.bench.shop = with_boards(&shop, thickness / boards.new);
            }
            let found = self.first(same, at(middle), wish.pin);
            self.bench.shop = shop.clone();
            if found.is_some() {
                fine = middle;
            } else {
                bad = middle;
            }
        }
        if fine >= 1.0 {
            return None;
        }
        let found = at(fine);
        let text = |mm: f64| length_text(Length::from_mm(mm), self.bench.unit);
        if wish.resizes() {
            let (body, gaps) = self.bench.length();
            let length = text(body * found + gaps);
            return Some(format!(
                "a scale of {found:.3} does (--scale {found:.3}), {length} long"
            ));
        }
        let boards = self.bench.boards?;
        let thickness = fixed + found * (boards.old - fixed);
        let thickness = (thickness * 20.0).ceil() / 20.0;
        Some(format!("boards of {} do (--thickness)", text(thickness)))
    }
}
