//! Sections as a kind states them: heights and widths as parts of the highest half.

use super::ground::{Ground, Joint};
use super::ruler::Step;

/// Least height of a nose or a tip, mm: the rim over the built-in shop's relief groove, tab and 0.5.
const LEAST_TIP: f64 = 5.0;
/// The outline falls at least so much towards a tip for each mm along: nearly four times what
/// the lean of its end, 3 degrees, falls; else it faces down at the end (tried).
const FALL: f64 = 0.2;
/// Over this length of it at most, mm: what is longer falls less, and may.
const FALL_OVER: f64 = 15.0;
/// Least half width of a tip, and what stays of it before, mm (by eye).
const LEAST_HALF: f64 = 3.0;
/// Least diameter of an eye, mm: a 1/8 in cutter and a little; its depth as a part of the highest half
/// (by eye).
const LEAST_EYE: f64 = 3.5;
const EYE_DEPTH: f64 = 0.09;
/// Least depth of an eye for each mm of its radius: along a skin that falls by s for each mm its edge
/// lies s radii under its middle, and the floor is to lie lower, up to 45 degrees (derived).
const EYE_FALL: f64 = 1.0;
/// Least roundings of plates, mm: a 1/8 in ball makes 1.6.
const LEAST_ROUND: f64 = 1.8;
/// A plate's root along the grain for each mm that it stands out (habit, as its check asks).
const ROOT: f64 = 1.5;
/// Rounding of a corner for each mm of the shorter edge beside it: two of them share an edge (by eye).
const EDGE: f64 = 0.42;
/// Between a plate and the rear on which its tab stands, mm: 4.5 beside the plate, a tab of 6, 6 to
/// the end (the built-in shop's), and rounding.
const TAB_ROOM: f64 = 17.5;
/// A plate begins behind this many depths of a socket: clear of the round zone (tried).
const BEHIND_DOME: f64 = 1.22;
/// Behind a socket the outline may be lower, mm from it: a wall (common practice, no source).
const BEHIND_SOCKET: f64 = 3.0;
/// Glue face beside a socket, mm: 1.5 to the groove, the groove of 0.8, and 2.9 of the
/// 3 outside it, since the body widens behind (the demos keep 4.8 and more).
const BESIDE: f64 = 5.2;

/// How thick a plate is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Thick {
    /// A fin, an ear, a spike: at least 6.5 mm (common practice, no source).
    Fin,
    /// A plate whose straight edge takes a tab: at least 9 mm (habit).
    Foot,
    /// A leg to stand on: 10.5 mm, over which a ball of 3 degrees a side leaves 0.3 mm at its foot.
    Leg,
}

impl Thick {
    /// Part of the highest half (by eye), least and most in mm (by eye, where nothing is said above).
    fn size(self) -> (f64, f64, f64) {
        match self {
            Thick::Fin => (0.38, 6.5, 9.0),
            Thick::Foot => (0.5, 9.0, 10.5),
            Thick::Leg => (0.72, 9.0, 10.5),
        }
    }
}

/// A point of the outline, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Percent of the length.
    pub at: u32,
    /// Half width.
    pub wide: f64,
    /// Height of the upper half (of the left one).
    pub above: f64,
    /// Height of the lower half (of the right one).
    pub below: f64,
    /// Exponent of the section curve, when written.
    pub square: Option<f64>,
}

/// An eye or a pair of them, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Eye {
    /// Percent of the length.
    pub at: u32,
    /// From the middle.
    pub across: f64,
    /// Diameter.
    pub diameter: f64,
    /// Depth.
    pub depth: f64,
}

/// A plate, mm.
#[derive(Debug, Clone, PartialEq)]
pub struct Plate {
    /// Side, as a file names it.
    pub side: &'static str,
    /// Thickness.
    pub thick: f64,
    /// Corners: percent of the length, how far out, rounding.
    pub corners: Vec<(u32, f64, f64)>,
}

/// One section, or a row of equal or tapering ones.
#[derive(Debug, Clone)]
pub struct Part {
    /// Name.
    pub name: &'static str,
    /// What it is, in plain words.
    pub words: &'static str,
    /// How many.
    pub repeat: u32,
    /// Size of the last of them.
    pub taper: f64,
    /// In so many sizes.
    pub steps: u32,
    /// Cut in one piece.
    pub whole: bool,
    /// Its own split, when it differs.
    pub split: Option<&'static str>,
    /// Length, mm.
    pub length: f64,
    /// The joint at its front.
    pub front: Option<Joint>,
    /// Outline.
    pub points: Vec<Point>,
    /// Eyes.
    pub eyes: Vec<Eye>,
    /// Plates.
    pub plates: Vec<Plate>,
    ground: Ground,
}

impl Ground {
    /// A head: `units` long in lengths of the shortest section with the joint behind it.
    #[must_use]
    pub fn head(&self, words: &'static str, joint: &Joint, units: f64) -> Part {
        Part {
            name: "head",
            words,
            repeat: 1,
            taper: 1.0,
            steps: 1,
            whole: false,
            split: None,
            length: self.along(joint, units),
            front: None,
            points: Vec::new(),
            eyes: Vec::new(),
            plates: Vec::new(),
            ground: *self,
        }
    }

    /// A section with a socket in a round front.
    #[must_use]
    pub fn part(&self, name: &'static str, words: &'static str, joint: &Joint, units: f64) -> Part {
        let round = self.round(joint);
        let mut part = self.head(words, joint, units);
        part.name = name;
        part.front = Some(*joint);
        part.points.push(Point {
            at: 0,
            wide: round,
            above: round,
            below: round,
            square: Some(2.0),
        });
        part
    }
}

impl Part {
    /// A row of so many; the last of `taper` size, in `steps` sizes.
    #[must_use]
    pub fn row(mut self, count: u32, taper: f64, steps: u32) -> Self {
        let steps = steps.min(count);
        self.repeat = count;
        self.taper = if steps > 1 { taper } else { 1.0 };
        self.steps = steps;
        self
    }

    /// Cut in one piece from double stock.
    #[must_use]
    pub fn whole(mut self) -> Self {
        self.whole = true;
        self
    }

    /// With a split of its own.
    #[must_use]
    pub fn split(mut self, split: &'static str) -> Self {
        self.split = Some(split);
        self
    }

    /// A blunt nose or tip: half width and height as parts of the highest half.
    #[must_use]
    pub fn blunt(mut self, at: u32, wide: f64, height: f64) -> Self {
        let g = &self.ground;
        let least = g.ruler.up(LEAST_TIP, Step::Plain);
        let height = g.across(height).max(least);
        let wide = g.wide(wide).max(g.ruler.up(LEAST_HALF, Step::Plain));
        if let Some(before) = self.points.last_mut() {
            let x = 0.01 * f64::from(at - before.at) * self.length;
            let fall = FALL * x.min(FALL_OVER);
            before.above = before.above.max(g.ruler.up(height + fall, Step::Fine));
            before.below = before.below.max(g.ruler.up(height + fall, Step::Fine));
            before.wide = before.wide.max(g.ruler.up(wide + fall, Step::Fine));
        }
        self.points.push(Point {
            at,
            wide,
            above: height,
            below: height,
            square: None,
        });
        self
    }

    /// Least half width and height, mm, of a point so far from the front where no socket is.
    fn slimmest(&self, x: f64) -> (f64, f64) {
        let nose = self.points.first().filter(|_| self.points.len() == 1);
        let fall = FALL * x.min(FALL_OVER);
        nose.map_or((LEAST_HALF, LEAST_TIP), |p| (p.wide + fall, p.above + fall))
    }

    /// A point of the outline: half width, heights of both halves as parts of the highest half.
    #[must_use]
    pub fn point(mut self, at: u32, wide: f64, above: f64, below: f64) -> Self {
        let g = &self.ground;
        let x = 0.01 * f64::from(at) * self.length * self.taper;
        let behind = |j: &Joint| 2.0 * j.socket() + j.land + BEHIND_SOCKET;
        let first = self.points.len() == 1;
        let slimmest = self.slimmest(x);
        let near_socket = self.front.filter(|j| first || x <= behind(j));
        let least = near_socket.map_or(slimmest.1, |joint| g.least(&joint) / self.taper);
        let least = g.ruler.up(least, Step::Fine);
        let beside = near_socket.map_or(slimmest.0, |j| (j.socket() + BESIDE) / self.taper);
        let high = |part: f64| g.across(part).max(least).min(g.high);
        self.points.push(Point {
            at,
            wide: g.wide(wide).max(g.ruler.up(beside, Step::Fine)),
            above: high(above),
            below: high(below),
            square: None,
        });
        self
    }

    /// The last point is squarer: 2 is an ellipse, 4 nearly a box.
    #[must_use]
    pub fn square(mut self, square: f64) -> Self {
        if let Some(point) = self.points.last_mut() {
            point.square = Some(square);
        }
        self
    }

    /// A round rear that carries the ball of this joint.
    #[must_use]
    pub fn rear(mut self, joint: &Joint) -> Self {
        let round = self.ground.round(joint);
        self.points.push(Point {
            at: 100,
            wide: round,
            above: round,
            below: round,
            square: Some(2.0),
        });
        self
    }

    /// Eyes: percent along, then parts of the highest half.
    #[must_use]
    pub fn eye(mut self, at: u32, across: f64, diameter: f64) -> Self {
        let g = &self.ground;
        let diameter = g.across(diameter).max(g.ruler.up(LEAST_EYE, Step::Plain));
        let least = g.ruler.up(EYE_FALL * 0.5 * diameter, Step::Plain);
        self.eyes.push(Eye {
            at,
            across: g.wide(across),
            diameter,
            depth: g.across(EYE_DEPTH).max(least),
        });
        self
    }

    /// A plate: corners as percent along, how far out and rounding as parts of the highest half. It
    /// is moved and made lower where its root would not do.
    #[must_use]
    pub fn plate(mut self, side: &'static str, thick: Thick, corners: &[(u32, f64, f64)]) -> Self {
        let g = &self.ground;
        let place = self.places(thick, corners);
        let ends = |c: Option<&(u32, f64, f64)>| c.map_or(0, |c| place(c.0));
        let root = ends(corners.last()) - ends(corners.first());
        let root = 0.01 * f64::from(root) * self.length * self.taper;
        let most = g.ruler.down(root / (ROOT * self.taper), Step::Plain);
        let out = |part| {
            let out = g.across(part).min(most);
            out.max(g.ruler.up(LEAST_ROUND, Step::Plain))
        };
        let placed: Vec<(u32, f64)> = corners.iter().map(|c| (place(c.0), out(c.1))).collect();
        let round = |(k, wanted): (usize, f64)| {
            let most = EDGE * self.shortest_edge(&placed, k);
            let round = g.ruler.down(g.across(wanted).min(most), Step::Fine);
            round.max(g.ruler.up(LEAST_ROUND, Step::Fine))
        };
        let rounds = corners.iter().map(|c| c.2).enumerate().map(round);
        let corners = placed.iter().zip(rounds);
        let corners = corners
            .map(|(&(at, out), round)| (at, out, round))
            .collect();
        let (part, least, high) = thick.size();
        self.plates.push(Plate {
            side,
            thick: g
                .across(part)
                .max(g.ruler.up(least, Step::Plain))
                .min(g.ruler.down(high, Step::Plain)),
            corners,
        });
        self
    }

    /// The shorter of the edges beside a corner, mm; before the first and behind the last the wall that
    /// it stands out by.
    fn shortest_edge(&self, corners: &[(u32, f64)], k: usize) -> f64 {
        let scale = 0.01 * self.length * self.taper;
        let apart = |(a, b): ((u32, f64), (u32, f64))| {
            (scale * f64::from(a.0.abs_diff(b.0))).hypot(a.1 - b.1)
        };
        let wall = corners[k].1;
        let before = k
            .checked_sub(1)
            .map_or(wall, |j| apart((corners[j], corners[k])));
        let behind = corners.get(k + 1).map_or(wall, |&c| apart((corners[k], c)));
        before.min(behind)
    }

    /// Moves the places of a plate evenly, so that it begins behind the dome and leaves room for a
    /// tab, as far as both go.
    fn places(&self, thick: Thick, corners: &[(u32, f64, f64)]) -> impl Fn(u32) -> u32 + use<> {
        let ends = |c: Option<&(u32, f64, f64)>| f64::from(c.map_or(0, |c| c.0));
        let (from, to) = (ends(corners.first()), ends(corners.last()));
        let percent = 100.0 / (self.length * self.taper);
        let (mut low, mut high) = (from, to);
        if let Some(joint) = self.front {
            low = low.max((percent * BEHIND_DOME * (joint.socket() + joint.land)).ceil());
            if thick == Thick::Fin && to < 80.0 {
                high = high.min((100.0 - percent * TAB_ROOM).floor());
            }
        }
        move |at| {
            let part = (f64::from(at) - from) / (to - from);
            (low + part * (high - low)).round() as u32
        }
    }

    /// Lengths of its sections together, mm.
    #[must_use]
    pub fn total(&self) -> f64 {
        // A row shrinks evenly, in steps about an even line.
        f64::from(self.repeat) * self.length * 0.5 * (1.0 + self.taper)
    }
}
