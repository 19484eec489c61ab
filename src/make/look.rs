//! The creature to look at: coarse models of its parts, and their picture.

use rayon::prelude::*;

use super::model::Bodies;
use super::parts::parts;
use super::work::Work;
use super::{CLEARANCE_PART, Settings, tightest};
use crate::chain::Resolved;
use crate::diagnostic::Diagnostics;
use crate::picture::{Picture, Piece, Size, View, Wood, picture};

/// Deviation of meshes that are only looked at, mm (habit).
const COARSE: f64 = 0.05;

/// Draws the finished creature, straight; the deviation of `settings` does not matter.
///
/// # Errors
/// Why a part was refused.
pub fn look(
    resolved: &Resolved,
    settings: &Settings,
    view: &View,
    size: Size,
) -> Result<Picture, Diagnostics> {
    let coarse = coarse(resolved, settings);
    let plans = parts(resolved, &coarse);
    let work = Work::new(resolved, &coarse, &plans, &|_, _| {});
    let bodies = work.all_built()?;
    Ok(work.picture(&bodies, view, size))
}

/// The same settings, for meshes that are only looked at.
pub(super) fn coarse(resolved: &Resolved, settings: &Settings) -> Settings {
    Settings {
        deviation: COARSE.min(CLEARANCE_PART * tightest(resolved)),
        ..settings.clone()
    }
}

impl Work<'_> {
    /// The bodies of every distinct part.
    ///
    /// # Errors
    /// Why a part was refused.
    pub(super) fn all_built(&self) -> Result<Vec<Bodies>, Diagnostics> {
        let groups = self.groups.par_iter();
        groups.map(|group| self.built(group[0])).collect()
    }

    /// The finished creature, straight.
    pub(super) fn picture(&self, bodies: &[Bodies], view: &View, size: Size) -> Picture {
        let wood = Wood::of_species(&self.resolved.creature.species);
        let with_plans = self.groups.iter().zip(bodies);
        let pieces: Vec<Piece> = with_plans
            .flat_map(|(group, bodies)| group.iter().map(move |plan| (plan, &bodies.finished)))
            .map(|(plan, model)| Piece {
                mesh: &model.mesh,
                kinds: &model.half.kinds,
                pose: plan.placement.matrix(),
                wood,
                shares: None,
            })
            .collect();
        picture(&pieces, view, size)
    }
}
