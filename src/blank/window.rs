//! The window cut round a part: straight runs and arcs, everywhere at least its width from the
//! part, so that no arc is narrower than the cutter; its long sides run along the tabs.

use super::polygon::{Polygon, Side};
use crate::brep::shape::{Arc, Curve, Half};
use crate::chain::{Flank, HalfForm, SectionForm, Side as HalfSide, Tab, TabRoot};
use crate::skin::Skin;
use crate::skin::flank::RimSide;
use crate::skin::ledge::Ledge;
use crate::skin::plan::{Corner, Way};

/// Directions of a window's sides beside its long ones.
const DIRECTIONS: usize = 24;
/// No other direction lies nearer to that of a long side, radians: long runs for the tabs.
const FREE: f64 = std::f64::consts::FRAC_PI_6;
/// A long side turns at most so far from the grain, radians (habit: a tab is to stand across it).
const MOST_TURN: f64 = std::f64::consts::FRAC_PI_6;
/// A tab ends at least so far from the ends of its straight run, mm: room for the mesh (habit).
const BESIDE: f64 = 0.2;

/// A window in the frame of the upper half of its section; the lower half has its image in the x
/// axis.
#[derive(Debug, Clone, PartialEq)]
pub struct Window {
    /// The polygon round the part.
    pub core: Polygon,
    /// Width: distance of the border from that polygon.
    pub width: f64,
}

impl Window {
    /// Its border, counter-clockwise.
    pub fn outline(&self) -> Vec<Corner> {
        let out = |p: [f64; 2], s: &Side| [0, 1].map(|k: usize| p[k] + self.width * s.normal[k]);
        let sides = self.core.sides().iter();
        sides
            .flat_map(|s| {
                let round = Way::Left {
                    centre: s.to,
                    radius: self.width,
                };
                [(out(s.from, s), Way::Line), (out(s.to, s), round)]
            })
            .map(|(at, way)| Corner { at, way })
            .collect()
    }

    /// As the lower half sees it.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        Window {
            core: self.core.mirrored(),
            width: self.width,
        }
    }
}

/// A side of a tab in plan: where it begins and the way out, in the half's frame.
pub type Ray = ([f64; 2], [f64; 2]);

/// Both sides of each tab of a half; nothing when one stands on nothing.
pub fn tab_sides(half: &HalfForm, skin: &Skin) -> Option<Vec<[Ray; 2]>> {
    let rim = RimSide::of(half, skin);
    let tabs = half.features.tabs.iter();
    tabs.map(|tab| rays(&rim, half, tab)).collect()
}

/// Where a ray from within a polygon leaves all places within `width` of it, if that is beside a side.
pub(super) fn leaves(ray: Ray, core: &Polygon, width: f64) -> [f64; 2] {
    let out = |s: &&Side| s.normal[0] * ray.1[0] + s.normal[1] * ray.1[1] > 0.0;
    let sides = core.sides().iter().filter(out);
    let far = sides.map(|s| reach(ray, s, width));
    let far = far.fold(f64::INFINITY, f64::min);
    [0, 1].map(|k: usize| ray.0[k] + far * ray.1[k])
}

/// The window of a section whose finished upper half, or whole body, is `body`; and the section with
/// tabs that reach to its border.
///
/// # Errors
/// The number of a tab that meets no straight run of the window, or stands on nothing.
pub fn window(
    form: &SectionForm,
    body: &Half,
    skin: &Skin,
    width: f64,
) -> Result<(Window, SectionForm), usize> {
    let upper = HalfForm::held(form, HalfSide::Upper);
    let rim = RimSide::of(&upper, skin);
    let tabs = &upper.features.tabs;
    let rays: Vec<[Ray; 2]> = (0..tabs.len())
        .map(|k| rays(&rim, &upper, &tabs[k]).ok_or(k))
        .collect::<Result<_, _>>()?;
    let flanks = Flank::BOTH.map(|flank| {
        let own = tabs.iter().zip(&rays).filter(|(t, _)| t.flank == flank);
        long_side(own.map(|(_, rays)| rays), flank)
    });
    let mut free = free_directions(&flanks);
    loop {
        let all = free.iter().chain(&flanks);
        let supports: Vec<_> = all.map(|&n| (n, support(body, n))).collect();
        let core = Polygon::of_supports(&supports, &flanks);
        let Some((tab, normal)) = beyond(tabs, &rays, &core, &flanks, width) else {
            let window = Window { core, width };
            let form = reaching(form, &rays, tabs, &window, &flanks);
            return Ok((window, form));
        };
        // One direction fewer makes that run longer.
        let near = |n: &[f64; 2]| n[0] * normal[0] + n[1] * normal[1];
        let along_x = |n: &[f64; 2]| n[0].abs() > 1.0 - 1e-9;
        let next = (0..free.len()).filter(|&k| !along_x(&free[k]));
        let next = next.max_by(|&a, &b| near(&free[a]).total_cmp(&near(&free[b])));
        free.remove(next.ok_or(tab)?);
    }
}

/// Sides of a tab.
fn rays(rim: &RimSide, half: &HalfForm, tab: &Tab) -> Option<[Ray; 2]> {
    let sign = -tab.flank.sign();
    let seen = |[x, y]: [f64; 2]| [x, sign * y];
    match tab.on {
        TabRoot::Rim => Some([-0.5, 0.5].map(|s| {
            let u = rim.u_of_x(tab.x + s * tab.width);
            (seen(rim.foot(u)), seen(rim.outwards(u)))
        })),
        TabRoot::Plate(number) => {
            let mut own = half.features.plates.iter().filter(|p| p.flank == tab.flank);
            let ledge = Ledge::of(rim, own.nth(number)?, tab)?;
            let outermost = ledge.root[0][1].min(ledge.root[1][1]);
            Some(
                ledge
                    .root
                    .map(|p| (seen([p[0], outermost]), seen([0.0, -1.0]))),
            )
        }
    }
}

/// Outward normal of the long side along the tabs of a flank.
fn long_side<'a>(tabs: impl Iterator<Item = &'a [Ray; 2]>, flank: Flank) -> [f64; 2] {
    let mut feet: Vec<[f64; 2]> = tabs.flatten().map(|ray| ray.0).collect();
    feet.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let across = [0.0, flank.sign()];
    let (Some(first), Some(last)) = (feet.first(), feet.last()) else {
        return across;
    };
    let turn = (last[1] - first[1]).atan2(last[0] - first[0]);
    if turn.abs() > MOST_TURN {
        return across;
    }
    [-flank.sign() * turn.sin(), flank.sign() * turn.cos()]
}

fn free_directions(flanks: &[[f64; 2]; 2]) -> Vec<[f64; 2]> {
    let near = |n: &[f64; 2]| {
        let cosine = |f: &[f64; 2]| f[0] * n[0] + f[1] * n[1];
        flanks.iter().any(|f| cosine(f) > FREE.cos())
    };
    (0..DIRECTIONS)
        .map(|k| {
            let a = std::f64::consts::TAU * k as f64 / DIRECTIONS as f64;
            [a.cos(), a.sin()]
        })
        .filter(|n| !near(n))
        .collect()
}

/// The first tab whose end does not lie on its straight run, with the direction in which that run is
/// too short.
fn beyond(
    tabs: &[Tab],
    rays: &[[Ray; 2]],
    core: &Polygon,
    flanks: &[[f64; 2]; 2],
    width: f64,
) -> Option<(usize, [f64; 2])> {
    for (k, (tab, rays)) in tabs.iter().zip(rays).enumerate() {
        let normal = flanks[usize::from(tab.flank == Flank::Plus)];
        let Some(side) = core.sides().iter().find(|s| s.normal == normal) else {
            return Some((k, normal));
        };
        let along = [-normal[1], normal[0]];
        let place = |p: [f64; 2]| p[0] * along[0] + p[1] * along[1];
        let (from, to) = (place(side.from) + BESIDE, place(side.to) - BESIDE);
        for ray in rays {
            let at = place(end(*ray, side, width));
            // Just beside the normal, so that the nearer neighbour on that side is found.
            let lean = |s: f64| [0, 1].map(|i: usize| normal[i] + 0.1 * s * along[i]);
            if at < from {
                return Some((k, lean(-1.0)));
            }
            if at > to {
                return Some((k, lean(1.0)));
            }
        }
    }
    None
}

/// How far a ray goes to the border beside a side of the core.
fn reach((start, way): Ray, side: &Side, width: f64) -> f64 {
    let n = side.normal;
    let far = n[0] * side.from[0] + n[1] * side.from[1] + width;
    (far - n[0] * start[0] - n[1] * start[1]) / (n[0] * way[0] + n[1] * way[1])
}

fn end(ray: Ray, side: &Side, width: f64) -> [f64; 2] {
    let far = reach(ray, side, width);
    [0, 1].map(|k: usize| ray.0[k] + far * ray.1[k])
}

fn reaching(
    form: &SectionForm,
    rays: &[[Ray; 2]],
    tabs: &[Tab],
    window: &Window,
    flanks: &[[f64; 2]; 2],
) -> SectionForm {
    let mut form = form.clone();
    // Tabs are written in the section's frame, which is the upper half's; a half has them by flanks.
    form.features.tabs.sort_by_key(|t| t.flank);
    for ((tab, seen), rays) in form.features.tabs.iter_mut().zip(tabs).zip(rays) {
        let normal = flanks[usize::from(seen.flank == Flank::Plus)];
        let side = window.core.sides().iter().find(|s| s.normal == normal);
        if let Some(side) = side {
            tab.length = rays.map(|ray| reach(ray, side, window.width));
        }
    }
    form
}

/// How far a body reaches in a direction in plan, mm; splines by their control points, which they do
/// not leave.
pub fn support(body: &Half, n: [f64; 2]) -> f64 {
    let edges = body.solid.edge_iter();
    edges
        .map(|edge| match edge.curve() {
            Curve::Line(p, q) => [p, q]
                .map(|p| n[0] * p.x + n[1] * p.y)
                .into_iter()
                .fold(f64::NEG_INFINITY, f64::max),
            Curve::Arc(arc) => of_arc(&arc, n),
            Curve::Spline(spline) => spline
                .control_points()
                .iter()
                .map(|p| (n[0] * p.x + n[1] * p.y) / p.w)
                .fold(f64::NEG_INFINITY, f64::max),
        })
        .fold(f64::NEG_INFINITY, f64::max)
}

/// n (c + a cos t + b sin t) is greatest at t = atan2(n b, n a), or at an end of the arc.
fn of_arc(arc: &Arc, n: [f64; 2]) -> f64 {
    let along = |x: f64, y: f64| n[0] * x + n[1] * y;
    let (a, b) = (along(arc.a.x, arc.a.y), along(arc.b.x, arc.b.y));
    let at = |t: f64| along(arc.centre.x, arc.centre.y) + a * t.cos() + b * t.sin();
    let (from, to) = arc.range;
    let top = from + (b.atan2(a) - from).rem_euclid(std::f64::consts::TAU);
    let ends = at(from).max(at(to));
    if top <= to { ends.max(at(top)) } else { ends }
}
