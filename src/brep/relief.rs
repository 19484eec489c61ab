//! A half as the first set-up leaves it in the stock: all that is cut into its split face, and the
//! relief groove round it down to a level floor. Its outline stands upright to that floor; the finished
//! half leans inwards over it and lies within.

use truck_modeling::{Point3, Vector3};

use super::beside::Beside;
use super::mouth::Mouth;
use super::pocket::{band, ring, wall};
use super::sanding;
use super::shape::{Edge, Face, FaceKind, Half, Surface, Vertex};
use super::weave::{NotClosed, Weave, frame, line, vertex};
use crate::skin::plan::Corner;

/// Faces beside a part of the split face's outline that belongs to a hollow.
const HOLLOW: [FaceKind; 2] = [FaceKind::Flare, FaceKind::Socket];
/// All that is cut from the inside.
const INSIDE: [FaceKind; 9] = [
    FaceKind::Socket,
    FaceKind::Flare,
    FaceKind::PinWall,
    FaceKind::PinFloor,
    FaceKind::PinChamfer,
    FaceKind::GrooveWall,
    FaceKind::GrooveFloor,
    FaceKind::MarkWall,
    FaceKind::MarkFloor,
];

/// A half in its place on the piece, without tabs.
pub(super) struct Cut<'a> {
    /// Its finished body.
    pub body: &'a Half,
    /// Height of its split plane over the face of the stock.
    pub split: f64,
    /// Height of the groove's floor over the same.
    pub floor: f64,
}

/// Where the hollows of a half open on the split plane: both ends of each mouth's diameter. A section in
/// one piece has none.
///
/// # Errors
/// [`NotClosed`] for a half all of whose outline belongs to hollows.
pub fn openings(body: &Half) -> Result<Vec<[Point3; 2]>, NotClosed> {
    let Ok(split) = split_face(body) else {
        return Ok(Vec::new());
    };
    let border = Border::of(body, split)?;
    let ends = |(a, b): (&Vertex, &Vertex)| [a.point(), b.point()];
    Ok(border.hollows().map(|k| ends(border.mouth(k))).collect())
}

/// Adds groove, split face and all that is cut into it; returns the groove's ring on the face of the
/// stock, counter-clockwise from above.
///
/// # Errors
/// [`NotClosed`] on a fault of topology.
pub(super) fn relief(
    weave: &mut Weave,
    cut: &Cut<'_>,
    window: &[Corner],
) -> Result<Vec<Edge>, NotClosed> {
    let split = split_face(cut.body)?;
    if cut.split > 0.0 {
        sanding::lower(weave, split, cut.split)?;
    } else {
        weave.take(split.clone(), FaceKind::SplitFace);
    }
    let border = Border::of(cut.body, split)?;
    let posts: Vec<Post> = border.edges.iter().map(|e| Post::over(e, cut)).collect();
    let mut mouths = Vec::new();
    let mut round = Vec::new();
    for (k, edge) in border.edges.iter().enumerate() {
        let next = (k + 1) % posts.len();
        if !border.hollow[k] {
            round.push(outline_wall(weave, edge, (&posts[k], &posts[next]), cut)?);
        } else if border.begins(k) {
            let ends = (&posts[k], &posts[border.end_of(k)]);
            let mouth = Mouth::of(cut.body, ends, cut.floor)?;
            mouth.faces(weave, ends)?;
            round.extend(mouth.chord.iter().cloned());
            mouths.push(mouth);
        }
    }
    inside(weave, cut.body, &mouths)?;
    let (low, high) = (ring(window, 0.0), ring(window, cut.floor));
    let kind = FaceKind::WindowWall;
    band(weave, kind, (&low, &high), Vec::new(), |edge, k| {
        wall(edge, &window[k].way)
    })?;
    let level = Point3::new(0.0, 0.0, cut.floor);
    let floor = Surface::Plane(frame(level, -Vector3::unit_z(), Vector3::unit_x()));
    let turned = |edges: Vec<Edge>| edges.iter().rev().map(Edge::inverse).collect();
    let loops = vec![turned(high), turned(round)];
    weave.face(FaceKind::ReliefFloor, floor, true, loops)?;
    Ok(low)
}

fn split_face(body: &Half) -> Result<&Face, NotClosed> {
    let mut faces = body.solid.face_iter().zip(&body.kinds);
    let split = faces.find(|(_, kind)| **kind == FaceKind::SplitFace);
    split
        .map(|(face, _)| face)
        .ok_or_else(|| NotClosed("a half without a split face".to_owned()))
}

/// Outline of the split face, clockwise from above.
struct Border {
    edges: Vec<Edge>,
    /// Whether an edge belongs to a hollow.
    hollow: Vec<bool>,
}

impl Border {
    fn of(body: &Half, split: &Face) -> Result<Self, NotClosed> {
        let outer = split.boundaries().into_iter().next().unwrap_or_default();
        let edges: Vec<Edge> = outer.edge_iter().cloned().collect();
        let beside = Beside::of(body);
        let own = |e: &Edge| beside.any(std::slice::from_ref(e), &HOLLOW);
        let hollow: Vec<bool> = edges.iter().map(own).collect();
        if hollow.iter().all(|h| *h) {
            return Err(NotClosed("a split face without an outline".to_owned()));
        }
        Ok(Border { edges, hollow })
    }

    /// Whether a hollow begins with an edge.
    fn begins(&self, k: usize) -> bool {
        let count = self.edges.len();
        self.hollow[k] && !self.hollow[(k + count - 1) % count]
    }

    /// First edges of the hollows.
    fn hollows(&self) -> impl Iterator<Item = usize> {
        (0..self.edges.len()).filter(|&k| self.begins(k))
    }

    /// Number of the corner where the hollow with an edge ends.
    fn end_of(&self, k: usize) -> usize {
        let count = self.edges.len();
        let mut far = k;
        while self.hollow[far] {
            far = (far + 1) % count;
        }
        far
    }

    /// Where the hollow that begins with an edge opens.
    fn mouth(&self, k: usize) -> (&Vertex, &Vertex) {
        let far = self.end_of(k);
        (self.edges[k].front(), self.edges[far].front())
    }
}

/// The upright edge over a corner of the outline.
pub(super) struct Post {
    /// On the split plane.
    pub foot: Vertex,
    /// On the groove's floor.
    pub top: Vertex,
    /// From the top down.
    pub down: Edge,
}

impl Post {
    /// Over the corner from which an edge starts.
    fn over(edge: &Edge, cut: &Cut<'_>) -> Self {
        let foot = edge.front().clone();
        let at = foot.point();
        let top = vertex(Point3::new(at.x, at.y, cut.floor));
        Post {
            down: line(&top, &foot),
            foot,
            top,
        }
    }
}

/// Adds the wall of the groove over an edge of the outline; returns its edge on the groove's floor.
fn outline_wall(
    weave: &mut Weave,
    edge: &Edge,
    (from, to): (&Post, &Post),
    cut: &Cut<'_>,
) -> Result<Edge, NotClosed> {
    let lift = Vector3::new(0.0, 0.0, cut.floor - cut.split);
    let high = sanding::under(edge, (&from.top, &to.top), lift);
    let round = vec![
        high.clone(),
        to.down.clone(),
        edge.inverse(),
        from.down.inverse(),
    ];
    let (surface, outside) = sanding::wall(&high, -lift);
    weave.face(FaceKind::ReliefWall, surface, outside, vec![round])?;
    Ok(high)
}

/// Adds the faces that are cut from the inside, flares up to the planes of their mouths.
fn inside(weave: &mut Weave, body: &Half, mouths: &[Mouth]) -> Result<(), NotClosed> {
    for (face, kind) in body.solid.face_iter().zip(&body.kinds) {
        let own = |m: &&Mouth| *kind == FaceKind::Flare && m.is_of(face);
        if let Some(mouth) = mouths.iter().find(own) {
            mouth.flare(weave, face)?;
        } else if *kind == FaceKind::Socket {
            let mut face = face.clone();
            for mouth in mouths {
                face = mouth.socket(&face)?;
            }
            weave.take(face, *kind);
        } else if INSIDE.contains(kind) {
            weave.take(face.clone(), *kind);
        }
    }
    Ok(())
}
