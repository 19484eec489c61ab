//! Worked values (an independent script, derived with the formulas), a search in space that
//! knows no formula, and round trips.

use super::super::*;
use super::*;
use proptest::prelude::*;

fn close(value: f64, wanted: f64) {
    assert!(
        (value - wanted).abs() < 1e-9 * wanted.abs().max(1.0),
        "{value} is not {wanted}"
    );
}

struct Worked {
    /// R, c, a, n.
    sizes: (f64, f64, f64, f64),
    plane: f64,
    swing: f64,
    worst: f64,
    play: f64,
    hoop: f64,
    lip2: f64,
}

/// Worked values of formulas 5.1, 5.3, 5.4, 5.7, 5.8 (90 N) and 5.5 (2 mm lip) for three joints.
const WORKED: [Worked; 3] = [
    Worked {
        sizes: (10.0, 0.25, 8.0, 4.0),
        plane: 6.408002808988148,
        swing: 28.335583505784825,
        worst: 26.808981026950683,
        play: 0.6580028089881482,
        hoop: 19.098593171027442,
        lip2: 23.414812425798704,
    },
    Worked {
        sizes: (6.35, 0.2, 5.2, 2.5),
        plane: 3.982775414205525,
        swing: 30.113086874564154,
        worst: 28.206859049590832,
        play: 0.5382589853771416,
        hoop: 20.43742011363407,
        lip2: 22.61173436746944,
    },
    Worked {
        sizes: (12.7, 0.4, 10.5, 4.7625),
        plane: 7.833262411026455,
        swing: 31.95779049155484,
        worst: 30.067285631390913,
        play: 1.089033971229755,
        hoop: 21.05215734480643,
        lip2: 27.54482565209674,
    },
];

#[test]
fn worked_joints() {
    for w in &WORKED {
        let (ball, clearance, mouth, neck) = w.sizes;
        let socket = ball + clearance;
        close(mouth_plane(socket, mouth), w.plane);
        close(sharp_swing(socket, mouth, neck).to_degrees(), w.swing);
        let (worst, best) = sharp_swing_aside(socket, mouth, neck, clearance);
        close(worst.to_degrees(), w.worst);
        assert!(best.to_degrees() > w.swing);
        close(axial_play(ball, clearance, mouth), w.play);
        close(hoop_force(90.0, ball, mouth), w.hoop);
        close(lip_swing(socket, mouth, neck, 2.0).to_degrees(), w.lip2);
    }
}

/// Rounded to four decimals in the worked table: psi, snap strain, void; fillets; inverses.
#[test]
fn worked_singles() {
    let near = |value: f64, wanted: f64, unit: f64| {
        assert!(
            (value - wanted).abs() <= 0.51 * unit,
            "{value} is not {wanted}"
        );
    };
    near(mouth_half_angle(10.25, 8.0).to_degrees(), 51.3053, 1e-4);
    near(snap_strain(6.35, 5.2), 0.2212, 1e-4);
    near(socket_void(10.25, 8.0), 4094.9351, 1e-4);
    near(socket_void(13.1, 10.5), 8428.1930, 1e-4);
    for (fillet, swing) in [
        (0.5, 28.3200),
        (1.0, 27.8392),
        (1.5875, 26.9729),
        (3.175, 24.4000),
    ] {
        let stem = Stem {
            ball: 10.0,
            neck: 4.0,
            fillet,
        };
        near(mouth_swing(&stem, 0.25, 8.0).to_degrees(), swing, 1e-4);
    }
    let stem = Stem {
        ball: 10.0,
        neck: 4.0,
        fillet: 1.5875,
    };
    close(
        mouth_swing(&stem, 0.25, 8.0).to_degrees(),
        26.97290044936819,
    );
    near(stem.fillet_centre(), 10.15135, 1e-5);
    near(stem.fillet_on_ball().0, 8.76061, 1e-5);
    near(stem.fillet_on_ball().1, 4.82201, 1e-5);
    let plain = Stem {
        fillet: 0.0,
        ..stem
    };
    near(
        mouth_for_swing(&plain, 0.25, 30f64.to_radians()).unwrap(),
        8.18275,
        1e-5,
    );
    near(
        neck_for_swing(10.0, 0.25, 8.0, 0.0, 30f64.to_radians()).unwrap(),
        3.72420,
        1e-5,
    );
}

/// A collision library found 32.355 to 32.377 degrees over 24 directions on this joint.
#[test]
fn a_foreign_collision_search_found_the_same_swing() {
    let mouth = (8.3f64 * 8.3 - 16.0).sqrt();
    let swing = sharp_swing(8.3, mouth, 4.0).to_degrees();
    assert!((32.355..32.3775).contains(&swing), "{swing}");
}

#[test]
fn worked_faces_and_rings() {
    close(
        face_swing(6.408, 3.0, 15.0).to_degrees(),
        10.878604752115573,
    );
    let near =
        |value: f64, wanted: f64| assert!((value - wanted).abs() < 5e-5, "{value} is not {wanted}");
    near(face_swing(6.408, 6.0, 15.0).to_degrees(), 20.3789);
    near(face_swing(8.0, 4.0, 12.7).to_degrees(), 16.1275);
    near(gap_for_swing(6.408, 15.0, 28f64.to_radians()), 8.8252);
    near(face_gap(6.408, 3.0, 15.0, 10f64.to_radians()), 0.2523);
    assert!((ring_radius(40.0, 15.65f64.to_radians()) - 146.899).abs() < 2e-3);
    assert!((joints_in_ring(29f64.to_radians()) - 12.4).abs() < 0.05);
}

/// Whether the point lies inside the stem whose ball sits at `aside` across a neck turned by
/// `swing`; a tenth of a nanometre stands for touching.
fn inside(stem: &Stem, swing: f64, aside: f64, p: [f64; 3]) -> bool {
    let (sin, cos) = swing.sin_cos();
    let q = [p[0] + aside * sin, p[1] - aside * cos, p[2]];
    let along = q[0] * cos + q[1] * sin;
    let across = (q[1] * cos - q[0] * sin).hypot(q[2]);
    let (x1, _) = stem.fillet_on_ball();
    let xc = stem.fillet_centre();
    let profile = if along >= xc {
        stem.neck
    } else if along >= x1 {
        stem.neck + stem.fillet - (stem.fillet.powi(2) - (along - xc).powi(2)).max(0.0).sqrt()
    } else {
        (stem.ball.powi(2) - along * along).max(0.0).sqrt()
    };
    along > -stem.ball && across < profile - 1e-10
}

/// First swing at which a point of the circle (x, r) lies in the stem, by halving.
fn searched_swing(stem: &Stem, (x, r): (f64, f64), aside: f64) -> f64 {
    let circle: Vec<[f64; 3]> = (0..180)
        .map(|k| {
            let (sin, cos) = (f64::from(k) * 2f64.to_radians()).sin_cos();
            [x, r * cos, r * sin]
        })
        .collect();
    let hit = |swing: f64| circle.iter().any(|&p| inside(stem, swing, aside, p));
    let (mut free, mut met) = (0.0, r.atan2(x));
    for _ in 0..50 {
        let middle = 0.5 * (free + met);
        if hit(middle) {
            met = middle;
        } else {
            free = middle;
        }
    }
    0.5 * (free + met)
}

prop_compose! {
    /// Ball, clearance, neck, fillet and mouth that hold each other.
    pub(in super::super) fn joints()(
        ball in 4.0..20.0f64, clearance in 0.05..0.6f64, neck in 0.2..0.7f64,
        fillet in 0.0..0.35f64, plain in any::<bool>(), mouth in 0.02..0.98f64,
    ) -> (Stem, f64, f64) {
        let neck = neck * ball;
        let stem = Stem { ball, neck, fillet: if plain { 0.0 } else { fillet * ball } };
        let least = (neck + clearance).min(0.95 * ball);
        (stem, clearance, least + mouth * (ball - least))
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn a_search_in_space_finds_the_swing((stem, clearance, mouth) in joints(), lip in 0.0..4.0f64) {
        let socket = stem.ball + clearance;
        let edge = (mouth_plane(socket, mouth) + lip, mouth);
        for aside in [0.0, clearance] {
            let swing = edge_swing(&stem, edge, aside);
            if swing > 0.01 {
                let searched = searched_swing(&stem, edge, aside);
                prop_assert!((swing - searched).abs() < 1e-6, "{swing} searched {searched} aside {aside}");
            }
        }
        let swing = mouth_swing(&stem, clearance, mouth);
        prop_assert!((swing - edge_swing(&stem, (mouth_plane(socket, mouth), mouth), 0.0)).abs() < 1e-12);
        if stem.fillet == 0.0 {
            prop_assert!((swing - sharp_swing(socket, mouth, stem.neck)).abs() < 1e-12);
            let (worst, _) = sharp_swing_aside(socket, mouth, stem.neck, clearance);
            let edge = (mouth_plane(socket, mouth), mouth);
            prop_assert!((worst - edge_swing(&stem, edge, clearance)).abs() < 1e-12);
            prop_assert!((lip_swing(socket, mouth, stem.neck, lip)
                - edge_swing(&stem, (edge.0 + lip, mouth), 0.0)).abs() < 1e-12);
        }
    }

    #[test]
    fn inverses_lead_back((stem, clearance, mouth) in joints()) {
        let swing = mouth_swing(&stem, clearance, mouth);
        prop_assume!(swing > 1e-3);
        let a = mouth_for_swing(&stem, clearance, swing).unwrap();
        prop_assert!((a - mouth).abs() < 1e-9 * mouth);
        let n = neck_for_swing(stem.ball, clearance, mouth, stem.fillet, swing).unwrap();
        prop_assert!((n - stem.neck).abs() < 1e-8 * stem.ball, "{n} for {}", stem.neck);
        let r = ball_for_swing(stem.neck, clearance, mouth, stem.fillet, swing).unwrap();
        prop_assert!((r - stem.ball).abs() < 1e-6 * stem.ball, "{r} for {}", stem.ball);
        if stem.fillet == 0.0 {
            let (sin, cos) = swing.sin_cos();
            let socket = stem.neck.hypot((mouth - stem.neck * cos) / sin);
            prop_assert!((r + clearance - socket).abs() < 1e-6 * socket);
        }
    }

    #[test]
    fn a_pushed_ball_stops_at_the_edge_of_the_mouth((stem, clearance, mouth) in joints()) {
        // Stepping the ball outwards until a point of the mouth circle lies in it.
        let edge = mouth_plane(stem.ball + clearance, mouth);
        let (mut free, mut met) = (0.0, edge);
        for _ in 0..60 {
            let out = 0.5 * (free + met);
            if (edge - out).hypot(mouth) < stem.ball { met = out } else { free = out }
        }
        let play = axial_play(stem.ball, clearance, mouth);
        prop_assert!((play - clearance - free).abs() < 1e-9);
    }

    #[test]
    fn flare_edges_lie_on_cone_and_face(
        (stem, clearance, mouth) in joints(), flare in 2.0..75.0f64, land in 0.01..6.0f64,
    ) {
        let (socket, flare) = (stem.ball + clearance, flare.to_radians());
        let hm = mouth_plane(socket, mouth);
        let on_cone = |(x, r): (f64, f64)| (r - mouth - (x - hm) * flare.tan()).abs() < 1e-9 * (1.0 + r);
        let dome = flare_on_dome(socket, mouth, flare, socket + land);
        prop_assert!(on_cone(dome) && (dome.0.hypot(dome.1) - socket - land).abs() < 1e-9);
        prop_assert!(dome.0 > hm);
        let flat = flare_on_flat(socket, mouth, flare, land);
        prop_assert!(on_cone(flat) && (flat.0 - hm - land).abs() < 1e-12);
    }

    #[test]
    fn the_gap_for_a_swing_is_used_up_by_it(p in 3.0..20.0f64, w in 3.0..25.0f64, deg in 1.0..40.0f64) {
        let swing = deg.to_radians();
        let gap = gap_for_swing(p, w, swing);
        prop_assert!((face_swing(p, gap, w) - swing).abs() < 1e-7);
        prop_assert!(face_gap(p, gap, w, swing).abs() < 1e-9);
    }
}
