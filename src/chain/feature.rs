//! What a section carries beside its ends and pins: plates, tabs, eyes, flats, grooves, marks.
//!
//! Section frame; the lower half sees y with its sign changed. All lengths in mm.

use super::form::Side;

/// A long side of a section, in the section's frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Flank {
    /// y < 0.
    Minus,
    /// y > 0.
    Plus,
}

impl Flank {
    /// Both, y < 0 first.
    pub const BOTH: [Flank; 2] = [Flank::Minus, Flank::Plus];

    /// The other one.
    #[must_use]
    pub fn other(self) -> Self {
        match self {
            Flank::Minus => Flank::Plus,
            Flank::Plus => Flank::Minus,
        }
    }

    /// -1 or 1.
    pub fn sign(self) -> f64 {
        match self {
            Flank::Minus => -1.0,
            Flank::Plus => 1.0,
        }
    }

    /// As a half on `side` sees it: the lower half is turned about x.
    #[must_use]
    pub fn seen_from(self, side: Side) -> Self {
        match side {
            Side::Upper => self,
            Side::Lower => self.other(),
        }
    }
}

/// A corner of a plate's plan outline.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlateCorner {
    /// Place along x of the foot on the outline at the split plane.
    pub x: f64,
    /// How far it stands out of that foot, along the rim's ruling in plan (the plan normal where
    /// the ruling is upright).
    pub out: f64,
    /// Radius of the rounding in plan.
    pub radius: f64,
}

/// A flat fin or foot standing out of the rim, half of it in each half of the section. Its walls
/// are upright. The first and the last wall lie in the vertical planes through the rim's rulings
/// at the first and the last corner's x.
#[derive(Debug, Clone, PartialEq)]
pub struct Plate {
    /// Where it stands.
    pub flank: Flank,
    /// Thickness in each half, below the rim's height.
    pub half_thickness: f64,
    /// Corners from front to rear, at least two.
    pub corners: Vec<PlateCorner>,
    /// Width of the 45 degree chamfer along the outer edge; 0 for none.
    pub ease: f64,
}

/// What a tab stands out of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TabRoot {
    /// The rim, where no plate is.
    Rim,
    /// A straight outer edge of a plate: the number of the plate among those of the tab's flank,
    /// from 0, which is the same in both halves.
    Plate(usize),
}

/// A tab: bridge over the window that is cut round the part, in both halves alike.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tab {
    /// Where it stands.
    pub flank: Flank,
    /// What it stands out of.
    pub on: TabRoot,
    /// Middle along x, on the outline at the split plane or on the plate's edge.
    pub x: f64,
    /// Width along x.
    pub width: f64,
    /// Underside over the split plane; 0 in a whole section, whose tab lies at mid-height.
    pub from: f64,
    /// Top over the split plane, below the rim's height or the upright part of the plate's edge.
    pub to: f64,
    /// How far its front and its rear side reach out of the outline, on a plate straight along y
    /// from the outermost place of its root: as far as the window is wide.
    pub length: [f64; 2],
}

/// An eye: round pocket in the outer form, upright walls, flat floor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Eye {
    /// Half that carries it.
    pub side: Side,
    /// Place along x.
    pub x: f64,
    /// Place across, section frame.
    pub y: f64,
    /// Radius.
    pub radius: f64,
    /// From the outer form at its centre down to the floor.
    pub depth: f64,
}

/// A flat on the outer form of one half, as a belly that the creature stands on: a rectangle
/// about the middle line, parallel to the split plane.
///
/// The outline's height on that half is `height` at its stations at both ends of `level` and at
/// all between. The skin leans along x by at most the height times the tangent of the lean, so
/// `level` reaches at least so far beyond the rectangle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Flat {
    /// Half that carries it.
    pub side: Side,
    /// Where the rectangle begins along x.
    pub from: f64,
    /// Where it ends.
    pub to: f64,
    /// Half of its width.
    pub half_width: f64,
    /// Its height over the split plane.
    pub height: f64,
    /// Stations, by x, between which the outline is level.
    pub level: (f64, f64),
}

/// A groove for squeezed-out glue round a socket, in the split face of both halves: an arc with
/// round ends about the socket's centre, open towards the mouth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Groove {
    /// The socket's centre along x.
    pub x: f64,
    /// Direction of the mouth along x, -1 in front, 1 at the rear.
    pub mouth: f64,
    /// Radius of the groove's middle line.
    pub radius: f64,
    /// Half of its width.
    pub half_width: f64,
    /// Depth.
    pub depth: f64,
    /// Half of the angle about the centre, from the mouth's direction, that stays free of it
    /// (to the end of the middle line), radians.
    pub free: f64,
}

/// A stroke of a mark: an open path in plan of constant width with round ends and outer corners.
#[derive(Debug, Clone, PartialEq)]
pub struct Stroke {
    /// Middle line, at least two points (x, y) in the half's own frame.
    pub path: Vec<[f64; 2]>,
}

/// A mark cut into the split face of one half, to be read with the split face up.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// Half that carries it.
    pub side: Side,
    /// What it says, such as `<7`: an arrow to the front, and the section's number.
    pub text: String,
    /// Strokes in the half's own frame; they do not touch each other.
    pub strokes: Vec<Stroke>,
    /// Half of a stroke's width.
    pub half_width: f64,
    /// Depth.
    pub depth: f64,
}

/// All of a section's features; the default is none.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Features {
    /// Fins and feet.
    pub plates: Vec<Plate>,
    /// Tabs of the held body.
    pub tabs: Vec<Tab>,
    /// Eyes.
    pub eyes: Vec<Eye>,
    /// Flats.
    pub flats: Vec<Flat>,
    /// Glue grooves.
    pub grooves: Vec<Groove>,
    /// Marks.
    pub marks: Vec<Mark>,
    /// Width of the 45 degree chamfer at the pin holes' mouths; 0 for none.
    pub pin_chamfer: f64,
}

impl Features {
    /// Those that the half on `side` carries, in its own frame (the lower half turned about x).
    /// Tabs belong to the held body alone.
    #[must_use]
    pub fn of_half(&self, side: Side, held: bool) -> Self {
        let sign = match side {
            Side::Upper => 1.0,
            Side::Lower => -1.0,
        };
        let mut own = self.clone();
        own.eyes.retain(|e| e.side == side);
        own.flats.retain(|f| f.side == side);
        own.marks.retain(|m| m.side == side);
        // Once a half, always the upper one of its own frame: equal halves must be equal values.
        own.eyes.iter_mut().for_each(|e| {
            e.y *= sign;
            e.side = Side::Upper;
        });
        own.flats.iter_mut().for_each(|f| f.side = Side::Upper);
        own.marks.iter_mut().for_each(|m| m.side = Side::Upper);
        own.plates
            .iter_mut()
            .for_each(|p| p.flank = p.flank.seen_from(side));
        own.tabs
            .iter_mut()
            .for_each(|t| t.flank = t.flank.seen_from(side));
        own.plates.sort_by_key(|p| p.flank);
        own.tabs.sort_by_key(|t| t.flank);
        if !held {
            own.tabs.clear();
        }
        own
    }
}
