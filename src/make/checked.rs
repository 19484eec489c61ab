//! All checks of a creature: parts, joints, chain. Equal parts and equal joints are checked once.

use std::collections::BTreeMap;

use rayon::prelude::*;

use super::model::Bodies;
use super::parts::{PartPlan, built, parts};
use super::refused::named;
use super::{Settings, groups};
use crate::chain::joint::Joint;
use crate::chain::{ChainJoint, FormKey, Resolved};
use crate::check::collide::{Body, Shift, Swing, swing_all};
use crate::check::finding::{Finding, Subject, sort};
use crate::check::joint::Collided;
use crate::check::{accept::accept, chain, joint, stock, undercut};
use crate::diagnostic::{Diagnostic, Place};

/// Directions in which a joint is bent.
const DIRECTIONS: usize = 24;
/// How far beyond its closed form a joint is bent, radians: contacts beyond are of no use.
const BEYOND: f64 = 0.1;

/// The built parts of a creature.
pub(super) struct Parts<'a> {
    resolved: &'a Resolved,
    settings: &'a Settings,
    groups: Vec<Vec<&'a PartPlan>>,
    /// Of each group; nothing when it was refused.
    built: Vec<Option<Bodies>>,
}

/// Checks a creature; `warnings` of reading and resolving are findings too. `step` is told after each distinct part and joint.
pub fn check(
    resolved: &Resolved,
    settings: &Settings,
    warnings: &[Diagnostic],
    step: &(dyn Fn(usize, usize) + Sync),
) -> Vec<Finding> {
    let plans = parts(resolved, settings);
    let groups = groups(&plans);
    let joints = distinct_joints(resolved, &plans);
    let all = groups.len() + joints.len();
    let done = std::sync::atomic::AtomicUsize::new(0);
    let tell = || {
        step(
            done.fetch_add(1, std::sync::atomic::Ordering::Relaxed) + 1,
            all,
        )
    };
    let built: Vec<(Option<Bodies>, Vec<Finding>)> = groups
        .par_iter()
        .map(|group| {
            let found = part(resolved, settings, group);
            tell();
            found
        })
        .collect();
    let (built, found): (Vec<_>, Vec<_>) = built.into_iter().unzip();
    let ground = Parts {
        resolved,
        settings,
        groups,
        built,
    };
    let mut findings: Vec<Finding> = found.into_iter().flatten().collect();
    let collided: Vec<Vec<(usize, Option<Collided>)>> = joints
        .par_iter()
        .map(|same| {
            let found = ground.collide(same[0]);
            tell();
            same.iter().map(|&k| (k, found)).collect()
        })
        .collect();
    for (k, found) in collided.into_iter().flatten() {
        findings.extend(ground.joint(k, found.as_ref()));
    }
    findings.extend(ground.creature(warnings));
    let creature = &resolved.creature;
    accept(&mut findings, &resolved.accepted, creature, settings.unit);
    sort(&mut findings);
    findings
}

/// Builds one distinct part; what was refused, or what is thin.
fn part(
    resolved: &Resolved,
    settings: &Settings,
    group: &[&PartPlan],
) -> (Option<Bodies>, Vec<Finding>) {
    let first = group[0];
    let source = &resolved.sources[first.section];
    let subject = Subject {
        name: &first.name,
        section: Some(first.number),
        place: &source.place,
        unit: settings.unit,
    };
    let finding = |message: Diagnostic| Finding::of(message, &subject);
    match built(resolved, first, settings.deviation) {
        Err(refused) => {
            let told = refused.diagnostics(&source.place, &first.name, settings.unit);
            (None, told.sorted().into_iter().map(finding).collect())
        }
        Ok(bodies) => {
            let thin = bodies.thin.iter().map(|r| {
                let message = r.diagnostic(source.place.clone(), settings.unit);
                finding(named(message, &first.name)).at(r.at)
            });
            let mut found: Vec<Finding> = thin.collect();
            let finished = &bodies.finished;
            found.extend(undercut::findings(&subject, &finished.half, &finished.mesh));
            (Some(bodies), found)
        }
    }
}

/// Joints whose sections and sizes are equal, together, in the order of their first.
fn distinct_joints(resolved: &Resolved, plans: &[PartPlan]) -> Vec<Vec<usize>> {
    type Key = (Vec<FormKey>, String);
    let mut index: BTreeMap<Key, usize> = BTreeMap::new();
    let mut all: Vec<Vec<usize>> = Vec::new();
    for (k, joint) in resolved.joints.iter().enumerate() {
        let both = [joint.after, joint.after + 1];
        let of = |plan: &&PartPlan| both.contains(&plan.section);
        let keys: Vec<FormKey> = plans.iter().filter(of).map(|p| p.key.clone()).collect();
        let splits = both.map(|s| resolved.creature.sections[s].split);
        // Numbers print so that they read back, so equal text is equal sizes.
        let sizes = format!("{:?} {:?} {splits:?}", joint.joint, joint.ball_in_front);
        let at = *index.entry((keys, sizes)).or_insert_with(|| {
            all.push(Vec::new());
            all.len() - 1
        });
        all[at].push(k);
    }
    all
}

impl Parts<'_> {
    /// A section's finished parts where they lie in the straight creature; nothing when one is
    /// missing.
    fn section(&self, index: usize) -> Option<Body> {
        let (mut positions, mut triangles) = (Vec::new(), Vec::new());
        for (group, built) in self.groups.iter().zip(&self.built) {
            for plan in group.iter().filter(|p| p.section == index) {
                let mesh = &built.as_ref()?.finished.mesh;
                let first = positions.len() as u32;
                positions.extend(mesh.positions.iter().map(|&p| plan.placement.apply(p)));
                triangles.extend(mesh.triangles.iter().map(|t| t.map(|i| i + first)));
            }
        }
        Body::new(&positions, &triangles).ok()
    }

    /// Largest deviation of the meshes of two sections.
    fn deviation(&self, sections: [usize; 2]) -> f64 {
        let with = self.groups.iter().zip(&self.built);
        with.filter(|(group, _)| group.iter().any(|p| sections.contains(&p.section)))
            .filter_map(|(_, built)| Some(built.as_ref()?.finished.mesh.deviation))
            .fold(0.0, f64::max)
    }

    /// Bends a joint until the solids of its two sections touch.
    fn collide(&self, k: usize) -> Option<Collided> {
        let link = &self.resolved.joints[k];
        let own = &link.joint;
        let (front, rear) = (link.after, link.after + 1);
        let (ball, socket) = if link.ball_in_front {
            (front, rear)
        } else {
            (rear, front)
        };
        let (moving, still) = (self.section(ball)?, self.section(socket)?);
        let deviation = self.deviation([front, rear]);
        let push = (own.clearance - 2.0 * deviation).max(0.0);
        let swing = |aside| Swing {
            centre: [centre(self.resolved, link, own), 0.0, 0.0],
            chain_axis: [if link.ball_in_front { -1.0 } else { 1.0 }, 0.0, 0.0],
            count: DIRECTIONS,
            shift: Shift::Aside(aside),
            most: link.limits.swing + BEYOND,
        };
        let [concentric, aside] = [0.0, push].map(|aside| {
            let contacts = swing_all(&still, &moving, &swing(aside));
            contacts
                .iter()
                .map(|c| c.angle)
                .fold(f64::INFINITY, f64::min)
        });
        Some(Collided {
            concentric,
            aside,
            push,
            deviation,
        })
    }

    fn joint(&self, k: usize, collided: Option<&Collided>) -> Vec<Finding> {
        let link = &self.resolved.joints[k];
        let sections = &self.resolved.creature.sections;
        let name = format!("joint after `{}`", sections[link.after].name);
        let subject = Subject {
            name: &name,
            section: Some(sections[link.after].number),
            place: &link.place,
            unit: self.settings.unit,
        };
        joint::findings(&subject, &link.joint, &link.limits, link.reach, collided)
    }

    /// What concerns the whole: boards, chain, set-ups.
    fn creature(&self, warnings: &[Diagnostic]) -> Vec<Finding> {
        let Resolved {
            creature,
            joints,
            sources,
            boards,
            ..
        } = self.resolved;
        let place = sources
            .first()
            .map(|s| s.place.whole_file())
            .unwrap_or_default();
        let whole = Subject {
            name: &creature.name,
            section: None,
            place: &place,
            unit: self.settings.unit,
        };
        let told = warnings.iter().cloned();
        let told = told.map(|m| {
            let section = section_of(self.resolved, &m.place);
            Finding::of(m, &Subject { section, ..whole })
        });
        let mut all: Vec<Finding> = told.collect();
        if !creature.bench_only {
            for (section, source) in creature.sections.iter().zip(sources) {
                let subject = Subject {
                    name: &section.name,
                    section: Some(section.number),
                    place: &source.place,
                    ..whole
                };
                all.push(stock::board(&subject, source.stock, boards));
            }
        }
        let swings: Vec<f64> = joints.iter().map(|j| j.limits.usable()).collect();
        all.extend(chain::ring(&whole, creature, &swings));
        let balls: Vec<bool> = joints.iter().map(|j| j.ball_in_front).collect();
        all.extend(chain::order(&whole, creature, &balls));
        all.push(stock::zero(&whole));
        all
    }
}

/// Number of the section, or of the one in front of a joint, whose entry holds a place.
fn section_of(resolved: &Resolved, place: &Place) -> Option<usize> {
    let within = |entry: &Place| {
        let rest = place.path.strip_prefix(&entry.path);
        let rest = rest.filter(|_| !entry.path.is_empty() && place.file == entry.file);
        rest.is_some_and(|rest| rest.is_empty() || rest.starts_with(['.', '[']))
    };
    let section = resolved.sources.iter().position(|s| within(&s.place));
    let joints = resolved.joints.iter();
    // The entry `joint` is that of all joints.
    let mut own = joints.filter(|j| j.place.path.starts_with("joints[") && within(&j.place));
    section
        .or_else(|| own.next().map(|j| j.after))
        .map(|k| k + 1)
}

/// Place of a joint's centre along the straight creature.
fn centre(resolved: &Resolved, link: &ChainJoint, joint: &Joint) -> f64 {
    let sections = &resolved.creature.sections;
    if link.ball_in_front {
        sections[link.after + 1].x + joint.depth()
    } else {
        let section = &sections[link.after];
        section.x + section.form.length - joint.depth()
    }
}
