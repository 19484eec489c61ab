//! The search: candidates in the order of how much they change, until one passes.

use super::bench::{Bench, Refused, Wish};
use super::dowel;
use super::oracle::{Looked, judge, look};
use super::plan::{Choice, Plan, Shape};
use super::table::{self, Change};
use crate::chain::Resolved;
use crate::check::finding::Finding;
use crate::diagnostic::{Diagnostic, Place};
use crate::units::{Length, length_text};
use serde::Serialize;

/// Boards that differ by no more than this part are the same stock measured: nothing scales, at most
/// heights are lowered (habit: planed boards differ by less).
const SLIGHT: f64 = 0.1;
/// How sections share the scale, what changes proportions least first.
const SHAPES: [Shape; 3] = [Shape::Alike, Shape::EachOnItsBoard, Shape::Flatter];
/// Blends from larger balls to less swing.
const KEEP_SWING: [f64; 3] = [1.0, 0.5, 0.0];
/// Smaller scales that are tried when none by thickness passes: down to this part, in these steps.
const DOWN: (f64, u32) = (0.8, 4);
/// Halvings of the search for the nearest scale or thickness that passes.
const HALVINGS: u32 = 4;

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
    /// All candidates in the order in which they were tried.
    pub tried: Vec<Tried>,
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
    let mut search = Search {
        bench,
        target,
        closest: None,
        tried: Vec::new(),
    };
    let asked = wish.pin.unwrap_or(search.bench.dowel);
    let same = Choice {
        scale: 1.0,
        shape: Shape::Alike,
        keep_swing: 1.0,
        dowel: asked,
        highest: None,
    };
    if search.may_stay(wish)
        && let Some(fitted) = search.kept(wish, same)
    {
        return Ok(fitted);
    }
    if let Some((choice, looked)) = search.scaled(wish, same, scale) {
        let fit = if (scale - 1.0).abs() < 1e-12 {
            Fit::Solved
        } else {
            Fit::Scaled(scale)
        };
        return Ok(search.fitted(fit, choice, looked, wish));
    }
    if !wish.resizes()
        && scale < 1.0
        && let Some((choice, looked)) = search.smaller(wish, same, scale)
    {
        let mut fitted = search.fitted(Fit::Scaled(choice.scale), choice, looked, wish);
        fitted.said.push(SMALLER.to_owned());
        return Ok(fitted);
    }
    Err(search.refusal(wish, same, scale))
}

/// Said when the scale that the boards give does not pass.
const SMALLER: &str = "the scale that the boards give does not pass: this is the largest one below it \
                       that was found to";

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
    let fixed = bench.fixed();
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

/// A candidate that was tried.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Tried {
    /// Scale of the sections that are scaled most.
    pub scale: f64,
    /// How sections share that scale.
    pub shape: Shape,
    /// From scaled balls with less swing (0) to the whole swing (1).
    pub keep_swing: f64,
    /// Dowel, mm.
    pub dowel_mm: f64,
    /// Whether it was solid enough for the checks.
    pub built: bool,
    /// What stood in its way; nothing when it passed.
    pub bars: Vec<String>,
}

/// The best of what did not pass: its bars.
struct Closest {
    /// Candidates that can be resolved are nearer than those that cannot.
    rank: (bool, usize),
    bars: Vec<Finding>,
}

struct Search<'s, 'a> {
    bench: &'s mut Bench<'a>,
    target: &'s Target<'s>,
    closest: Option<Closest>,
    tried: Vec<Tried>,
}

/// Whether a finding speaks of pins.
fn about_pins(finding: &Finding) -> bool {
    let words = [&finding.message.rule, &finding.message.found];
    let mut words = words
        .iter()
        .flat_map(|t| t.split(|c: char| !c.is_alphanumeric()));
    words.any(|word| word == "pin" || word == "pins")
}

impl Search<'_, '_> {
    /// Whether the size may stay: no other size is wished, and boards are thinner or nearly the same.
    fn may_stay(&self, wish: &Wish) -> bool {
        let boards = self.bench.boards;
        !wish.resizes() && boards.is_none_or(|b| b.ratio() <= 1.0 + SLIGHT)
    }

    /// The design at its own size: as it stands, with lower heights, with joints or dowel anew.
    fn kept(&mut self, wish: &Wish, same: Choice) -> Option<Fitted> {
        let untouched = wish.pin.is_none() && self.bench.species.is_none();
        if untouched && let Some(looked) = self.passes(&same) {
            return Some(self.fitted(Fit::Nothing, same, looked, wish));
        }
        if let Some(highest) = self.lowered().filter(|_| self.is_slight()) {
            let lower = Choice {
                highest: Some(highest),
                ..same
            };
            if let Some(looked) = self.passes(&lower) {
                return Some(self.fitted(Fit::Heights, lower, looked, wish));
            }
        }
        if untouched && self.is_lower() {
            return None;
        }
        let (choice, looked) = self.first(same, 1.0, wish.pin)?;
        Some(self.fitted(Fit::Solved, choice, looked, wish))
    }

    /// Whether the boards are nearly as thick as before.
    fn is_slight(&self) -> bool {
        let boards = self.bench.boards;
        boards.is_none_or(|b| (b.ratio() - 1.0).abs() <= SLIGHT)
    }

    /// Whether the boards are too thin for some section.
    fn is_lower(&self) -> bool {
        self.bench.room.iter().any(|room| *room < 1.0 - 1e-9)
    }

    /// The greatest height that the new boards leave a half, when some half is higher.
    fn lowered(&self) -> Option<f64> {
        let boards = self.bench.boards?;
        let halves = self.bench.needs.iter().filter(|n| !n.whole);
        let over = halves.clone().any(|n| n.thickness > boards.new + 1e-9);
        self.height().filter(|_| over)
    }

    /// The first candidate by this scale that passes, in all shapes that may help.
    fn scaled(&mut self, wish: &Wish, same: Choice, scale: f64) -> Option<(Choice, Looked)> {
        let highest = self.highest_follows();
        let shapes: &[Shape] = if scale < 1.0 && !wish.resizes() {
            &SHAPES
        } else {
            &SHAPES[..1]
        };
        for &shape in shapes {
            let choice = Choice {
                shape,
                highest: match shape {
                    Shape::Flatter => self.height(),
                    _ => highest,
                },
                ..same
            };
            if let Some(found) = self.first(choice, scale, wish.pin) {
                return Some(found);
            }
        }
        None
    }

    /// The greatest height that the new boards leave a half, mm.
    fn height(&self) -> Option<f64> {
        let boards = self.bench.boards?;
        let fixed = self.bench.fixed();
        // Down to a hundredth, as people measure.
        Some(((boards.new - fixed) * 100.0 + 1e-6).floor() / 100.0)
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
        Some(boards.new - self.bench.fixed())
    }

    /// The largest scale below that passes.
    fn smaller(&mut self, wish: &Wish, same: Choice, scale: f64) -> Option<(Choice, Looked)> {
        let same = Choice {
            highest: self.highest_follows(),
            ..same
        };
        let (part, steps) = DOWN;
        let step = |k: u32| scale * (1.0 - (1.0 - part) * f64::from(k) / f64::from(steps));
        let (k, mut best) =
            (1..=steps).find_map(|k| Some((k, self.first(same, step(k), wish.pin)?)))?;
        let (mut fine, mut bad) = (step(k), step(k - 1));
        for _ in 0..HALVINGS {
            let middle = 0.5 * (fine + bad);
            match self.first(same, middle, wish.pin) {
                Some(found) => (fine, best) = (middle, found),
                None => bad = middle,
            }
        }
        Some(best)
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
                self.remember(choice, false, vec![finding]);
                return (None, false);
            }
        };
        let text = plan.text(self.bench, self.target.base);
        let mut looked = look(self.bench, &text, self.target.file);
        if looked.bars.is_empty() {
            judge(self.bench, &mut looked, self.target.step);
        }
        let built = looked.resolved.is_some();
        if looked.bars.is_empty() {
            self.remember(choice, built, Vec::new());
            return (Some(looked), false);
        }
        let pins = looked.bars.iter().any(about_pins);
        self.remember(choice, built, looked.bars);
        (None, pins)
    }

    /// Notes a candidate, and keeps the bars of the one that is nearest to passing.
    fn remember(&mut self, choice: &Choice, built: bool, bars: Vec<Finding>) {
        self.tried.push(Tried {
            scale: choice.scale,
            shape: choice.shape,
            keep_swing: choice.keep_swing,
            dowel_mm: choice.dowel,
            built,
            bars: bars.iter().map(ToString::to_string).collect(),
        });
        let rank = (!built, bars.len());
        let nearer = self.closest.as_ref().is_none_or(|c| rank < c.rank);
        if nearer && !bars.is_empty() {
            self.closest = Some(Closest { rank, bars });
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
            tried: self.tried.clone(),
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
        Refused::Binds(words, std::mem::take(&mut self.tried))
    }

    /// The size nearest to the wished one that passes, between it and the design's own, in words.
    fn nearest(&mut self, wish: &Wish, same: Choice, scale: f64) -> Option<String> {
        if (scale - 1.0).abs() < 1e-9 {
            return None;
        }
        let at = |part: f64| scale + part * (1.0 - scale);
        let fixed = self.bench.fixed();
        let (mut bad, mut fine) = (0.0, 1.0);
        for _ in 0..HALVINGS {
            let middle = 0.5 * (bad + fine);
            let boards = self.bench.boards.filter(|_| !wish.resizes());
            let ratio = boards.map(|b| (fixed + at(middle) * (b.old - fixed)) / b.new);
            if let Some(ratio) = ratio {
                self.bench.thicker(ratio);
            }
            let found = self.scaled(wish, same, at(middle));
            if let Some(ratio) = ratio {
                self.bench.thicker(1.0 / ratio);
            }
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
