//! Plates: fins and feet with upright walls, a level top and an eased outer edge where wanted.

use std::f64::consts::FRAC_PI_4;

use truck_modeling::{InnerSpace, Vector3};

use super::ledge;
use super::rim::{RimOf, Stand, Standing, corner};
use super::shape::{Edge, FaceKind, Surface, Vertex};
use super::weave::{NotClosed, Weave, arc, frame, line};
use crate::chain::{Plate, Tab};
use crate::skin::plan::{Corner, Way, direction, plate_path, rounded};

/// A level ring of the outline: its corners and the edges between them.
struct Level {
    at: Vec<Vertex>,
    edges: Vec<Edge>,
}

/// The outline in plan with the eased part of it.
struct Outline {
    corners: Vec<Corner>,
    /// Corners between which the outer edge is eased, both included.
    eased: Option<(usize, usize)>,
    ease: f64,
}

impl Outline {
    fn of(rim: &RimOf<'_>, plate: &Plate) -> Self {
        let radii: Vec<f64> = plate.corners.iter().map(|c| c.radius).collect();
        let corners = rounded(&plate_path(rim.side, plate), &radii);
        let last = corners.len() - 2;
        Outline {
            eased: (plate.ease > 0.0 && last > 1).then_some((1, last)),
            ease: plate.ease,
            corners,
        }
    }

    /// Outward normal in plan on the way from a corner.
    fn normal_from(&self, k: usize) -> [f64; 2] {
        let (p, q) = (self.corners[k].at, self.corners[k + 1].at);
        match self.corners[k].way {
            Way::Line => {
                let d = direction(p, q);
                [d[1], -d[0]]
            }
            Way::Left { centre, .. } => direction(centre, p),
            Way::Right { centre, .. } => direction(p, centre),
        }
    }

    /// Normal at a corner: that of the wall before it, which is tangent to the arc behind it. Where the
    /// outline is so nearly straight that it has no arc, the eased run ends with its own last wall.
    fn normal_at(&self, k: usize) -> [f64; 2] {
        let ends = self.eased.is_some_and(|(_, to)| to == k);
        match self.corners[k].way {
            Way::Line if ends && self.corners[k - 1].way == Way::Line => self.normal_from(k - 1),
            Way::Line => self.normal_from(k),
            _ => self.normal_from(k - 1),
        }
    }

    /// The corner moved inwards by the ease: between two straight walls by both, along their mitre.
    fn inset(&self, k: usize) -> [f64; 2] {
        let p = self.corners[k].at;
        let within = self.eased.is_some_and(|(from, to)| from < k && k < to);
        let straight = self.corners[k].way == Way::Line && self.corners[k - 1].way == Way::Line;
        let n = if within && straight {
            let (a, b) = (self.normal_from(k - 1), self.normal_from(k));
            let sum = 1.0 + a[0] * b[0] + a[1] * b[1];
            [(a[0] + b[0]) / sum, (a[1] + b[1]) / sum]
        } else {
            self.normal_at(k)
        };
        [p[0] - self.ease * n[0], p[1] - self.ease * n[1]]
    }

    fn is_eased(&self, wall: usize) -> bool {
        self.eased.is_some_and(|(a, b)| (a..b).contains(&wall))
    }
}

/// Adds the faces of a plate and of the tabs that stand on it.
///
/// # Errors
/// [`NotClosed`] when a tab does not stand on a straight wall, or on a fault of topology.
pub(super) fn plate(
    weave: &mut Weave,
    rim: &RimOf<'_>,
    plate: &Plate,
    tabs: &[&Tab],
) -> Result<Stand, NotClosed> {
    let side = rim.side;
    let x = |c: Option<&crate::chain::PlateCorner>| c.map_or(0.0, |c| c.x);
    let u = [x(plate.corners.first()), x(plate.corners.last())].map(|x| side.u_of_x(x));
    let outline = Outline::of(rim, plate);
    let (top, count) = (plate.half_thickness, outline.corners.len());
    let shoulder = top - plate.ease;
    // The first and the last corner lie on the rim: up their rulings, not over their feet.
    let level = |z: f64| -> Vec<Vertex> {
        (0..count)
            .map(|k| match k {
                0 => corner(rim, side.point(u[0], z)),
                k if k + 1 == count => corner(rim, side.point(u[1], z)),
                k => {
                    let [x, y] = outline.corners[k].at;
                    corner(rim, [x, y, z])
                }
            })
            .collect()
    };
    let foot = ring(rim, &outline, level(0.0), 0.0);
    let upper = ring(rim, &outline, level(top), top);
    let eased = Eased::of(rim, &outline, top, &upper);
    let uprights: Vec<Edge> = (0..count)
        .map(|k| {
            let high = eased.as_ref().map_or(&upper.at[k], |e| e.low(k, &upper));
            line(&foot.at[k], high)
        })
        .collect();
    let held = ledge::held(rim, plate, tabs)?;
    let mut split = Vec::new();
    for k in 0..count - 1 {
        let below = ledge::foot(weave, rim, &held, k, &foot.edges[k])?;
        split.extend(below.split);
        let mut edges = below.wall;
        edges.push(uprights[k + 1].clone());
        match &eased {
            Some(e) if outline.is_eased(k) => edges.push(e.shoulder(k).inverse()),
            _ => {
                // Beside an eased run the wall rises over the shoulder's corner.
                if let Some(step) = eased.as_ref().and_then(|e| e.step(k + 1)) {
                    edges.push(step.clone());
                }
                edges.push(upper.edges[k].inverse());
                if let Some(step) = eased.as_ref().and_then(|e| e.step(k)) {
                    edges.push(step.inverse());
                }
            }
        }
        edges.push(uprights[k].inverse());
        let (surface, outside) = wall(rim, &outline, k, &foot.at[k]);
        let loops = std::iter::once(edges).chain(below.windows).collect();
        rim.face(weave, FaceKind::PlateWall, surface, outside, loops)?;
    }
    let mut over = match &eased {
        None => upper.edges.clone(),
        Some(eased) => eased.faces(weave, rim, &outline, &upper, shoulder)?,
    };
    let back = rim.level(&upper.at[0], &upper.at[count - 1], (u[0], u[1]), top);
    over.push(back.inverse());
    let place = (upper.at[0].point(), [0.0, 0.0, 1.0]);
    rim.plane(weave, FaceKind::PlateTop, place, over)?;
    Ok(Stand {
        from: u[0],
        to: u[1],
        kind: Standing::Notch {
            rim: vec![uprights[0].clone(), back, uprights[count - 1].inverse()],
            split,
        },
    })
}

/// Edges of the outline between given corners.
fn ring(rim: &RimOf<'_>, outline: &Outline, at: Vec<Vertex>, z: f64) -> Level {
    let edges = (0..at.len() - 1)
        .map(|k| edge(rim, outline.corners[k].way, (&at[k], &at[k + 1]), z))
        .collect();
    Level { at, edges }
}

fn edge(rim: &RimOf<'_>, way: Way, (a, b): (&Vertex, &Vertex), z: f64) -> Edge {
    // A left turn at y < 0 is one about z; its image turns the other way.
    let up = Vector3::unit_z() * -rim.sign;
    match way {
        Way::Line => line(a, b),
        Way::Left { centre, .. } => arc(a, b, rim.plan(centre, z), up),
        Way::Right { centre, .. } => arc(a, b, rim.plan(centre, z), -up),
    }
}

/// Upright wall from a corner on, and whether its surface's normal points out of the wood.
fn wall(rim: &RimOf<'_>, outline: &Outline, k: usize, foot: &Vertex) -> (Surface, bool) {
    let normal = rim.way(outline.normal_from(k));
    let up = Vector3::unit_z();
    let round = |centre: [f64; 2], radius: f64| {
        let centre = rim.plan(centre, 0.0);
        Surface::Cylinder {
            frame: frame(centre, up, (foot.point() - centre).normalize()),
            radius,
        }
    };
    match outline.corners[k].way {
        Way::Line => (Surface::Plane(frame(foot.point(), normal, up)), true),
        Way::Left { centre, radius } => (round(centre, radius), true),
        Way::Right { centre, radius } => (round(centre, radius), false),
    }
}

/// The 45 degree chamfer along a part of the outer edge.
struct Eased {
    from: usize,
    to: usize,
    /// Its lower edge, on the walls.
    low: Level,
    /// Its upper edge, on the top.
    high: Level,
    /// From the shoulder up to the top at both ends of the chamfer.
    steps: [Edge; 2],
}

impl Eased {
    fn of(rim: &RimOf<'_>, outline: &Outline, top: f64, upper: &Level) -> Option<Self> {
        let (from, to) = outline.eased?;
        let shoulder = top - outline.ease;
        let part = |z: f64, inner: bool| -> Level {
            let at: Vec<Vertex> = (from..=to)
                .map(|k| {
                    let [x, y] = if inner {
                        outline.inset(k)
                    } else {
                        outline.corners[k].at
                    };
                    corner(rim, [x, y, z])
                })
                .collect();
            let edges = (from..to)
                .map(|k| {
                    let ends = (&at[k - from], &at[k - from + 1]);
                    edge(rim, outline.corners[k].way, ends, z)
                })
                .collect();
            Level { at, edges }
        };
        let (low, high) = (part(shoulder, false), part(top, true));
        let steps = [
            line(&low.at[0], &upper.at[from]),
            line(&low.at[to - from], &upper.at[to]),
        ];
        Some(Eased {
            from,
            to,
            low,
            high,
            steps,
        })
    }

    /// The upper end of the upright at a corner.
    fn low<'a>(&'a self, k: usize, upper: &'a Level) -> &'a Vertex {
        if (self.from..=self.to).contains(&k) {
            &self.low.at[k - self.from]
        } else {
            &upper.at[k]
        }
    }

    fn shoulder(&self, k: usize) -> &Edge {
        &self.low.edges[k - self.from]
    }

    /// The step at a corner, if the chamfer ends there.
    fn step(&self, k: usize) -> Option<&Edge> {
        match k {
            k if k == self.from => Some(&self.steps[0]),
            k if k == self.to => Some(&self.steps[1]),
            _ => None,
        }
    }

    /// Adds chamfer and the facets at its ends; returns the outer edges of the plate's top.
    fn faces(
        &self,
        weave: &mut Weave,
        rim: &RimOf<'_>,
        outline: &Outline,
        upper: &Level,
        shoulder: f64,
    ) -> Result<Vec<Edge>, NotClosed> {
        let slopes: Vec<Edge> = (0..self.low.at.len())
            .map(|i| line(&self.low.at[i], &self.high.at[i]))
            .collect();
        for k in self.from..self.to {
            let i = k - self.from;
            let edges = vec![
                self.low.edges[i].clone(),
                slopes[i + 1].clone(),
                self.high.edges[i].inverse(),
                slopes[i].inverse(),
            ];
            let (surface, outside) = self.slope(rim, outline, k, shoulder);
            rim.face(weave, FaceKind::PlateEase, surface, outside, vec![edges])?;
        }
        // Along the top at both ends, from its corner to the chamfer's.
        let last = self.low.at.len() - 1;
        let ends = [
            line(&upper.at[self.from], &self.high.at[0]),
            line(&self.high.at[last], &upper.at[self.to]),
        ];
        let normal = |k: usize| outline.normal_at(k);
        // The way along the outline: the normal turned to the left.
        let ahead = |n: [f64; 2], sign: f64| [-n[1] * sign, n[0] * sign, 0.0];
        let facet = vec![
            slopes[0].clone(),
            ends[0].inverse(),
            self.steps[0].inverse(),
        ];
        let place = (self.low.at[0].point(), ahead(normal(self.from), 1.0));
        rim.plane(weave, FaceKind::PlateEase, place, facet)?;
        let facet = vec![
            self.steps[1].clone(),
            ends[1].inverse(),
            slopes[last].inverse(),
        ];
        let place = (self.low.at[last].point(), ahead(normal(self.to), -1.0));
        rim.plane(weave, FaceKind::PlateEase, place, facet)?;
        let mut over = upper.edges[..self.from].to_vec();
        over.push(ends[0].clone());
        over.extend(self.high.edges.iter().cloned());
        over.push(ends[1].clone());
        over.extend(upper.edges[self.to..].iter().cloned());
        Ok(over)
    }

    /// Surface of the chamfer from a corner on.
    fn slope(
        &self,
        rim: &RimOf<'_>,
        outline: &Outline,
        k: usize,
        shoulder: f64,
    ) -> (Surface, bool) {
        let up = Vector3::unit_z();
        let foot = self.low.at[k - self.from].point();
        let cone = |centre: [f64; 2], z: f64, radius: f64, axis: Vector3| {
            let origin = rim.plan(centre, z);
            Surface::Cone {
                frame: frame(origin, axis, foot - rim.plan(centre, foot.z)),
                radius,
                half_angle: FRAC_PI_4,
            }
        };
        match outline.corners[k].way {
            Way::Line => {
                let normal = rim.way(outline.normal_from(k)) + up;
                (Surface::Plane(frame(foot, normal, up)), true)
            }
            // Narrower above.
            Way::Left { centre, radius } => {
                let top = shoulder + outline.ease;
                (cone(centre, top, radius - outline.ease, -up), true)
            }
            // Wider above.
            Way::Right { centre, radius } => (cone(centre, shoulder, radius, up), false),
        }
    }
}
