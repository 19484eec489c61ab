//! Input that is no body: nothing panics, and what is sound is still drawn.

use super::bodies::{GREEN, RED, cube, piece};
use crate::brep::shape::FaceKind;
use crate::mesh::Mesh;
use crate::picture::{Piece, Size, View, picture};

fn small() -> Size {
    Size::new(64, 48).unwrap()
}

fn plain(pixels: &[[u8; 3]]) -> bool {
    pixels.iter().all(|p| *p == pixels[0] && p[0] > 230)
}

#[test]
fn nothing_gives_a_plain_picture() {
    for view in [View::FRONT_LEFT, View::SIDE, View::TOP] {
        let drawn = picture(&[], &view, small());
        assert_eq!(drawn.pixels.len(), 64 * 48);
        assert!(plain(&drawn.pixels));
        let empty = Mesh::default();
        assert!(plain(
            &picture(&[piece(&empty, RED)], &view, small()).pixels
        ));
    }
}

#[test]
fn corners_that_are_no_places_are_left_out() {
    let sound = cube();
    let expected = picture(&[piece(&sound, RED)], &View::FRONT_LEFT, small());
    for bad in [
        f64::NAN,
        f64::INFINITY,
        f64::NEG_INFINITY,
        1e300,
        -1e300,
        1e12,
    ] {
        for place in [[bad, 0.0, 0.0], [0.0, bad, 0.0], [0.0, 0.0, bad], [bad; 3]] {
            let mut mesh = cube();
            mesh.positions.push(place);
            // One triangle with it, and one with a corner that is not there.
            mesh.triangles.push([0, 1, 8]);
            mesh.triangles.push([0, 1, 4_000_000_000]);
            let drawn = picture(&[piece(&mesh, RED)], &View::FRONT_LEFT, small());
            assert_eq!(drawn, expected, "{place:?}");
            for p in &mut mesh.positions {
                *p = place;
            }
            assert!(plain(
                &picture(&[piece(&mesh, RED)], &View::TOP, small()).pixels
            ));
        }
    }
}

#[test]
fn poses_and_views_that_are_no_motions_do_not_panic() {
    let block = cube();
    for bad in [f64::NAN, f64::INFINITY, 1e308, 0.0] {
        let lost = Piece {
            pose: [[bad; 4]; 4],
            ..piece(&block, GREEN)
        };
        let drawn = picture(&[lost, piece(&block, RED)], &View::SIDE, small());
        assert!(!plain(&drawn.pixels), "{bad}");
        let view = View {
            azimuth: bad,
            elevation: bad,
        };
        assert!(!plain(
            &picture(&[piece(&block, RED)], &view, small()).pixels
        ));
    }
}

#[test]
fn flat_and_tiny_bodies_do_not_panic() {
    for factor in [0.0, 1e-300, 1e-12, 1e5] {
        for axis in 0..3 {
            let mut mesh = cube();
            mesh.positions.iter_mut().for_each(|p| p[axis] *= factor);
            for view in [View::FRONT_LEFT, View::SIDE, View::TOP] {
                picture(&[piece(&mesh, RED)], &view, small());
            }
        }
    }
}

#[test]
fn faces_without_a_kind_are_plain_wood() {
    let plainly = cube();
    let mut mesh = cube();
    mesh.face = vec![7; 5];
    let kinds = [FaceKind::EyeFloor];
    let odd = Piece {
        kinds: &kinds,
        ..piece(&mesh, RED)
    };
    let expected = picture(&[piece(&plainly, RED)], &View::FRONT_LEFT, small());
    assert_eq!(picture(&[odd], &View::FRONT_LEFT, small()), expected);
}

#[test]
fn sizes_are_limited() {
    assert!(Size::new(0, 10).is_none());
    assert!(Size::new(10, Size::MOST + 1).is_none());
    let block = cube();
    for (width, height) in [(1, 1), (1, 50), (300, 1), (17, 33)] {
        let size = Size::new(width, height).unwrap();
        let drawn = picture(&[piece(&block, RED)], &View::FRONT_LEFT, size);
        assert_eq!(drawn.pixels.len(), width * height);
    }
}
