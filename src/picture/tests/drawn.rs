//! What the finished picture shows.

use std::f64::consts::PI;

use super::bodies::{GREEN, RED, cube, level, piece, sphere, upright};
use crate::picture::{Piece, Size, View, Wood, picture};

fn size(width: usize, height: usize) -> Size {
    Size::new(width, height).unwrap()
}

fn is_red([r, g, b]: [u8; 3]) -> bool {
    r > 60 && r / 2 > g && r / 2 > b
}

fn is_green([r, g, b]: [u8; 3]) -> bool {
    g > 60 && g / 2 > r && g / 2 > b
}

#[test]
fn a_sphere_covers_its_circle() {
    let ball = sphere(7.0, 100);
    let side = 400;
    let drawn = picture(&[piece(&ball, RED)], &View::SIDE, size(side, side));
    // The circle fills the picture but for a margin of 6 % at each edge.
    let expected = PI * (0.44 * side as f64).powi(2);
    let covered = drawn.pixels.iter().filter(|p| p[1] < 128).count() as f64;
    assert!(
        (covered / expected - 1.0).abs() < 0.01,
        "{covered} pixels, expected {expected}"
    );
    // And it stands in the middle.
    let mean = |of: fn(usize, usize) -> usize| {
        let covered = drawn.pixels.iter().enumerate().filter(|(_, p)| p[1] < 128);
        let (count, sum) = covered.fold((0, 0), |(n, s), (at, _)| (n + 1, s + of(at, side)));
        sum as f64 / f64::from(count)
    };
    let middle = (side as f64 - 1.0) / 2.0;
    for mean in [mean(|at, side| at % side), mean(|at, side| at / side)] {
        assert!((mean - middle).abs() < 0.2, "{mean}");
    }
}

#[test]
fn the_nearer_square_hides_the_farther_one() {
    let far = upright([-10.0, 10.0], 0.0, [-10.0, 10.0]);
    let near = upright([-4.0, 4.0], -5.0, [-4.0, 4.0]);
    for swapped in [false, true] {
        let mut pieces = vec![piece(&far, RED), piece(&near, GREEN)];
        if swapped {
            pieces.reverse();
        }
        let drawn = picture(&pieces, &View::SIDE, size(100, 100));
        let at = |x: usize, y: usize| drawn.pixels[y * 100 + x];
        // 4.4 pixels to a mm: the near square from column 32 to 68.
        assert!(is_green(at(50, 50)), "{:?}", at(50, 50));
        assert!(is_green(at(35, 65)), "{:?}", at(35, 65));
        for (x, y) in [(15, 50), (50, 15), (85, 50), (28, 28)] {
            assert!(is_red(at(x, y)), "{x} {y}: {:?}", at(x, y));
        }
    }
}

#[test]
fn a_pose_turns_and_shifts() {
    let bar = level([0.0, 10.0], [-1.0, 1.0], 0.0);
    // A quarter turn about z, then 20 along x: from x 19 to 21, y 0 to 10.
    let pose = [
        [0.0, -1.0, 0.0, 20.0],
        [1.0, 0.0, 0.0, 0.0],
        [0.0, 0.0, 1.0, 0.0],
        [0.0, 0.0, 0.0, 1.0],
    ];
    let turned = Piece {
        pose,
        ..piece(&bar, GREEN)
    };
    let drawn = picture(&[piece(&bar, RED), turned], &View::TOP, size(500, 500));
    let scale = 0.88 * 500.0 / 21.0;
    let at = |x: f64, y: f64| {
        let column = (250.0 + (x - 10.5) * scale) as usize;
        let row = (250.0 - (y - 4.5) * scale) as usize;
        drawn.pixels[row * 500 + column]
    };
    for (x, y) in [(19.2, 0.2), (20.8, 0.2), (20.8, 9.8), (19.2, 9.8)] {
        assert!(is_green(at(x, y)), "{x} {y}: {:?}", at(x, y));
    }
    for (x, y) in [(0.2, 0.8), (9.8, -0.8)] {
        assert!(is_red(at(x, y)), "{x} {y}: {:?}", at(x, y));
    }
    for (x, y) in [(18.6, 5.0), (21.4, 5.0), (20.0, -0.6), (10.6, 0.0)] {
        let pixel = at(x, y);
        assert!(!is_green(pixel) && !is_red(pixel), "{x} {y}: {pixel:?}");
    }
}

#[test]
fn insides_are_not_drawn() {
    let mut away = upright([-1.0, 1.0], 0.0, [-1.0, 1.0]);
    for triangle in &mut away.triangles {
        triangle.swap(0, 1);
    }
    let drawn = picture(&[piece(&away, RED)], &View::SIDE, size(40, 40));
    assert!(!drawn.pixels.iter().any(|p| is_red(*p)));
}

#[test]
fn a_plane_seen_askew_has_one_colour_and_a_dark_edge() {
    let plate = level([0.0, 30.0], [0.0, 30.0], 0.0);
    let view = View {
        azimuth: 1.0,
        elevation: 0.2,
    };
    let drawn = picture(&[piece(&plate, RED)], &view, size(300, 300));
    let red: Vec<[u8; 3]> = drawn
        .pixels
        .iter()
        .copied()
        .filter(|p| is_red(*p))
        .collect();
    let most = red.iter().map(|p| p[0]).max().unwrap();
    let same = red.iter().filter(|p| most - p[0] < 3).count();
    // All but the pixels along the four edges, some 900 of them.
    assert!(
        red.len() > 5000 && same + 900 > red.len(),
        "{same} of {}",
        red.len()
    );
    assert!(same < red.len());
}

#[test]
fn edges_of_a_cube_are_dark_lines() {
    let block = cube();
    let view = View {
        azimuth: std::f64::consts::FRAC_PI_4,
        elevation: 0.6,
    };
    let drawn = picture(&[piece(&block, RED)], &view, size(200, 200));
    // Below the middle an upright edge between two walls runs between columns 99 and 100.
    for row in 120..160 {
        let at = |column: usize| drawn.pixels[row * 200 + column][0];
        for (edge, wall) in [(99, 90), (100, 110)] {
            assert!(at(wall) > 100, "{row}: {}", at(wall));
            assert!(at(edge) + 8 < at(wall), "{row}: {} {}", at(edge), at(wall));
        }
    }
}

#[test]
fn the_png_reads_back() {
    let block = cube();
    let pieces = [piece(&block, Wood::Oak)];
    let size = size(123, 77);
    let bytes = picture(&pieces, &View::FRONT_LEFT, size).png().unwrap();
    let mut reader = png::Decoder::new(std::io::Cursor::new(&bytes))
        .read_info()
        .unwrap();
    let mut buffer = vec![0; reader.output_buffer_size().unwrap()];
    let frame = reader.next_frame(&mut buffer).unwrap();
    assert_eq!((frame.width, frame.height), (123, 77));
    assert_eq!(frame.color_type, png::ColorType::Rgb);
    let pixels = picture(&pieces, &View::FRONT_LEFT, size).pixels;
    assert_eq!(buffer[..frame.buffer_size()], *pixels.as_flattened());
}

#[test]
fn one_thread_and_many_give_the_same_bytes() {
    let (ball, block) = (sphere(1.4, 30), cube());
    let pieces = [piece(&ball, Wood::Walnut), piece(&block, Wood::Maple)];
    let with = |threads| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads);
        let pool = pool.build().unwrap();
        pool.install(|| {
            picture(&pieces, &View::FRONT_LEFT, size(200, 150))
                .png()
                .unwrap()
        })
    };
    let one = with(1);
    assert_eq!(one, with(2));
    assert_eq!(one, with(7));
}
