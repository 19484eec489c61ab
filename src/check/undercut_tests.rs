use super::*;

/// A box of 10 x 8 x 6 on z = 0 with a ledge of 2 x 8 standing out at x = 10, from z = 4 to 6:
/// an overhang of 16 mm2.
fn ledge() -> Mesh {
    let section = [
        [0.0, 0.0],
        [10.0, 0.0],
        [10.0, 4.0],
        [12.0, 4.0],
        [12.0, 6.0],
        [0.0, 6.0],
    ];
    let mut mesh = Mesh::default();
    for y in [0.0, 8.0] {
        mesh.positions.extend(section.map(|[x, z]| [x, y, z]));
    }
    for k in 0..6u32 {
        let next = (k + 1) % 6;
        mesh.triangles.push([k, next + 6, next]);
        mesh.triangles.push([k, k + 6, next + 6]);
    }
    for t in [[0, 1, 2], [0, 2, 5], [2, 3, 4], [2, 4, 5]] {
        mesh.triangles.push(t);
        mesh.triangles.push([t[0] + 6, t[2] + 6, t[1] + 6]);
    }
    mesh
}

fn of_kind(mesh: &Mesh, kind: FaceKind, up: SetUp) -> Vec<Hidden> {
    let view = View::of_kinds(vec![kind; mesh.triangles.len()], false, mesh, up);
    hidden(&view, up, &|_, _| None)
}

#[test]
fn an_overhang_and_what_it_hides() {
    let mesh = ledge();
    assert!((mesh.volume() - (10.0 * 6.0 + 2.0 * 2.0) * 8.0).abs() < 1e-9);
    let found = of_kind(&mesh, FaceKind::Skin, SetUp::OutsideUp);
    // The floor looks away (80), so does the ledge's underside (16); the wall under it is hidden
    // (4 x 8). No other wall.
    assert_eq!(found.len(), 1);
    assert!((found[0].area_mm2 - 128.0).abs() < 1e-6, "{found:?}");
    assert!((found[0].deepest_mm - 6.0).abs() < 1e-9, "{found:?}");
}

#[test]
fn turned_over_the_ledge_is_a_step() {
    let mesh = ledge();
    // Kinds of the inside are looked at from below: only the top (12 x 8) is hidden.
    let found = of_kind(&mesh, FaceKind::Socket, SetUp::InsideUp);
    assert_eq!(found.len(), 1);
    assert!((found[0].area_mm2 - 96.0).abs() < 1e-6, "{found:?}");
    // Nothing of the inside is cut with the outside up.
    assert!(of_kind(&mesh, FaceKind::Socket, SetUp::OutsideUp).is_empty());
}

#[test]
fn parts_fill_the_triangle() {
    let corners = [[0.0, 0.0, 0.0], [3.0, 0.0, 1.0], [0.0, 2.0, 5.0]];
    let parts = parts(&corners);
    assert!(parts.len() > 50);
    let sum: f64 = parts.iter().map(|p| p.1).sum();
    assert!((sum - 1.0).abs() < 1e-12);
    for k in 0..3 {
        let middle: f64 = parts.iter().map(|p| p.0[k] * p.1).sum();
        let wanted = corners.iter().map(|c| c[k]).sum::<f64>() / 3.0;
        assert!((middle - wanted).abs() < 1e-12, "{middle} {wanted}");
    }
}

#[test]
fn normals_of_exact_faces() {
    let frame = Frame {
        origin: Point3::new(1.0, 0.0, 0.0),
        x: Vector3::unit_x(),
        z: Vector3::unit_z(),
    };
    let s = 0.5f64.sqrt();
    let torus = Surface::Torus {
        frame,
        major: 5.0,
        minor: 1.0,
    };
    let cone = Surface::Cone {
        frame,
        radius: 2.0,
        half_angle: 45f64.to_radians(),
    };
    for (surface, at, wanted) in [
        (torus, [6.0 + s, 0.0, s], [s, 0.0, s]),
        (cone, [1.0, 3.0, 1.0], [0.0, s, -s]),
    ] {
        let n = normal(&surface, at).unwrap();
        for k in 0..3 {
            assert!((n[k] - wanted[k]).abs() < 1e-12, "{n:?}");
        }
    }
}
