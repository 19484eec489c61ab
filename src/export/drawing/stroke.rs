//! One piece of a drawn line in plan, in mm, kept by kind.

use std::f64::consts::TAU;

use truck_modeling::{InnerSpace, Vector3};

use crate::brep::shape::{Arc, Curve};

/// A place in plan, mm.
pub type Place = [f64; 2];

/// A spline or an ellipse keeps within this of its polyline, mm: a fifth of what a shop's cutter
/// is measured to (habit).
pub const FLATTENED_WITHIN: f64 = 0.005;
/// Radii and centres that differ by less belong to one circle, mm (rounding noise).
const SAME: f64 = 1e-9;

/// A piece of a drawn line.
#[derive(Debug, Clone, PartialEq)]
pub enum Stroke {
    /// Straight from the first place to the second.
    Line(Place, Place),
    /// A circle arc.
    Arc {
        /// Centre.
        centre: Place,
        /// Radius, mm.
        radius: f64,
        /// Angle of its first place, radians from +x towards +y.
        start: f64,
        /// Angle turned to its last place: positive is counter-clockwise, less than a full turn.
        turn: f64,
    },
    /// A full circle.
    Circle {
        /// Centre.
        centre: Place,
        /// Radius, mm.
        radius: f64,
    },
    /// A curve as a polyline that keeps within [`FLATTENED_WITHIN`] of it.
    Polyline(Vec<Place>),
}

impl Stroke {
    /// A curve seen from above, run forward or backward.
    pub(super) fn of(curve: &Curve, forward: bool) -> Self {
        let stroke = match curve {
            Curve::Line(p, q) => Stroke::Line([p.x, p.y], [q.x, q.y]),
            Curve::Arc(arc) => level_arc(arc).unwrap_or_else(|| ellipse(curve, arc)),
            Curve::Spline(spline) => {
                let mut knots: Vec<f64> = spline.knot_vec().iter().copied().collect();
                knots.dedup();
                Stroke::Polyline(flattened(curve, &knots, |from, to| {
                    steepest(curve, from, to)
                }))
            }
        };
        if forward { stroke } else { stroke.reversed() }
    }

    fn reversed(self) -> Self {
        match self {
            Stroke::Line(p, q) => Stroke::Line(q, p),
            Stroke::Arc {
                centre,
                radius,
                start,
                turn,
            } => Stroke::Arc {
                centre,
                radius,
                start: start + turn,
                turn: -turn,
            },
            Stroke::Circle { .. } => self,
            Stroke::Polyline(mut places) => {
                places.reverse();
                Stroke::Polyline(places)
            }
        }
    }

    /// Its image in the x axis, which is how the body looks after half a turn about that axis.
    pub(super) fn turned(&self) -> Self {
        self.mapped(|p| [p[0], -p[1]], |start| -start, -1.0)
    }

    /// After half a turn about the origin.
    pub(super) fn half_turned(&self) -> Self {
        self.mapped(|p| [-p[0], -p[1]], |start| start + 0.5 * TAU, 1.0)
    }

    /// Moved.
    pub(super) fn shifted(&self, by: Place) -> Self {
        self.mapped(|p| [p[0] + by[0], p[1] + by[1]], |start| start, 1.0)
    }

    /// Under a motion of the plane, given for places and for directions; `sense` is -1 for a mirror.
    fn mapped(
        &self,
        map: impl Fn(Place) -> Place,
        direction: impl Fn(f64) -> f64,
        sense: f64,
    ) -> Self {
        match self {
            Stroke::Line(p, q) => Stroke::Line(map(*p), map(*q)),
            Stroke::Arc {
                centre,
                radius,
                start,
                turn,
            } => Stroke::Arc {
                centre: map(*centre),
                radius: *radius,
                start: direction(*start),
                turn: sense * turn,
            },
            Stroke::Circle { centre, radius } => Stroke::Circle {
                centre: map(*centre),
                radius: *radius,
            },
            Stroke::Polyline(places) => Stroke::Polyline(places.iter().copied().map(map).collect()),
        }
    }

    /// First and last place; those of a circle are the same.
    pub fn ends(&self) -> (Place, Place) {
        let at = on_circle;
        match self {
            Stroke::Line(p, q) => (*p, *q),
            Stroke::Arc {
                centre,
                radius,
                start,
                turn,
            } => (
                at(*centre, *radius, *start),
                at(*centre, *radius, start + turn),
            ),
            Stroke::Circle { centre, radius } => {
                let p = at(*centre, *radius, 0.0);
                (p, p)
            }
            Stroke::Polyline(places) => {
                let end = |p: Option<&Place>| p.copied().unwrap_or([f64::NAN; 2]);
                (end(places.first()), end(places.last()))
            }
        }
    }

    /// The ends of the equal pieces of an arc that each turn by at most a quarter: a reader who makes
    /// the circle from chord and radius, both rounded, is then off by little more than the rounding
    /// (at half a turn by the root of it times the radius). None of what is no arc.
    pub(super) fn quarters(&self) -> Vec<Place> {
        let Stroke::Arc {
            centre,
            radius,
            start,
            turn,
        } = self
        else {
            return Vec::new();
        };
        // Rounding of a half or a quarter turn makes no further piece.
        let count = (turn.abs() / (0.25 * TAU) - SAME).ceil().max(1.0);
        (1..=count as usize)
            .map(|k| on_circle(*centre, *radius, start + turn * k as f64 / count))
            .collect()
    }

    /// Twice the signed area that it adds to a closed line (Green: the integral of x dy - y dx
    /// along it); counter-clockwise counts positive.
    pub(super) fn twice_area(&self) -> f64 {
        let cross = |p: Place, q: Place| p[0] * q[1] - p[1] * q[0];
        match self {
            Stroke::Line(p, q) => cross(*p, *q),
            // Chord and the segment beyond it.
            Stroke::Arc { radius, turn, .. } => {
                let (p, q) = self.ends();
                cross(p, q) + radius * radius * (turn - turn.sin())
            }
            Stroke::Circle { radius, .. } => TAU * radius * radius,
            Stroke::Polyline(places) => places.windows(2).map(|w| cross(w[0], w[1])).sum(),
        }
    }

    /// Places whose box is the stroke's box.
    pub(super) fn extremes(&self) -> Vec<Place> {
        let quarters = |centre: Place, radius: f64, within: &dyn Fn(f64) -> bool| -> Vec<Place> {
            let angles = (0..4).map(|k| f64::from(k) * 0.25 * TAU);
            angles
                .filter(|a| within(*a))
                .map(|a| on_circle(centre, radius, a))
                .collect()
        };
        match self {
            Stroke::Line(p, q) => vec![*p, *q],
            Stroke::Polyline(places) => places.clone(),
            Stroke::Circle { centre, radius } => quarters(*centre, *radius, &|_| true),
            Stroke::Arc {
                centre,
                radius,
                start,
                turn,
            } => {
                let first = if *turn < 0.0 { start + turn } else { *start };
                let passed = |a: f64| (a - first).rem_euclid(TAU) <= turn.abs();
                let mut places = quarters(*centre, *radius, &passed);
                let (p, q) = self.ends();
                places.extend([p, q]);
                places
            }
        }
    }
}

/// Two arcs that make a full circle as that circle, anything else as it is.
pub(super) fn joined(strokes: Vec<Stroke>) -> Vec<Stroke> {
    let [
        Stroke::Arc {
            centre: a,
            radius,
            turn: s,
            ..
        },
        Stroke::Arc {
            centre: b,
            radius: r,
            turn: t,
            ..
        },
    ] = strokes.as_slice()
    else {
        return strokes;
    };
    let same = (a[0] - b[0]).hypot(a[1] - b[1]) < SAME && (radius - r).abs() < SAME;
    if same && ((s + t).abs() - TAU).abs() < SAME {
        return vec![Stroke::Circle {
            centre: *a,
            radius: *radius,
        }];
    }
    strokes
}

/// The place of a circle at an angle.
fn on_circle(centre: Place, radius: f64, angle: f64) -> Place {
    let (sin, cos) = angle.sin_cos();
    [centre[0] + radius * cos, centre[1] + radius * sin]
}

/// The arc as one of a circle in plan, if it is.
fn level_arc(arc: &Arc) -> Option<Stroke> {
    let (a, b) = (arc.a, arc.b);
    let radius = a.magnitude();
    let round = (b.magnitude() - radius).abs() < SAME && a.dot(b).abs() < SAME * radius;
    if !round || a.z.abs().max(b.z.abs()) > SAME {
        return None;
    }
    let sign = (a.x * b.y - a.y * b.x).signum();
    Some(Stroke::Arc {
        centre: [arc.centre.x, arc.centre.y],
        radius,
        start: a.y.atan2(a.x) + sign * arc.range.0,
        turn: sign * (arc.range.1 - arc.range.0),
    })
}

fn ellipse(curve: &Curve, arc: &Arc) -> Stroke {
    let flat = |v: Vector3| v.x.hypot(v.y);
    let most = flat(arc.a).hypot(flat(arc.b));
    let (from, to) = arc.range;
    Stroke::Polyline(flattened(curve, &[from, to], |_, _| most))
}

/// The curve as a polyline: a chord over a step h lies within h^2 / 8 times the greatest second
/// derivative of its curve (error of linear interpolation; textbook form). `most` bounds that
/// derivative between two parameters of `breaks`.
fn flattened(curve: &Curve, breaks: &[f64], most: impl Fn(f64, f64) -> f64) -> Vec<Place> {
    let place = |t: f64| {
        let p = curve.at(t);
        [p.x, p.y]
    };
    let mut places: Vec<Place> = breaks.first().map(|&t| place(t)).into_iter().collect();
    for span in breaks.windows(2) {
        let (from, to) = (span[0], span[1]);
        let steps = (to - from) * (most(from, to) / (8.0 * FLATTENED_WITHIN)).sqrt();
        let count = steps.ceil().max(1.0) as usize;
        places.extend((1..=count).map(|i| place(from + (to - from) * i as f64 / count as f64)));
    }
    places
}

/// Greatest second derivative in plan of a piece of a plain cubic. There the second derivative is
/// linear, so it is greatest at an end; the first one is a parabola and is read inside the piece,
/// since a knot belongs to two pieces. A rational piece, which no drawn edge has, is not bounded.
fn steepest(curve: &Curve, from: f64, to: f64) -> f64 {
    let quarter = 0.25 * (to - from);
    let slope = |k: f64| {
        let d = curve.der(from + k * quarter);
        [d.x, d.y]
    };
    let (low, middle, high) = (slope(1.0), slope(2.0), slope(3.0));
    let at = |end: f64| {
        let d = [0, 1].map(|c| {
            let (b, twice_c) = (0.5 * (high[c] - low[c]), high[c] + low[c] - 2.0 * middle[c]);
            b + end * twice_c
        });
        d[0].hypot(d[1]) / quarter
    };
    at(-2.0).max(at(2.0))
}

#[cfg(test)]
mod tests;
