//! The two sections of a joint as meshes, where they lie in the straight creature.

use limberwood::chain::{Resolved, resolve};
use limberwood::make::{Settings, model, parts};
use limberwood::params::{BUILT_IN_SHOP, read_design_str, read_shop_str};
use limberwood::units::Unit;

/// Positions in mm, and triangles.
pub type Soup = (Vec<[f64; 3]>, Vec<[u32; 3]>);

/// The sections of one joint.
pub struct Pair {
    /// The one with the socket.
    pub still: Soup,
    /// The one with the ball.
    pub moving: Soup,
    /// The joint's centre along x, mm.
    pub centre: f64,
    /// The way along x from the centre to the moving one, 1 or -1.
    pub way: f64,
}

/// A design with the built-in shop.
///
/// # Errors
/// Why it is refused.
pub fn resolved(design: &str) -> Result<Resolved, String> {
    let (design, _) = read_design_str(design, "design").map_err(|e| format!("{e:?}"))?;
    let (shop, _) = read_shop_str(BUILT_IN_SHOP, "shop").map_err(|e| format!("{e:?}"))?;
    resolve(&design, &shop).map_err(|e| format!("{e:?}"))
}

/// The sections of a joint, meshed within `deviation` (mm).
///
/// # Errors
/// Why a half is not built.
pub fn pair(creature: &Resolved, number: usize, deviation: f64) -> Result<Pair, String> {
    let chain = &creature.joints[number];
    let own = &chain.joint;
    let (front, rear) = (chain.after, chain.after + 1);
    let sections = &creature.creature.sections;
    let (ball, socket, centre, way) = if chain.ball_in_front {
        (front, rear, sections[rear].x + own.depth(), -1.0)
    } else {
        let end = sections[front].x + sections[front].form.length;
        (rear, front, end - own.depth(), 1.0)
    };
    Ok(Pair {
        still: section(creature, socket, deviation)?,
        moving: section(creature, ball, deviation)?,
        centre,
        way,
    })
}

/// A section's finished halves.
fn section(creature: &Resolved, index: usize, deviation: f64) -> Result<Soup, String> {
    let settings = Settings::of(creature, Unit::Mm);
    let section = &creature.creature.sections[index];
    let (mut positions, mut triangles) = (Vec::new(), Vec::new());
    for plan in parts(creature, &settings) {
        if plan.section != index {
            continue;
        }
        let half = plan.half(section);
        let made = model(&half, deviation, &creature.walls, false).map_err(|e| format!("{e:?}"))?;
        let first = positions.len() as u32;
        positions.extend(made.mesh.positions.iter().map(|&p| plan.placement.apply(p)));
        let moved = made.mesh.triangles.iter().map(|t| t.map(|i| i + first));
        triangles.extend(moved);
    }
    Ok((positions, triangles))
}
