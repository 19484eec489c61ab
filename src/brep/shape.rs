//! The exact geometry that edges and faces carry, over truck's topology.
//!
//! truck's own enums have no sphere, cylinder, cone or torus, so faces would reach STEP as
//! splines; these do. Every variant has one stated normal side, and a face turned against it
//! is an inverted truck face.

use truck_modeling::{NurbsCurve, NurbsSurface, ParametricCurve, Point3, Vector3, Vector4};

/// truck vertex of this crate's solids.
pub type Vertex = truck_topology::Vertex<Point3>;
/// truck edge of this crate's solids.
pub type Edge = truck_topology::Edge<Point3, Curve>;
/// truck wire of this crate's solids.
pub type Wire = truck_topology::Wire<Point3, Curve>;
/// truck face of this crate's solids.
pub type Face = truck_topology::Face<Point3, Curve, Surface>;
/// truck shell of this crate's solids.
pub type Shell = truck_topology::Shell<Point3, Curve, Surface>;
/// truck solid of this crate.
pub type Solid = truck_topology::Solid<Point3, Curve, Surface>;

/// Identity of an edge, whichever way it is used.
pub type EdgeId = truck_topology::EdgeID<Curve>;

/// A right-handed orthonormal frame; y is `z.cross(x)`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    /// Origin.
    pub origin: Point3,
    /// Unit x axis.
    pub x: Vector3,
    /// Unit z axis: normal of a plane, axis of a surface of revolution.
    pub z: Vector3,
}

impl Frame {
    /// The y axis.
    pub fn y(&self) -> Vector3 {
        self.z.cross(self.x)
    }
}

/// A circle or ellipse arc: P(t) = centre + a cos t + b sin t for t in `range`, a and b
/// perpendicular, range increasing and shorter than a full turn. |a| = |b| is a circle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Arc {
    /// Centre.
    pub centre: Point3,
    /// First semi-axis, a vector of its length.
    pub a: Vector3,
    /// Second semi-axis.
    pub b: Vector3,
    /// Parameter range in radians, (from, to), from < to.
    pub range: (f64, f64),
}

/// Geometry of an edge, from its front vertex (start of the range) to its back vertex.
#[derive(Debug, Clone, PartialEq)]
pub enum Curve {
    /// Straight from the first point to the second; parameter 0 to 1.
    Line(Point3, Point3),
    /// Circle or ellipse arc.
    Arc(Arc),
    /// Cubic (or lower) B-spline, all weights 1 unless rational; over its whole knot range.
    Spline(NurbsCurve<Vector4>),
}

/// Geometry of a face.
#[derive(Debug, Clone, PartialEq)]
pub enum Surface {
    /// Through the frame's origin; normal = frame.z.
    Plane(Frame),
    /// About the frame's origin; normal away from the centre.
    Sphere {
        /// Centre and axes.
        frame: Frame,
        /// Radius.
        radius: f64,
    },
    /// About frame.z; normal away from the axis.
    Cylinder {
        /// Axis and reference direction.
        frame: Frame,
        /// Radius.
        radius: f64,
    },
    /// About frame.z; radius(h) = radius + h tan(half_angle) at height h over the origin,
    /// half_angle > 0; normal away from the axis.
    Cone {
        /// Axis and reference direction.
        frame: Frame,
        /// Radius at the origin's height.
        radius: f64,
        /// Half-angle, radians.
        half_angle: f64,
    },
    /// About frame.z, tube circle centres at distance `major`; normal out of the tube.
    Torus {
        /// Centre and axis.
        frame: Frame,
        /// Distance of the tube's centre from the axis.
        major: f64,
        /// Tube radius.
        minor: f64,
    },
    /// Tensor-product B-spline, all weights 1 unless rational; normal = dS/du x dS/dv.
    Spline(NurbsSurface<Vector4>),
}

/// What a face is for. Decides its name and colour in STEP, limits in checks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum FaceKind {
    /// The glue face on z = 0.
    SplitFace,
    /// Outer form above the rim.
    Skin,
    /// The leaning band beside the split plane.
    Rim,
    /// Front face: plane, dome or nose end.
    Front,
    /// Rear face.
    Rear,
    /// Socket sphere.
    Socket,
    /// Flare cone.
    Flare,
    /// Ball sphere.
    Ball,
    /// Neck cylinder.
    Neck,
    /// Fillet between neck and ball.
    Fillet,
    /// Wall of a pin hole.
    PinWall,
    /// Floor of a pin hole.
    PinFloor,
    /// 45 degree chamfer at the mouth of a pin hole.
    PinChamfer,
    /// Top of a plate.
    PlateTop,
    /// Upright wall of a plate.
    PlateWall,
    /// Chamfer along the outer edge of a plate.
    PlateEase,
    /// Top of a tab.
    TabTop,
    /// Underside of a tab.
    TabUnderside,
    /// Side or outer end of a tab.
    TabWall,
    /// Wall of an eye.
    EyeWall,
    /// Floor of an eye.
    EyeFloor,
    /// Flat on the outer form.
    Flat,
    /// Wall of a glue groove.
    GrooveWall,
    /// Floor of a glue groove.
    GrooveFloor,
    /// Wall of a mark.
    MarkWall,
    /// Floor of a mark.
    MarkFloor,
    /// Face of a piece of stock, on the side of the split faces or on the other one.
    StockFace,
    /// Side or end of a piece of stock.
    StockSide,
    /// Wall of the window round a part.
    WindowWall,
    /// Wall of a hole for a flip dowel.
    DowelWall,
    /// Wall of the wood that sanding of the split face takes away.
    SandingWall,
    /// Wall of the relief groove round a half.
    ReliefWall,
    /// Floor of the relief groove.
    ReliefFloor,
    /// Upright wall that roughing leaves.
    RoughWall,
    /// Level face that roughing leaves.
    RoughLevel,
}

/// The name of a kind of face, as it stands in STEP files and in the manifest.
pub const fn label(kind: FaceKind) -> &'static str {
    match kind {
        FaceKind::SplitFace => "split face",
        FaceKind::Skin => "skin",
        FaceKind::Rim => "rim",
        FaceKind::Front => "front",
        FaceKind::Rear => "rear",
        FaceKind::Socket => "socket",
        FaceKind::Flare => "flare",
        FaceKind::Ball => "ball",
        FaceKind::Neck => "neck",
        FaceKind::Fillet => "fillet",
        FaceKind::PinWall => "pin wall",
        FaceKind::PinFloor => "pin floor",
        FaceKind::PinChamfer => "pin chamfer",
        FaceKind::PlateTop => "plate top",
        FaceKind::PlateWall => "plate wall",
        FaceKind::PlateEase => "plate ease",
        FaceKind::TabTop => "tab top",
        FaceKind::TabUnderside => "tab underside",
        FaceKind::TabWall => "tab wall",
        FaceKind::EyeWall => "eye wall",
        FaceKind::EyeFloor => "eye floor",
        FaceKind::Flat => "flat",
        FaceKind::GrooveWall => "groove wall",
        FaceKind::GrooveFloor => "groove floor",
        FaceKind::MarkWall => "mark wall",
        FaceKind::MarkFloor => "mark floor",
        FaceKind::StockFace => "stock face",
        FaceKind::StockSide => "stock side",
        FaceKind::WindowWall => "window wall",
        FaceKind::DowelWall => "dowel wall",
        FaceKind::SandingWall => "sanding wall",
        FaceKind::ReliefWall => "relief wall",
        FaceKind::ReliefFloor => "relief floor",
        FaceKind::RoughWall => "rough wall",
        FaceKind::RoughLevel => "rough level",
    }
}

/// One exact body: a half with its split face on z = 0 and its outer side up (z >= 0), or a whole
/// section with its split plane on z = 0.
#[derive(Debug, Clone)]
pub struct Half {
    /// Closed oriented solid with one shell.
    pub solid: Solid,
    /// Kind of each face, in the order of `solid.face_iter()`.
    pub kinds: Vec<FaceKind>,
}

impl Arc {
    /// Point at t.
    pub fn at(&self, t: f64) -> Point3 {
        self.centre + self.a * t.cos() + self.b * t.sin()
    }
}

impl Curve {
    /// Parameter range.
    pub fn range(&self) -> (f64, f64) {
        match self {
            Curve::Line(..) => (0.0, 1.0),
            Curve::Arc(arc) => arc.range,
            Curve::Spline(c) => {
                let k = c.knot_vec();
                (k[0], k[k.len() - 1])
            }
        }
    }

    /// Point at t.
    pub fn at(&self, t: f64) -> Point3 {
        match self {
            Curve::Line(p, q) => p + (q - p) * t,
            Curve::Arc(arc) => arc.at(t),
            Curve::Spline(c) => c.subs(t),
        }
    }

    /// First derivative at t.
    pub fn der(&self, t: f64) -> Vector3 {
        match self {
            Curve::Line(p, q) => q - p,
            Curve::Arc(arc) => arc.b * t.cos() - arc.a * t.sin(),
            Curve::Spline(c) => c.der(t),
        }
    }
}
