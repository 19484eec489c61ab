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
/// A tab stands at most so far from the normal of its long side, radians, else that side runs along the
/// grain (habit: further, and tabs get longer than twice the width).
const ASKEW: f64 = std::f64::consts::FRAC_PI_3;
/// Rounds in which each long side takes in the other's run; where none reaches across, one is enough.
const ROUNDS: usize = 64;

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
    let own = |flank: Flank| {
        let all = tabs.iter().zip(&rays);
        all.filter(move |(tab, _)| tab.flank == flank)
            .map(|(_, rays)| rays)
    };
    let flanks = Flank::BOTH.map(|flank| long_side(own(flank), flank));
    let (far, ends) = runs(
        flanks.map(|n| support(body, n)),
        |k, far| run(own(Flank::BOTH[k]), flanks[k], far, width),
        &flanks,
    );
    let free = free_directions(&flanks).into_iter().map(|n| {
        let reach = ends.iter().map(|&p| dot(n, p));
        (n, reach.fold(support(body, n), f64::max))
    });
    let supports: Vec<_> = free.chain(flanks.into_iter().zip(far)).collect();
    let core = Polygon::of_supports(&supports, &flanks);
    let window = Window { core, width };
    match beyond(tabs, &rays, &window, &flanks) {
        Some(tab) => Err(tab),
        None => {
            let form = reaching(form, &rays, tabs, &window, &flanks);
            Ok((window, form))
        }
    }
}

fn dot(a: [f64; 2], b: [f64; 2]) -> f64 {
    a[0] * b[0] + a[1] * b[1]
}

/// The ends of the run that the tabs of a long side ask for, on the core's side `far` out.
fn run<'a>(
    tabs: impl Iterator<Item = &'a [Ray; 2]>,
    normal: [f64; 2],
    far: f64,
    width: f64,
) -> Vec<[f64; 2]> {
    let along = [-normal[1], normal[0]];
    let places = tabs
        .flatten()
        .map(|ray| dot(along, end(*ray, normal, far + width)));
    let places: Vec<f64> = places.filter(|at| at.is_finite()).collect();
    let (Some(first), Some(last)) = (
        places.iter().copied().reduce(f64::min),
        places.iter().copied().reduce(f64::max),
    ) else {
        return Vec::new();
    };
    [first - BESIDE, last + BESIDE]
        .map(|at| [0, 1].map(|k: usize| far * normal[k] + at * along[k]))
        .into()
}

/// How far out the long sides of a core lie that holds a body, which reaches so far, and the runs that
/// both ask for; and the ends of those runs.
fn runs(
    mut far: [f64; 2],
    run: impl Fn(usize, f64) -> Vec<[f64; 2]>,
    flanks: &[[f64; 2]; 2],
) -> ([f64; 2], Vec<[f64; 2]>) {
    let mut ends = [0, 1].map(|k| run(k, far[k]));
    for _ in 0..ROUNDS {
        let grown = [0, 1].map(|k: usize| {
            let others = ends[1 - k].iter().map(|&p| dot(flanks[k], p));
            others.fold(far[k], f64::max)
        });
        if grown == far {
            break;
        }
        far = grown;
        ends = [0, 1].map(|k| run(k, far[k]));
    }
    (far, ends.concat())
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
    let rays: Vec<Ray> = tabs.flatten().copied().collect();
    let across = [0.0, flank.sign()];
    let order = |a: &&Ray, b: &&Ray| a.0[0].total_cmp(&b.0[0]);
    let (Some(first), Some(last)) = (rays.iter().min_by(order), rays.iter().max_by(order)) else {
        return across;
    };
    let (first, last) = (first.0, last.0);
    let turn = (last[1] - first[1]).atan2(last[0] - first[0]);
    let normal = [-flank.sign() * turn.sin(), flank.sign() * turn.cos()];
    let askew = rays.iter().any(|ray| dot(normal, ray.1) < ASKEW.cos());
    if turn.abs() > MOST_TURN || askew {
        return across;
    }
    normal
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

/// The first tab whose end does not lie on its straight run: where its sides never get there.
fn beyond(
    tabs: &[Tab],
    rays: &[[Ray; 2]],
    window: &Window,
    flanks: &[[f64; 2]; 2],
) -> Option<usize> {
    let ends = |(tab, rays): (&Tab, &[Ray; 2])| {
        let normal = flanks[usize::from(tab.flank == Flank::Plus)];
        let along = [-normal[1], normal[0]];
        let side = window.core.sides().iter().find(|s| s.normal == normal);
        side.is_some_and(|side| {
            let run = dot(along, side.from)..=dot(along, side.to);
            let far = dot(normal, side.from) + window.width;
            rays.iter().all(|ray| {
                dot(normal, ray.1) > 0.0 && run.contains(&dot(along, end(*ray, normal, far)))
            })
        })
    };
    tabs.iter().zip(rays).position(|own| !ends(own))
}

/// How far a ray goes to the border beside a side of the core.
fn reach(ray: Ray, side: &Side, width: f64) -> f64 {
    length(ray, side.normal, dot(side.normal, side.from) + width)
}

/// How far a ray goes to the line n p = far.
fn length((start, way): Ray, n: [f64; 2], far: f64) -> f64 {
    (far - dot(n, start)) / dot(n, way)
}

/// Where it meets that line.
fn end(ray: Ray, n: [f64; 2], far: f64) -> [f64; 2] {
    let far = length(ray, n, far);
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
