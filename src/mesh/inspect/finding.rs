//! What an inspected mesh can be found guilty of.

use std::fmt;

/// One fault, the triangles that have it, and a place to look at.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// What is wrong.
    pub fault: Fault,
    /// The triangles, by their number in the input, ascending. Empty for a fault of the whole
    /// mesh.
    pub triangles: Vec<u32>,
    /// A point of the fault in the mesh's own millimetres, good to float32 rounding; none when
    /// the fault has no place.
    pub place: Option<[f64; 3]>,
}

/// Kinds of fault, in the order in which findings are listed.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub enum Fault {
    /// A triangle names a position that does not exist.
    NoSuchPosition {
        /// The number it names.
        index: u32,
    },
    /// A coordinate is infinite or not a number.
    NotFinite,
    /// The same corner is written with 0 and with -0: a reader that welds by bits splits it.
    SignedZero,
    /// The corners lie on one line or coincide.
    ZeroArea,
    /// Two triangles have the same three corners, either way round.
    Repeated,
    /// An edge is used by one triangle only.
    OpenEdge,
    /// An edge is used by more than two triangles.
    CrowdedEdge {
        /// How many.
        uses: u32,
    },
    /// An edge is used twice in the same direction: one of the two triangles is turned over.
    OneWayEdge,
    /// Several fans of triangles meet in one corner, as two bodies that touch in a point.
    PinchedCorner,
    /// The enclosed volume is not positive beyond its rounding error.
    NoVolume {
        /// Signed volume, mm^3.
        volume: f64,
    },
    /// Two triangles have a point in common that is no common corner or common edge.
    Meeting(Meeting),
}

/// How two triangles meet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Meeting {
    /// Corners the two have in common: 0, 1 or 2.
    pub common: u8,
    /// In which way.
    pub way: Way,
}

/// In which way two triangles meet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Way {
    /// They touch: no edge of one passes through the inside of the other.
    Touch,
    /// They lie in one plane and have more in common than they may.
    Plane,
    /// An edge of one passes through the inside of the other.
    Cross,
}

impl Fault {
    /// Place in the listing.
    pub(super) fn rank(&self) -> u8 {
        match self {
            Fault::NoSuchPosition { .. } => 0,
            Fault::NotFinite => 1,
            Fault::SignedZero => 2,
            Fault::ZeroArea => 3,
            Fault::Repeated => 4,
            Fault::OpenEdge => 5,
            Fault::CrowdedEdge { .. } => 6,
            Fault::OneWayEdge => 7,
            Fault::PinchedCorner => 8,
            Fault::NoVolume { .. } => 9,
            Fault::Meeting(_) => 10,
        }
    }
}

impl Finding {
    /// A finding with its triangles put in order.
    pub(super) fn new(
        fault: Fault,
        triangles: impl Into<Vec<u32>>,
        place: Option<[f64; 3]>,
    ) -> Finding {
        let mut triangles = triangles.into();
        triangles.sort_unstable();
        Finding {
            fault,
            triangles,
            place,
        }
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Fault::NoSuchPosition { index } => {
                write!(f, "names position {index}, which is missing")
            }
            Fault::NotFinite => f.write_str("has a coordinate that is not a finite number"),
            Fault::SignedZero => f.write_str("has a corner written with 0 and with -0"),
            Fault::ZeroArea => f.write_str("has no area"),
            Fault::Repeated => f.write_str("have the same three corners"),
            Fault::OpenEdge => f.write_str("has an edge with no neighbour"),
            Fault::CrowdedEdge { uses } => write!(f, "share an edge that is used {uses} times"),
            Fault::OneWayEdge => f.write_str("run along their common edge the same way"),
            Fault::PinchedCorner => f.write_str("meet in one corner only, as separate fans"),
            Fault::NoVolume { volume } => write!(f, "encloses no positive volume ({volume} mm3)"),
            Fault::Meeting(m) => m.fmt(f),
        }
    }
}

impl fmt::Display for Meeting {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self.way {
            Way::Touch => "touch",
            Way::Plane => "overlap in one plane",
            Way::Cross => "cross",
        })?;
        match self.common {
            0 => f.write_str(" without a common corner"),
            1 => f.write_str(" beyond their common corner"),
            _ => f.write_str(" beyond their common edge"),
        }
    }
}
