//! Names of what is kept apart.

use std::fmt;

/// Which end of a section.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Facing {
    /// The end at x = 0.
    Front,
    /// The end at x = length.
    Rear,
}

impl Facing {
    /// Both, front first.
    pub const BOTH: [Facing; 2] = [Facing::Front, Facing::Rear];

    fn name(self) -> &'static str {
        match self {
            Facing::Front => "front",
            Facing::Rear => "rear",
        }
    }
}

/// A feature of a half. Pin holes are numbered from 1 as the half lists them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Feature {
    /// Sphere of a socket, up to its mouth.
    Socket(Facing),
    /// Circle in which socket and flare meet.
    Mouth(Facing),
    /// Cone of a flare, from the mouth to the end face.
    Flare(Facing),
    /// Edge of a flare in its end face.
    FlareEdge(Facing),
    /// Ball, with its fillet.
    Ball(Facing),
    /// Neck where it stands on its end face.
    Neck(Facing),
    /// Walls and floor of a pin hole.
    PinHole(usize),
    /// Floor of a pin hole.
    PinFloor(usize),
    /// Chamfer at the mouth of a pin hole.
    PinChamfer(usize),
    /// Glue groove round a socket.
    Groove(Facing),
    /// Strokes of a mark, numbered from 1.
    Mark(usize),
    /// A plate, numbered from 1 as the half lists them.
    Plate(usize),
    /// A tab, numbered from 1 as the half lists them.
    Tab(usize),
    /// An eye, numbered from 1 as the half lists them.
    Eye(usize),
    /// A flat of the skin, numbered from 1 as the half lists them.
    Flat(usize),
    /// The line in which rim and skin meet.
    RimTop,
    /// The glue face.
    SplitFace,
    /// Outer form above the rim.
    Skin,
    /// Leaning band beside the split plane.
    Rim,
    /// End face: plane or dome.
    EndFace(Facing),
    /// Outline of an end face: the ends of skin and rim.
    Outline(Facing),
    /// The zone beside a domed face in which the body is round.
    RoundZone(Facing),
}

impl Feature {
    /// The end at which it lies, if at one.
    pub fn facing(self) -> Option<Facing> {
        match self {
            Feature::Socket(at)
            | Feature::Mouth(at)
            | Feature::Flare(at)
            | Feature::FlareEdge(at)
            | Feature::Ball(at)
            | Feature::Neck(at)
            | Feature::EndFace(at)
            | Feature::Groove(at)
            | Feature::Outline(at)
            | Feature::RoundZone(at) => Some(at),
            Feature::PinHole(_)
            | Feature::PinFloor(_)
            | Feature::PinChamfer(_)
            | Feature::Mark(_)
            | Feature::Plate(_)
            | Feature::Tab(_)
            | Feature::Eye(_)
            | Feature::Flat(_)
            | Feature::RimTop
            | Feature::SplitFace
            | Feature::Skin
            | Feature::Rim => None,
        }
    }
}

impl fmt::Display for Feature {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Feature::Socket(at) => write!(f, "{} socket", at.name()),
            Feature::Mouth(at) => write!(f, "mouth of the {} socket", at.name()),
            Feature::Flare(at) => write!(f, "{} flare", at.name()),
            Feature::FlareEdge(at) => write!(f, "edge of the {} flare", at.name()),
            Feature::Ball(at) => write!(f, "{} ball", at.name()),
            Feature::Neck(at) => write!(f, "{} neck", at.name()),
            Feature::PinHole(n) => write!(f, "pin hole {n}"),
            Feature::PinFloor(n) => write!(f, "floor of pin hole {n}"),
            Feature::PinChamfer(n) => write!(f, "chamfer of pin hole {n}"),
            Feature::Groove(at) => write!(f, "{} glue groove", at.name()),
            Feature::Mark(n) => write!(f, "mark {n}"),
            Feature::Plate(n) => write!(f, "plate {n}"),
            Feature::Tab(n) => write!(f, "tab {n}"),
            Feature::Eye(n) => write!(f, "eye {n}"),
            Feature::Flat(n) => write!(f, "flat {n}"),
            Feature::RimTop => f.write_str("top of the rim"),
            Feature::SplitFace => f.write_str("split face"),
            Feature::Skin => f.write_str("skin"),
            Feature::Rim => f.write_str("rim"),
            Feature::EndFace(at) => write!(f, "{} face", at.name()),
            Feature::RoundZone(at) => write!(f, "round zone beside the {} face", at.name()),
            Feature::Outline(at) => write!(f, "outline of the {} face", at.name()),
        }
    }
}

/// A number that a message can name, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Named {
    /// Plain name, as `socket radius`.
    pub name: &'static str,
    /// Value, mm.
    pub value: f64,
}

/// The wood between two features.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ligament {
    /// The two features.
    pub between: (Feature, Feature),
    /// Least distance, mm; negative when they cross.
    pub gap: f64,
    /// Middle of the wood where it is thinnest.
    pub at: [f64; 3],
    /// The two numbers that make the gap what it is.
    pub numbers: [Named; 2],
    /// Whether `gap` is proven to within [`crate::clear::DISTANCE_TOLERANCE`].
    pub proven: bool,
}
