//! All checks of a creature: parts, joints, chain. Equal parts and equal joints are checked once.

use std::convert::Infallible;
use std::sync::atomic::AtomicBool;

use rayon::prelude::*;

use super::Settings;
use super::bent::Solids;
use super::kept::Kept;
use super::model::Bodies;
use super::parts::parts;
use super::refused::named;
use super::store::Store;
use super::work::Work;
use crate::chain::strengths::Strengths;
use crate::chain::{ChainJoint, Resolved};
use crate::check::finding::{Finding, Subject, sort};
use crate::check::joint::Collided;
use crate::check::small::Corners;
use crate::check::strength::{self, GlueFace};
use crate::check::{accept::accept, budget, edges, gap, joint, undercut, wall};
use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::make::PartPlan;
use crate::mesh::Mesh;

/// How thick the wood of each distinct part is, at each corner of its finished mesh: the name of
/// the first of equal parts, and its map; parts that are refused are left out. Walls up to four of
/// the species' walls beside a socket are told apart.
pub fn thickness(resolved: &Resolved, settings: &Settings) -> Vec<(String, wall::Thickness)> {
    let plans = parts(resolved, settings);
    let work = Work::new(resolved, settings, &plans, &|_, _| {});
    let each = work.groups.par_iter().filter_map(|group| {
        let body = work.built(group[0]).ok()?.finished;
        let map = wall::Thickness::of(&body.half, &body.mesh, resolved.walls.skin);
        Some((group[0].name.clone(), map))
    });
    each.collect()
}

/// What the checks of a distinct part found, and what those of joints and sections need of it.
#[derive(Debug, Clone, Default)]
pub(super) struct Checked {
    pub findings: Vec<Finding>,
    /// Nothing when the part was refused.
    pub measured: Option<Measured>,
}

/// What is kept of a distinct finished part.
#[derive(Debug, Clone)]
pub(super) struct Measured {
    pub mesh: Mesh,
    /// Nothing for a whole section.
    pub glue: Option<GlueFace>,
    /// Corners that can stick out of a gauge.
    pub corners: Corners,
    /// Volume, mm3, and first moments, mm4.
    pub volume: f64,
    pub moments: [f64; 3],
}

/// Checks a creature; `warnings` of reading and resolving are findings too. `step` is told after
/// each distinct part and joint.
pub fn check(
    resolved: &Resolved,
    settings: &Settings,
    warnings: &[Diagnostic],
    step: &(dyn Fn(usize, usize) + Sync),
) -> Vec<Finding> {
    let plans = parts(resolved, settings);
    Work::new(resolved, settings, &plans, step).check(warnings)
}

/// The same with what earlier runs of a design found, in memory or on disk; nothing when `stop` is set
/// before it is done.
pub fn check_again(
    resolved: &Resolved,
    settings: &Settings,
    warnings: &[Diagnostic],
    (kept, store): (Option<&Kept>, Option<&Store<'_>>),
    stop: &AtomicBool,
) -> Option<Vec<Finding>> {
    let plans = parts(resolved, settings);
    let mut work = Work::new(resolved, settings, &plans, &|_, _| {});
    (work.kept, work.store, work.stop) = (kept, store, Some(stop));
    let found = work.check(warnings);
    (!work.stopped()).then_some(found)
}

impl Work<'_> {
    fn check(&self, warnings: &[Diagnostic]) -> Vec<Finding> {
        let groups = self.groups.par_iter();
        let checked = groups.map(|group| {
            if self.stopped() {
                return Checked::default();
            }
            if let Some(solid) = self.store.and_then(|s| s.part(&self.part_key(group))) {
                self.tell();
                return solid.checked(self.subject(group[0]).place).1;
            }
            let own = || self.built(group[0]).map(|b| self.check_part(group, b));
            match self.keep(|k| &k.checked, || self.checked_key(group), own) {
                Ok(checked) => checked,
                Err(refused) => self.refused(group[0], refused),
            }
        });
        self.findings(checked.collect(), warnings)
    }

    /// A part that was refused.
    fn refused(&self, plan: &PartPlan, refused: Diagnostics) -> Checked {
        self.tell();
        let subject = self.subject(plan);
        let told = refused.sorted().into_iter();
        Checked {
            findings: told.map(|m| Finding::of(m, &subject)).collect(),
            measured: None,
        }
    }

    /// Checks a distinct part by itself.
    pub fn check_part(&self, group: &[&PartPlan], bodies: Bodies) -> Checked {
        let subject = self.subject(group[0]);
        let thin = bodies.thin.iter().map(|(_, r)| {
            let message = r.diagnostic(subject.place.clone(), subject.unit);
            Finding::of(named(message, subject.name), &subject).at(r.at)
        });
        let mut findings: Vec<Finding> = thin.collect();
        let finished = &bodies.finished;
        findings.extend(undercut::findings(&subject, &finished.half, &finished.mesh));
        let sharp = edges::findings(&subject, &finished.mesh, &finished.half.kinds);
        findings.extend(self.advice(sharp.into_iter().collect()));
        let body = Some((&finished.half, &finished.mesh));
        findings.extend(self.reach(group, &bodies.ligaments, body));
        let part = wall::Part {
            body: &finished.half,
            mesh: &finished.mesh,
            forms: &self.forms(group[0]),
            walls: &self.resolved.walls,
            bench_only: self.resolved.creature.bench_only,
            told: &bodies.thin,
        };
        findings.extend(wall::findings(&subject, &part));
        self.tell();
        let finished = bodies.finished;
        Checked {
            findings,
            measured: Some(Measured {
                glue: GlueFace::of(&finished.half),
                corners: Corners::of(&finished.half, &finished.mesh),
                volume: finished.volume,
                moments: finished.moments,
                mesh: finished.mesh,
            }),
        }
    }

    /// All findings: those of the parts, in the order of the groups, of the joints and of the whole.
    pub fn findings(&self, parts: Vec<Checked>, warnings: &[Diagnostic]) -> Vec<Finding> {
        let (found, measured): (Vec<_>, Vec<_>) =
            parts.into_iter().map(|p| (p.findings, p.measured)).unzip();
        let mut findings: Vec<Finding> = found.into_iter().flatten().collect();
        let solids = Solids {
            work: self,
            measured: &measured,
        };
        let collided: Vec<Option<Collided>> = self
            .joints
            .par_iter()
            .map(|same| {
                if self.stopped() {
                    return None;
                }
                let touch = || Ok::<_, Infallible>(self.collided(&solids, same[0]));
                let key = || self.collided_key(same[0]);
                let Ok(found) = self.keep(|k| &k.collided, key, touch);
                self.tell();
                found
            })
            .collect();
        for (same, found) in self.joints.iter().zip(&collided) {
            for &k in same {
                findings.extend(self.joint(k, found.as_ref()));
            }
        }
        findings.extend(self.sections(&measured));
        findings.extend(self.creature(warnings, &measured));
        let Resolved {
            creature, accepted, ..
        } = self.resolved;
        accept(&mut findings, accepted, creature, self.settings.unit);
        sort(&mut findings);
        findings
    }

    /// The collision of a joint, from the records on disk if it is there.
    fn collided(&self, solids: &Solids<'_>, k: usize) -> Option<Collided> {
        let touch = || solids.collide(k);
        match self.store {
            None => touch(),
            Some(store) => store.collided(self.joint_key(k), &self.resolved.joints[k], touch),
        }
    }

    /// A joint by closed forms, and by its collision where that was looked for.
    pub fn joint(&self, k: usize, collided: Option<&Collided>) -> Vec<Finding> {
        let link = &self.resolved.joints[k];
        let sections = &self.resolved.creature.sections;
        let name = joint_name(&sections[link.after].name);
        let subject = Subject {
            name: &name,
            section: Some(sections[link.after].number),
            place: &link.place,
            unit: self.settings.unit,
        };
        let mut all = joint::findings(&subject, &link.joint, &link.limits, collided);
        let wood = Strengths::of(&self.resolved.creature.species);
        let making = &self.resolved.fits.making;
        let (joint, limits) = (&link.joint, &link.limits);
        let mut more = gap::findings(&subject, joint, limits, link.reach);
        more.extend(budget::findings(&subject, joint, limits, making));
        more.push(strength::joint(
            &subject,
            joint,
            room(self.resolved, link),
            &wood,
        ));
        all.extend(self.advice(more));
        all
    }

    /// Findings about wood that is cut: of a bench body, which is not, warnings are notes.
    pub fn advice(&self, findings: Vec<Finding>) -> Vec<Finding> {
        let bench = self.resolved.creature.bench_only;
        let all = findings.into_iter();
        all.map(|f| if bench { f.softened() } else { f }).collect()
    }
}

/// What findings call the joint behind a section.
pub(super) fn joint_name(section: &str) -> String {
    format!("joint after `{section}`")
}

/// How far the end face with a joint's socket reaches from the axis at least.
fn room(resolved: &Resolved, link: &ChainJoint) -> f64 {
    let sections = &resolved.creature.sections;
    let station = if link.ball_in_front {
        sections[link.after + 1].form.outline.first()
    } else {
        sections[link.after].form.outline.last()
    };
    station.map_or(0.0, |s| s.half_width.min(s.above).min(s.below))
}
