//! Plates and tabs on the rim: their heights, and in plan what lies beside them.
//!
//! Their walls are upright, so the plan tells. Corners of plates count unrounded: a rounding takes
//! away from an outer corner, and an inner one has nothing of another feature in it. Everything is
//! written for y < 0; the other flank is its image.

use nalgebra::{Point2, Point3};

use super::feature::{Facing, Feature, Ligament};
use super::found::Found;
use super::ledges;
use super::level::{Between, Segment, nearer, segments};
use super::pockets::{Around, less};
use crate::chain::{Flank, Plate, Tab, TabRoot};
use crate::clear::Capsule;
use crate::skin::flank::RimSide;
use crate::skin::ledge::Ledge;
use crate::skin::plan::{plate_path, roundings, walls_left};

/// A leg of a plate is looked at from this far out of its root, mm, or from its middle: nearer to
/// its root it grows from the rim.
const FROM_ROOT: f64 = 1.0;

/// A plate or a tab as it is measured.
pub(super) struct Stand {
    pub feature: Feature,
    flank: Flank,
    /// Underside and top.
    z: (f64, f64),
    /// From the foot in front to the foot at the rear.
    pub path: Vec<[f64; 2]>,
    /// Places of its two roots along the rim; none on a plate.
    u: Option<(f64, f64)>,
    /// The plate that a tab stands on.
    on: Option<Feature>,
    /// Place along the body, to name it.
    x: f64,
}

impl Stand {
    fn plate(side: &RimSide, plate: &Plate, number: usize) -> Option<Self> {
        let (first, last) = (plate.corners.first()?.x, plate.corners.last()?.x);
        Some(Stand {
            feature: Feature::Plate(number),
            flank: plate.flank,
            z: (0.0, plate.half_thickness),
            path: plate_path(side, plate),
            u: Some((side.u_of_x(first), side.u_of_x(last))),
            on: None,
            x: 0.5 * (first + last),
        })
    }

    fn tab(side: &RimSide, tab: &Tab, number: usize) -> Self {
        let u = [-0.5, 0.5].map(|s| side.u_of_x(tab.x + s * tab.width));
        Stand {
            feature: Feature::Tab(number),
            flank: tab.flank,
            z: (tab.from, tab.to),
            path: vec![
                side.foot(u[0]),
                side.out(u[0], tab.length[0]),
                side.out(u[1], tab.length[1]),
                side.foot(u[1]),
            ],
            u: Some((u[0], u[1])),
            on: None,
            x: tab.x,
        }
    }

    /// A tab on a plate: its walls begin on the plate's.
    fn on_plate(tab: &Tab, number: usize, plate: Feature, ledge: &Ledge) -> Self {
        let ([front, rear], [far_front, far_rear]) = (ledge.root, ledge.ends);
        Stand {
            feature: Feature::Tab(number),
            flank: tab.flank,
            z: (tab.from, tab.to),
            path: vec![front, far_front, far_rear, rear],
            u: None,
            on: Some(plate),
            x: tab.x,
        }
    }

    pub fn size(&self) -> (&'static str, f64) {
        ("place along the body", self.x)
    }

    /// Walls in plan at a height: from the rim there, not from its foot.
    fn walls(&self, side: &RimSide, z: f64) -> Vec<Segment> {
        let mut path = self.path.clone();
        let last = path.len() - 1;
        let roots = self.u.map(|u| [(0, u.0), (last, u.1)]);
        for (k, u) in roots.into_iter().flatten() {
            let p = side.point(u, z);
            path[k] = [p[0], p[1]];
        }
        path.windows(2)
            .map(|p| [p[0].into(), p[1].into()])
            .collect()
    }

    /// A gap in plan at y < 0, as it lies.
    pub fn found(&self, near: Between) -> Found {
        less(near, (0.0, 0.0)).turned(self.flank == Flank::Plus)
    }
}

/// All ligaments of a half's plates and tabs.
pub(super) fn stands(around: &Around<'_>, side: &RimSide) -> Vec<Ligament> {
    let features = &around.half.features;
    let plates = features.plates.iter().enumerate();
    let tabs = features.tabs.iter().enumerate();
    let mut all = Vec::new();
    let mut stands: Vec<Stand> = Vec::new();
    for (k, plate) in plates {
        if let Some(stand) = Stand::plate(side, plate, k + 1) {
            all.extend(itself(&stand, plate));
            stands.push(stand);
        }
    }
    for (k, tab) in tabs {
        let (stand, own) = tab_of(around, side, tab, k + 1);
        all.extend(own);
        all.extend(narrowest(&stand, tab));
        stands.push(stand);
    }
    for (k, stand) in stands.iter().enumerate() {
        all.extend(heights(stand, side.height));
        all.extend(ends(stand, around, side));
        all.extend(along_body(stand, around));
        let beside = stands[k + 1..].iter();
        let beside = beside.filter(|o| o.flank == stand.flank && o.on != Some(stand.feature));
        all.extend(beside.filter_map(|other| between(stand, other, side)));
    }
    all
}

/// What the sides of a tab leave between them: out of a hollow they near each other.
fn narrowest(stand: &Stand, tab: &Tab) -> Option<Ligament> {
    let &[front, far_front, far_rear, rear] = stand.path.as_slice() else {
        return None;
    };
    let near = segments(
        &[front.into(), far_front.into()],
        &[rear.into(), far_rear.into()],
    );
    let numbers = [("tab width", tab.width), stand.size()];
    Some(
        stand
            .found(near)
            .named(stand.feature, stand.feature, numbers),
    )
}

/// A tab as it is measured, and what it keeps of its plate.
fn tab_of(around: &Around<'_>, side: &RimSide, tab: &Tab, number: usize) -> (Stand, Vec<Ligament>) {
    let TabRoot::Plate(own) = tab.on else {
        return (Stand::tab(side, tab, number), Vec::new());
    };
    let plates = around.half.features.plates.iter().enumerate();
    let found = plates
        .filter(|(_, p)| p.flank == tab.flank)
        .nth(own)
        .and_then(|(k, p)| Some((Feature::Plate(k + 1), p, Ledge::of(side, p, tab)?)));
    let Some((feature, plate, ledge)) = found else {
        // On a plate without such an edge nothing can be built.
        let stand = Stand::tab(side, tab, number);
        let at = Point3::new(tab.x, 0.0, tab.to);
        let width = ("tab width", tab.width);
        let none = Found::exact(f64::NAN, at, at);
        let none = none.named(
            stand.feature,
            Feature::Plate(own + 1),
            [stand.size(), width],
        );
        return (stand, vec![none]);
    };
    let stand = Stand::on_plate(tab, number, feature, &ledge);
    let own = ledges::ledge((feature, plate), (&stand, tab), &ledge);
    (stand, own)
}

/// Top under the rim's top line, underside over the split face.
fn heights(stand: &Stand, rim: f64) -> Vec<Ligament> {
    let (from, to) = stand.z;
    let at = |z: f64| Point3::new(stand.path[0][0], stand.path[0][1], z);
    let word = match stand.feature {
        Feature::Tab(_) => "top of the tab",
        _ => "half thickness",
    };
    let gap = |a: f64, b: f64| Found::exact(b - a, at(a), at(b)).turned(stand.flank == Flank::Plus);
    let mut all = Vec::new();
    // A tab on a plate ends under the plate's top.
    if stand.on.is_none() {
        let numbers = [(word, to), ("rim height", rim)];
        all.push(gap(to, rim).named(stand.feature, Feature::RimTop, numbers));
    }
    if from > 0.0 {
        let numbers = [("underside of the tab", from), ("top of the tab", to)];
        all.push(gap(0.0, from).named(stand.feature, Feature::SplitFace, numbers));
    }
    all
}

/// What a plate keeps of itself: walls between its roundings, an eased edge within thickness and
/// roundings, walls that do not meet.
fn itself(stand: &Stand, plate: &Plate) -> Vec<Ligament> {
    let radii: Vec<f64> = plate.corners.iter().map(|c| c.radius).collect();
    let roundings = roundings(&stand.path, &radii);
    let left = walls_left(&stand.path, &roundings);
    let place = |k: usize| Point3::new(stand.path[k][0], stand.path[k][1], 0.0);
    let turned = stand.flank == Flank::Plus;
    let mut all = Vec::new();
    let mut say = |gap: f64, k: usize, numbers| {
        let found = Found::exact(gap, place(k), place(k)).turned(turned);
        all.push(found.named(stand.feature, stand.feature, numbers));
    };
    if let Some((k, &least)) = left.iter().enumerate().min_by(|a, b| a.1.total_cmp(b.1)) {
        let radius = radii[k.min(radii.len() - 1)];
        say(least, k, [("rounding", radius), stand.size()]);
    }
    if plate.ease > 0.0 {
        let thick = ("half thickness", plate.half_thickness);
        say(
            plate.half_thickness - plate.ease,
            0,
            [("ease", plate.ease), thick],
        );
        for (k, (r, turn)) in radii.iter().zip(&roundings).enumerate() {
            // An eased edge needs a rounding to turn; outside it is narrower by the ease above.
            let kept = if turn.turn > 0.0 { r - plate.ease } else { *r };
            say(kept, k + 1, [("rounding", *r), ("ease", plate.ease)]);
        }
    }
    let walls: Vec<Segment> = stand
        .path
        .windows(2)
        .map(|p| [p[0].into(), p[1].into()])
        .collect();
    for (k, wall) in walls.iter().enumerate() {
        for other in walls.iter().skip(k + 2) {
            let numbers = [stand.size(), ("half thickness", plate.half_thickness)];
            let found = stand.found(segments(wall, other));
            all.push(found.named(stand.feature, stand.feature, numbers));
        }
    }
    all
}

/// The rim's ends: its rulings there, the span beside a dome, ball and neck.
fn ends(stand: &Stand, around: &Around<'_>, side: &RimSide) -> Vec<Ligament> {
    let (u0, u1) = side.patch.u_range();
    let mut all = Vec::new();
    let walls = stand.walls(side, stand.z.1);
    let least = |line: &Segment| walls.iter().map(|w| segments(w, line)).reduce(nearer);
    for end in around.ends {
        let (u, straight, root, out) = match end.facing {
            Facing::Front => (u0, side.straight.0, stand.u.map(|u| u.0), 1.0),
            Facing::Rear => (u1, side.straight.1, stand.u.map(|u| u.1), -1.0),
        };
        let (low, high) = (side.foot(u), side.point(u, side.height));
        let ruling: Segment = [low.into(), Point2::new(high[0], high[1])];
        let numbers = [stand.size(), ("section length", around.half.length)];
        let outline = Feature::Outline(end.facing);
        all.extend(least(&ruling).map(|n| stand.found(n).named(stand.feature, outline, numbers)));
        if let Some(root) = root.filter(|_| straight != u) {
            let (a, b) = (side.foot(straight), side.foot(root));
            let at = |p: [f64; 2]| Point3::new(p[0], p[1], 0.0);
            let found = Found::exact(out * (b[0] - a[0]), at(a), at(b));
            let found = found.turned(stand.flank == Flank::Plus);
            all.push(found.named(stand.feature, Feature::RoundZone(end.facing), numbers));
        }
        // A plate may reach beyond the end beside it, not over it.
        let face: Segment = [low.into(), Point2::new(low[0], 0.0)];
        all.extend(least(&face).map(|n| {
            stand
                .found(n)
                .named(stand.feature, Feature::EndFace(end.facing), numbers)
        }));
        if let Some(ball) = end.ball() {
            let centre = end.on_axis(ball.reach);
            let (from, to) = (end.on_axis(0.0), centre);
            let plan = |p: Point3<f64>| Point2::new(p.x, p.y);
            for (feature, line, radius, word) in [
                (
                    Feature::Ball(end.facing),
                    [plan(centre); 2],
                    ball.radius,
                    "ball radius",
                ),
                (
                    Feature::Neck(end.facing),
                    [plan(from), plan(to)],
                    ball.neck_radius,
                    "neck radius",
                ),
            ] {
                let near = least(&line).map(|n| less(n, (0.0, radius)));
                let numbers = [stand.size(), (word, radius)];
                all.extend(near.map(|f| {
                    f.turned(stand.flank == Flank::Plus)
                        .named(stand.feature, feature, numbers)
                }));
            }
        }
    }
    all
}

/// Walls of a plate that do not grow from the rim keep off it.
fn along_body(stand: &Stand, around: &Around<'_>) -> Vec<Ligament> {
    let count = stand.path.len() - 1;
    let mut all = Vec::new();
    for (k, pair) in stand.path.windows(2).enumerate() {
        let point = |p: [f64; 2]| Point3::new(p[0], p[1], 0.0);
        let (mut a, mut b) = (point(pair[0]), point(pair[1]));
        let away = |root: Point3<f64>, far: Point3<f64>| {
            let length = (far - root).norm();
            root + (far - root) * (FROM_ROOT / length.max(FROM_ROOT)).min(0.5)
        };
        if k == 0 && stand.on.is_none() {
            a = away(a, b);
        }
        if k + 1 == count && stand.on.is_none() {
            b = away(b, a);
        }
        let wall = Capsule {
            from: a,
            to: b,
            radius: 0.0,
        };
        let near = around.outer.least(&around.outer.rim, &wall);
        all.extend(near.map(|n| {
            let found = n.found.turned(stand.flank == Flank::Plus);
            found.named(stand.feature, Feature::Rim, [stand.size(), n.size()])
        }));
    }
    let least = |a: Ligament, b: Ligament| if b.gap < a.gap { b } else { a };
    all.into_iter().reduce(least).into_iter().collect()
}

/// Two stands of one flank. Where their heights overlap they are nearest at the lower top, where
/// the walls begin furthest in; else one lies over the other.
fn between(a: &Stand, b: &Stand, side: &RimSide) -> Option<Ligament> {
    let (low, high) = (a.z.0.max(b.z.0), a.z.1.min(b.z.1));
    let at = high.max(low);
    let (walls, others) = (a.walls(side, at), b.walls(side, at));
    let pairs = walls
        .iter()
        .flat_map(|w| others.iter().map(move |o| segments(w, o)));
    let near = pairs.reduce(nearer)?;
    let mut found = a.found(near);
    found.gap = found.gap.hypot((low - high).max(0.0));
    if inside(&b.path, a.path[1]) || inside(&a.path, b.path[1]) {
        found.gap = -found.gap;
    }
    Some(found.named(a.feature, b.feature, [a.size(), b.size()]))
}

/// Even-odd test.
fn inside(path: &[[f64; 2]], p: [f64; 2]) -> bool {
    let mut within = false;
    for (k, a) in path.iter().enumerate() {
        let b = path[(k + 1) % path.len()];
        if (a[1] > p[1]) != (b[1] > p[1])
            && p[0] < a[0] + (p[1] - a[1]) / (b[1] - a[1]) * (b[0] - a[0])
        {
            within = !within;
        }
    }
    within
}
