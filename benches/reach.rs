//! Pace of the plain reach map, to be compared with a reference loop in one run.
//!
//! `cargo bench --bench reach -- FILE.stl [PITCH]` prints, for a ball, a flat and a tapered cutter,
//! the least time in seconds of five closings of the half's map, as JSON.

use std::io::{self, Write};
use std::time::Instant;

use limberwood::check::reach::{HeightMap, Profile, closing};

/// Beside the part, mm: more than any cutter's radius.
const MARGIN: f64 = 8.0;
/// The floor lies so far under the part, mm, that the tip's rounding clears it.
const UNDER: f64 = 2.0;

fn main() -> io::Result<()> {
    let mut arguments = std::env::args().skip(1).filter(|a| a != "--bench");
    let Some(path) = arguments.next() else {
        return writeln!(io::stdout(), "reach: give an STL file");
    };
    let pitch: f64 = arguments
        .next()
        .and_then(|p| p.parse().ok())
        .unwrap_or(0.05);
    let mesh = stl_io::read_stl(&mut std::fs::File::open(path)?)?;
    let positions: Vec<[f64; 3]> = mesh
        .vertices
        .iter()
        .map(|v| [0, 1, 2].map(|c| f64::from(v.0[c])))
        .collect();
    let triangles: Vec<[u32; 3]> = mesh
        .faces
        .iter()
        .map(|f| f.vertices.map(|v| v as u32))
        .collect();
    let low = |c: usize| positions.iter().map(|p| p[c]).fold(f64::INFINITY, f64::min);
    let high = |c: usize| {
        positions
            .iter()
            .map(|p| p[c])
            .fold(f64::NEG_INFINITY, f64::max)
    };
    let count = |c: usize| ((high(c) - low(c) + 2.0 * MARGIN) / pitch).ceil() as usize;
    let begin = Instant::now();
    let corner = [low(0) - MARGIN, low(1) - MARGIN];
    let mut map = HeightMap::flat(corner, pitch, (count(0), count(1)), low(2) - UNDER);
    map.raise(&positions, &triangles);
    let raster = begin.elapsed().as_secs_f64();
    let reach = high(2) - low(2) + 5.0;
    let taper = 3.6f64.to_radians();
    let cutters = [
        (
            "ball",
            Profile::Ball {
                tip: 1.5875,
                taper: 0.0,
                reach,
            },
        ),
        ("flat", Profile::Flat { radius: 3.175 }),
        (
            "tapered",
            Profile::Ball {
                tip: 1.5875,
                taper,
                reach,
            },
        ),
    ];
    let times = cutters.map(|(name, cutter)| {
        let time = (0..5)
            .map(|_| {
                let begin = Instant::now();
                std::hint::black_box(closing(&map, &cutter));
                begin.elapsed().as_secs_f64()
            })
            .fold(f64::INFINITY, f64::min);
        format!("\"{name}\": {time:.5}")
    });
    writeln!(
        io::stdout(),
        "{{\"raster\": {raster:.5}, {}}}",
        times.join(", ")
    )
}
