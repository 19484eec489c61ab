//! What a piece that is turned over on two dowels does to the balls on it.
//!
//! Pins and sockets are cut in the first set-up, balls in the second. Where the second lies off the
//! first, a half ball lies off its pins: both halves of a section, glued on their pins, have a step
//! between them. Facts 6.8 to 6.13 (derived there), put together for two places on one piece.
//!
//! Places on a piece: x along the line through both dowels, about which it is turned, from the middle
//! between them; y across, mm. A dowel that plays by s on the diameter lets its hole move by s / 2 any
//! way; both holes keep their distance L, so they move alike along x, and what they move apart across
//! turns the piece by up to s / L. The dowels stand fast in the base: loose there as well, s is the sum.
//!
//! The two halves lie turned half round against each other in plan, and one is turned over when they
//! are glued: what moves the piece across moves both half balls alike and makes no step (so a flip line
//! that is off by e, which shifts by 2 e, makes none), what moves it along makes the step twice, and a
//! turn w makes one of w (y1 + y2) along and w (x1 - x2) across. A ball in one piece is cut from both
//! sides: its step is all that its place moves.

/// Mean of the play along x, as a part of its greatest, when the dowels lie anywhere they can:
/// the chance of u is as 1 - u^2, whose mean size is 3/8 (derived).
const MEAN_ALONG: f64 = 0.375;
/// Places on each axis of the mean over all ways in which dowels lie; 24 keep it within 0.2 % (a test
/// holds that against worked values).
const PLACES: u32 = 24;

/// The dowels of a piece, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FlipPlay {
    /// Their distance L.
    pub span: f64,
    /// How much wider their holes are than they, on the diameter: s.
    pub slip: f64,
}

/// The step between the two halves of a ball.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FlipStep {
    /// At most by the play of the dowels, mm.
    pub worst: f64,
    /// In the mean by that play, mm.
    pub likely: f64,
    /// For each mm by which the flip line is off.
    pub per_line: f64,
    /// For each radian by which the piece is turned; a dowel line askew by w turns it by 2 w (fact
    /// 6.10), mm.
    pub per_turn: f64,
}

impl FlipStep {
    /// Of a ball whose halves lie at the middle of the piece, by dowels of this slip: what a design
    /// that is not laid out is told, mm.
    #[must_use]
    pub fn usual(slip: f64) -> Self {
        FlipStep {
            worst: slip,
            likely: MEAN_ALONG * slip,
            per_line: 0.0,
            per_turn: 0.0,
        }
    }
}

/// Greatest stretch of a vector by [[1, a], [0, b]]: its larger singular value.
fn stretch(a: f64, b: f64) -> f64 {
    let sum = 1.0 + a * a + b * b;
    let root = (sum * sum - 4.0 * b * b).max(0.0).sqrt();
    (0.5 * (sum + root)).sqrt()
}

/// Mean over all ways in which the dowels lie, each as likely: u is the play of both along x, v and w
/// that of the front and the rear one across, as parts of half the slip, u^2 + v^2 and u^2 + w^2 at
/// most 1.
fn mean(size: impl Fn(f64, f64, f64) -> f64) -> f64 {
    let place = |k: u32| (2.0 * f64::from(k) + 1.0) / f64::from(PLACES) - 1.0;
    let (mut sum, mut weight) = (0.0, 0.0);
    for u in (0..PLACES).map(place) {
        let most = (1.0 - u * u).sqrt();
        for v in (0..PLACES).map(place) {
            for w in (0..PLACES).map(place) {
                sum += most * most * size(u, most * v, most * w);
                weight += most * most;
            }
        }
    }
    sum / weight
}

impl FlipPlay {
    /// Most that the holes of the dowels move, mm (fact 6.11).
    #[must_use]
    pub fn shift(&self) -> f64 {
        0.5 * self.slip
    }

    /// Most that the piece turns, radians (fact 6.11).
    #[must_use]
    pub fn turn(&self) -> f64 {
        self.slip / self.span
    }

    /// Most that a place of the piece moves, mm. Both at once, shift and turn are at most what one
    /// dowel leaves of the other's play, so this is less than their sum.
    #[must_use]
    pub fn moves(&self, [x, y]: [f64; 2]) -> f64 {
        let part = 2.0 / self.span;
        self.shift() * stretch(part * y, part * x)
    }

    /// Between half balls at these places of two halves that lie turned against each other.
    #[must_use]
    pub fn between(&self, upper: [f64; 2], lower: [f64; 2]) -> FlipStep {
        let (along, across) = (upper[1] + lower[1], upper[0] - lower[0]);
        let (a, b) = (along / self.span, across / self.span);
        FlipStep {
            worst: self.slip * stretch(a, b),
            likely: self.slip
                * mean(|u, v, w| {
                    let turned = 0.5 * (w - v);
                    (u - a * turned).hypot(b * turned)
                }),
            per_line: 0.0,
            per_turn: along.hypot(across),
        }
    }

    /// Between both sides of a ball in one piece at this place.
    #[must_use]
    pub fn through(&self, at: [f64; 2]) -> FlipStep {
        let [x, y] = at.map(|c| 2.0 * c / self.span);
        FlipStep {
            worst: self.moves(at),
            likely: self.shift()
                * mean(|u, v, w| {
                    let (both, turned) = (0.5 * (v + w), 0.5 * (w - v));
                    (u - y * turned).hypot(both + x * turned)
                }),
            per_line: 2.0,
            per_turn: at[0].hypot(at[1]),
        }
    }
}
