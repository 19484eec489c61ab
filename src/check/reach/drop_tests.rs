use super::super::cutter::Profile;
use super::*;
use crate::brep::set_up::SetUp;
use crate::brep::shape::FaceKind;
use crate::mesh::Mesh;

fn view(positions: &[[f64; 3]], triangles: &[[u32; 3]]) -> View {
    let mesh = Mesh {
        positions: positions.to_vec(),
        triangles: triangles.to_vec(),
        ..Mesh::default()
    };
    let kinds = vec![FaceKind::Skin; triangles.len()];
    View::of_kinds(kinds, false, &mesh, SetUp::OutsideUp)
}

#[test]
fn over_a_triangle_as_by_samples() {
    // A slanted triangle; the greatest of z - h over many of its points is the tip height.
    let corners = [[0.0, 0.0, 1.0], [4.0, 0.5, 3.0], [1.0, 3.0, 6.0]];
    let ground = Ground::of(&view(&corners, &[[0, 1, 2]]), -100.0);
    let cutters = [
        Profile::Flat { radius: 1.5 },
        Profile::Ball {
            tip: 1.2,
            taper: 0.0,
            reach: 20.0,
        },
        Profile::Ball {
            tip: 0.8,
            taper: 0.3,
            reach: 12.0,
        },
    ];
    let n = 400;
    let mut touched = 0;
    for cutter in cutters {
        for k in 0..60 {
            let at = [f64::from(k % 10) * 0.7 - 1.5, f64::from(k / 10) - 1.3];
            let mut sampled = -100.0f64;
            for i in 0..=n {
                for j in 0..=n - i {
                    let (u, v) = (f64::from(i) / f64::from(n), f64::from(j) / f64::from(n));
                    let p: [f64; 3] = std::array::from_fn(|c| {
                        (1.0 - u - v) * corners[0][c] + u * corners[1][c] + v * corners[2][c]
                    });
                    let r = (p[0] - at[0]).hypot(p[1] - at[1]);
                    if r <= cutter.radius() {
                        sampled = sampled.max(p[2] - cutter.height(r));
                    }
                }
            }
            let found = ground.tip(&Surface::of(&cutter), at);
            // Samples are never above; they miss no more than a step times the steepest slope, but
            // for a straight ball, whose profile ends upright.
            assert!(
                found >= sampled - 1e-9,
                "{cutter:?} {at:?}: {found} {sampled}"
            );
            if sampled > -100.0 {
                touched += 1;
                let straight = cutter.tip() > 0.0 && cutter.taper() == 0.0;
                let room = if straight { 0.5 } else { 0.06 };
                assert!(
                    found - sampled < room,
                    "{cutter:?} {at:?}: {found} {sampled}"
                );
            }
        }
    }
    assert!(touched > 60, "{touched}");
}

#[test]
fn a_ball_beside_an_upright_wall() {
    // A wall of height 5 along y at x = 0, one facet of its top beyond.
    let positions = [
        [0.0, -9.0, 0.0],
        [0.0, 9.0, 0.0],
        [0.0, 9.0, 5.0],
        [0.0, -9.0, 5.0],
        [-9.0, 0.0, 5.0],
    ];
    let ground = Ground::of(&view(&positions, &[[0, 1, 2], [0, 2, 3], [3, 2, 4]]), 0.0);
    let cutter = Profile::Ball {
        tip: 2.0,
        taper: 0.0,
        reach: 20.0,
    };
    assert_eq!(ground.tip(&Surface::of(&cutter), [2.0 + 1e-9, 0.0]), 0.0);
    let found = ground.tip(&Surface::of(&cutter), [1.0, 0.3]);
    let wanted = 5.0 - (2.0 - 3f64.sqrt());
    assert!((found - wanted).abs() < 1e-12, "{found} {wanted}");
}

#[test]
fn hollow_edges_decide_nothing() {
    // A rough ground as one mesh, whose edges know both facets, and as loose facets, which look at
    // all of their edges.
    let n = 12u32;
    let mut state = 7u64;
    let mut random = || {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1);
        (state >> 33) as f64 / f64::from(1u32 << 31)
    };
    let positions: Vec<[f64; 3]> = (0..n * n)
        .map(|k| {
            let (i, j) = (f64::from(k % n), f64::from(k / n));
            [
                0.7 * i + 0.3 * random(),
                0.7 * j + 0.3 * random(),
                4.0 * random() * random(),
            ]
        })
        .collect();
    let cells = (0..n - 1).flat_map(|j| (0..n - 1).map(move |i| j * n + i));
    let triangles: Vec<[u32; 3]> = cells
        .flat_map(|a| [[a, a + 1, a + n + 1], [a, a + n + 1, a + n]])
        .collect();
    let loose: Vec<[f64; 3]> = triangles
        .iter()
        .flat_map(|t| t.map(|k| positions[k as usize]))
        .collect();
    let apart: Vec<[u32; 3]> = (0..triangles.len() as u32)
        .map(|k| [3 * k, 3 * k + 1, 3 * k + 2])
        .collect();
    let (one, other) = (view(&positions, &triangles), view(&loose, &apart));
    let (one, other) = (Ground::of(&one, -100.0), Ground::of(&other, -100.0));
    let kept = |g: &Ground| g.facets.iter().flat_map(|f| f.edges).filter(|&e| e).count();
    assert!(
        3 * kept(&one) < kept(&other),
        "{} {}",
        kept(&one),
        kept(&other)
    );
    for (tip, taper) in [(0.0, 0.0), (0.4, 0.0), (1.3, 0.0), (0.5, 0.1), (0.6, 0.6)] {
        let cutter = match tip {
            0.0 => Profile::Flat { radius: 1.1 },
            tip => Profile::Ball {
                tip,
                taper,
                reach: 15.0,
            },
        };
        let cutter = Surface::of(&cutter);
        for _ in 0..400 {
            let at = [9.0 * random() - 0.3, 9.0 * random() - 0.3];
            let (a, b) = (one.tip(&cutter, at), other.tip(&cutter, at));
            assert!((a - b).abs() < 1e-9, "{cutter:?} {at:?}: {a} {b}");
        }
    }
}

#[test]
fn a_box_on_a_floor_by_closed_form() {
    // A closed box: the underside looks down, the walls stand upright; places lie on edges, corners
    // and diagonals of its facets exactly.
    let at = |k: u32| [k & 1, k >> 1 & 1, k >> 2 & 1].map(|bit| f64::from(bit) * 4.0);
    let positions: Vec<[f64; 3]> = (0..8).map(at).collect();
    let quads = [
        [0, 2, 3, 1],
        [4, 5, 7, 6],
        [0, 1, 5, 4],
        [1, 3, 7, 5],
        [3, 2, 6, 7],
        [2, 0, 4, 6],
    ];
    let triangles: Vec<[u32; 3]> = quads
        .iter()
        .flat_map(|[a, b, c, d]| [[*a, *b, *c], [*a, *c, *d]])
        .collect();
    let ground = Ground::of(&view(&positions, &triangles), -1.0);
    for (tip, taper) in [(0.0, 0.0), (1.0, 0.0), (0.75, 0.1)] {
        let cutter = match tip {
            0.0 => Profile::Flat { radius: 1.5 },
            tip => Profile::Ball {
                tip,
                taper,
                reach: 9.0,
            },
        };
        let surface = Surface::of(&cutter);
        for i in -12..=28 {
            for j in -12..=28 {
                let at = [f64::from(i) * 0.25, f64::from(j) * 0.25];
                let away = |c: f64| (-c).max(c - 4.0).max(0.0);
                let far = away(at[0]).hypot(away(at[1]));
                let wanted = match far <= surface.radius {
                    true => (4.0 - surface.height(far)).max(-1.0),
                    false => -1.0,
                };
                let found = ground.tip(&surface, at);
                assert!(
                    (found - wanted).abs() < 1e-9,
                    "{cutter:?} {at:?}: {found} {wanted}"
                );
            }
        }
    }
}
