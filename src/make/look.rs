//! The creature as a picture.

use rayon::prelude::*;

use super::parts::{PartPlan, built, parts};
use super::refused::Refused;
use super::{CLEARANCE_PART, MakeError, Settings, groups, tightest};
use crate::chain::Resolved;
use crate::picture::{Picture, Piece, Size, View, Wood, picture};

/// Deviation of meshes that are only looked at, mm (habit).
const COARSE: f64 = 0.05;

/// Draws the finished creature, straight.
///
/// # Errors
/// [`MakeError::Design`].
pub fn look(
    resolved: &Resolved,
    settings: &Settings,
    view: &View,
    size: Size,
) -> Result<Picture, MakeError> {
    let plans = parts(resolved, settings);
    let groups = groups(&plans);
    let deviation = COARSE.min(CLEARANCE_PART * tightest(resolved));
    let models: Vec<_> = groups
        .par_iter()
        .map(|group| {
            let built = built(resolved, group[0], deviation);
            built
                .map(|b| b.finished)
                .map_err(|r| refuse(resolved, settings, group[0], r))
        })
        .collect::<Result<_, _>>()?;
    let wood = Wood::of_species(&resolved.creature.species);
    let with_plans = groups.iter().zip(&models);
    let mut pieces: Vec<(usize, Piece)> = with_plans
        .flat_map(|(group, model)| group.iter().map(move |plan| (plan, model)))
        .map(|(plan, model)| {
            let piece = Piece {
                mesh: &model.mesh,
                kinds: &model.half.kinds,
                pose: plan.placement.matrix(),
                wood,
            };
            (plan.number, piece)
        })
        .collect();
    pieces.sort_by_key(|p| p.0);
    let pieces: Vec<Piece> = pieces.into_iter().map(|p| p.1).collect();
    Ok(picture(&pieces, view, size))
}

fn refuse(
    resolved: &Resolved,
    settings: &Settings,
    plan: &PartPlan,
    refused: Refused,
) -> MakeError {
    let place = &resolved.sources[plan.section].place;
    MakeError::Design(refused.diagnostics(place, &plan.name, settings.unit))
}
