//! The steps of a picture, each by itself.

use std::f64::consts::{FRAC_PI_2, TAU};

use nalgebra::{Point3, Vector3};

use super::bodies::{RED, cube, piece, sphere};
use crate::brep::shape::FaceKind;
use crate::mesh::Mesh;
use crate::params::SPECIES;
use crate::picture::cover::cover;
use crate::picture::lamp::Lamps;
use crate::picture::scene::Scene;
use crate::picture::tone::Tint;
use crate::picture::view::Camera;
use crate::picture::{Size, View, Wood};

#[test]
fn a_view_is_a_right_handed_frame_and_goes_back() {
    for k in 0..40 {
        let view = View {
            azimuth: f64::from(k) * 0.7 - 9.0,
            elevation: f64::from(k) * 0.11 - 2.0,
        };
        let [right, up, eye] = view.axes();
        assert!((right.cross(&up) - eye).norm() < 1e-12);
        let points = [Point3::new(3.0, -8.0, 1.0), Point3::new(90.0, 14.0, -6.0)];
        let camera = Camera::fit(&points, &view, Size::default());
        for p in points {
            let [x, y, depth] = camera.sees(&p);
            assert!((camera.point([x, y], depth) - p).norm() < 1e-9);
            assert!((-1e-9..=4800.0).contains(&x) && (-1e-9..=2700.0).contains(&y));
        }
    }
}

#[test]
fn heads_look_to_the_left() {
    // Head at x = 0, tail at x = 100, the left flank at y = -10, the back at z = 10.
    let [right, up, eye] = View::SIDE.axes();
    assert!((right - Vector3::x()).norm() < 1e-12);
    assert!((up - Vector3::z()).norm() < 1e-12);
    assert!((eye + Vector3::y()).norm() < 1e-12);
    let [right, _, eye] = View::TOP.axes();
    assert!((right - Vector3::x()).norm() < 1e-12);
    assert!((eye - Vector3::z()).norm() < 1e-12);
    let [right, up, eye] = View::FRONT_LEFT.axes();
    assert!(right.x > 0.3 && up.z > 0.3);
    assert!(eye.x < 0.0 && eye.y < 0.0 && eye.z > 0.0);
}

#[test]
fn triangles_of_a_fan_cover_each_sample_once() {
    let middle = [50.3, 47.1];
    let rim = |k: u32| {
        let (s, c) = (f64::from(k % 9) / 9.0 * TAU).sin_cos();
        [50.0 + 41.7 * c, 50.0 + 38.9 * s]
    };
    let mut count = vec![0; 100 * 100];
    for k in 0..9 {
        let corners = [middle, rim(k), rim(k + 1)];
        cover(corners, 0..100, 100, |x, y, w| {
            count[y * 100 + x] += 1;
            assert!((w.iter().sum::<f64>() - 1.0).abs() < 1e-9);
            let back = [0, 1].map(|i| (0..3).map(|c| w[c] * corners[c][i]).sum::<f64>());
            let (dx, dy) = (back[0] - x as f64 - 0.5, back[1] - y as f64 - 0.5);
            assert!(dx.abs() < 1e-9 && dy.abs() < 1e-9);
        });
    }
    // Nine corners of an ellipse with half axes 41.7 and 38.9.
    let area = 4.5 * (TAU / 9.0).sin() * 41.7 * 38.9;
    let covered = count.iter().filter(|n| **n > 0).count() as f64;
    assert!(count.iter().all(|n| *n < 2), "a sample is covered twice");
    assert!(
        (covered / area - 1.0).abs() < 0.01,
        "{covered}, area {area}"
    );
}

#[test]
fn samples_on_a_shared_edge_are_not_lost() {
    // The diagonal runs through the centres of samples.
    let (a, b, c, d) = ([0.0, 0.0], [20.0, 0.0], [20.0, 20.0], [0.0, 20.0]);
    let mut seen = vec![false; 400];
    for corners in [[a, b, c], [a, c, d]] {
        cover(corners, 0..20, 20, |x, y, _| seen[y * 20 + x] = true);
    }
    assert!(seen.iter().all(|s| *s));
    let mut rows = Vec::new();
    cover([a, b, c], 5..7, 10, |x, y, _| rows.push((x, y)));
    let expected: Vec<(usize, usize)> = (5..10)
        .map(|x| (x, 5))
        .chain((6..10).map(|x| (x, 6)))
        .collect();
    assert_eq!(rows, expected);
}

#[test]
fn a_sphere_is_smooth_and_a_cube_is_not() {
    let ball = sphere(3.0, 40);
    let scene = Scene::of(&[piece(&ball, RED)]);
    for facet in &scene.facets {
        for (corner, normal) in scene.corners(facet).iter().zip(facet.normals) {
            let off = normal.map(f64::from).angle(&corner.coords);
            // Facets are 4.5 degrees wide; the mean round a corner is nearer than one of them.
            assert!(off < 0.05, "{off}");
        }
    }
    let block = cube();
    let scene = Scene::of(&[piece(&block, RED)]);
    assert_eq!(scene.facets.len(), 12);
    for facet in &scene.facets {
        let [a, b, c] = scene.corners(facet);
        let flat = (b - a).cross(&(c - a)).normalize();
        for normal in facet.normals {
            assert!((normal.map(f64::from) - flat).norm() < 1e-6);
        }
    }
}

#[test]
fn a_disc_overhead_takes_its_part_of_the_sky() {
    // Seen from the ground under its middle, a disc that ends at an angle t from the zenith
    // takes sin2 t of an even sky (view factor of a disc parallel to a small patch on its axis,
    // R2 / (R2 + h2)); the key light passes beside it.
    let (height, radius) = (10.0, 10.0 * 28f64.to_radians().tan());
    let ring = |k: u32| {
        let (s, c) = (f64::from(k) / 200.0 * TAU).sin_cos();
        [radius * c, radius * s, height]
    };
    let disc = Mesh {
        positions: (0..200).map(ring).collect(),
        triangles: (1..199).map(|k| [0, k, k + 1]).collect(),
        ..Mesh::default()
    };
    let view = View {
        azimuth: 1.0,
        elevation: 0.5,
    };
    let open = Lamps::of(&Scene::default(), &view);
    let ground = Point3::new(0.0, 0.0, 0.0);
    assert!((open.on_ground(&ground) - 1.0).abs() < 1e-6);
    let below = Lamps::of(&Scene::of(&[piece(&disc, RED)]), &view);
    // Sky and key light are equally strong; the key light falls at its angle.
    let key = below.key.z;
    let taken = 28f64.to_radians().sin().powi(2) / (1.0 + key);
    let found = f64::from(1.0 - below.on_ground(&ground));
    assert!((found - taken).abs() < 0.03, "{found}, expected {taken}");
    let far = Point3::new(500.0, 0.0, 0.0);
    assert!(below.on_ground(&far) > 0.999);
}

#[test]
fn a_face_turned_down_is_darker() {
    let open = Lamps::of(&Scene::default(), &View::FRONT_LEFT);
    let at = |normal: Vector3<f64>| open.at(&Point3::origin(), &normal).all;
    assert!(at(Vector3::z()) > 0.9);
    assert!(at(-Vector3::z()) < 0.3 && at(-Vector3::z()) > 0.05);
    assert!(open.key.angle(&Vector3::z()) < FRAC_PI_2);
}

#[test]
fn eyes_are_dark_and_every_species_has_a_tone() {
    let [maple, _] = Wood::Maple.tones();
    assert!(Tint::of(FaceKind::EyeFloor).on(maple).max() < 0.2 * maple.max());
    assert_eq!(Tint::of(FaceKind::Skin).on(maple), maple);
    assert_eq!(Wood::of_species("Black Walnut"), Wood::Walnut);
    assert_eq!(Wood::of_species("white ash"), Wood::Oak);
    let dark = SPECIES
        .iter()
        .filter(|s| Wood::of_species(s.name) != Wood::Maple);
    // Beech, cherry, walnut, two oaks, ash.
    assert_eq!(dark.count(), 6);
}
