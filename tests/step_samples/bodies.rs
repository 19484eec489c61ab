//! Small exact bodies made by hand, one for each kind of surface and curve, each with its
//! volume in closed form.

use limberwood::brep::shape::{Arc, Curve, Edge, Face, FaceKind, Frame, Half, Shell, Solid};
use limberwood::brep::shape::{Surface, Vertex, Wire};
use std::collections::BTreeMap;
use std::f64::consts::{FRAC_PI_2, PI, TAU};
use truck_modeling::{BSplineCurve, BSplineSurface, InnerSpace, KnotVec, NurbsCurve};
use truck_modeling::{NurbsSurface, ParametricCurve, Point3, Vector3, Vector4};

/// A body and what is known of it.
pub struct Sample {
    pub name: String,
    pub half: Half,
    /// Closed form, mm3.
    pub volume: f64,
}

/// Corners by number, edges by (from, to, tag): the tag tells edges between the same corners
/// apart; tag 0 is the straight one.
pub struct Sketch {
    corners: Vec<Vertex>,
    edges: BTreeMap<(usize, usize, u8), Edge>,
    faces: Vec<(FaceKind, Face)>,
}

impl Sketch {
    fn new(corners: &[[f64; 3]]) -> Self {
        Sketch {
            corners: corners.iter().map(|&c| Vertex::new(c.into())).collect(),
            edges: BTreeMap::new(),
            faces: Vec::new(),
        }
    }

    fn put(&mut self, from: usize, to: usize, tag: u8, curve: Curve) {
        let edge = Edge::new(&self.corners[from], &self.corners[to], curve);
        self.edges.insert((from, to, tag), edge);
    }

    /// Arc counter-clockwise about `axis`.
    fn put_arc(&mut self, from: usize, to: usize, tag: u8, centre: [f64; 3], axis: [f64; 3]) {
        let (centre, axis) = (Point3::from(centre), Vector3::from(axis));
        let a = self.corners[from].point() - centre;
        let b = axis.cross(a);
        let end = self.corners[to].point() - centre;
        let angle = end.dot(b).atan2(end.dot(a)).rem_euclid(TAU);
        let range = (0.0, angle);
        self.put(
            from,
            to,
            tag,
            Curve::Arc(Arc {
                centre,
                a,
                b,
                range,
            }),
        );
    }

    fn edge(&mut self, from: usize, to: usize, tag: u8) -> Edge {
        if let Some(edge) = self.edges.get(&(from, to, tag)) {
            return edge.clone();
        }
        if !self.edges.contains_key(&(to, from, tag)) {
            assert_eq!(tag, 0, "a curved edge must be put first");
            let ends = (self.corners[to].point(), self.corners[from].point());
            self.put(to, from, 0, Curve::Line(ends.0, ends.1));
        }
        self.edges[&(to, from, tag)].inverse()
    }

    /// Adds a face. Loops of (corner, tag of the edge that leaves it) run counter-clockwise seen
    /// from outside the body; `same`: the surface's own normal points out of the body.
    fn face(&mut self, kind: FaceKind, loops: &[&[(usize, u8)]], surface: Surface, same: bool) {
        let wires: Vec<Wire> = loops
            .iter()
            .map(|corners| {
                (0..corners.len())
                    .map(|i| {
                        let next = corners[(i + 1) % corners.len()].0;
                        self.edge(corners[i].0, next, corners[i].1)
                    })
                    .collect()
            })
            .collect();
        let face = if same {
            Face::new(wires, surface)
        } else {
            let turned = wires.iter().map(Wire::inverse).collect();
            Face::new(turned, surface).inverse()
        };
        self.faces.push((kind, face));
    }

    fn plane(&mut self, kind: FaceKind, loops: &[&[(usize, u8)]], normal: [f64; 3]) {
        let origin = self.corners[loops[0][0].0].point();
        let z = Vector3::from(normal);
        let x = if z.x.abs() < 0.5 {
            Vector3::unit_x()
        } else {
            Vector3::unit_y()
        };
        let x = (x - z * x.dot(z)).normalize();
        self.face(kind, loops, Surface::Plane(Frame { origin, x, z }), true);
    }

    fn half(self) -> Half {
        let (kinds, faces): (Vec<_>, Vec<_>) = self.faces.into_iter().unzip();
        let shell: Shell = faces.into_iter().collect();
        let solid = Solid::try_new(vec![shell]).expect("a closed shell");
        Half { solid, kinds }
    }
}

fn frame(origin: [f64; 3], z: [f64; 3], x: [f64; 3]) -> Frame {
    Frame {
        origin: origin.into(),
        x: x.into(),
        z: z.into(),
    }
}

/// Box l x 2w x h with a hole of radius r through it along z.
pub fn drilled_box(l: f64, w: f64, h: f64, r: f64) -> Sample {
    let corner = |z| [[0.0, -w, z], [l, -w, z], [l, w, z], [0.0, w, z]];
    let hole = |z| [[l / 2.0 + r, 0.0, z], [l / 2.0 - r, 0.0, z]];
    let all = [&corner(0.0)[..], &corner(h), &hole(0.0), &hole(h)].concat();
    let mut s = Sketch::new(&all);
    for (a, b, z) in [(8, 9, 0.0), (10, 11, h)] {
        s.put_arc(a, b, 1, [l / 2.0, 0.0, z], [0.0, 0.0, 1.0]);
        s.put_arc(b, a, 2, [l / 2.0, 0.0, z], [0.0, 0.0, 1.0]);
    }
    let bottom = [(0, 0), (3, 0), (2, 0), (1, 0)];
    s.plane(
        FaceKind::SplitFace,
        &[&bottom, &[(8, 1), (9, 2)]],
        [0.0, 0.0, -1.0],
    );
    let top = [(4, 0), (5, 0), (6, 0), (7, 0)];
    s.plane(
        FaceKind::Skin,
        &[&top, &[(10, 2), (11, 1)]],
        [0.0, 0.0, 1.0],
    );
    let normals = [
        [0.0, -1.0, 0.0],
        [1.0, 0.0, 0.0],
        [0.0, 1.0, 0.0],
        [-1.0, 0.0, 0.0],
    ];
    for (i, normal) in normals.into_iter().enumerate() {
        let j = (i + 1) % 4;
        let kind = [
            FaceKind::Rim,
            FaceKind::Rear,
            FaceKind::Rim,
            FaceKind::Front,
        ][i];
        s.plane(kind, &[&[(i, 0), (j, 0), (j + 4, 0), (i + 4, 0)]], normal);
    }
    // Each half wall has its generator line on the other side.
    for (a, b, tag, x) in [(8, 9, 1, -1.0), (9, 8, 2, 1.0)] {
        let f = frame([l / 2.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, x, 0.0]);
        let wall = Surface::Cylinder {
            frame: f,
            radius: r,
        };
        let around = [(b, tag), (a, 0), (a + 2, tag), (b + 2, 0)];
        s.face(FaceKind::PinWall, &[&around], wall, false);
    }
    Sample {
        name: "box with a hole".to_string(),
        half: s.half(),
        volume: (2.0 * w * l - PI * r * r) * h,
    }
}

/// Sphere about `centre` with pole and seam outside the part of z >= 0 that is left when the
/// cap on the -x side is cut off.
fn tilted_sphere(centre: [f64; 3], radius: f64, neck: f64) -> Surface {
    let a = (neck / radius).asin() / 2.0;
    let (sin, cos) = a.sin_cos();
    Surface::Sphere {
        frame: frame(centre, [-cos, 0.0, sin], [-sin, 0.0, -cos]),
        radius,
    }
}

/// Half of a ball of radius r less the cap cut by a circle of radius n (closed form of the
/// spherical cap, any handbook).
fn half_ball_volume(r: f64, n: f64) -> f64 {
    let h = r - (r * r - n * n).sqrt();
    (4.0 * PI * r.powi(3) - PI * h * h * (3.0 * r - h)) / 6.0
}

pub fn half_ball(r: f64, n: f64) -> Sample {
    let d = (r * r - n * n).sqrt();
    let mut s = Sketch::new(&[[-d, n, 0.0], [-d, -n, 0.0]]);
    s.put_arc(1, 0, 1, [0.0; 3], [0.0, 0.0, 1.0]);
    s.put_arc(0, 1, 2, [-d, 0.0, 0.0], [1.0, 0.0, 0.0]);
    let ball = tilted_sphere([0.0; 3], r, n);
    s.face(FaceKind::Ball, &[&[(1, 1), (0, 2)]], ball, true);
    s.plane(FaceKind::Front, &[&[(1, 2), (0, 0)]], [-1.0, 0.0, 0.0]);
    s.plane(FaceKind::SplitFace, &[&[(0, 1), (1, 0)]], [0.0, 0.0, -1.0]);
    Sample {
        name: "Halbe Kugel ü 蛇 \u{1F40D} O'Brien".to_string(),
        half: s.half(),
        volume: half_ball_volume(r, n),
    }
}

/// The same half ball with a corner where its axis leaves it, so that its edges can be
/// meridians; the sphere still has its tilted axis.
pub fn half_ball_with_pole(r: f64, n: f64) -> Sample {
    let d = (r * r - n * n).sqrt();
    let mut s = Sketch::new(&[[-d, n, 0.0], [-d, -n, 0.0], [r, 0.0, 0.0]]);
    s.put_arc(1, 2, 1, [0.0; 3], [0.0, 0.0, 1.0]);
    s.put_arc(2, 0, 1, [0.0; 3], [0.0, 0.0, 1.0]);
    s.put_arc(0, 1, 2, [-d, 0.0, 0.0], [1.0, 0.0, 0.0]);
    let ball = tilted_sphere([0.0; 3], r, n);
    s.face(FaceKind::Ball, &[&[(1, 1), (2, 1), (0, 2)]], ball, true);
    s.plane(FaceKind::Front, &[&[(1, 2), (0, 0)]], [-1.0, 0.0, 0.0]);
    s.plane(
        FaceKind::SplitFace,
        &[&[(0, 1), (2, 1), (1, 0)]],
        [0.0, 0.0, -1.0],
    );
    Sample {
        name: "half ball with a pole".to_string(),
        half: s.half(),
        volume: half_ball_volume(r, n),
    }
}

/// Box l x 2w x h with a ball-shaped cavity whose mouth of radius n lies in its front face.
pub fn socketed_box(l: f64, w: f64, h: f64, r: f64, n: f64) -> Sample {
    let d = (r * r - n * n).sqrt();
    let corner = |z| [[0.0, -w, z], [l, -w, z], [l, w, z], [0.0, w, z]];
    let mouth = [[0.0, n, 0.0], [0.0, -n, 0.0]];
    let pole = [[d + r, 0.0, 0.0]];
    let all = [&corner(0.0)[..], &corner(h), &mouth, &pole].concat();
    let mut s = Sketch::new(&all);
    s.put_arc(9, 10, 1, [d, 0.0, 0.0], [0.0, 0.0, 1.0]);
    s.put_arc(10, 8, 1, [d, 0.0, 0.0], [0.0, 0.0, 1.0]);
    s.put_arc(8, 9, 2, [0.0; 3], [1.0, 0.0, 0.0]);
    let split = [(0, 0), (9, 1), (10, 1), (8, 0), (3, 0), (2, 0), (1, 0)];
    s.plane(FaceKind::SplitFace, &[&split], [0.0, 0.0, -1.0]);
    let front = [(9, 0), (0, 0), (4, 0), (7, 0), (3, 0), (8, 2)];
    s.plane(FaceKind::Front, &[&front], [-1.0, 0.0, 0.0]);
    let normals = [[0.0, -1.0, 0.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0]];
    for (i, normal) in normals.into_iter().enumerate() {
        let kind = [FaceKind::Rim, FaceKind::Rear, FaceKind::Rim][i];
        s.plane(
            kind,
            &[&[(i, 0), (i + 1, 0), (i + 5, 0), (i + 4, 0)]],
            normal,
        );
    }
    s.plane(
        FaceKind::Skin,
        &[&[(4, 0), (5, 0), (6, 0), (7, 0)]],
        [0.0, 0.0, 1.0],
    );
    let socket = tilted_sphere([d, 0.0, 0.0], r, n);
    s.face(
        FaceKind::Socket,
        &[&[(9, 2), (8, 1), (10, 1)]],
        socket,
        false,
    );
    Sample {
        name: "socket".to_string(),
        half: s.half(),
        volume: 2.0 * w * l * h - half_ball_volume(r, n),
    }
}

/// Upper half of a tube-like body along x. Corners 0, 1 lie at the front at +y, -y and 2, 3 at
/// the rear; edges 0-1 and 2-3 of tag 1 run over the top, 0-2 and 1-3 of tag `side` along.
fn tube(
    mut s: Sketch,
    side: u8,
    (kind, surface, same): (FaceKind, Surface, bool),
    ends: [[f64; 3]; 2],
) -> Half {
    s.face(
        kind,
        &[&[(1, side), (3, 1), (2, side), (0, 1)]],
        surface,
        same,
    );
    s.plane(FaceKind::Front, &[&[(1, 1), (0, 0)]], ends[0]);
    s.plane(FaceKind::Rear, &[&[(2, 1), (3, 0)]], ends[1]);
    s.plane(
        FaceKind::SplitFace,
        &[&[(3, side), (1, 0), (0, side), (2, 0)]],
        [0.0, 0.0, -1.0],
    );
    s.half()
}

const ENDS: [[f64; 3]; 2] = [[-1.0, 0.0, 0.0], [1.0, 0.0, 0.0]];

/// Corners of a tube of radius `r0` at x = 0 and `r1` at x = l, with circles at its ends.
fn round_tube(r0: f64, r1: f64, l: f64) -> Sketch {
    let mut s = Sketch::new(&[[0.0, r0, 0.0], [0.0, -r0, 0.0], [l, r1, 0.0], [l, -r1, 0.0]]);
    s.put_arc(0, 1, 1, [0.0; 3], [1.0, 0.0, 0.0]);
    s.put_arc(2, 3, 1, [l, 0.0, 0.0], [1.0, 0.0, 0.0]);
    s
}

/// Half of a frustum: pi h (a2 + ab + b2) / 6.
fn half_frustum_volume(r0: f64, r1: f64, l: f64) -> f64 {
    PI * l * (r0 * r0 + r0 * r1 + r1 * r1) / 6.0
}

/// Seam along -z, below the split plane.
fn about_x(x: f64) -> Frame {
    frame([x, 0.0, 0.0], [1.0, 0.0, 0.0], [0.0, 0.0, -1.0])
}

pub fn cone(r0: f64, r1: f64, l: f64) -> Sample {
    let surface = Surface::Cone {
        frame: about_x(0.0),
        radius: r0,
        half_angle: ((r1 - r0) / l).atan(),
    };
    let s = round_tube(r0, r1, l);
    Sample {
        name: "cone".to_string(),
        half: tube(s, 0, (FaceKind::Flare, surface, true), ENDS),
        volume: half_frustum_volume(r0, r1, l),
    }
}

/// Half of a zone of a sphere between x = x0 and x = x1 from its centre (volume by discs,
/// derived): what a domed front is.
pub fn dome(r: f64, x0: f64, x1: f64) -> Sample {
    let at = |x: f64| (r * r - x * x).sqrt();
    let mut s = round_tube(at(x0), at(x1), x1 - x0);
    s.put_arc(0, 2, 2, [-x0, 0.0, 0.0], [0.0, 0.0, -1.0]);
    s.put_arc(1, 3, 2, [-x0, 0.0, 0.0], [0.0, 0.0, 1.0]);
    // A pole in the lower half, clear of the zone: any axis is right for a sphere.
    let (sin, cos) = 0.4_f64.sin_cos();
    let surface = Surface::Sphere {
        frame: frame([-x0, 0.0, 0.0], [sin, 0.0, -cos], [-cos, 0.0, -sin]),
        radius: r,
    };
    let volume = PI / 2.0 * (r * r * (x1 - x0) - (x1.powi(3) - x0.powi(3)) / 3.0);
    Sample {
        name: "dome".to_string(),
        half: tube(s, 2, (FaceKind::Front, surface, true), ENDS),
        volume,
    }
}

/// Concave fillet of radius f on a neck of radius n (volume by discs, derived).
pub fn fillet(n: f64, f: f64) -> Sample {
    let mut s = round_tube(n + f, n, f);
    s.put_arc(0, 2, 2, [f, n + f, 0.0], [0.0, 0.0, 1.0]);
    s.put_arc(1, 3, 2, [f, -n - f, 0.0], [0.0, 0.0, -1.0]);
    let surface = Surface::Torus {
        frame: about_x(f),
        major: n + f,
        minor: f,
    };
    let (whole, rest) = ((n + f).powi(2) * f, (n + f) * PI * f * f / 2.0);
    Sample {
        name: "fillet".to_string(),
        half: tube(s, 2, (FaceKind::Fillet, surface, false), ENDS),
        volume: PI / 2.0 * (whole - rest + 2.0 * f.powi(3) / 3.0),
    }
}

/// Half cylinder whose ends lean inwards by `lean`: half ellipses.
pub fn leaning(r: f64, l: f64, lean: f64) -> Sample {
    let (sin, cos) = lean.sin_cos();
    let t = r * lean.tan();
    let mut s = Sketch::new(&[[0.0, r, 0.0], [0.0, -r, 0.0], [l, r, 0.0], [l, -r, 0.0]]);
    let ellipse = |x, a: [f64; 3], b: [f64; 3], range| {
        Curve::Arc(Arc {
            centre: [x, 0.0, 0.0].into(),
            a: a.into(),
            b: b.into(),
            range,
        })
    };
    s.put(0, 1, 1, ellipse(0.0, [0.0, r, 0.0], [t, 0.0, r], (0.0, PI)));
    let quarter = (-FRAC_PI_2, FRAC_PI_2);
    s.put(2, 3, 1, ellipse(l, [-t, 0.0, r], [0.0, -r, 0.0], quarter));
    let surface = Surface::Cylinder {
        frame: about_x(0.0),
        radius: r,
    };
    let ends = [[-cos, 0.0, sin], [cos, 0.0, sin]];
    Sample {
        name: "leaning ends".to_string(),
        half: tube(s, 0, (FaceKind::Neck, surface, true), ends),
        volume: PI * r * r * l / 2.0 - 4.0 / 3.0 * r.powi(3) * lean.tan(),
    }
}

/// A half frustum again, as a rational B-spline with rational edges at its ends.
pub fn rational(r0: f64, r1: f64, l: f64) -> Sample {
    let w = 0.5_f64.sqrt();
    let unit = [
        (1.0, 0.0, 1.0),
        (1.0, 1.0, w),
        (0.0, 1.0, 1.0),
        (-1.0, 1.0, w),
        (-1.0, 0.0, 1.0),
    ];
    let row = |x: f64, r: f64| -> Vec<Vector4> {
        let point = |&(y, z, w): &(f64, f64, f64)| Vector4::new(x * w, y * r * w, z * r * w, w);
        unit.iter().map(point).collect()
    };
    let around = || KnotVec::from(vec![0.0, 0.0, 0.0, 0.5, 0.5, 1.0, 1.0, 1.0]);
    let along = KnotVec::from(vec![0.0, 0.0, 1.0, 1.0]);
    let mut s = Sketch::new(&[[0.0, r0, 0.0], [0.0, -r0, 0.0], [l, r1, 0.0], [l, -r1, 0.0]]);
    for (from, x, r) in [(0, 0.0, r0), (2, l, r1)] {
        let curve = NurbsCurve::new(BSplineCurve::new(around(), row(x, r)));
        s.put(from, from + 1, 1, Curve::Spline(curve));
    }
    let net = row(0.0, r0)
        .into_iter()
        .zip(row(l, r1))
        .map(|(a, b)| vec![a, b]);
    let surface = BSplineSurface::new((around(), along), net.collect());
    let surface = Surface::Spline(NurbsSurface::new(surface));
    Sample {
        name: "rational".to_string(),
        half: tube(s, 0, (FaceKind::Skin, surface, true), ENDS),
        volume: half_frustum_volume(r0, r1, l),
    }
}

/// A skin as a product of curves: P_ij = (X_i, W_i A_j, H_i B_j), x linear in u, so that its
/// volume is the integral of W H over x times the area under (A, B).
pub fn skin(l: f64, width: [f64; 5], height: [f64; 5]) -> Sample {
    let u = || KnotVec::from(vec![0.0, 0.0, 0.0, 0.0, 0.5, 1.0, 1.0, 1.0, 1.0]);
    let v = || KnotVec::from([&[0.0; 4][..], &[0.3, 0.6], &[1.0; 4]].concat());
    let x = [0.0, 1.0 / 6.0, 0.5, 5.0 / 6.0, 1.0].map(|g| g * l);
    let (a, b) = (
        [1.0, 1.0, 0.6, -0.5, -1.0, -1.0],
        [0.0, 0.6, 1.0, 0.9, 0.5, 0.0],
    );
    let at = |i: usize, j: usize| Vector4::new(x[i], width[i] * a[j], height[i] * b[j], 1.0);
    let rim = |j: usize| spline(u(), (0..5).map(|i| at(i, j)).collect());
    let arch = |i: usize| spline(v(), (0..6).map(|j| at(i, j)).collect());
    let (w0, w1) = (width[0], width[4]);
    let mut s = Sketch::new(&[[0.0, w0, 0.0], [0.0, -w0, 0.0], [l, w1, 0.0], [l, -w1, 0.0]]);
    s.put(0, 1, 1, arch(0));
    s.put(2, 3, 1, arch(4));
    s.put(0, 2, 2, rim(0));
    s.put(1, 3, 2, rim(5));
    let net = (0..5).map(|i| (0..6).map(|j| at(i, j)).collect()).collect();
    let surface = NurbsSurface::new(BSplineSurface::new((u(), v()), net));
    let size = |i: usize| Vector4::new(width[i], height[i], 0.0, 1.0);
    let sizes = NurbsCurve::new(BSplineCurve::new(u(), (0..5).map(size).collect()));
    let form = |j: usize| Vector4::new(a[j], b[j], 0.0, 1.0);
    let section = NurbsCurve::new(BSplineCurve::new(v(), (0..6).map(form).collect()));
    let along = gauss(&[0.0, 0.5, 1.0], |t| sizes.subs(t).x * sizes.subs(t).y) * l;
    let area = gauss(&[0.0, 0.3, 0.6, 1.0], |t| {
        -section.subs(t).y * section.der(t).x
    });
    Sample {
        name: "skin".to_string(),
        half: tube(
            s,
            2,
            (FaceKind::Skin, Surface::Spline(surface), false),
            ENDS,
        ),
        volume: along * area,
    }
}

fn spline(knots: KnotVec, points: Vec<Vector4>) -> Curve {
    Curve::Spline(NurbsCurve::new(BSplineCurve::new(knots, points)))
}

/// Gauss-Legendre with four points on each span: exact to degree 7 (nodes and weights:
/// Abramowitz and Stegun, table 25.4).
fn gauss(spans: &[f64], f: impl Fn(f64) -> f64) -> f64 {
    const NODES: [(f64, f64); 2] = [
        (0.339_981_043_584_856, 0.652_145_154_862_546),
        (0.861_136_311_594_053, 0.347_854_845_137_454),
    ];
    let on_span = |p: &[f64]| {
        let (middle, half) = ((p[0] + p[1]) / 2.0, (p[1] - p[0]) / 2.0);
        let pair = |(x, w): (f64, f64)| w * (f(middle - half * x) + f(middle + half * x));
        half * NODES.into_iter().map(pair).sum::<f64>()
    };
    spans.windows(2).map(on_span).sum()
}
