//! The search: candidates in the order of how much they change, until one passes.

use std::collections::HashMap;

use super::bench::{Bench, Refused, Wish};
use super::dowel;
use super::oracle::{Looked, judge, look};
use super::plan::{Choice, Plan, Shape};
use super::table::{self, Change};
use crate::chain::Resolved;
use crate::check::finding::Finding;
use crate::units::{Length, length_text};
use serde::Serialize;

/// Boards that differ by no more than this part are the same stock measured: nothing scales, at most
/// heights are lowered (habit: planed boards differ by less).
const SLIGHT: f64 = 0.1;
/// How sections share the scale, what changes proportions least first.
const SHAPES: [Shape; 3] = [Shape::Alike, Shape::EachOnItsBoard, Shape::Flatter];
/// Blends from larger balls to less swing, and the part of the swing that is asked for (habit: blends
/// are finest where most of the swing stays, for a ball that is scaled with a neck that is not has lost
/// nearly all of it; a large ball with less swing takes less load to the glue line).
const JOINTS: [(f64, f64); 6] = [
    (1.0, 1.0),
    (0.9, 1.0),
    (0.75, 1.0),
    (1.0, 0.8),
    (0.5, 1.0),
    (0.0, 1.0),
];
/// Smaller scales that are tried when none by thickness passes: down to this part, in these steps (habit).
const DOWN: (f64, u32) = (0.8, 4);
/// Halvings of the search for the nearest scale or thickness that passes (habit: to a sixteenth of the
/// way; each costs a check of seconds).
pub(super) const HALVINGS: u32 = 4;

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
    /// Name of the creature, other than the design's, so that what is made of both lies apart.
    pub name: &'a str,
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
        judging: true,
        failed: HashMap::new(),
    };
    let asked = wish.pin.unwrap_or(search.bench.dowel);
    let same = Choice {
        scale: 1.0,
        shape: Shape::Alike,
        keep_swing: 1.0,
        swing: 1.0,
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
    /// Part of the swing that was asked for.
    pub swing: f64,
    /// Dowel, mm.
    pub dowel_mm: f64,
    /// Whether it was solid enough for the checks.
    pub built: bool,
    /// What stood in its way; nothing when it passed.
    pub bars: Vec<String>,
}

/// The best of what did not pass: its bars.
pub(super) struct Closest {
    /// Candidates that can be resolved are nearer than those that cannot.
    rank: (bool, usize),
    pub bars: Vec<Finding>,
}

pub(super) struct Search<'s, 'a> {
    pub bench: &'s mut Bench<'a>,
    pub target: &'s Target<'s>,
    pub closest: Option<Closest>,
    pub tried: Vec<Tried>,
    /// Whether candidates are checked, which takes seconds, and noted; else they are looked at alone.
    pub judging: bool,
    /// Candidates that did not pass, by their text and the bits of their board's millimetres: other
    /// choices may come to the same.
    failed: HashMap<(String, Option<u64>), Bar>,
}

/// What stands in the way of a candidate.
#[derive(Debug, Clone, Copy, Default)]
struct Bar {
    /// Pins do.
    pins: bool,
    /// Something does that neither joints nor pins have a part in.
    fixed: bool,
}

impl Bar {
    fn of(bars: &[Finding]) -> Self {
        let pins = |f: &Finding| speaks_of(f, &["pin", "pins"]);
        Bar {
            pins: bars.iter().any(pins),
            fixed: bars.iter().any(|f| !pins(f) && !speaks_of(f, &OF_JOINTS)),
        }
    }
}

/// Words of findings that other balls, necks, mouths and swings may change.
const OF_JOINTS: [&str; 11] = [
    "joint", "joints", "ball", "neck", "mouth", "socket", "flare", "land", "swing", "glue", "tabs",
];

/// Whether a finding's rule or words hold one of these words.
fn speaks_of(finding: &Finding, words: &[&str]) -> bool {
    let message = &finding.message;
    let texts = [&message.rule, &message.found];
    let mut own = texts
        .iter()
        .flat_map(|t| t.split(|c: char| !c.is_alphanumeric()));
    own.any(|word| words.contains(&word))
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
    pub fn scaled(&mut self, wish: &Wish, same: Choice, scale: f64) -> Option<(Choice, Looked)> {
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
        for (keep_swing, swing) in JOINTS {
            let mut fixed = true;
            for &dowel in &dowels {
                let choice = Choice {
                    scale,
                    keep_swing,
                    swing,
                    dowel,
                    ..same
                };
                match self.tried(&choice) {
                    Ok(looked) => return Some((choice, looked)),
                    // Another dowel helps only where pins stand in the way.
                    Err(Bar { pins, fixed: own }) => {
                        fixed &= own;
                        if !pins {
                            break;
                        }
                    }
                }
            }
            // What does not hang on joints stands in the way of other joints too.
            if fixed {
                break;
            }
        }
        None
    }

    fn passes(&mut self, choice: &Choice) -> Option<Looked> {
        self.tried(choice).ok()
    }

    /// A candidate that passes; else what stands in its way.
    fn tried(&mut self, choice: &Choice) -> Result<Looked, Bar> {
        let plan = match Plan::of(self.bench, *choice) {
            Ok(plan) => plan,
            Err((joint, small)) => {
                if self.judging {
                    let finding = table::no_joint(self.bench, joint, small);
                    self.remember(choice, false, vec![finding]);
                }
                return Err(Bar::default());
            }
        };
        let text = plan.text(self.bench, self.target);
        let board = self.bench.boards.map(|b| b.new.to_bits());
        let key = (text, board);
        if let Some(&bar) = self.failed.get(&key) {
            return Err(bar);
        }
        let mut looked = look(self.bench, &key.0, self.target.file);
        if looked.bars.is_empty() && self.judging {
            judge(self.bench, &mut looked, self.target.step);
        }
        let bar = (!looked.bars.is_empty()).then(|| Bar::of(&looked.bars));
        if self.judging {
            let bars = std::mem::take(&mut looked.bars);
            self.remember(choice, looked.resolved.is_some(), bars);
        }
        let Some(bar) = bar else { return Ok(looked) };
        self.failed.insert(key, bar);
        Err(bar)
    }

    /// Notes a candidate, and keeps the bars of the one that is nearest to passing.
    fn remember(&mut self, choice: &Choice, built: bool, bars: Vec<Finding>) {
        self.tried.push(Tried {
            scale: choice.scale,
            shape: choice.shape,
            keep_swing: choice.keep_swing,
            swing: choice.swing,
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

    /// What the shop file says of boards is not changed.
    fn shop_has_other_boards(&self, wish: &Wish) -> Option<String> {
        let new = wish.thickness?;
        let boards = &self.bench.shop_boards;
        let there = boards.iter().any(|b| (b - new).abs() < 0.05);
        let text = length_text(Length::from_mm(new), self.bench.unit);
        (!there).then(|| {
            format!(
                "blanks come from the boards of the shop file: write one of {text} into its `stock`"
            )
        })
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
                (plan.text(self.bench, self.target), changes, resolved)
            }
            // Not reached: a candidate that passed has both.
            (_, resolved) => {
                let same = self.bench.resolved.clone();
                (String::new(), Vec::new(), resolved.unwrap_or(same))
            }
        };
        said.extend(self.shop_has_other_boards(wish));
        said.extend(self.bench.based(fit));
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
}
