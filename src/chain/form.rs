//! The resolved creature as plain numbers.
//!
//! Frame of a section: x along the chain from front (x = 0) to rear (x = length), z = 0 the
//! split plane, right-handed, the joint axis is the x axis. The upper half lies in z >= 0.
//! The lower half is the body of z <= 0 *turned* half a turn about x (y and z change sign),
//! so that it too lies in z >= 0 with its split face on z = 0; it is never mirrored.

use super::feature::Features;

/// Pose of the split plane in the toy: a name, not another geometry.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Split {
    /// The split plane lies level: upper and lower halves.
    Level,
    /// The split plane stands upright: left and right halves.
    Upright,
}

/// Which half of a section.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Side {
    /// The half in z >= 0 (upper, or left when the split stands upright).
    Upper,
    /// The half in z <= 0, turned about x (lower, or right).
    Lower,
}

/// A point of the outer form along the body. All in mm; `squareness` is the exponent of the
/// superellipse |y/w|^n + |z/h|^n = 1 (2 is an ellipse).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Station {
    /// Place along x.
    pub x: f64,
    /// Half of the width at the split plane.
    pub half_width: f64,
    /// Height of the upper half.
    pub above: f64,
    /// Height of the lower half.
    pub below: f64,
    /// Superellipse exponent of the section curve above the rim.
    pub squareness: f64,
    /// What it fixes.
    pub knot: Knot,
}

/// What a station fixes of the outer form.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Knot {
    /// All: a point of the outline.
    Point,
    /// The height alone, in the halves whose flat begins or ends there: the curves of all else run
    /// on through it as if it were not there.
    Level {
        /// In the upper half.
        above: bool,
        /// In the lower half.
        below: bool,
    },
}

impl Station {
    /// Height of a half.
    pub fn height(&self, side: Side) -> f64 {
        match side {
            Side::Upper => self.above,
            Side::Lower => self.below,
        }
    }

    /// Height of a half, to be changed.
    pub fn height_mut(&mut self, side: Side) -> &mut f64 {
        match side {
            Side::Upper => &mut self.above,
            Side::Lower => &mut self.below,
        }
    }
}

/// A ball with its neck, standing out of an end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ball {
    /// Ball radius R.
    pub radius: f64,
    /// From the end's datum (x = 0 or x = length) outwards to the ball's centre, along the axis.
    pub reach: f64,
    /// Neck radius n, below R.
    pub neck_radius: f64,
    /// Radius of the fillet between neck and ball; 0 for none.
    pub fillet: f64,
}

/// A socket sunk into an end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Socket {
    /// Socket radius Rs = ball radius + clearance.
    pub radius: f64,
    /// From the end's datum (x = 0 or x = length) inwards to the socket's centre, along the axis.
    pub depth: f64,
    /// Mouth radius a: the circle in which socket and flare meet, towards the end.
    pub mouth_radius: f64,
    /// Half-angle of the flare cone, opening outwards from the mouth circle.
    pub flare: f64,
}

/// What an end carries.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum EndJoint {
    /// Nothing.
    None,
    /// A ball on a neck.
    Ball(Ball),
    /// A socket with mouth and flare.
    Socket(Socket),
}

/// The face of an end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum EndFace {
    /// A plane through the end's datum at z = 0, tilted inwards by the section's lean.
    Flat,
    /// A sphere of this radius about the socket's centre, touching the datum on the axis.
    /// The body is round where it meets the dome (the end station: half width = above = below,
    /// and its x is where that circle lies on the dome).
    Domed {
        /// Dome radius; equals the socket's `depth`.
        radius: f64,
    },
    /// A nose or tip: a small flat end, tilted by the lean, to which the skin is tangent.
    Closed,
}

/// One end of a section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct End {
    /// Form of the face.
    pub face: EndFace,
    /// What it carries.
    pub joint: EndJoint,
}

impl End {
    /// Radius of the ball it carries, 0 without one.
    pub fn ball_radius(&self) -> f64 {
        match self.joint {
            EndJoint::Ball(ball) => ball.radius,
            EndJoint::None | EndJoint::Socket(_) => 0.0,
        }
    }
}

/// A pin hole in the split face; the same pin enters both halves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pin {
    /// Place of the hole's centre along x.
    pub x: f64,
    /// Place across, in the section's frame (the lower half sees -y).
    pub y: f64,
    /// Hole radius (half the slot's width).
    pub radius: f64,
    /// How much longer than wide a slotted hole is, along x; 0 for a round hole.
    pub slot: f64,
    /// Hole depth in the upper half.
    pub depth_above: f64,
    /// Hole depth in the lower half.
    pub depth_below: f64,
}

/// Everything that fixes the shape of a section. Equal forms are built once.
#[derive(Debug, Clone, PartialEq)]
pub struct SectionForm {
    /// Length from the front datum to the rear datum.
    pub length: f64,
    /// Outer form, at least two stations, x strictly increasing. The first and the last lie on
    /// the ends: x = 0 or the dome's circle in front, x = length or the dome's circle at the rear.
    pub outline: Vec<Station>,
    /// Height of the rim, the band beside the split plane.
    pub rim: f64,
    /// Draft of rim and ends away from the cutter axis, radians.
    pub lean: f64,
    /// The end at x = 0.
    pub front: End,
    /// The end at x = length.
    pub rear: End,
    /// Pin holes.
    pub pins: Vec<Pin>,
    /// Cut in one piece from both sides: no split face, no pins, no socket.
    pub whole: bool,
    /// Plates, tabs, eyes, flats, grooves, marks.
    pub features: Features,
}

/// A section in its chain.
#[derive(Debug, Clone, PartialEq)]
pub struct Section {
    /// Number from the front, from 1.
    pub number: usize,
    /// Unique name.
    pub name: String,
    /// Pose of its split plane.
    pub split: Split,
    /// The shape.
    pub form: SectionForm,
    /// Place of the section's datum x = 0 in the straight creature.
    pub x: f64,
}

/// The resolved creature.
#[derive(Debug, Clone, PartialEq)]
pub struct Creature {
    /// Name as written.
    pub name: String,
    /// A body for benches and tests, not for cutting; every output says so.
    pub bench_only: bool,
    /// Wood, and its density in kg/m3 at the shop's moisture.
    pub species: String,
    /// Density in kg/m3.
    pub density: f64,
    /// Sections from front to rear.
    pub sections: Vec<Section>,
}
