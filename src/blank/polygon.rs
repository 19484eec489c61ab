//! Convex polygons in plan, mm.

/// Shorter edges are left out with their direction, mm: the polygon grows by less than that (habit:
/// no cutter follows a shorter run).
const SHORTEST: f64 = 0.5;

/// An edge of a polygon.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Side {
    /// Where it begins.
    pub from: [f64; 2],
    /// Where it ends.
    pub to: [f64; 2],
    /// Unit vector outwards.
    pub normal: [f64; 2],
}

/// A convex polygon, counter-clockwise.
#[derive(Debug, Clone, PartialEq)]
pub struct Polygon {
    sides: Vec<Side>,
}

fn dot(a: [f64; 2], b: [f64; 2]) -> f64 {
    a[0] * b[0] + a[1] * b[1]
}

/// Angle of a vector from +x, 0 to a full turn.
fn angle(v: [f64; 2]) -> f64 {
    v[1].atan2(v[0]).rem_euclid(std::f64::consts::TAU)
}

/// Where the lines n p = c and m p = d meet (Cramer's rule).
fn meet(n: [f64; 2], c: f64, m: [f64; 2], d: f64) -> [f64; 2] {
    let det = n[0] * m[1] - n[1] * m[0];
    [(c * m[1] - d * n[1]) / det, (d * n[0] - c * m[0]) / det]
}

impl Polygon {
    /// The body within the half planes n p <= c of unit normals n, every one of which touches one
    /// convex body; short sides are left out unless their normal is among `kept`. Normals next to
    /// each other lie less than half a turn apart.
    pub fn of_supports(supports: &[([f64; 2], f64)], kept: &[[f64; 2]]) -> Self {
        let mut planes = supports.to_vec();
        planes.sort_by(|a, b| angle(a.0).total_cmp(&angle(b.0)));
        planes.dedup_by(|a, b| a.0 == b.0);
        loop {
            let sides = sides(&planes);
            let short = |k: &usize| {
                let s = &sides[*k];
                let along = [-s.normal[1], s.normal[0]];
                let length = dot(along, s.to) - dot(along, s.from);
                length < SHORTEST && !kept.contains(&s.normal)
            };
            match (0..sides.len()).find(short) {
                Some(k) if planes.len() > 3 => drop(planes.remove(k)),
                _ => return Polygon { sides },
            }
        }
    }

    /// Its sides in order.
    pub fn sides(&self) -> &[Side] {
        &self.sides
    }

    /// Its corners in order.
    pub fn corners(&self) -> impl Iterator<Item = [f64; 2]> {
        self.sides.iter().map(|s| s.from)
    }

    /// After half a turn about the origin.
    #[must_use]
    pub fn turned(&self) -> Self {
        self.mapped(|[x, y]| [-x, -y], false)
    }

    /// Its image in the x axis.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        self.mapped(|[x, y]| [x, -y], true)
    }

    fn mapped(&self, map: impl Fn([f64; 2]) -> [f64; 2], mirror: bool) -> Self {
        let moved = self.sides.iter().map(|s| {
            let (from, to) = (map(s.from), map(s.to));
            let (from, to) = if mirror { (to, from) } else { (from, to) };
            Side {
                from,
                to,
                normal: map(s.normal),
            }
        });
        let mut sides: Vec<Side> = moved.collect();
        if mirror {
            sides.reverse();
        }
        Polygon { sides }
    }

    /// Least and greatest x and y.
    pub fn bounds(&self) -> [[f64; 2]; 2] {
        let none = [[f64::INFINITY; 2], [f64::NEG_INFINITY; 2]];
        self.corners().fold(none, |[low, high], p| {
            [
                [low[0].min(p[0]), low[1].min(p[1])],
                [high[0].max(p[0]), high[1].max(p[1])],
            ]
        })
    }

    /// Area and length of the border.
    pub fn area_and_border(&self) -> (f64, f64) {
        self.sides.iter().fold((0.0, 0.0), |(area, border), s| {
            let cross = s.from[0] * s.to[1] - s.from[1] * s.to[0];
            let length = (s.to[0] - s.from[0]).hypot(s.to[1] - s.from[1]);
            (area + 0.5 * cross, border + length)
        })
    }

    /// How far it reaches in a direction.
    pub fn support(&self, n: [f64; 2]) -> f64 {
        let far = self.corners().map(|p| dot(n, p));
        far.fold(f64::NEG_INFINITY, f64::max)
    }

    /// Distance of a place; 0 within.
    pub fn distance(&self, p: [f64; 2]) -> f64 {
        let beyond = |s: &Side| dot(s.normal, p) - dot(s.normal, s.from);
        if self.sides.iter().all(|s| beyond(s) <= 0.0) {
            return 0.0;
        }
        let near = self.sides.iter().map(|s| {
            let (d, e) = (
                [s.to[0] - s.from[0], s.to[1] - s.from[1]],
                [p[0] - s.from[0], p[1] - s.from[1]],
            );
            let t = (dot(d, e) / dot(d, d)).clamp(0.0, 1.0);
            (e[0] - t * d[0]).hypot(e[1] - t * d[1])
        });
        near.fold(f64::INFINITY, f64::min)
    }

    /// Area of all places within `radius` of it: A + p r + pi r^2 (Steiner's formula).
    pub fn area_within(&self, radius: f64) -> f64 {
        let (area, border) = self.area_and_border();
        area + border * radius + std::f64::consts::PI * radius * radius
    }

    /// Corners of the Minkowski sum with another polygon, counter-clockwise: their edges in the
    /// order of their directions.
    pub fn sum(&self, other: &Polygon) -> Vec<[f64; 2]> {
        let lowest = |p: &Polygon| {
            let corners: Vec<_> = p.corners().collect();
            let low = |a: &usize, b: &usize| {
                let (a, b) = (corners[*a], corners[*b]);
                a[1].total_cmp(&b[1]).then(a[0].total_cmp(&b[0]))
            };
            (0..corners.len()).min_by(low).unwrap_or(0)
        };
        let (i, j) = (lowest(self), lowest(other));
        let edges = |p: &Polygon, first: usize| -> Vec<[f64; 2]> {
            let count = p.sides.len();
            let side = |k: usize| p.sides[(first + k) % count];
            (0..count)
                .map(|k| {
                    let s = side(k);
                    [s.to[0] - s.from[0], s.to[1] - s.from[1]]
                })
                .collect()
        };
        let mut all = [edges(self, i), edges(other, j)].concat();
        all.sort_by(|a, b| angle(*a).total_cmp(&angle(*b)));
        let (a, b) = (self.sides[i].from, other.sides[j].from);
        let mut at = [a[0] + b[0], a[1] + b[1]];
        all.iter()
            .map(|edge| {
                let corner = at;
                at = [at[0] + edge[0], at[1] + edge[1]];
                corner
            })
            .collect()
    }
}

fn sides(planes: &[([f64; 2], f64)]) -> Vec<Side> {
    let count = planes.len();
    let corner = |k: usize| {
        let ((n, c), (m, d)) = (planes[k % count], planes[(k + 1) % count]);
        meet(n, c, m, d)
    };
    (0..count)
        .map(|k| Side {
            from: corner(k + count - 1),
            to: corner(k),
            normal: planes[k].0,
        })
        .collect()
}

/// From where to where along x the places within `radius` of a convex body reach at a height y;
/// nothing where they do not reach it. `corners` run counter-clockwise.
pub fn across(corners: &[[f64; 2]], radius: f64, y: f64) -> Option<(f64, f64)> {
    let mut range = (f64::INFINITY, f64::NEG_INFINITY);
    let mut take = |x: f64| range = (range.0.min(x), range.1.max(x));
    for (k, &a) in corners.iter().enumerate() {
        let rise = y - a[1];
        if rise.abs() <= radius {
            let reach = (radius * radius - rise * rise).sqrt();
            take(a[0] - reach);
            take(a[0] + reach);
        }
        // The edge, moved outwards by the radius.
        let b = corners[(k + 1) % corners.len()];
        let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
        let length = dx.hypot(dy);
        if dy != 0.0 {
            let part = (rise + radius * dx / length) / dy;
            if (0.0..=1.0).contains(&part) {
                take(a[0] + part * dx + radius * dy / length);
            }
        }
    }
    (range.0 <= range.1).then_some(range)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// The polygon round a cloud of places, in `count` directions.
    fn round(places: &[[f64; 2]], count: usize) -> Polygon {
        let supports: Vec<_> = (0..count)
            .map(|k| {
                let a = std::f64::consts::TAU * k as f64 / count as f64;
                let n = [a.cos(), a.sin()];
                let far = places.iter().map(|p| dot(n, *p));
                (n, far.fold(f64::NEG_INFINITY, f64::max))
            })
            .collect();
        Polygon::of_supports(&supports, &[])
    }

    fn cloud() -> impl Strategy<Value = Vec<[f64; 2]>> {
        let place = (-40.0..40.0, -20.0..20.0).prop_map(|(x, y)| [x, y]);
        proptest::collection::vec(place, 3..20)
    }

    /// Distance of two convex polygons by all pairs of corners and edges; 0 when they overlap.
    fn distance(a: &Polygon, b: &Polygon, shift: [f64; 2]) -> f64 {
        let at = |p: [f64; 2]| [p[0] + shift[0], p[1] + shift[1]];
        let outside = |p: &Polygon, q: &[[f64; 2]]| {
            let apart = p.sides().iter().map(|s| {
                let near = q.iter().map(|c| dot(s.normal, *c));
                near.fold(f64::INFINITY, f64::min) - dot(s.normal, s.from)
            });
            apart.fold(f64::NEG_INFINITY, f64::max)
        };
        let moved: Vec<_> = b.corners().map(at).collect();
        let own: Vec<_> = a.corners().collect();
        let back: Vec<_> = own
            .iter()
            .map(|c| [c[0] - shift[0], c[1] - shift[1]])
            .collect();
        if outside(a, &moved) < 0.0 && outside(b, &back) < 0.0 {
            return 0.0;
        }
        let to_edge = |p: [f64; 2], a: [f64; 2], b: [f64; 2]| {
            let (d, e) = ([b[0] - a[0], b[1] - a[1]], [p[0] - a[0], p[1] - a[1]]);
            let t = (dot(d, e) / dot(d, d)).clamp(0.0, 1.0);
            (e[0] - t * d[0]).hypot(e[1] - t * d[1])
        };
        let mut least = f64::INFINITY;
        for (p, q) in [(&own, &moved), (&moved, &own)] {
            for &c in p.iter() {
                for k in 0..q.len() {
                    least = least.min(to_edge(c, q[k], q[(k + 1) % q.len()]));
                }
            }
        }
        least
    }

    proptest! {
        #[test]
        fn it_holds_every_place(places in cloud()) {
            let polygon = round(&places, 24);
            for side in polygon.sides() {
                for p in &places {
                    prop_assert!(dot(side.normal, *p) <= dot(side.normal, side.from) + 1e-9);
                }
            }
        }

        #[test]
        fn at_the_end_of_the_range_they_are_as_far_apart_as_asked(
            a in cloud(), b in cloud(), y in -60.0..60.0f64, apart in 0.5..20.0f64
        ) {
            let (a, b) = (round(&a, 24), round(&b, 16));
            let sum = a.sum(&b.turned());
            if let Some((low, high)) = across(&sum, apart, y) {
                for x in [low, high] {
                    prop_assert!((distance(&a, &b, [x, y]) - apart).abs() < 1e-7);
                }
                prop_assert!(distance(&a, &b, [0.5 * (low + high), y]) <= apart + 1e-7);
                prop_assert!(distance(&a, &b, [low - 1.0, y]) > apart);
                prop_assert!(distance(&a, &b, [high + 1.0, y]) > apart);
            } else {
                prop_assert!(distance(&a, &b, [0.0, y]) >= apart - 1e-7);
            }
        }
    }
}
