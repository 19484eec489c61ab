//! What a feature asks of a cutter, in closed form.

use super::feature::{
    Beside, Obstacle, left_in_corner, overrun, reaches, room_behind, taper_on_sphere, taper_on_wall,
};
use super::tool::Tool;
use crate::chain::joint::Stem;
use crate::check::finding::{Amount, Limit};
use crate::diagnostic::Severity;

/// How much deeper than the overrun a relief groove is at least, mm (derived from cutters that are
/// set 0.1 to 0.2 too low, which is common practice, no source).
pub(super) const SPARE: f64 = 0.3;
/// Rounding noise, mm.
const NOISE: f64 = 1e-9;

/// One thing that a feature asks. Lengths mm, angles radians.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Ask {
    /// Upright walls this far from the cutter's axis, up to a height over the tip.
    Room {
        half_width: f64,
        depth: f64,
        way_out: &'static str,
    },
    /// A level floor at the foot of upright walls, at most so much left in the corner.
    Floor { most: f64 },
    /// An inside corner in plan at a height over the tip.
    Round {
        radius: f64,
        depth: f64,
        way_out: &'static str,
    },
    /// Half a ball or socket on the split plane, at most so much left on it.
    Sphere {
        radius: f64,
        hollow: bool,
        most: f64,
    },
    /// A wall of this height and draft, at most so much left at its foot.
    Wall { height: f64, draft: f64, most: f64 },
    /// Wood beside the cutter when it has cut a wall of this draft to its foot: up to this height
    /// over the foot along the wall.
    Along {
        draft: f64,
        height: f64,
        way_out: &'static str,
    },
    /// A window of this width beside a wall as high as the stock.
    Window { width: f64, stock: f64 },
    /// Room between rear face and neck fillet.
    Behind { stem: Stem, reach: f64 },
    /// Wood as high as this over the tip, all round.
    Below { depth: f64 },
    /// A relief groove that takes the overrun at a wall of this draft.
    Relief { draft: f64, groove: f64 },
}

/// What a cutter does not do.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Fault {
    pub severity: Severity,
    /// What was measured, as `width`.
    pub what: &'static str,
    pub measured: f64,
    pub limit: Limit,
    pub way_out: &'static str,
}

const LONGER: &str = "take a cutter with longer edges or a thinner shank, or make the part lower";

fn fault(what: &'static str, measured: f64, limit: Limit, way_out: &'static str) -> Fault {
    Fault {
        severity: Severity::Error,
        what,
        measured,
        limit,
        way_out,
    }
}

fn least(mm: f64) -> Limit {
    Limit::least(Amount::Length(mm), "the cutter")
}

fn most(mm: f64, source: &'static str) -> Limit {
    Limit::most(Amount::Length(mm), source)
}

impl Ask {
    /// What this cutter leaves, mm, when that is a number; or why it can't do it.
    pub fn of(&self, tool: &Tool) -> Result<Option<f64>, Fault> {
        let tip = tool.profile.tip();
        match *self {
            Ask::Room {
                half_width,
                depth,
                way_out,
            } => room(tool, half_width, depth, way_out),
            Ask::Floor { most: limit } => {
                let left = left_in_corner(tip);
                let way_out = "give the job to a flat cutter";
                over("left at its floor's edge", left, limit, "habit", way_out)
            }
            Ask::Round {
                radius,
                depth,
                way_out,
            } => at_least("inside radius", radius, tool.widest_to(depth), way_out),
            Ask::Sphere {
                radius,
                hollow,
                most,
            } => sphere(tool, radius, hollow, most),
            Ask::Wall {
                height,
                draft,
                most,
            } => {
                let left = taper_on_wall(height, draft, tool.taper());
                let way_out = "finish with a straighter cutter, or make the wall lower or lean it";
                let found = over(
                    "taper leaves at the wall's foot",
                    left,
                    most,
                    "habit",
                    way_out,
                );
                // The outer form may be off: the maker's own choice.
                found.map_err(|f| Fault {
                    severity: Severity::Warning,
                    ..f
                })
            }
            Ask::Along {
                draft,
                height,
                way_out,
            } => along(tool, draft, height, way_out),
            Ask::Window { width, stock } => window(tool, width, stock),
            Ask::Behind { stem, reach } => behind(tool, &stem, reach),
            Ask::Below { depth } => held(tool, depth),
            Ask::Relief { draft, groove } => relief(tool, draft, groove),
        }
    }
}

fn at_least(
    what: &'static str,
    found: f64,
    needed: f64,
    way_out: &'static str,
) -> Result<Option<f64>, Fault> {
    if found + NOISE < needed {
        return Err(fault(what, found, least(needed), way_out));
    }
    Ok(None)
}

fn over(
    what: &'static str,
    left: f64,
    limit: f64,
    source: &'static str,
    way_out: &'static str,
) -> Result<Option<f64>, Fault> {
    if left > limit + NOISE {
        return Err(fault(what, left, most(limit, source), way_out));
    }
    Ok(Some(left))
}

fn room(
    tool: &Tool,
    half_width: f64,
    depth: f64,
    way_out: &'static str,
) -> Result<Option<f64>, Fault> {
    let wall = Beside {
        distance: half_width,
        top: depth,
    };
    match reaches(tool, &[wall]) {
        None => Ok(None),
        Some(Obstacle::Edges) => {
            let needed = 2.0 * tool.widest_to(depth.min(tool.cutting_length));
            Err(fault("width", 2.0 * half_width, least(needed), way_out))
        }
        Some(Obstacle::Holder) => held(tool, depth),
        Some(Obstacle::Shank) => {
            let limit = most(tool.cutting_length, "the cutter's edges");
            Err(fault("depth", depth, limit, LONGER))
        }
    }
}

fn sphere(tool: &Tool, radius: f64, hollow: bool, most: f64) -> Result<Option<f64>, Fault> {
    let tip = tool.profile.tip();
    if hollow {
        // A flat end leaves steps in a hollow.
        if tip <= 0.0 {
            let way_out = "give the job `finish` to a ball cutter";
            return Err(fault("radius of the tip", tip, least(NOISE), way_out));
        }
        at_least("radius", radius, tip, "finish with a thinner ball cutter")?;
        hollow_depth(tool, radius)?;
    }
    let way_out = "finish with a straighter cutter";
    let what = "taper leaves at the split plane";
    over(
        what,
        taper_on_sphere(radius, tool.taper()),
        most,
        "a quarter of the clearance",
        way_out,
    )
}

/// The shank within a hollow half ball: for each place of contact, t from the lowest, the shank
/// begins `cutting_length` over the tip, its axis (R - r) sin t from the centre's.
fn hollow_depth(tool: &Tool, radius: f64) -> Result<(), Fault> {
    const PLACES: u32 = 90;
    let away = radius - tool.profile.tip();
    for k in 0..=PLACES {
        let (sin, cos) = (std::f64::consts::FRAC_PI_2 * f64::from(k) / f64::from(PLACES)).sin_cos();
        let low = -away * cos - tool.profile.tip() + tool.cutting_length;
        let wide = ((radius - low) * (radius + low)).max(0.0).sqrt();
        if low < 0.0 && away * sin + tool.shank_radius > wide + NOISE {
            let limit = most(tool.cutting_length, "the cutter's edges");
            return Err(fault("depth", radius, limit, LONGER));
        }
    }
    Ok(())
}

/// The wall of draft d touches the tip's sphere: at the height h over the tip it stands
/// r / cos d + (h - r) tan d from the axis; a steeper one than the taper is kept off by the cone.
fn along(
    tool: &Tool,
    draft: f64,
    height: f64,
    way_out: &'static str,
) -> Result<Option<f64>, Fault> {
    let draft = draft.max(tool.taper());
    let top = height + overrun(&tool.profile, draft);
    let wide = tool.profile.radius();
    let begin = match tool.profile.tip() {
        tip if tip > 0.0 => tip / draft.cos() + (tool.cutting_length - tip) * draft.tan(),
        _ => wide + tool.cutting_length * draft.tan(),
    };
    if top > tool.cutting_length + NOISE && begin + NOISE < tool.shank_radius {
        let limit = most(tool.cutting_length, "the cutter's edges");
        return Err(fault("depth", top, limit, way_out));
    }
    Ok(None)
}

/// A holder stays over the wood that stands this high over the tip.
fn held(tool: &Tool, depth: f64) -> Result<Option<f64>, Fault> {
    let Some(holder) = tool.holder.filter(|h| depth > h.over_tip + NOISE) else {
        return Ok(None);
    };
    let limit = most(holder.over_tip, "from the tip to the holder");
    let what = "height over the tip of the wood under the holder";
    let way_out = "let the cutter stick out further, or take a longer one";
    Err(fault(what, depth, limit, way_out))
}

fn window(tool: &Tool, width: f64, stock: f64) -> Result<Option<f64>, Fault> {
    let top = stock + overrun(&tool.profile, 0.0);
    let touch = tool.widest_to(0.0);
    let way_out = "make `window` wider in the shop's `fits`";
    let edges = touch + tool.widest_to(top.min(tool.cutting_length));
    at_least("width", width, edges, way_out)?;
    if top > tool.cutting_length {
        at_least("width", width, touch + tool.shank_radius, way_out)?;
    }
    match tool.holder {
        Some(holder) if touch + holder.radius > width => held(tool, top),
        _ => Ok(None),
    }
}

fn behind(tool: &Tool, stem: &Stem, reach: f64) -> Result<Option<f64>, Fault> {
    let radius = match tool.profile.tip() {
        tip if tip > 0.0 => tip / tool.taper().cos(),
        _ => tool.widest_to(0.0),
    };
    let room = room_behind(stem, reach, radius) + radius;
    let way_out = "widen `gap`, or take a thinner cutter";
    at_least(
        "room between rear face and neck fillet",
        room,
        radius,
        way_out,
    )
}

fn relief(tool: &Tool, draft: f64, groove: f64) -> Result<Option<f64>, Fault> {
    let below = overrun(&tool.profile, draft);
    let way_out = "make `relief` deeper in the shop's `fits`, or finish with a smaller ball";
    let what = "depth of the relief groove";
    if groove + NOISE >= below + SPARE {
        return Ok(None);
    }
    let enough = groove + NOISE >= below;
    let limit = Limit::least(
        Amount::Length(below + SPARE),
        "how far the ball runs below the split face, and 0.3 mm of habit",
    );
    Err(Fault {
        severity: if enough {
            Severity::Warning
        } else {
            Severity::Error
        },
        ..fault(what, groove, limit, way_out)
    })
}

#[cfg(test)]
#[path = "ask_tests.rs"]
mod tests;
