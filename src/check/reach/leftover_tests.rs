//! Coupons with closed forms. The meshes are open below: only what looks up or stands counts.

use proptest::prelude::*;

use super::super::feature;
use super::*;

/// How far the wood round a hole or pocket goes, mm.
const FAR: f64 = 9.0;
/// Where the turned coupons end.
const RIM: f64 = 5.0;

/// Facets of a coupon with their kinds, cut with the outside up.
#[derive(Default)]
struct Coupon {
    mesh: Mesh,
    kinds: Vec<FaceKind>,
}

impl Coupon {
    /// A quadrilateral, counter-clockwise from outside.
    fn quad(&mut self, kind: FaceKind, corners: [[f64; 3]; 4]) {
        let first = self.mesh.positions.len() as u32;
        self.mesh.positions.extend(corners);
        for t in [[0, 1, 2], [0, 2, 3]] {
            self.mesh.triangles.push(t.map(|k: u32| k + first));
            self.kinds.push(kind);
        }
    }

    /// A surface of revolution about z through (radius, height) points in the order that makes it
    /// look outward, `n` facets round.
    fn turned(&mut self, kind: FaceKind, profile: &[[f64; 2]], n: usize) {
        self.sector(kind, profile, n, n);
    }

    /// The first `some` facets of it.
    fn sector(&mut self, kind: FaceKind, profile: &[[f64; 2]], n: usize, some: usize) {
        let at = |[r, z]: [f64; 2], k: usize| {
            let (sin, cos) = (std::f64::consts::TAU * (k % n) as f64 / n as f64).sin_cos();
            [r * cos, r * sin, z]
        };
        for pair in profile.windows(2) {
            for k in 0..some {
                let [a, b] = [pair[0], pair[1]];
                self.quad(kind, [at(a, k), at(a, k + 1), at(b, k + 1), at(b, k)]);
            }
        }
    }

    /// A face of the box between two corners: upright walls and the top.
    fn block(&mut self, low: [f64; 3], high: [f64; 3]) {
        let p = |x: bool, y: bool, z: bool| {
            let pick = |k: usize, far| if far { high[k] } else { low[k] };
            [pick(0, x), pick(1, y), pick(2, z)]
        };
        let ring = [(false, false), (true, false), (true, true), (false, true)];
        for k in 0..4 {
            let ((x, y), (u, v)) = (ring[k], ring[(k + 1) % 4]);
            let wall = [p(x, y, false), p(u, v, false), p(u, v, true), p(x, y, true)];
            self.quad(FaceKind::PlateWall, wall);
        }
        self.quad(FaceKind::PlateTop, ring.map(|(x, y)| p(x, y, true)));
    }

    fn left(mut self, profile: Profile, floor: f64, pitch: f64, deviation: f64) -> Vec<Left> {
        self.mesh.deviation = deviation;
        let tool = Tool {
            profile,
            flat_taper: 0.0,
            cutting_length: 40.0,
            shank_radius: 1.0,
            holder: None,
        };
        let around = Surroundings {
            window: 1.0,
            floor,
            stock_top: floor,
        };
        let up = SetUp::OutsideUp;
        let view = View::of_kinds(self.kinds, false, &self.mesh, up);
        left_on(
            &view,
            up,
            &[tool],
            &around,
            (Fineness { pitch }, &Limits::none()),
        )
    }
}

fn of(left: &[Left], kind: FaceKind) -> Left {
    *left.iter().find(|l| l.kind == kind).unwrap()
}

fn ball(tip: f64, degrees: f64) -> Profile {
    Profile::Ball {
        tip,
        taper: degrees.to_radians(),
        reach: 20.0,
    }
}

/// A round hole of radius 3.175 and depth 8 with a flat floor, in a disc.
fn hole(n: usize) -> Coupon {
    let mut coupon = Coupon::default();
    coupon.turned(FaceKind::Flat, &[[RIM, 0.0], [3.175, 0.0]], n);
    coupon.turned(FaceKind::EyeWall, &[[3.175, 0.0], [3.175, -8.0]], n);
    coupon.turned(
        FaceKind::EyeFloor,
        &[[3.175, -8.0], [1.0, -8.0], [0.0, -8.0]],
        n,
    );
    coupon
}

#[test]
fn a_ball_in_a_round_hole() {
    // The fillet's section (1 - pi/4) r^2 turned about the hole's axis at its own centroid.
    let (a, r) = (3.175, 1.5875);
    let quarter = std::f64::consts::FRAC_PI_4;
    let section = (1.0 - quarter) * r * r;
    let centroid = r * (5.0 / 6.0 - quarter) / (1.0 - quarter);
    let exact = std::f64::consts::TAU * (a - centroid) * section;
    assert!((exact - 9.584).abs() < 1e-3);
    let n = 120;
    let sagitta = a * (1.0 - (std::f64::consts::PI / n as f64).cos());
    let left = hole(n).left(ball(r, 0.0), -20.0, 0.05, sagitta);
    let floor = of(&left, FaceKind::EyeFloor);
    assert!((floor.volume_mm3 / exact - 1.0).abs() < 0.03, "{floor:?}");
    assert!((floor.vertical_mm / r - 1.0).abs() < 0.05, "{floor:?}");
    // From the foot of the wall to the ball: (sqrt 2 - 1) r.
    let normal = (2f64.sqrt() - 1.0) * r;
    assert!((floor.normal_mm - normal).abs() < 0.003, "{floor:?}");
    assert!(
        (floor.at[0].hypot(floor.at[1]) - a).abs() < 0.01,
        "{floor:?}"
    );
    assert!(of(&left, FaceKind::Flat).normal_mm < 1e-3);
}

#[test]
fn finer_maps_end_at_the_volume_of_a_ball_in_a_round_hole() {
    let n = 120;
    let mut coupon = hole(n);
    coupon.mesh.deviation = 3.175 * (1.0 - (std::f64::consts::PI / n as f64).cos());
    let view = View::of_kinds(coupon.kinds, false, &coupon.mesh, SetUp::OutsideUp);
    let around = Surroundings {
        window: 1.0,
        floor: -20.0,
        stock_top: -20.0,
    };
    let finer = Finer {
        view: &view,
        cutters: &[ball(1.5875, 0.0)],
        around: &around,
    };
    // The closed form of the test above.
    let volume = finer.surely(FaceKind::EyeFloor).unwrap();
    assert!((volume.mm3 / 9.584 - 1.0).abs() < 0.03, "{volume:?}");
    assert!(volume.error < 0.1 * volume.mm3, "{volume:?}");
    // Small maps know how sure they are.
    let rough = finer.quickly(FaceKind::EyeFloor).unwrap();
    assert!((rough.mm3 - 9.584).abs() < rough.error, "{rough:?}");
}

#[test]
fn a_flat_end_leaves_nothing_on_a_flat_floor() {
    let left = hole(60).left(Profile::Flat { radius: 1.5 }, -20.0, 0.25, 4.4e-3);
    for l in &left {
        assert!(l.normal_mm < 1e-2 && l.volume_mm3 < 1e-3, "{l:?}");
    }
    // Wider than the hole it leaves all of it.
    let left = hole(60).left(Profile::Flat { radius: 3.2 }, -20.0, 0.25, 4.4e-3);
    let floor = of(&left, FaceKind::EyeFloor);
    assert!((floor.normal_mm - 8.0).abs() < 1e-2, "{floor:?}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2))]

    /// The cone touches where the sphere is as steep and leaves R (1 / cos a - 1), measured level,
    /// which is R (1 - cos a) to the cone: on a ball at its equator, in a socket, where the rim keeps
    /// the cone off, R sin a under it.
    #[test]
    fn a_taper_on_ball_and_socket(radius in 6.0..14.0_f64, degrees in 2.0..11.0_f64) {
        let a = degrees.to_radians();
        let arc = |way: f64| -> Vec<[f64; 2]> {
            let at = |k: u32| (way * f64::from(k)).to_radians();
            (0..=30).map(|k| [radius * at(k).cos(), radius * at(k).sin()]).collect()
        };
        let wanted = radius * (1.0 - a.cos());
        let level = feature::taper_on_sphere(radius, a);
        prop_assert!((level * a.cos() - wanted).abs() < 1e-9);
        // Facets of 1.5 degrees round and one degree up: sagitta R (1 - cos 0.75 deg).
        let sagitta = radius * (1.0 - 0.75f64.to_radians().cos());
        let mut sphere = Coupon::default();
        sphere.sector(FaceKind::Ball, &arc(1.0), 240, 16);
        let mut socket = Coupon::default();
        socket.sector(FaceKind::Flat, &[[radius + 3.0, 0.0], [radius, 0.0]], 240, 16);
        socket.sector(FaceKind::Ball, &arc(-1.0), 240, 16);
        for (coupon, floor, z) in [(sphere, -2.0, 0.0), (socket, -20.0, -radius * a.sin())] {
            let left = of(&coupon.left(ball(1.5875, degrees), floor, 1.0, sagitta), FaceKind::Ball);
            prop_assert!(
                (left.normal_mm - wanted).abs() <= left.depth_error_mm + 0.002,
                "{:?} {}", left, wanted
            );
            prop_assert!((left.at[2] - z).abs() < 0.05 * radius, "{:?}", left);
        }
    }
}

#[test]
fn a_taper_at_the_foot_of_an_upright_wall() {
    let high = 9.525;
    for degrees in [3.0f64, 5.0, 10.0] {
        let mut coupon = Coupon::default();
        coupon.block([0.0, 0.0, 0.0], [10.0, 10.0, high]);
        let left = of(
            &coupon.left(ball(1.5875, degrees), -2.0, 0.5, 0.0),
            FaceKind::PlateWall,
        );
        // H tan a measured level is H sin a to the cone.
        let wanted = high * degrees.to_radians().sin();
        assert!(
            (left.normal_mm - wanted).abs() < 0.003,
            "{degrees}: {left:?} {wanted}"
        );
        assert!(left.at[2] < 0.01, "{left:?}");
    }
    let mut coupon = Coupon::default();
    coupon.block([0.0, 0.0, 0.0], [10.0, 10.0, high]);
    for l in coupon.left(ball(1.5875, 0.0), -2.0, 0.5, 0.0) {
        assert!(l.normal_mm < 1e-3, "{l:?}");
    }
}

/// A pocket of this size and depth in a square of wood, its walls looking inward.
fn pocket(x: f64, y: f64, deep: f64) -> Coupon {
    let mut coupon = Coupon::default();
    let inner = [[-x, -y], [x, -y], [x, y], [-x, y]].map(|p| p.map(|c| 0.5 * c));
    let outer = [[-FAR, -FAR], [FAR, -FAR], [FAR, FAR], [-FAR, FAR]];
    let at = |p: [f64; 2], z: f64| [p[0], p[1], z];
    for k in 0..4 {
        let n = (k + 1) % 4;
        let (a, b) = (inner[k], inner[n]);
        let land = [at(outer[k], 0.0), at(outer[n], 0.0), at(b, 0.0), at(a, 0.0)];
        coupon.quad(FaceKind::Flat, land);
        let wall = [at(a, 0.0), at(b, 0.0), at(b, -deep), at(a, -deep)];
        coupon.quad(FaceKind::EyeWall, wall);
    }
    coupon.quad(FaceKind::EyeFloor, inner.map(|p| at(p, -deep)));
    coupon
}

#[test]
fn a_slot_narrower_than_the_cutter() {
    let left = pocket(10.0, 2.0, 3.0).left(Profile::Flat { radius: 1.5 }, -20.0, 0.1, 0.0);
    let floor = of(&left, FaceKind::EyeFloor);
    assert!((floor.normal_mm - 3.0).abs() < 1e-3, "{floor:?}");
    assert!((floor.vertical_mm - 3.0).abs() < 1e-3, "{floor:?}");
    assert!((floor.volume_mm3 - 60.0).abs() < 0.05 * 60.0, "{floor:?}");
    // A ball of 1.5 dips into the slot by 1.5 - sqrt(1.5^2 - 1).
    let left = pocket(10.0, 2.0, 3.0).left(ball(1.5, 0.0), -20.0, 0.1, 0.0);
    let dips = 1.5 - 1.25f64.sqrt();
    let floor = of(&left, FaceKind::EyeFloor);
    let side = (3.0f64 - 1.5 + dips).hypot(1.0) - 1.5;
    assert!(floor.normal_mm >= 3.0 - dips - 1e-3, "{floor:?}");
    assert!(floor.normal_mm <= side.max(3.0) + 1e-3, "{floor:?}");
}

#[test]
fn an_inside_corner_tighter_than_the_cutter() {
    // Fact 3.10: (sqrt 2 - 1) 3.175 = 1.31513 on the diagonal; area (1 - pi/4) r^2 a corner.
    let r = 3.175;
    let left = pocket(14.0, 14.0, 4.0).left(Profile::Flat { radius: r }, -20.0, 0.2, 0.0);
    for kind in [FaceKind::EyeWall, FaceKind::EyeFloor] {
        let found = of(&left, kind);
        assert!((found.normal_mm - 1.31513).abs() < 0.003, "{found:?}");
    }
    let wanted = 4.0 * 4.0 * (1.0 - std::f64::consts::FRAC_PI_4) * r * r;
    let floor = of(&left, FaceKind::EyeFloor);
    assert!(
        (floor.volume_mm3 / wanted - 1.0).abs() < 0.06,
        "{floor:?} {wanted}"
    );
}

#[test]
fn stock_beyond_a_narrow_window_keeps_the_cutter_out() {
    // A window of 2 round a block, wood as high as the block beyond: a cutter of 3 can't go in.
    let mut coupon = Coupon::default();
    coupon.block([0.0, 0.0, 0.0], [10.0, 10.0, 5.0]);
    let up = SetUp::OutsideUp;
    let view = View::of_kinds(coupon.kinds.clone(), false, &coupon.mesh, up);
    let tool = Tool {
        profile: Profile::Flat { radius: 1.5 },
        flat_taper: 0.0,
        cutting_length: 20.0,
        shank_radius: 1.5,
        holder: None,
    };
    for (window, left) in [(2.0, 5.0), (6.0, 0.0)] {
        let around = Surroundings {
            window,
            floor: -2.0,
            stock_top: 5.0,
        };
        let found = left_on(
            &view,
            up,
            &[tool],
            &around,
            (Fineness::default(), &Limits::none()),
        );
        let wall = of(&found, FaceKind::PlateWall);
        assert!((wall.normal_mm - left).abs() < 0.01, "{window}: {wall:?}");
    }
}
