//! Where a socket opens into the relief groove.
//!
//! The groove ends on the upright plane across the joint's axis through the two places where the mouth
//! meets the split plane, and the flare goes on to that plane. Before a domed end the mouth's circle lies
//! in it anyway; before a leaning end the flare is longer by a wedge in which the finished half has no
//! wood. Beside that circle the plane is a wall from the split plane to the groove's floor, over the floor
//! a wall in front of the hollow. At the floor's height flare and socket are divided, so that every part
//! of the flare has four sides.

use std::f64::consts::PI;

use truck_modeling::{InnerSpace, Point3, Vector3};

use super::relief::Post;
use super::shape::{Arc, Curve, Edge, Face, FaceKind, Half, Surface, Vertex, Wire};
use super::weave::{NotClosed, Weave, frame, line, vertex};

/// A mouth, all edges from its first corner to its last.
pub(super) struct Mouth {
    /// Unit vector into the groove.
    out: Vector3,
    /// Along the groove's floor: one edge, or three where it divides the circle.
    pub chord: Vec<Edge>,
    /// The half circle in the plane of the mouth.
    circle: Vec<Edge>,
    /// The half circle in which flare and socket meet.
    inner: Vec<Edge>,
    /// Of the flare: from the one half circle to the other.
    rulings: Vec<Edge>,
}

impl Mouth {
    /// Between the corners where a hollow begins and ends.
    ///
    /// # Errors
    /// [`NotClosed`] when the hollow has no flare of four edges.
    pub fn of(body: &Half, (first, last): (&Post, &Post), floor: f64) -> Result<Self, NotClosed> {
        let (a, b) = (&first.foot, &last.foot);
        let [home, ring, back] = beyond(body, a, b)?;
        let (p, q) = (a.point(), b.point());
        let (radius, over) = (0.5 * (q - p).magnitude(), floor - p.z);
        let crown = radius > over;
        let places = if crown {
            let t = (over / radius).asin();
            vec![0.0, t, PI - t, PI]
        } else {
            vec![0.0, PI]
        };
        let circle = half_circle((a, b), &places, crown.then_some(floor));
        let inner = if crown {
            half_circle((back.front(), home.back()), &places, None)
        } else {
            vec![ring.inverse()]
        };
        let mut rulings = vec![back.inverse()];
        let pairs = circle.iter().zip(&inner).skip(1);
        rulings.extend(pairs.map(|(c, d)| line(c.front(), d.front())));
        rulings.push(home);
        let mut stops = vec![first.top.clone()];
        stops.extend(circle.iter().skip(1).map(|c| c.front().clone()));
        stops.push(last.top.clone());
        Ok(Mouth {
            out: Vector3::unit_z().cross(q - p).normalize(),
            chord: stops.windows(2).map(|s| line(&s[0], &s[1])).collect(),
            circle,
            inner,
            rulings,
        })
    }

    /// Adds the walls in the plane of the mouth.
    ///
    /// # Errors
    /// [`NotClosed`] on a fault of topology.
    pub fn faces(&self, weave: &mut Weave, (first, last): (&Post, &Post)) -> Result<(), NotClosed> {
        let origin = first.foot.point();
        let mut add = |out: Vector3, round: Vec<Edge>| {
            let plane = Surface::Plane(frame(origin, out, Vector3::unit_z()));
            weave.face(FaceKind::ReliefWall, plane, true, vec![round])
        };
        let (up, down) = (first.down.inverse(), last.down.clone());
        match (self.chord.as_slice(), self.circle.as_slice()) {
            ([left, over, right], [rise, crown, fall]) => {
                add(self.out, vec![up, left.clone(), rise.inverse()])?;
                add(self.out, vec![fall.inverse(), right.clone(), down])?;
                add(-self.out, vec![over.clone(), crown.inverse()])
            }
            ([over], [circle]) => add(self.out, vec![up, over.clone(), down, circle.inverse()]),
            _ => Err(NotClosed("a mouth of other pieces".to_owned())),
        }
    }

    /// Whether a flare belongs to this mouth.
    pub fn is_of(&self, flare: &Face) -> bool {
        let own = |e: &Edge| self.rulings.iter().any(|r| r.id() == e.id());
        flare.boundaries().iter().any(|w| w.edge_iter().any(own))
    }

    /// Adds the flare up to the plane of the mouth.
    ///
    /// # Errors
    /// [`NotClosed`] on a fault of topology.
    pub fn flare(&self, weave: &mut Weave, flare: &Face) -> Result<(), NotClosed> {
        for (k, (c, d)) in self.circle.iter().zip(&self.inner).enumerate() {
            let round = vec![
                c.clone(),
                self.rulings[k + 1].clone(),
                d.inverse(),
                self.rulings[k].inverse(),
            ];
            let (surface, outside) = (flare.surface(), flare.orientation());
            weave.face(FaceKind::Flare, surface, outside, vec![round])?;
        }
        Ok(())
    }

    /// The socket with its border divided as the flare is; another socket stays as it is.
    ///
    /// # Errors
    /// [`NotClosed`] on a fault of topology.
    pub fn socket(&self, face: &Face) -> Result<Face, NotClosed> {
        let (Some(first), Some(last)) = (self.inner.first(), self.inner.last()) else {
            return Ok(face.clone());
        };
        let (a, b) = (first.front(), last.back());
        let edges = |edge: &Edge| -> Vec<Edge> {
            if edge.front() == a && edge.back() == b {
                self.inner.clone()
            } else if edge.front() == b && edge.back() == a {
                self.inner.iter().rev().map(Edge::inverse).collect()
            } else {
                vec![edge.clone()]
            }
        };
        let wires = face.absolute_boundaries().iter();
        let wires = wires.map(|wire| wire.edge_iter().flat_map(edges).collect::<Wire>());
        let mut new =
            Face::try_new(wires.collect(), face.surface()).map_err(|e| NotClosed(e.to_string()))?;
        if !face.orientation() {
            new.invert();
        }
        Ok(new)
    }
}

/// The other edges of the flare that opens between two corners, in its loop's order behind the mouth:
/// into the hollow, back along the socket, and out again.
fn beyond(body: &Half, a: &Vertex, b: &Vertex) -> Result<[Edge; 3], NotClosed> {
    let faces = body.solid.face_iter().zip(&body.kinds);
    for (face, _) in faces.filter(|(_, kind)| **kind == FaceKind::Flare) {
        let boundaries = face.boundaries();
        let [wire] = boundaries.as_slice() else {
            continue;
        };
        let edges: Vec<Edge> = wire.edge_iter().cloned().collect();
        let mouth = |e: &Edge| e.front() == a && e.back() == b;
        if let (Some(k), 4) = (edges.iter().position(mouth), edges.len()) {
            return Ok([1, 2, 3].map(|j| edges[(k + j) % 4].clone()));
        }
    }
    Err(NotClosed("a hollow without a flare".to_owned()))
}

/// The half circle over two points of the split plane, upright across the line between them, from place
/// to place in radians; `height` is that of the places between the first and the last, where it is known.
fn half_circle((a, b): (&Vertex, &Vertex), places: &[f64], height: Option<f64>) -> Vec<Edge> {
    let (p, q) = (a.point(), b.point());
    let centre = p + (q - p) * 0.5;
    let arc = |range: (f64, f64)| Arc {
        centre,
        a: p - centre,
        b: Vector3::unit_z() * (p - centre).magnitude(),
        range,
    };
    let between = places[1..places.len() - 1].iter().map(|&t| {
        let at = arc((0.0, PI)).at(t);
        vertex(Point3::new(at.x, at.y, height.unwrap_or(at.z)))
    });
    let mut stops = vec![a.clone()];
    stops.extend(between);
    stops.push(b.clone());
    let pieces = stops.windows(2).zip(places.windows(2));
    pieces
        .map(|(v, t)| Edge::new(&v[0], &v[1], Curve::Arc(arc((t[0], t[1])))))
        .collect()
}
