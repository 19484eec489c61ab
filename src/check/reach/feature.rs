//! Reach of single features by closed form. Lengths mm, angles radians.
//!
//! Each formula stands with its function; all are plain geometry, derived in the tests from the
//! cutter's profile.

use super::cutter::Profile;
use super::tool::Tool;

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

/// Whether a wall of this draft is steeper than the cutter's taper, so that the cutter can't lie
/// along it.
pub fn steeper_than(cutter: &Profile, draft: f64) -> bool {
    draft < cutter.taper()
}

/// Whether the cutter goes down a round hole of this radius, to this depth: hole radius >= cutter
/// radius at that depth.
pub fn fits_hole(cutter: &Profile, radius: f64, depth: f64) -> bool {
    widest_to(cutter, depth) <= radius
}

/// Smallest radius of an inside corner in plan that the cutter makes at this depth under the
/// wall's top: its own radius there (fact 3.10).
pub fn smallest_inside_radius(cutter: &Profile, depth: f64) -> f64 {
    widest_to(cutter, depth)
}

/// How wide the cutter is up to a height over its tip; a ball not yet sunk to its middle counts
/// as wide as it gets.
fn widest_to(cutter: &Profile, depth: f64) -> f64 {
    cutter.radius_at(depth.max(cutter.tip()))
}

/// How far a cutter must run below the foot of a wall of this draft to cut the wall to its foot:
/// r (1 - sin d) for a ball of tip radius r (fact 3.7), 0 for a flat end. A wall steeper than the
/// taper is touched by the cone: r (1 - sin a).
pub fn overrun(cutter: &Profile, draft: f64) -> f64 {
    cutter.tip() * (1.0 - draft.max(cutter.taper()).sin())
}

/// Whether a relief groove of this depth takes the overrun with `spare` (mm) left under the tip.
pub fn groove_takes(cutter: &Profile, draft: f64, groove: f64, spare: f64) -> bool {
    overrun(cutter, draft) + spare <= groove
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
        let high = w.top > tool.cutting_length && w.distance < tool.shank_radius;
        high.then_some(Obstacle::Shank)
    };
    let edges = |w: &Beside| {
        let reach = w.top.min(tool.cutting_length);
        let near = w.distance + 1e-9 < tool.profile.radius_at(reach);
        near.then_some(Obstacle::Edges)
    };
    walls
        .iter()
        .find_map(|w| holder(w).or_else(|| shank(w)).or_else(|| edges(w)))
}

/// Space along the chain between a rear end plane and the ball behind it at a height over the
/// split plane: reach + z tan(lean) - sqrt(R^2 - z^2), the end leaning away from the ball by
/// `lean`. `reach` is from the end's datum to the ball's centre. None above the ball.
pub fn gap_to_ball(reach: f64, radius: f64, lean: f64, z: f64) -> Option<f64> {
    let half = (radius - z) * (radius + z);
    (half >= 0.0).then(|| reach + z * lean.tan() - half.sqrt())
}

/// Whether a cutter stands between the end plane and the ball with its tip at the height `tip_z`:
/// at each height up to the top of the ball the space is at least the cutter's width there. The
/// least of (gap - width) is looked for at 200 heights, then refined by golden section.
pub fn passes_behind(cutter: &Profile, reach: f64, radius: f64, lean: f64, tip_z: f64) -> bool {
    least_room_behind(cutter, reach, radius, lean, tip_z) >= 0.0
}

/// The least of gap minus cutter's width over the heights from the tip to the top of the ball, mm.
pub fn least_room_behind(cutter: &Profile, reach: f64, radius: f64, lean: f64, tip_z: f64) -> f64 {
    // The cutter lies along the end plane on one side, so its axis moves with the lean; the
    // width at one height is what counts on both sides of an upright axis.
    let room = |z: f64| {
        let gap = gap_to_ball(reach, radius, lean, z.clamp(0.0, radius));
        gap.unwrap_or(f64::INFINITY) - 2.0 * cutter.radius_at(z - tip_z)
    };
    let low = tip_z.max(0.0);
    let at = |k: u32| low + (radius - low) * f64::from(k) / 200.0;
    let best = (0..=200).min_by(|&a, &b| room(at(a)).total_cmp(&room(at(b))));
    let best = best.unwrap_or(0);
    let (mut a, mut b) = (at(best.saturating_sub(1)), at((best + 1).min(200)));
    for _ in 0..60 {
        let third = (b - a) / 3.0;
        if room(a + third) < room(b - third) {
            b -= third;
        } else {
            a += third;
        }
    }
    room(0.5 * (a + b)).min(room(at(best)))
}

#[cfg(test)]
#[path = "feature_tests.rs"]
mod tests;
