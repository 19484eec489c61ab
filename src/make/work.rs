//! What making, checking and drawing share: which distinct parts and joints there are, and how far
//! the work is.

use std::collections::BTreeMap;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

use super::Settings;
use super::kept::Kept;
use super::model::{Bodies, bodies, whole};
use super::parts::PartPlan;
use super::store::Store;
use crate::chain::{FormKey, HalfForm, Resolved, Side};
use crate::check::finding::Subject;
use crate::diagnostic::Diagnostics;

/// The work on one creature.
pub(super) struct Work<'a> {
    pub resolved: &'a Resolved,
    pub settings: &'a Settings,
    /// Parts of one solid together, in the order of their first.
    pub groups: Vec<Vec<&'a PartPlan>>,
    /// Numbers of joints between equal sections with equal sizes together, in the order of their
    /// first.
    pub joints: Vec<Vec<usize>>,
    /// What earlier runs built and found.
    pub kept: Option<&'a Kept>,
    /// What earlier runs left on disk.
    pub store: Option<&'a Store<'a>>,
    /// The wish to stop: what is not begun is left out then.
    pub stop: Option<&'a AtomicBool>,
    step: &'a (dyn Fn(usize, usize) + Sync),
    done: AtomicUsize,
}

impl<'a> Work<'a> {
    /// The work on these parts; `step` is told after each distinct part and joint.
    pub fn new(
        resolved: &'a Resolved,
        settings: &'a Settings,
        plans: &'a [PartPlan],
        step: &'a (dyn Fn(usize, usize) + Sync),
    ) -> Self {
        Work {
            resolved,
            settings,
            groups: alike(plans.iter().map(|plan| (plan.key.clone(), plan))),
            joints: joints(resolved, plans),
            kept: None,
            store: None,
            stop: None,
            step,
            done: AtomicUsize::new(0),
        }
    }

    /// Whether it is to stop.
    pub fn stopped(&self) -> bool {
        self.stop.is_some_and(|stop| stop.load(Ordering::Relaxed))
    }

    /// One more distinct part or joint is done.
    pub fn tell(&self) {
        let done = self.done.fetch_add(1, Ordering::Relaxed) + 1;
        (self.step)(done, self.groups.len() + self.joints.len());
    }

    /// What messages about a part speak of.
    pub fn subject<'b>(&'b self, plan: &'b PartPlan) -> Subject<'b> {
        Subject {
            name: &plan.name,
            section: Some(plan.number),
            place: &self.resolved.sources[plan.section].place,
            unit: self.settings.unit,
        }
    }

    /// The finished halves that a part is made from: one, or upper and lower.
    pub fn forms(&self, plan: &PartPlan) -> Vec<HalfForm> {
        let section = &self.resolved.creature.sections[plan.section];
        if section.form.whole {
            let both = [Side::Upper, Side::Lower];
            both.map(|side| HalfForm::of(&section.form, side)).into()
        } else {
            vec![plan.half(section)]
        }
    }

    /// Measures, builds and meshes the bodies of a part.
    ///
    /// # Errors
    /// Why it was refused, at its section's place.
    pub fn built(&self, plan: &PartPlan) -> Result<Bodies, Diagnostics> {
        self.keep(|k| &k.bodies, || self.body_key(plan), || self.build(plan))
    }

    fn build(&self, plan: &PartPlan) -> Result<Bodies, Diagnostics> {
        if let Some(kept) = self.kept {
            kept.count();
        }
        let section = &self.resolved.creature.sections[plan.section];
        let (walls, bench) = (&self.resolved.walls, self.resolved.creature.bench_only);
        let deviation = self.settings.deviation;
        let built = if section.form.whole {
            whole(&section.form, deviation, walls, bench)
        } else {
            let halves = (plan.half(section), plan.held_half(section));
            bodies(&halves.0, &halves.1, deviation, walls, bench)
        };
        let subject = self.subject(plan);
        built.map_err(|refused| refused.diagnostics(subject.place, subject.name, subject.unit))
    }
}

/// Things with equal keys together, in the order of their first.
fn alike<K: Ord, T>(things: impl Iterator<Item = (K, T)>) -> Vec<Vec<T>> {
    let mut index: BTreeMap<K, usize> = BTreeMap::new();
    let mut all: Vec<Vec<T>> = Vec::new();
    for (key, thing) in things {
        let at = *index.entry(key).or_insert_with(|| {
            all.push(Vec::new());
            all.len() - 1
        });
        all[at].push(thing);
    }
    all
}

fn joints(resolved: &Resolved, plans: &[PartPlan]) -> Vec<Vec<usize>> {
    let keyed = resolved.joints.iter().enumerate().map(|(k, joint)| {
        let both = [joint.after, joint.after + 1];
        let of = |plan: &&PartPlan| both.contains(&plan.section);
        let keys: Vec<FormKey> = plans.iter().filter(of).map(|p| p.key.clone()).collect();
        let splits = both.map(|s| resolved.creature.sections[s].split);
        // Numbers print so that they read back, so equal text is equal sizes.
        let sizes = format!("{:?} {:?} {splits:?}", joint.joint, joint.ball_in_front);
        ((keys, sizes), k)
    });
    alike(keyed)
}
