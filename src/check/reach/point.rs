//! What cutters leave at one place of a surface.
//!
//! The normal depth of leftover at a place is its distance to the nearest surface that a cutter
//! can cut: the least, over all places of the tip, of the distance to the cutter's body. The
//! vertical depth is how far the cut surface stands over it. First the cutter is set where it
//! would touch the place; only when it cannot stand there is the least searched by shrinking
//! steps from several starts, each with a bound on its work. A search may end too high, never too
//! low, so both depths are upper bounds as far as the mesh goes.
//!
//! Facets stand off a hollow surface by the mesh's deviation and make corners that no round
//! cutter fits, so cutters are taken `slack` (the deviation, at least) smaller all round and the
//! depth is given back that much.

use super::cutter::{Profile, Surface};
use super::drop::Ground;

/// Steps of the search end here, mm.
const FINEST: f64 = 1e-4;
/// Normal depth under which a place counts as reached, mm: the search's own step.
pub(super) const REACHED: f64 = 2.0 * FINEST;
/// A step that gains less than this part of itself is none, so that the search does not creep.
const LEAST_GAIN: f64 = 2e-3;
/// Beyond the cutter's edge the vertical depth grows by so much per mm: a fence for the search.
const FENCE: f64 = 10.0;
/// Places that one search looks at, at most.
const MOST_TRIES: usize = 600;
/// Directions in which the search starts.
const WAYS: usize = 8;

/// A place of a surface and its outward unit normal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Place {
    pub at: [f64; 3],
    pub normal: [f64; 3],
}

/// A cutter over a ground, and what it may cut into the mesh.
pub(super) struct Cutting<'a> {
    pub ground: &'a Ground,
    pub cutter: Profile,
    /// The cutter made thinner by the slack.
    pub thin: Surface,
    /// Tip height of the surroundings' wood alone at a place.
    pub stock: &'a (dyn Fn([f64; 2]) -> f64 + Sync),
    pub slack: f64,
}

impl Cutting<'_> {
    /// Tip height of the full cutter when the mesh may be cut into by the slack.
    fn tip(&self, at: [f64; 2]) -> f64 {
        let tip = self.ground.tip(&self.thin, at) - self.slack;
        tip.max((self.stock)(at))
    }

    fn normal_at(&self, place: &Place, at: [f64; 2]) -> f64 {
        let [x, y, z] = place.at;
        let r = (x - at[0]).hypot(y - at[1]);
        self.cutter.distance(r, z - self.tip(at)) + self.slack
    }

    fn vertical_at(&self, place: &Place, at: [f64; 2]) -> f64 {
        let [x, y, z] = place.at;
        let r = (x - at[0]).hypot(y - at[1]);
        let radius = self.cutter.radius();
        let beyond = FENCE * (r - radius).max(0.0);
        self.tip(at) + self.cutter.height(r.min(radius)) - z + self.slack + beyond
    }

    /// Where the axis stands when the cutter touches the place with its own normal.
    fn contact(&self, place: &Place) -> [f64; 2] {
        let n = place.normal;
        let flat = n[0].hypot(n[1]);
        let by = match self.cutter {
            Profile::Flat { .. } if n[2] > 0.999 || flat == 0.0 => 0.0,
            Profile::Flat { radius } => radius / flat,
            Profile::Ball { tip, taper, .. } if flat > 0.0 => tip * taper.cos().min(flat) / flat,
            Profile::Ball { .. } => 0.0,
        };
        [place.at[0] + by * n[0], place.at[1] + by * n[1]]
    }

    /// A bound of the normal depth left at a place, mm, not below 0, from the places where a search
    /// would start. Under `enough` it is not made any lower.
    pub fn bound(&self, place: &Place, enough: f64) -> f64 {
        let contact = self.contact(place);
        let first = self.normal_at(place, contact);
        if first <= enough {
            return first.max(0.0);
        }
        let measure = |at| self.normal_at(place, at);
        self.starts(place, contact, &measure)[0].0.max(0.0)
    }

    /// Normal depth left at a place, mm, not below 0. A depth of at most `enough` is not searched
    /// any further.
    pub fn normal(&self, place: &Place, enough: f64) -> f64 {
        let contact = self.contact(place);
        let first = self.normal_at(place, contact);
        if first <= enough.max(REACHED) {
            return first.max(0.0);
        }
        let measure = |at| self.normal_at(place, at);
        self.least(place, contact, enough, &measure).0.max(0.0)
    }

    /// Vertical depth left over a place, mm, not below 0.
    pub fn vertical(&self, place: &Place) -> f64 {
        // At a wall's foot only tips beside the place are safe: the nearest cut leads there.
        let near = |at| self.normal_at(place, at);
        let (_, start) = self.least(place, self.contact(place), 0.0, &near);
        let measure = |at| self.vertical_at(place, at);
        let foot = [place.at[0], place.at[1]];
        let by = 0.25 * self.cutter.radius();
        let from = descent((measure(start), start), foot, by, &measure);
        from.0.min(measure(foot)).max(0.0)
    }

    fn least(
        &self,
        place: &Place,
        contact: [f64; 2],
        enough: f64,
        f: &dyn Fn([f64; 2]) -> f64,
    ) -> (f64, [f64; 2]) {
        let starts = self.starts(place, contact, f);
        if starts[0].0 <= enough {
            return starts[0];
        }
        let (foot, by) = ([place.at[0], place.at[1]], 0.25 * self.cutter.radius());
        let [a, b] = [0, 1].map(|k| descent(starts[k], foot, by, f));
        if a.0 <= b.0 { a } else { b }
    }

    /// Places where a search starts with their values, the least first.
    fn starts(
        &self,
        place: &Place,
        contact: [f64; 2],
        f: &dyn Fn([f64; 2]) -> f64,
    ) -> Vec<(f64, [f64; 2])> {
        let radius = self.cutter.radius();
        let foot = [place.at[0], place.at[1]];
        let off = [0, 1].map(|k| foot[k] + 1.02 * (contact[k] - foot[k]));
        let mut starts = vec![(f(contact), contact), (f(off), off), (f(foot), foot)];
        for part in STARTS {
            for way in 0..WAYS {
                let at = step(foot, way, part * radius);
                starts.push((f(at), at));
            }
        }
        starts.sort_by(|a, b| a.0.total_cmp(&b.0));
        starts
    }
}

/// Parts of the radius from the place at which the search starts: under the cutter, beside it
/// where a corner keeps the touching cutter out, and out of a square corner.
const STARTS: [f64; 4] = [0.5, 0.95, 1.02, 1.45];
/// Steps towards and from the place, in parts of the step across: along a hollow wall only a way
/// almost along it leads on.
const ACROSS: [(f64, f64); 20] = {
    let radial = [-1.0, -0.125, -0.015_625, 0.0, 0.015_625, 0.125, 1.0];
    let mut ways = [(0.0, 0.0); 20];
    let (mut n, mut k) = (0, 0);
    while k < 7 {
        if k != 3 {
            ways[n] = (radial[k], 0.0);
            n += 1;
        }
        ways[n] = (radial[k], 1.0);
        ways[n + 1] = (radial[k], -1.0);
        n += 2;
        k += 1;
    }
    ways
};

/// The least that shrinking steps from a start lead to.
fn descent(
    (mut best, mut at): (f64, [f64; 2]),
    foot: [f64; 2],
    mut by: f64,
    f: &dyn Fn([f64; 2]) -> f64,
) -> (f64, [f64; 2]) {
    let mut tries = 0;
    while by > FINEST && best > 0.0 && tries < MOST_TRIES {
        tries += ACROSS.len();
        let rel = [at[0] - foot[0], at[1] - foot[1]];
        let far = rel[0].hypot(rel[1]);
        let w = if far > FINEST {
            rel.map(|c| c / far)
        } else {
            [1.0, 0.0]
        };
        let tried = ACROSS.iter().find_map(|&(radial, across)| {
            let next = [
                at[0] + by * (radial * w[0] - across * w[1]),
                at[1] + by * (radial * w[1] + across * w[0]),
            ];
            let value = f(next);
            (value < best - LEAST_GAIN * by).then_some((value, next))
        });
        match tried {
            Some(next) => (best, at) = next,
            None => by *= 0.5,
        }
    }
    (best, at)
}

fn step(at: [f64; 2], way: usize, by: f64) -> [f64; 2] {
    let (sin, cos) = (way as f64 * std::f64::consts::TAU / WAYS as f64).sin_cos();
    [at[0] + by * cos, at[1] + by * sin]
}
