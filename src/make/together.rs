//! The files that hold all parts at once: a STEP assembly and a 3MF. Distinct solids reach them in
//! their order, whichever thread builds them.

use std::collections::BTreeMap;
use std::io;
use std::sync::{Mutex, PoisonError};

use super::layout::rows;
use super::model::{Model, positions};
use super::parts::PartPlan;
use super::{MakeError, Settings};
use crate::brep::pose::Pose;
use crate::chain::Resolved;
use crate::check::cautions::CAUTIONS;
use crate::export::folder::{FileSet, Streamed};
use crate::export::manifest::{FileEntry, Part};
use crate::export::step::{Assembly, Colour, Fragment, Placed, Seed};
use crate::export::threemf::{About, Item, ThreeMf, mesh_text};
use crate::mesh::Mesh;

/// Name of the STEP assembly. Parts begin with their number, so none has it.
pub const ASSEMBLY: &str = "creature.step";
/// Name of the 3MF file.
pub const THREE_MF: &str = "creature.3mf";

/// The second of the two tones that tell neighbouring sections apart; the first is bare wood.
const SECOND_TONE: Colour = Colour([0.70, 0.50, 0.31]);

/// Both files as they grow.
pub(super) struct Together<'a> {
    seed: Seed,
    files: Mutex<Files<'a>>,
}

struct Files<'a> {
    assembly: Assembly<Streamed<'a>>,
    three_mf: ThreeMf<Streamed<'a>>,
    /// Solids that wait for earlier ones.
    waiting: BTreeMap<usize, Solid>,
    next: usize,
}

struct Solid {
    name: String,
    fragment: Fragment,
    mesh: String,
}

impl<'a> Together<'a> {
    /// Opens both files.
    pub(super) fn begin(
        set: &'a FileSet<'a>,
        resolved: &Resolved,
        settings: &Settings,
    ) -> Result<Self, MakeError> {
        let (creature, terms) = (&resolved.creature, &resolved.terms);
        let about = About {
            title: creature.name.clone(),
            material: creature.species.clone(),
            description: CAUTIONS.map(|c| c.text).join(" "),
            author: terms.author.clone(),
            licence: terms.licence.clone(),
            bench_only: creature.bench_only,
        };
        let (step, mesh) = (set.stream(ASSEMBLY)?, set.stream(THREE_MF)?);
        let (name, bench) = (&creature.name, creature.bench_only);
        let assembly = Assembly::begin(step, name, &settings.stamp, bench)
            .map_err(|cause| failed(set, ASSEMBLY, cause))?;
        let three_mf =
            ThreeMf::begin(mesh, &about).map_err(|cause| failed(set, THREE_MF, cause))?;
        Ok(Together {
            seed: assembly.seed(),
            files: Mutex::new(Files {
                assembly,
                three_mf,
                waiting: BTreeMap::new(),
                next: 0,
            }),
        })
    }

    /// The records of a finished solid in the assembly.
    pub(super) fn fragment(&self, first: &PartPlan, model: &Model) -> Fragment {
        let colour = [SECOND_TONE, Colour::WOOD][first.number % 2];
        self.seed.fragment(&first.name, &model.half, colour)
    }

    /// Takes the finished solid number `index`, in any order.
    pub(super) fn take(
        &self,
        set: &FileSet<'_>,
        index: usize,
        first: &PartPlan,
        (fragment, mesh): (Fragment, &Mesh),
    ) -> Result<(), MakeError> {
        let solid = Solid {
            name: first.name.clone(),
            fragment,
            mesh: mesh_text(&positions(mesh, Pose::NONE), &mesh.triangles),
        };
        let mut files = self.files.lock().unwrap_or_else(PoisonError::into_inner);
        files.waiting.insert(index, solid);
        files.write_next(set)
    }

    /// Places all parts and closes both files.
    pub(super) fn end(
        self,
        set: &FileSet<'_>,
        name: &str,
        parts: &[(usize, Pose, &Part)],
    ) -> Result<[FileEntry; 2], MakeError> {
        let files = self.files.into_inner();
        let files = files.unwrap_or_else(PoisonError::into_inner);
        let placed: Vec<Placed> = parts
            .iter()
            .map(|&(solid, pose, part)| Placed {
                name: part.name.clone(),
                solid,
                pose,
            })
            .collect();
        let boxes: Vec<_> = parts.iter().map(|p| p.2.bounding_box).collect();
        let items: Vec<Item> = parts
            .iter()
            .zip(rows(&boxes))
            .map(|(&(mesh, _, part), shift)| Item {
                name: part.name.clone(),
                mesh,
                shift,
            })
            .collect();
        let step = files.assembly.end(name, &placed);
        let step = step.map_err(|cause| failed(set, ASSEMBLY, cause))?;
        let mesh = files.three_mf.end(&items);
        let mesh = mesh.map_err(|cause| failed(set, THREE_MF, cause))?;
        Ok([step.finish()?, mesh.finish()?])
    }
}

impl Files<'_> {
    fn write_next(&mut self, set: &FileSet<'_>) -> Result<(), MakeError> {
        while let Some(solid) = self.waiting.remove(&self.next) {
            self.next += 1;
            let written = self.assembly.add(&solid.fragment);
            written.map_err(|cause| failed(set, ASSEMBLY, cause))?;
            let written = self.three_mf.add(&solid.name, &solid.mesh);
            written.map_err(|cause| failed(set, THREE_MF, cause))?;
        }
        Ok(())
    }
}

fn failed(set: &FileSet<'_>, name: &str, cause: io::Error) -> MakeError {
    MakeError::Folder(set.cannot_write(name, cause))
}
