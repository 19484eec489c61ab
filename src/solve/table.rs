//! The best that closed forms allow, for every ball diameter in steps of the printed precision.

use super::group::Group;
use crate::chain::DOME_PART;
use crate::chain::joint::budget::{Feel, clearance_for, losses, sums};
use crate::chain::joint::{
    Joint, JointDefaults, JointKey, JointWish, SWING_AGREEMENT, SWING_USUAL, SocketFace,
    mouth_for_swing, neck_for_swing, solve, usual_capture,
};
use crate::clear::half::{HABIT_SLACK, LEAST_HABIT};

/// Radii go in steps of half the shop's printed precision of 0.01 mm.
const STEPS: f64 = 200.0;
/// Noise of a division, in steps.
const NOISE: f64 = 1e-6;

/// A joint that closed forms allow; radii, mm and radians.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Candidate {
    pub ball: f64,
    pub neck: f64,
    pub mouth: f64,
    pub clearance: f64,
    pub land: f64,
    pub swing: f64,
}

impl Candidate {
    /// Stands in where there is none; closed forms refuse it.
    pub const NONE: Candidate = Candidate {
        ball: 0.0,
        neck: 0.0,
        mouth: 0.0,
        clearance: 0.0,
        land: 0.0,
        swing: 0.0,
    };
}

/// The radius of a diameter in hundredths.
pub(super) fn radius(steps: usize) -> f64 {
    // At most some 20,000 hundredths.
    #[allow(clippy::cast_precision_loss)]
    let steps = steps as f64;
    steps / STEPS
}

fn up(radius: f64) -> f64 {
    (radius * STEPS - NOISE).ceil() / STEPS
}

fn down(radius: f64) -> f64 {
    (radius * STEPS + NOISE).floor() / STEPS
}

/// A plain length up to the printed precision.
fn up_length(mm: f64) -> f64 {
    (mm * 100.0 - NOISE).ceil() / 100.0
}

/// The candidates by ball diameter in hundredths; none where closed forms forbid one.
#[derive(Debug, Clone)]
pub(super) struct Table {
    pub rows: Vec<Option<Candidate>>,
    /// The swing that is wanted, or the most without a warning.
    pub target: f64,
}

impl Table {
    /// The whole table of a group.
    pub fn of(group: &Group<'_>) -> Table {
        let (target, balls) = Self::asked(group);
        Table {
            rows: balls.map(|ball| group.candidate(ball, target)).collect(),
            target,
        }
    }

    /// The first row that closed forms allow.
    pub fn smallest(group: &Group<'_>) -> Option<Candidate> {
        let (target, mut balls) = Self::asked(group);
        balls.find_map(|ball| group.candidate(ball, target))
    }

    /// The swing that is wanted, and the radii of all balls.
    fn asked(group: &Group<'_>) -> (f64, impl Iterator<Item = f64>) {
        let seat = group.seats[0];
        let asked = seat.wish.swing.unwrap_or(SWING_USUAL);
        let target = seat.wish.flare.map_or(asked, |f| f.min(asked));
        let (first, last) = match seat.wish.ball {
            Some(ball) => ((ball * STEPS).round(), (ball * STEPS).round()),
            None => {
                let most = group.seats.iter().map(|s| s.body).fold(100.0, f64::min);
                (up(seat.defaults.least_neck) * STEPS, (most * STEPS).floor())
            }
        };
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // Small and positive.
        let (first, last) = (first.max(1.0) as usize, last.max(1.0) as usize);
        // A written ball need not be a whole number of steps.
        let written = seat.wish.ball;
        let balls = (first..=last).map(move |steps| written.unwrap_or_else(|| radius(steps)));
        (target, balls)
    }

    pub fn get(&self, row: usize) -> Option<Candidate> {
        self.rows.get(row).copied().flatten()
    }

    /// How good a row is: its swing, up to the target; within the agreement of written sizes that
    /// counts as reached.
    pub fn swing(&self, row: usize) -> Option<f64> {
        let swing = self.get(row)?.swing;
        Some(match swing >= self.target - SWING_AGREEMENT {
            true => self.target,
            false => swing,
        })
    }

    /// The best row: the widest swing, and of equal ones the smallest ball, which leaves most wood.
    pub fn best(&self) -> Option<usize> {
        let rows = (0..self.rows.len()).filter_map(|r| Some((r, self.swing(r)?)));
        let best = rows.reduce(|a, b| if b.1 > a.1 { b } else { a });
        best.map(|(row, _)| row)
    }
}

impl Group<'_> {
    /// The best joint with this ball.
    fn candidate(&self, ball: f64, target: f64) -> Option<Candidate> {
        let seat = self.seats[0];
        let mut clearance = self.first_clearance(ball, target);
        let mut found = None;
        // Ball and swing enter what a feel wants.
        for _ in 0..3 {
            let one = self.with_clearance(ball, clearance, target)?;
            found = Some(one);
            match seat.feel.filter(|_| seat.wish.clearance.is_none()) {
                Some(feel) => clearance = self.felt(&one, feel)?,
                None => break,
            }
        }
        found
    }

    fn first_clearance(&self, ball: f64, swing: f64) -> f64 {
        let seat = self.seats[0];
        let usual = seat.wish.clearance.unwrap_or(seat.defaults.clearance);
        if !seat.finds(JointKey::Clearance) || seat.feel.is_some() {
            return usual;
        }
        // The shop's own, unless more than that is likely lost.
        let lost = sums(&losses(ball, ball + usual, swing, &seat.making)).1;
        usual.max(up_length(lost))
    }

    /// The clearance that the resolver gives a feel.
    fn felt(&self, one: &Candidate, feel: Feel) -> Option<f64> {
        let seat = self.seats[0];
        let mut wish = self.wish(one);
        wish.clearance = None;
        for _ in 0..4 {
            let joint = solve(&wish, &seat.defaults, seat.face).ok()?.joint;
            wish.clearance = Some(clearance_for(feel, joint.ball, joint.swing, &seat.making));
        }
        wish.clearance
    }

    /// The wishes that make a candidate.
    fn wish(&self, one: &Candidate) -> JointWish {
        JointWish {
            ball: Some(one.ball),
            neck: Some(one.neck),
            mouth: Some(one.mouth),
            clearance: Some(one.clearance),
            land: Some(one.land),
            swing: None,
            ..self.seats[0].wish
        }
    }

    fn with_clearance(&self, ball: f64, clearance: f64, target: f64) -> Option<Candidate> {
        let seat = self.seats[0];
        let land = self.land(ball + clearance)?;
        let fillet = seat.wish.fillet.unwrap_or(seat.defaults.fillet);
        let neck = match (seat.wish.neck, seat.wish.mouth) {
            (Some(neck), _) => neck,
            // A written mouth leaves the neck that keeps the swing within the target.
            (None, Some(mouth)) => {
                let neck = neck_for_swing(ball, clearance, mouth, fillet, target).unwrap_or(0.0);
                up(seat.defaults.least_neck.max(neck))
            }
            (None, None) => up(seat.defaults.least_neck),
        };
        let mut one = Candidate {
            ball,
            neck,
            mouth: 0.0,
            clearance,
            land,
            swing: 0.0,
        };
        one.mouth = match seat.wish.mouth {
            Some(mouth) => mouth,
            None => self.mouth(&one, fillet, target)?,
        };
        let joint = self.joint(&one, &seat.defaults)?;
        one.swing = joint.swing;
        let wanted = seat
            .wish
            .swing
            .is_none_or(|w| (joint.swing - w).abs() <= SWING_AGREEMENT);
        (wanted && self.rings(&joint)).then_some(one)
    }

    /// The ring of wood round the mouth: written, or the wood's; `auto` also as thick as a domed end
    /// needs it. Nothing when the dome is too small.
    fn land(&self, socket: f64) -> Option<f64> {
        let seat = self.seats[0];
        let domed = self.seats.iter().filter(|s| s.face == SocketFace::Domed);
        let need = domed
            .map(|s| s.end / DOME_PART - socket)
            .fold(0.0, f64::max);
        let usual = seat.wish.land.unwrap_or(seat.defaults.land);
        if seat.finds(JointKey::Land) {
            return Some(usual.max(up_length(need)));
        }
        (usual + 1e-9 >= need).then_some(usual)
    }

    /// The widest mouth: to the target, holding the ball as is usual, with wood round the flare.
    fn mouth(&self, one: &Candidate, fillet: f64, target: f64) -> Option<f64> {
        let stem = crate::chain::joint::Stem {
            ball: one.ball,
            neck: one.neck,
            fillet,
        };
        let held = one.ball - usual_capture(one.ball);
        let swung = mouth_for_swing(&stem, one.clearance, target).unwrap_or(one.ball);
        let widest = down(held.min(swung));
        let fits = |mouth: f64| {
            let joint = self.joint(&Candidate { mouth, ..*one }, &self.seats[0].defaults);
            joint.is_some_and(|j| self.rings(&j))
        };
        if widest <= one.neck || fits(widest) {
            return (widest > one.neck).then_some(widest);
        }
        // A narrower mouth has a narrower flare, so more wood round it.
        let (mut low, mut high) = (one.neck + one.clearance, widest);
        for _ in 0..24 {
            let middle = 0.5 * (low + high);
            if fits(middle) {
                low = middle
            } else {
                high = middle
            }
        }
        let mouth = down(low);
        fits(mouth).then_some(mouth)
    }

    fn joint(&self, one: &Candidate, defaults: &JointDefaults) -> Option<Joint> {
        let solved = solve(&self.wish(one), defaults, self.seats[0].face);
        solved.ok().map(|s| s.joint)
    }

    /// Whether every end keeps the wood round the flare's edge. In a dome both circles lie on it and
    /// their distance is the chord; a flat end is judged by its exact distance later, here without
    /// its lean.
    fn rings(&self, joint: &Joint) -> bool {
        let least = self.seats[0].walls.land.max(LEAST_HABIT) - HABIT_SLACK;
        let (x, edge) = joint.flare_edge();
        self.seats.iter().all(|seat| match seat.face {
            SocketFace::Domed => {
                let dome = joint.depth();
                let far = ((dome - seat.end) * (dome + seat.end)).max(0.0).sqrt();
                edge < seat.end && (x - far).hypot(seat.end - edge) >= least
            }
            SocketFace::Flat => seat.room - edge >= least + self.ring,
        })
    }
}
