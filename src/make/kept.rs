//! What was built and found for a design that is looked at again and again while its files change.
//!
//! Every result is kept under all that it depends on, written out, so an edit leaves what it does not
//! touch, and nothing has to be told that it is out of date. What no run has asked for in a while goes.

use std::collections::BTreeMap;
use std::fmt::Write;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Mutex, PoisonError};

use super::checked::Checked;
use super::model::Bodies;
use super::parts::{PartPlan, word};
use super::sections::Parts;
use super::shown::Shown;
use super::work::Work;
use crate::brep::pose::Pose;
use crate::chain::FormKey;
use crate::check::joint::Collided;
use crate::check::reach::Depths;
use crate::check::small::Laid;

/// Runs after which what was not asked for goes: a few edits and their undoing (habit).
const RUNS: u64 = 12;

/// The memory of a design that is watched.
#[derive(Debug, Default)]
pub struct Kept {
    run: AtomicU64,
    built: AtomicU64,
    pub(super) bodies: Shelf<Bodies>,
    pub(super) shown: Shelf<Shown>,
    pub(super) depths: Shelf<[Depths; 2]>,
    pub(super) checked: Shelf<Checked>,
    pub(super) collided: Shelf<Option<Collided>>,
    pub(super) laid: Shelf<Vec<Laid>>,
}

impl Kept {
    /// A new run begins.
    pub fn begin(&self) {
        let run = self.run.fetch_add(1, Ordering::Relaxed) + 1;
        self.bodies.forget(run);
        self.shown.forget(run);
        self.depths.forget(run);
        self.checked.forget(run);
        self.collided.forget(run);
        self.laid.forget(run);
    }

    /// Bodies of distinct parts that were built so far: all others were in memory.
    pub fn built(&self) -> u64 {
        self.built.load(Ordering::Relaxed)
    }

    /// One more was built.
    pub(super) fn count(&self) {
        self.built.fetch_add(1, Ordering::Relaxed);
    }
}

/// Results of one kind, each with the last run that asked for it.
#[derive(Debug)]
pub(super) struct Shelf<T>(Mutex<BTreeMap<String, (u64, T)>>);

impl<T> Default for Shelf<T> {
    fn default() -> Self {
        Shelf(Mutex::new(BTreeMap::new()))
    }
}

impl<T: Clone> Shelf<T> {
    /// What is kept under a key.
    pub fn find(&self, key: &str, run: u64) -> Option<T> {
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let (last, own) = all.get_mut(key)?;
        *last = run;
        Some(own.clone())
    }

    fn put(&self, key: String, run: u64, own: T) {
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        all.insert(key, (run, own));
    }

    fn forget(&self, run: u64) {
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        all.retain(|_, (last, _)| *last + RUNS >= run);
    }
}

impl Work<'_> {
    /// What is kept under a key, or what `make` makes, which is kept unless it fails.
    pub(super) fn keep<T: Clone, E>(
        &self,
        shelf: fn(&Kept) -> &Shelf<T>,
        key: impl FnOnce() -> String,
        make: impl FnOnce() -> Result<T, E>,
    ) -> Result<T, E> {
        let Some(kept) = self.kept else {
            return make();
        };
        let (key, run) = (key(), kept.run.load(Ordering::Relaxed));
        if let Some(found) = shelf(kept).find(&key, run) {
            return Ok(found);
        }
        let made = make()?;
        if !self.stopped() {
            shelf(kept).put(key, run, made.clone());
        }
        Ok(made)
    }

    /// What is kept under a key.
    pub(super) fn found<T: Clone>(
        &self,
        shelf: fn(&Kept) -> &Shelf<T>,
        key: impl FnOnce() -> String,
    ) -> Option<T> {
        let kept = self.kept?;
        shelf(kept).find(&key(), kept.run.load(Ordering::Relaxed))
    }

    /// All that the bodies of a part depend on.
    pub(super) fn body_key(&self, plan: &PartPlan) -> String {
        let (walls, bench) = (&self.resolved.walls, self.resolved.creature.bench_only);
        format!(
            "{:?} {walls:?} {bench} {:?}",
            plan.key, self.settings.deviation
        )
    }

    /// All that the leftover on equal parts depends on.
    pub(super) fn depths_key(&self, group: &[&PartPlan]) -> String {
        let mut key = self.body_key(group[0]);
        let r = self.resolved;
        // Writing to text does not fail.
        let _ = write!(
            key,
            " {:?} {:?} {} {} {}",
            self.clearance(group),
            r.cutters,
            r.relief,
            r.blank.window,
            self.stock(group[0])
        );
        key
    }

    /// All that the checks of equal parts depend on, their name and place in the file too.
    pub(super) fn checked_key(&self, group: &[&PartPlan]) -> String {
        let place = self.subject(group[0]).place;
        format!("{} {place:?}", self.found_key(group))
    }

    /// The same without the place in the file.
    pub(super) fn found_key(&self, group: &[&PartPlan]) -> String {
        let subject = self.subject(group[0]);
        format!(
            "{} {:?} {:?} {:?} {}",
            self.depths_key(group),
            subject.name,
            subject.section,
            subject.unit,
            self.settings.leftover
        )
    }

    /// All that the pieces of a section in the small-parts cylinder depend on, wherever it stands in the
    /// chain; `pins` are diameter and length of its dowels.
    pub(super) fn laid_key(&self, parts: &Parts<'_>, pins: &[(f64, f64)]) -> String {
        let mut key = format!("{pins:?}");
        for (plan, _) in parts {
            let Pose {
                quarters, about_z, ..
            } = plan.placement;
            let _ = write!(
                key,
                " {} {quarters} {about_z} {}",
                word(plan.named),
                self.body_key(plan)
            );
        }
        key
    }

    /// All that the collision of a joint depends on, wherever it stands in the chain.
    pub(super) fn collided_key(&self, k: usize) -> String {
        let link = &self.resolved.joints[k];
        let both = [link.after, link.after + 1];
        let parts = self.groups.iter().flatten();
        let keys: Vec<(usize, &FormKey)> = parts
            .filter(|p| both.contains(&p.section))
            .map(|p| (p.section - link.after, &p.key))
            .collect();
        let sections = both.map(|s| &self.resolved.creature.sections[s]);
        let splits = sections.map(|s| s.split);
        let lengths = sections.map(|s| s.form.length);
        format!(
            "{keys:?} {:?} {:?} {:?} {:?} {:?} {} {splits:?} {lengths:?} {:?}",
            link.joint,
            link.limits,
            link.cut,
            link.cut_limits,
            link.reach,
            link.ball_in_front,
            self.settings.deviation
        )
    }
}
