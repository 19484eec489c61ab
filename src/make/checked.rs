//! All checks of a creature: parts, joints, chain. Equal parts and equal joints are checked once.

use rayon::prelude::*;

use super::Settings;
use super::model::Bodies;
use super::parts::parts;
use super::refused::named;
use super::work::Work;
use crate::chain::joint::Joint;
use crate::chain::{ChainJoint, Resolved};
use crate::check::collide::{Body, Shift, Swing, swing_all};
use crate::check::finding::{Finding, Subject, sort};
use crate::check::joint::Collided;
use crate::check::{accept::accept, chain, joint, stock, undercut, wall};
use crate::diagnostic::{Diagnostic, Place};
use crate::make::PartPlan;
use crate::mesh::Mesh;

/// Directions in which a joint is bent.
const DIRECTIONS: usize = 24;
/// How far beyond its closed form a joint is bent, radians: contacts beyond are of no use.
const BEYOND: f64 = 0.1;

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

/// What the checks of a distinct part found, and its mesh for those of its joints.
pub(super) struct Checked {
    pub findings: Vec<Finding>,
    /// Nothing when the part was refused.
    mesh: Option<Mesh>,
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
    let work = Work::new(resolved, settings, &plans, step);
    let groups = work.groups.par_iter();
    let checked = groups.map(|group| match work.built(group[0]) {
        Ok(bodies) => work.check_part(group[0], bodies),
        Err(refused) => {
            work.tell();
            let subject = work.subject(group[0]);
            let told = refused.sorted().into_iter();
            Checked {
                findings: told.map(|m| Finding::of(m, &subject)).collect(),
                mesh: None,
            }
        }
    });
    work.findings(checked.collect(), warnings)
}

impl Work<'_> {
    /// Checks a distinct part by itself.
    pub fn check_part(&self, first: &PartPlan, bodies: Bodies) -> Checked {
        let subject = self.subject(first);
        let thin = bodies.thin.iter().map(|(_, r)| {
            let message = r.diagnostic(subject.place.clone(), subject.unit);
            Finding::of(named(message, subject.name), &subject).at(r.at)
        });
        let mut findings: Vec<Finding> = thin.collect();
        let finished = bodies.finished;
        findings.extend(undercut::findings(&subject, &finished.half, &finished.mesh));
        let part = wall::Part {
            body: &finished.half,
            mesh: &finished.mesh,
            forms: &self.forms(first),
            walls: &self.resolved.walls,
            bench_only: self.resolved.creature.bench_only,
            told: &bodies.thin,
        };
        findings.extend(wall::findings(&subject, &part));
        self.tell();
        Checked {
            findings,
            mesh: Some(finished.mesh),
        }
    }

    /// All findings: those of the parts, in the order of the groups, of the joints and of the whole.
    pub fn findings(&self, parts: Vec<Checked>, warnings: &[Diagnostic]) -> Vec<Finding> {
        let (found, meshes): (Vec<_>, Vec<_>) =
            parts.into_iter().map(|p| (p.findings, p.mesh)).unzip();
        let mut findings: Vec<Finding> = found.into_iter().flatten().collect();
        let solids = Solids {
            work: self,
            meshes: &meshes,
        };
        let collided: Vec<Option<Collided>> = self
            .joints
            .par_iter()
            .map(|same| {
                let found = solids.collide(same[0]);
                self.tell();
                found
            })
            .collect();
        for (same, found) in self.joints.iter().zip(&collided) {
            for &k in same {
                findings.extend(self.joint(k, found.as_ref()));
            }
        }
        findings.extend(self.creature(warnings));
        let Resolved {
            creature, accepted, ..
        } = self.resolved;
        accept(&mut findings, accepted, creature, self.settings.unit);
        sort(&mut findings);
        findings
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

/// The finished solids of a creature as meshes, one for each group.
struct Solids<'a> {
    work: &'a Work<'a>,
    meshes: &'a [Option<Mesh>],
}

impl Solids<'_> {
    /// A section's parts where they lie in the straight creature, and their largest deviation;
    /// nothing when one is missing.
    fn section(&self, index: usize) -> Option<(Body, f64)> {
        let (mut positions, mut triangles, mut deviation) = (Vec::new(), Vec::new(), 0.0_f64);
        for (group, mesh) in self.work.groups.iter().zip(self.meshes) {
            for plan in group.iter().filter(|p| p.section == index) {
                let mesh = mesh.as_ref()?;
                let first = positions.len() as u32;
                positions.extend(mesh.positions.iter().map(|&p| plan.placement.apply(p)));
                triangles.extend(mesh.triangles.iter().map(|t| t.map(|i| i + first)));
                deviation = deviation.max(mesh.deviation);
            }
        }
        Some((Body::new(&positions, &triangles).ok()?, deviation))
    }

    /// Bends a joint until the solids of its two sections touch.
    fn collide(&self, k: usize) -> Option<Collided> {
        let link = &self.work.resolved.joints[k];
        let own = &link.joint;
        let (front, rear) = (link.after, link.after + 1);
        let (ball, socket) = if link.ball_in_front {
            (front, rear)
        } else {
            (rear, front)
        };
        let ((moving, a), (still, b)) = (self.section(ball)?, self.section(socket)?);
        let deviation = a.max(b);
        let push = (own.clearance - 2.0 * deviation).max(0.0);
        let swing = |aside| Swing {
            centre: [centre(self.work.resolved, link, own), 0.0, 0.0],
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
