//! The creature as a picture.

use rayon::prelude::*;

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
    let coarse = Settings {
        deviation: COARSE.min(CLEARANCE_PART * tightest(resolved)),
        ..settings.clone()
    };
    let plans = parts(resolved, &coarse);
    let work = Work::new(resolved, &coarse, &plans, &|_, _| {});
    let models: Vec<_> = work
        .groups
        .par_iter()
        .map(|group| work.built(group[0]).map(|bodies| bodies.finished))
        .collect::<Result<_, _>>()?;
    let wood = Wood::of_species(&resolved.creature.species);
    let with_plans = work.groups.iter().zip(&models);
    let pieces: Vec<Piece> = with_plans
        .flat_map(|(group, model)| group.iter().map(move |plan| (plan, model)))
        .map(|(plan, model)| Piece {
            mesh: &model.mesh,
            kinds: &model.half.kinds,
            pose: plan.placement.matrix(),
            wood,
        })
        .collect();
    Ok(picture(&pieces, view, size))
}
