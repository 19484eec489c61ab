//! What is said when nothing passes: what binds, and the nearest size that would do.

use super::bench::{Refused, Wish};
use super::plan::Choice;
use super::search::{HALVINGS, Search, Tried};
use crate::diagnostic::{Diagnostic, Place};
use crate::units::{Length, length_text};

/// Said of a size that can be drawn.
const UNCHECKED: &str = "nothing nearer to what was asked for that was looked at can be drawn; whether \
                         this passes the checks was not tried";

impl Search<'_, '_> {
    /// What binds the closest candidate, and the single change that would do.
    pub fn refusal(&mut self, wish: &Wish, same: Choice, scale: f64) -> Refused {
        let closest = self.closest.take();
        let mut words: Vec<Diagnostic> = closest
            .map(|c| c.bars.into_iter().map(|f| f.message).collect())
            .unwrap_or_default();
        words.truncate(5);
        let place = Place::of_file(self.target.file);
        // Where not even one can be drawn, sizes near by are far from passing: checking them, seconds
        // each, would say no more than the bound under which none can be drawn either.
        let at_scale = |t: &Tried| (t.scale - scale).abs() < 1e-9;
        self.judging = self.tried.iter().any(|t| t.built && at_scale(t));
        let found = match self.judging {
            true => "nothing that was tried passes the checks",
            false => "nothing that was tried leaves room for its joints and walls",
        };
        words.push(match self.nearest(wish, same, scale) {
            Some(way) if !self.judging => {
                Diagnostic::error(place, found).way_out(format!("{way}; {UNCHECKED}"))
            }
            Some(way) => Diagnostic::error(place, found).way_out(way),
            None => {
                let sizes = if (scale - 1.0).abs() < 1e-9 {
                    ""
                } else {
                    ", at no size between this one and the design's own"
                };
                Diagnostic::error(
                    place,
                    format!("nothing that was tried passes the checks{sizes}"),
                )
                .way_out("change what the messages above name")
            }
        });
        Refused::Binds(words, std::mem::take(&mut self.tried))
    }

    /// The size nearest to the wished one that passes, or that can be drawn when nothing is judged,
    /// between it and the design's own, in words.
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
        let (does, do_) = match self.judging {
            true => ("does", "do"),
            false => ("may do", "may do"),
        };
        let text = |mm: f64| length_text(Length::from_mm(mm), self.bench.unit);
        if wish.resizes() {
            let (body, gaps) = self.bench.length();
            let length = text(body * found + gaps);
            return Some(format!(
                "a scale of {found:.3} {does} (--scale {found:.3}), {length} long"
            ));
        }
        let boards = self.bench.boards?;
        let thickness = fixed + found * (boards.old - fixed);
        let thickness = (thickness * 20.0).ceil() / 20.0;
        Some(format!("boards of {} {do_} (--thickness)", text(thickness)))
    }
}
