//! Checks of the whole creature: boards, chain, set-ups, balance, cautions.

use super::bent::centre;
use super::checked::Measured;
use super::work::Work;
use crate::chain::Resolved;
use crate::check::balance::{self, Bend};
use crate::check::finding::{Finding, Subject};
use crate::check::{cautions, chain, measured as record, small, stock};
use crate::diagnostic::{Diagnostic, Place};

impl Work<'_> {
    /// What concerns the whole: boards, chain, set-ups.
    pub fn creature(&self, warnings: &[Diagnostic], measured: &[Option<Measured>]) -> Vec<Finding> {
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
        if let Some(weighed) = self.weighed(measured) {
            let corners: Vec<_> = weighed.iter().flat_map(|w| w.corners.clone()).collect();
            all.push(small::whole(&whole, &corners));
            let bends = joints
                .iter()
                .map(|j| (centre(self.resolved, j, &j.joint), j.limits.usable()));
            let bends: Vec<Bend> = bends.collect();
            let wood = (creature.species.as_str(), creature.density);
            all.extend(balance::findings(&whole, &weighed, &bends, wood));
        }
        let mut balls: Vec<f64> = joints.iter().map(|j| j.joint.ball).collect();
        balls.sort_by(f64::total_cmp);
        all.extend(balls.first().map(|&radius| small::ball(&whole, radius)));
        let swings: Vec<f64> = joints.iter().map(|j| j.limits.usable()).collect();
        all.extend(chain::ring(&whole, creature, &swings));
        let balls: Vec<bool> = joints.iter().map(|j| j.ball_in_front).collect();
        all.extend(chain::order(&whole, creature, &balls));
        all.push(stock::zero(&whole));
        if !creature.bench_only && !joints.is_empty() {
            all.push(record::finding(&whole, &self.resolved.fits.making.measured));
        }
        if !self.settings.leftover {
            let words = "what the cutters leave on each part was not measured, only its closed forms were \
                         looked at: `limberwood check` measures it";
            all.push(whole.notes("reach", words.to_owned()));
        }
        all.extend(cautions::findings(&whole, creature));
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
    let mut sources = resolved.sources.iter();
    let section = sources.position(|s| within(&s.place) || s.entries.iter().any(within));
    let joints = resolved.joints.iter();
    // The entry `joint` is that of all joints.
    let alone = |entry: &Place| entry.path.starts_with("joints[") && within(entry);
    let mut own = joints.filter(|j| alone(&j.place) || j.entries.iter().any(alone));
    section
        .or_else(|| own.next().map(|j| j.after))
        .map(|k| k + 1)
}
