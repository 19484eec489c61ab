//! Reach of single features by closed form. Lengths mm, angles radians.
//!
//! Each formula stands with its function; all are plain geometry, derived in the tests from the
//! cutter's profile.

use super::cutter::Profile;
use super::tool::Tool;
use crate::chain::joint::Stem;

/// Rounding noise of a distance, mm.
const NOISE: f64 = 1e-9;

/// What a cutter with this taper (per side) leaves on a ball or socket of radius R at the split
/// plane: the cone touches the sphere where the sphere is as steep as the cone and leaves
/// R (1 / cos a - 1) at the equator.
pub fn taper_on_sphere(radius: f64, taper: f64) -> f64 {
    radius * (1.0 / taper.cos() - 1.0)
}

/// What is left at the foot of a wall of this height and draft (from upright), measured level:
/// H (tan a - tan d) when the wall is steeper than the cutter's taper a, else 0 (fact 3.8).
pub fn taper_on_wall(height: f64, draft: f64, taper: f64) -> f64 {
    (height * (taper.tan() - draft.tan())).max(0.0)
}

/// What a ball leaves at the foot of an upright wall on a level floor, from the corner to the
/// ball's surface: (sqrt 2 - 1) r.
pub fn left_in_corner(tip: f64) -> f64 {
    (std::f64::consts::SQRT_2 - 1.0) * tip
}

/// Room that a cutter of this radius at the split plane has along the chain between a flat rear
/// face and the neck's fillet: how far the face stands from the place where the cutter touches
/// ball (or fillet) and neck at once, less the radius. `reach` is from the face's datum to the
/// ball's centre. A cutter wider than the fillet touches ball and neck as a fillet of its own
/// radius would.
pub fn room_behind(stem: &Stem, reach: f64, radius: f64) -> f64 {
    let touching = Stem {
        fillet: stem.fillet.max(radius),
        ..*stem
    };
    reach - touching.fillet_centre() - radius
}

/// How far a cutter must run below the foot of a wall of this draft to cut the wall to its foot:
/// r (1 - sin d) for a ball of tip radius r (fact 3.7), 0 for a flat end. A wall steeper than the
/// taper is touched by the cone: r (1 - sin a).
pub fn overrun(cutter: &Profile, draft: f64) -> f64 {
    cutter.tip() * (1.0 - draft.max(cutter.taper()).sin())
}

/// The least room beside the axis that a wall leaves over the tip: how far from the axis it
/// stands, from some height over the tip to another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beside {
    /// Least distance from the cutter's axis.
    pub distance: f64,
    /// Height of its top over the tip.
    pub top: f64,
}

/// What of a tool runs into the wood beside it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Obstacle {
    /// The wood is deeper than the edges are long, and nearer than they are wide.
    Edges,
    /// The shank.
    Shank,
    /// The holder.
    Holder,
}

/// Whether a tool gets to a depth past the walls beside its axis: what stands higher than the
/// edges are long must keep off the shank, what stands higher than the holder's lower end off the
/// holder. None when it gets there.
pub fn reaches(tool: &Tool, walls: &[Beside]) -> Option<Obstacle> {
    let holder = |w: &Beside| {
        let held = tool.holder?;
        (w.top > held.over_tip && w.distance < held.radius).then_some(Obstacle::Holder)
    };
    let shank = |w: &Beside| {
        let high = w.top > tool.cutting_length && w.distance + NOISE < tool.shank_radius;
        high.then_some(Obstacle::Shank)
    };
    let edges = |w: &Beside| {
        let reach = w.top.min(tool.cutting_length);
        let near = w.distance + NOISE < tool.widest_to(reach);
        near.then_some(Obstacle::Edges)
    };
    walls
        .iter()
        .find_map(|w| holder(w).or_else(|| shank(w)).or_else(|| edges(w)))
}

#[cfg(test)]
#[path = "feature_tests.rs"]
mod tests;
