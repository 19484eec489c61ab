//! The files of all parts: each distinct one is built and checked, or taken over from the former set.

use rayon::prelude::*;

use super::MakeError;
use super::checked::Checked;
use super::model::{Bodies, Model};
use super::parts::{Body, Numbers, PartPlan, held};
use super::store::Solid;
use super::together::Together;
use super::work::Work;
use crate::brep::set_up::SetUp;
use crate::chain::Resolved;
use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::export::drawing::{Drawing, Title};
use crate::export::folder::FileSet;
use crate::export::manifest::{FileEntry, Part};
use crate::export::step::{Fragment, Plain};

/// Parts of one solid as written, and what its checks say.
pub(super) type Written = (Vec<Part>, Checked);

/// What the manifest says of equal parts, but what differs from creature to creature.
#[derive(Debug, Clone)]
pub(super) struct Listed {
    pub finished: Numbers,
    /// Nothing without tabs.
    pub held: Option<Numbers>,
    /// Files of each part: of the finished body with the drawings, and of the held one.
    pub files: Vec<[Vec<FileEntry>; 2]>,
}

impl Listed {
    /// The entries of the manifest.
    fn parts(&self, resolved: &Resolved, group: &[&PartPlan]) -> Vec<Part> {
        let each = group.iter().zip(&self.files);
        each.map(|(plan, [finished, with_tabs])| {
            let mut part = plan.record(resolved, &self.finished, finished.clone());
            let tabs = self.held.as_ref();
            part.held = tabs.map(|numbers| held(numbers, with_tabs.clone()));
            part
        })
        .collect()
    }
}

/// What the tasks of a run share.
#[derive(Clone, Copy)]
pub(super) struct Run<'a, 'set> {
    pub work: &'a Work<'a>,
    pub set: &'a FileSet<'a>,
    pub together: &'a Together<'set>,
}

impl Run<'_, '_> {
    /// Writes all groups, taken in their order so that the files of all parts need not wait long;
    /// results in their order.
    pub fn all(&self) -> Result<Vec<Written>, MakeError> {
        let groups = self.work.groups.iter().enumerate();
        let mut results: Vec<_> = groups
            .par_bridge()
            .map(|(index, group)| (index, self.group(index, group)))
            .collect();
        results.sort_by_key(|r| r.0);
        let (mut written, mut faults) = (Vec::new(), Diagnostics::new());
        for (_, result) in results {
            match result {
                Ok(one) => written.push(one),
                Err(MakeError::Design(found)) => faults.append(found),
                Err(other) => return Err(other),
            }
        }
        if !faults.has_errors() {
            return Ok(written);
        }
        let thin = written.into_iter().flat_map(|(_, part)| part.findings);
        faults.extend(thin.map(|f| f.message));
        Err(MakeError::Design(faults))
    }

    fn group(&self, index: usize, group: &[&PartPlan]) -> Result<Written, MakeError> {
        let resolved = self.work.resolved;
        let Some(store) = self.work.store else {
            let (listed, _, checked) = self.build(index, group)?;
            return Ok((listed.parts(resolved, group), checked));
        };
        let key = self.work.part_key(group);
        if let Some(own) = store.part(&key)
            && let Some(written) = self.take_over(index, group, own)?
        {
            store.count(group.len(), false);
            return Ok(written);
        }
        let (listed, fragment, checked) = self.build(index, group)?;
        store.count(group.len(), true);
        let parts = listed.parts(resolved, group);
        let found = self.work.without_place(group[0], &checked.findings);
        if let (Some(found), Some(measured)) = (found, &checked.measured) {
            let own = Solid {
                listed,
                fragment,
                found,
                measured: measured.clone(),
            };
            store.keep_part(&key, &own);
        }
        Ok((parts, checked))
    }

    /// Takes over what a record says of equal parts; nothing when one of their files is not in the
    /// folder as the record has it.
    fn take_over(
        &self,
        index: usize,
        group: &[&PartPlan],
        mut own: Solid,
    ) -> Result<Option<Written>, MakeError> {
        let files = own.listed.files.iter().flatten().flatten();
        let files: Vec<FileEntry> = files.cloned().collect();
        let Some(fragment) = Fragment::of_plain(std::mem::take(&mut own.fragment)) else {
            return Ok(None);
        };
        if !self.set.keep(&files)? {
            return Ok(None);
        }
        let solid = (fragment, &own.measured.mesh);
        self.together.take(self.set, index, group[0], solid)?;
        self.work.tell();
        let (listed, checked) = own.checked(self.work.subject(group[0]).place);
        Ok(Some((listed.parts(self.work.resolved, group), checked)))
    }

    /// Builds, writes and checks equal parts; with the records of their solid in the assembly.
    fn build(
        &self,
        index: usize,
        group: &[&PartPlan],
    ) -> Result<(Listed, Plain, Checked), MakeError> {
        let bodies = self.work.built(group[0]).map_err(MakeError::Design)?;
        let fragment = self.together.fragment(group[0], &bodies.finished);
        let plain = match self.work.store {
            Some(_) => fragment.plain(),
            None => Plain::default(),
        };
        let solid = (fragment, &bodies.finished.mesh);
        self.together.take(self.set, index, group[0], solid)?;
        let files: Result<Vec<_>, MakeError> =
            group.iter().map(|plan| self.files(plan, &bodies)).collect();
        let listed = Listed {
            finished: Numbers::of(&bodies.finished),
            held: bodies.held.as_ref().map(Numbers::of),
            files: files?,
        };
        Ok((listed, plain, self.work.check_part(group, bodies)))
    }

    /// Writes the files of a part: of the finished body with the drawings, and of the held one.
    fn files(&self, plan: &PartPlan, bodies: &Bodies) -> Result<[Vec<FileEntry>; 2], MakeError> {
        let mut finished = self.put(plan, Body::Finished, &bodies.finished)?;
        finished.extend(self.draw(plan, bodies)?);
        let held = match &bodies.held {
            Some(model) => self.put(plan, Body::Held, model)?,
            None => Vec::new(),
        };
        Ok([finished, held])
    }

    /// Writes the drawings of a part.
    fn draw(&self, plan: &PartPlan, bodies: &Bodies) -> Result<Vec<FileEntry>, MakeError> {
        let title = Title {
            part: plan.name.clone(),
            bench_only: self.work.resolved.creature.bench_only,
        };
        let held = bodies.held.as_ref().map(|model| &model.half);
        let mut files = Vec::new();
        for setup in SetUp::BOTH {
            let drawing = Drawing::of(&bodies.finished.half, held, setup);
            let [dxf, svg] = plan.drawings(setup);
            files.push(self.set.put(&dxf, &drawing.dxf(&title))?);
            files.push(self.set.put(&svg, &drawing.svg(&title))?);
        }
        Ok(files)
    }

    /// Writes the files of one body.
    fn put(&self, plan: &PartPlan, body: Body, model: &Model) -> Result<Vec<FileEntry>, MakeError> {
        let bench = self.work.resolved.creature.bench_only;
        let bytes = plan.bytes(body, model, self.work.settings, bench);
        let (stl, step) = bytes.map_err(|cause| {
            let place = self.work.resolved.sources[plan.section].place.clone();
            let found = format!("{}: {cause}", plan.name);
            MakeError::Design(Diagnostics::from(Diagnostic::error(place, found)))
        })?;
        let files = [
            self.set.put(&plan.stl(body), &stl)?,
            self.set.put(&plan.step(body), &step)?,
        ];
        Ok(files.to_vec())
    }
}
