//! What cutters leave at one place of a surface.
//!
//! The normal depth of leftover at a place is its distance to the nearest surface that a cutter
//! can cut: the least, over all places of the tip, of the distance to the cutter's body. The
//! vertical depth is how far the cut surface stands over it. First the cutter is set where it
//! would touch the place; only when it cannot stand there is the least searched by shrinking
//! steps in eight directions from several starts. A search may end too high, never too low, so
//! both depths are upper bounds as far as the mesh goes.
//!
//! Facets stand off a hollow surface by the mesh's deviation and make corners that no round
//! cutter fits, so cutters are taken `slack` (the deviation, at least) smaller all round and the
//! depth is given back that much.

use super::cutter::Profile;
use super::drop::Ground;

/// Steps of the search end here, mm.
const FINEST: f64 = 1e-4;
/// Normal depth under which a place counts as reached, mm: the search's own step.
pub(super) const REACHED: f64 = 2.0 * FINEST;
/// Directions of the search.
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
    /// Tip height of the surroundings' wood alone at a place.
    pub stock: &'a (dyn Fn([f64; 2]) -> f64 + Sync),
    pub slack: f64,
}

impl Cutting<'_> {
    /// Tip height of the full cutter when the mesh may be cut into by the slack.
    fn tip(&self, at: [f64; 2]) -> f64 {
        let thin = self.cutter.shrunk(self.slack);
        let tip = self.ground.tip(&thin, at) - self.slack;
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
        if r > self.cutter.radius() {
            return f64::INFINITY;
        }
        self.tip(at) + self.cutter.height(r) - z + self.slack
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

    /// Normal depth left at a place, mm, not below 0.
    pub fn normal(&self, place: &Place) -> f64 {
        let contact = self.contact(place);
        let first = self.normal_at(place, contact);
        if first <= REACHED {
            return first.max(0.0);
        }
        let measure = |at| self.normal_at(place, at);
        self.least(place, contact, &measure).max(0.0)
    }

    /// Vertical depth left over a place, mm, not below 0.
    pub fn vertical(&self, place: &Place) -> f64 {
        let measure = |at| self.vertical_at(place, at);
        self.least(place, self.contact(place), &measure).max(0.0)
    }

    fn least(&self, place: &Place, contact: [f64; 2], f: &dyn Fn([f64; 2]) -> f64) -> f64 {
        let radius = self.cutter.radius();
        let mut starts = vec![(f(contact), contact)];
        for part in [0.0, 0.5, 0.95] {
            for way in 0..if part == 0.0 { 1 } else { WAYS } {
                let at = step([place.at[0], place.at[1]], way, part * radius);
                starts.push((f(at), at));
            }
        }
        starts.sort_by(|a, b| a.0.total_cmp(&b.0));
        let descents = starts[..2].iter().map(|&start| {
            let (mut best, mut by) = (start, 0.25 * radius.max(FINEST));
            while by > FINEST && best.0 > 0.0 {
                let tries = (0..WAYS).map(|way| step(best.1, way, by));
                let next = tries
                    .map(|at| (f(at), at))
                    .min_by(|a, b| a.0.total_cmp(&b.0));
                match next {
                    Some(next) if next.0 < best.0 => best = next,
                    _ => by *= 0.5,
                }
            }
            best.0
        });
        descents.fold(f64::INFINITY, f64::min)
    }
}

fn step(at: [f64; 2], way: usize, by: f64) -> [f64; 2] {
    let (sin, cos) = (way as f64 * std::f64::consts::TAU / WAYS as f64).sin_cos();
    [at[0] + by * cos, at[1] + by * sin]
}

#[cfg(test)]
#[path = "point_tests.rs"]
mod tests;
