//! What changes in a design, as numbers and as the text of a file that is based on it.

use std::fmt::Write;

use serde::Serialize;

use super::joint::{Sized, TooSmall, sized};
use super::search::Target;
use super::{Bench, joint};
use crate::chain::joint::SocketFace;
use crate::params::value::Pins;
use crate::params::yaml_text;
use crate::units::short;

/// Decimals of written millimetres and factors: a hundredth of the model tolerance of 1e-7 mm, so
/// that a creature scaled there and back is the same.
const DECIMALS: usize = 9;

/// How sections that need not be scaled so much are scaled.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Shape {
    /// All by one scale: the creature keeps its proportions.
    Alike,
    /// Each as large as its board allows: slender sections keep their size.
    EachOnItsBoard,
    /// Each as large as its domed ends allow, and as high as the board: it gets flatter. Balls take
    /// the scale of the boards.
    Flatter,
}

/// Choices of the search.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Choice {
    /// Scale of the sections that need it most.
    pub scale: f64,
    /// How far the sections share that scale.
    pub shape: Shape,
    /// From scaled balls with less swing (0) to the whole swing with larger balls (1).
    pub keep_swing: f64,
    /// Part of each joint's swing that is asked for.
    pub swing: f64,
    /// Dowel of the half pins, mm.
    pub dowel: f64,
    /// Greatest height of the outline, mm, when heights alone are lowered.
    pub highest: Option<f64>,
}

/// The changes; what stays is not in it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Plan {
    pub choice: Choice,
    /// Scale of each entry of `sections`.
    pub scales: Vec<f64>,
    /// Width of closed ends by entry, mm; of `defaults` in front.
    pub tips: Vec<Option<f64>>,
    /// Number of pins of entries whose pins are written out and cannot stay.
    pub pins: Vec<Option<usize>>,
    /// Joints from front to rear, when any changes.
    pub joints: Option<Vec<Sized>>,
}

impl Plan {
    /// The changes that a choice makes.
    pub fn of(bench: &Bench<'_>, choice: Choice) -> Result<Plan, (usize, TooSmall)> {
        let scales = scales(bench, &choice);
        let changed = scales.iter().any(|s| (s - 1.0).abs() > 1e-12);
        let joints = joints(bench, &choice, &scales)?;
        let same = |(old, new): (&Sized, &Sized)| {
            let off = |a: f64, b: f64| (a - b).abs() > 1e-9;
            !(off(old.ball, new.ball)
                || off(old.neck, new.neck)
                || off(old.land, new.land)
                || off(old.swing, new.swing))
        };
        let old: Vec<Sized> = bench
            .resolved
            .joints
            .iter()
            .map(|j| Sized::of(&j.joint))
            .collect();
        let kept = old.iter().zip(&joints).all(same);
        let pins = bench.design.sections.value.iter().map(|entry| {
            let list = match entry.value.pins.as_ref().map(|p| &p.value) {
                Some(Pins::List(list)) => list.len().min(2),
                _ => return None,
            };
            changed.then_some(list)
        });
        Ok(Plan {
            choice,
            tips: tips(bench, &scales),
            pins: pins.collect(),
            joints: (!kept).then_some(joints),
            scales,
        })
    }

    /// The scale that ball and neck of a joint follow.
    pub fn ball_scale(&self, bench: &Bench<'_>, joint: usize) -> f64 {
        let of = |section: usize| self.scales[bench.entries[section]];
        ball_scale(&self.choice, of(joint), of(joint + 1))
    }

    /// One scale, if all entries have it.
    fn even(&self) -> Option<f64> {
        let first = *self.scales.first()?;
        let same = self.scales.iter().all(|s| (s - first).abs() < 1e-12);
        same.then_some(first)
    }

    /// The file: small, based on the design at `base`.
    pub fn text(&self, bench: &Bench<'_>, target: &Target<'_>) -> String {
        let base = yaml_text(target.base);
        let mut text = format!("{HEAD}\nlimberwood: 1\nbased_on: {base}\n");
        line(&mut text, "name", &yaml_text(target.name));
        if let Some(thickness) = bench.drawn_for {
            line(&mut text, "drawn_for", &mm(thickness));
        }
        if let Some(species) = &bench.species {
            line(&mut text, "species", &yaml_text(species));
        }
        if (self.choice.dowel - bench.dowel).abs() > 1e-9 || bench.pinned {
            line(&mut text, "dowel", &mm(self.choice.dowel));
        }
        self.sections(bench, &mut text);
        self.joints(bench, &mut text);
        text
    }

    fn sections(&self, bench: &Bench<'_>, text: &mut String) {
        let design = bench.design;
        let even = self.even();
        let scaled = even.is_none_or(|s| (s - 1.0).abs() > 1e-12);
        let defaults = design.defaults.as_ref().map(|d| &d.value);
        let mut keys = Vec::new();
        if let Some(scale) = even.filter(|_| scaled) {
            let old = defaults
                .and_then(|d| d.scale.as_ref())
                .map_or(1.0, |s| s.value.0);
            keys.push(format!("scale: {}", factor(scale * old)));
        }
        keys.extend(
            self.tips
                .first()
                .copied()
                .flatten()
                .map(|t| format!("tip_width: {}", mm(t))),
        );
        keys.extend(self.choice.highest.map(|h| format!("highest: {}", mm(h))));
        if !keys.is_empty() {
            let _ = writeln!(text, "defaults: {{{}}}", keys.join(", "));
        }
        let mut lines = Vec::new();
        for (i, entry) in design.sections.value.iter().enumerate() {
            let mut keys = Vec::new();
            let own = entry.value.scale.as_ref().map(|s| s.value.0);
            match (even, own) {
                (Some(scale), Some(own)) if scaled => {
                    keys.push(format!("scale: {}", factor(scale * own)));
                }
                (None, _) => {
                    let old = effective(bench, i);
                    keys.push(format!("scale: {}", factor(self.scales[i] * old)));
                }
                _ => {}
            }
            let tip = self.tips.get(i + 1).copied().flatten();
            keys.extend(tip.map(|t| format!("tip_width: {}", mm(t))));
            keys.extend(self.pins[i].map(|n| format!("pins: {n}")));
            let own = entry.value.highest.is_some();
            keys.extend(
                self.choice
                    .highest
                    .filter(|_| own)
                    .map(|h| format!("highest: {}", mm(h))),
            );
            let name = entry.value.name.as_ref().map_or("", |n| n.value.0.as_str());
            if !keys.is_empty() {
                lines.push(format!(
                    "  - {{name: {}, {}}}\n",
                    yaml_text(name),
                    keys.join(", ")
                ));
            }
        }
        if !lines.is_empty() {
            let _ = write!(text, "sections:\n{}", lines.concat());
        }
    }

    fn joints(&self, bench: &Bench<'_>, text: &mut String) {
        let Some(joints) = &self.joints else { return };
        let design = bench.design;
        let follows = design.scale_joints.as_ref().is_some_and(|s| s.value);
        let after = |k: usize| bench.resolved.creature.sections[k].name.as_str();
        let own = |k: usize| {
            let list = design.joints.iter().flat_map(|list| &list.value);
            let mut names = list.map(|j| j.value.after.value.folded());
            names.any(|name| name == after(k).to_lowercase())
        };
        let written = |k: usize| record(bench, k, &joints[k]);
        let general: Vec<usize> = (0..joints.len()).filter(|&k| !own(k)).collect();
        let same = general.windows(2).all(|w| written(w[0]) == written(w[1]));
        let together = same && !follows;
        if let (true, Some(&first)) = (together, general.first()) {
            let _ = writeln!(text, "joint: {{{}}}", written(first));
        }
        let alone: Vec<usize> = (0..joints.len()).filter(|&k| own(k) || !together).collect();
        if !alone.is_empty() {
            text.push_str("joints:\n");
        }
        for k in alone {
            let _ = writeln!(
                text,
                "  - {{after: {}, {}}}",
                yaml_text(after(k)),
                written(k)
            );
        }
    }
}

/// First line of every file that is written here, by which it is known.
pub(super) const HEAD: &str = "# Refit by limberwood; may be refit, edited and based on again.";

/// The keys of a joint: diameters, and what the design writes of swing and mouth.
fn record(bench: &Bench<'_>, k: usize, new: &Sized) -> String {
    let link = &bench.resolved.joints[k];
    let mut keys = vec![
        format!("ball: {}", mm(2.0 * new.ball)),
        format!("neck: {}", mm(2.0 * new.neck)),
        format!("land: {}", mm(new.land)),
    ];
    if (new.swing - link.joint.swing).abs() > 1e-9 {
        keys.push(format!("swing: {} deg", number(new.swing.to_degrees())));
    }
    if bench.mouths[k] {
        keys.push(format!("mouth: {}", mm(2.0 * new.mouth)));
    }
    keys.join(", ")
}

fn scales(bench: &Bench<'_>, choice: &Choice) -> Vec<f64> {
    let entries = bench.design.sections.value.len();
    let mut scales = vec![choice.scale; entries];
    let room = match choice.shape {
        Shape::Alike => return scales,
        Shape::EachOnItsBoard => &bench.room,
        Shape::Flatter => &bench.end_room,
    };
    for (entry, scale) in scales.iter_mut().enumerate() {
        let own = bench.entries.iter().zip(room).filter(|(e, _)| **e == entry);
        let room = own.map(|(_, room)| *room).fold(1.0, f64::min);
        // Down to a thousandth, so that rounding never lifts it over its board.
        *scale = ((room * 1000.0).floor() / 1000.0).max(choice.scale);
    }
    scales
}

fn joints(
    bench: &Bench<'_>,
    choice: &Choice,
    scales: &[f64],
) -> Result<Vec<Sized>, (usize, TooSmall)> {
    let links = bench.resolved.joints.iter().enumerate();
    let each = links.map(|(k, link)| {
        let of = |section: usize| scales[bench.entries[section]];
        let (front, rear) = (of(link.after), of(link.after + 1));
        let socket = if link.ball_in_front { rear } else { front };
        let old = &link.joint;
        let bound = |least: f64, old: f64| {
            if bench.species.is_some() {
                least
            } else {
                least.min(old)
            }
        };
        let bounds = joint::Bounds {
            neck: bound(bench.least_neck, old.neck),
            land: bound(bench.least_land, old.land),
            ball_scale: ball_scale(choice, front, rear),
            socket_scale: if old.face == SocketFace::Domed {
                socket
            } else {
                front.min(rear)
            },
            keep_swing: choice.keep_swing,
            swing: choice.swing,
        };
        sized(old, &bounds).map_err(|small| (k, small))
    });
    each.collect()
}

/// Scale of a ball between two sections.
fn ball_scale(choice: &Choice, front: f64, rear: f64) -> f64 {
    match choice.shape {
        Shape::Flatter => choice.scale,
        _ => front.min(rear),
    }
}

/// Widths of closed ends follow the scale down to what the leaning rim leaves.
fn tips(bench: &Bench<'_>, scales: &[f64]) -> Vec<Option<f64>> {
    let mut all = Vec::with_capacity(scales.len() + 1);
    let defaults = bench
        .design
        .defaults
        .as_ref()
        .and_then(|d| d.value.tip_width.as_ref());
    let least = scales.iter().copied().fold(f64::INFINITY, f64::min);
    let changed = |scale: f64| (scale - 1.0).abs() > 1e-12;
    let widest = bench.tip_floors.iter().copied().fold(0.0, f64::max);
    let followed = |old: f64, scale: f64, floor: f64| (old * scale).max(old.min(floor));
    all.push(
        defaults
            .filter(|_| changed(least))
            .map(|tip| followed(tip.value.mm(), least, widest)),
    );
    for (i, entry) in bench.design.sections.value.iter().enumerate() {
        let tip = entry
            .value
            .tip_width
            .as_ref()
            .filter(|_| changed(scales[i]));
        let floors = bench
            .entries
            .iter()
            .zip(&bench.tip_floors)
            .filter(|(e, _)| **e == i);
        let floor = floors.map(|(_, f)| *f).fold(0.0, f64::max);
        all.push(tip.map(|tip| followed(tip.value.mm(), scales[i], floor)));
    }
    all
}

/// The scale that an entry has before it is changed: its own, that of one it is like, the default.
fn effective(bench: &Bench<'_>, index: usize) -> f64 {
    let design = bench.design;
    let entries = &design.sections.value;
    let mut at = index;
    for _ in 0..entries.len() {
        let entry = &entries[at].value;
        if let Some(scale) = &entry.scale {
            return scale.value.0;
        }
        let like = entry.like.as_ref().map(|l| l.value.folded());
        let named = |name: &String| {
            entries.iter().position(|e| {
                e.value
                    .name
                    .as_ref()
                    .is_some_and(|n| n.value.folded() == *name)
            })
        };
        match like.as_ref().and_then(named) {
            Some(next) => at = next,
            None => break,
        }
    }
    let defaults = design
        .defaults
        .as_ref()
        .and_then(|d| d.value.scale.as_ref());
    defaults.map_or(1.0, |s| s.value.0)
}

/// A factor, to a relative rounding far below the model tolerance over any length.
fn factor(value: f64) -> String {
    short(value, 12)
}

fn line(text: &mut String, key: &str, value: &str) {
    let _ = writeln!(text, "{key}: {value}");
}

/// A number with as many decimals as count, without closing zeros.
pub(super) fn number(value: f64) -> String {
    short(value, DECIMALS)
}

/// Millimetres, whatever the unit of the file.
fn mm(value: f64) -> String {
    format!("{} mm", number(value))
}
