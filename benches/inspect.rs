//! Pace of the mesh inspection on sound bodies of 5,000 to 20,000 triangles.
//!
//! Prints the shortest and the middle time of 50 runs each.

use std::f64::consts::{FRAC_PI_2, TAU};
use std::hint::black_box;
use std::io::{self, Write};
use std::time::Instant;

use limberwood::mesh::inspect::inspect;

type Mesh = (Vec<[f32; 3]>, Vec<[u32; 3]>);

/// Half of a smooth body on z = 0, turned about z so that no edge follows an axis. The base is
/// a strip between the two sides, long and thin as a triangulated split face is.
fn half(along: u32, over: u32) -> Mesh {
    let mut positions = Vec::new();
    let (sin, cos) = 0.3f64.sin_cos();
    for i in 0..=along {
        let u = f64::from(i) / f64::from(along);
        let (width, height) = (9.0 + 5.0 * (3.0 * u).sin(), 8.0 + 4.0 * (2.5 * u).cos());
        for j in 0..=over {
            let a = 2.0 * FRAC_PI_2 * f64::from(j) / f64::from(over);
            let (x, y) = (60.0 * u, width * a.cos());
            let z = if j % over == 0 { 0.0 } else { height * a.sin() };
            positions.push([
                (x * cos - y * sin) as f32,
                (x * sin + y * cos) as f32,
                z as f32,
            ]);
        }
    }
    let at = |i: u32, j: u32| i * (over + 1) + j;
    let mut triangles = Vec::new();
    for i in 0..along {
        for j in 0..over {
            let [a, b, c, d] = [at(i, j), at(i + 1, j), at(i + 1, j + 1), at(i, j + 1)];
            triangles.extend([[a, c, b], [a, d, c]]);
        }
        let [a, b, c, d] = [at(i, over), at(i + 1, over), at(i + 1, 0), at(i, 0)];
        triangles.extend([[a, c, b], [a, d, c]]);
    }
    for j in 1..over {
        triangles.push([at(0, 0), at(0, j + 1), at(0, j)]);
        triangles.push([at(along, 0), at(along, j), at(along, j + 1)]);
    }
    (positions, triangles)
}

/// A ring of round section: every triangle has neighbours on all sides.
fn ring(round: u32, tube: u32) -> Mesh {
    let mut positions = Vec::new();
    for i in 0..round {
        for j in 0..tube {
            let a = TAU * f64::from(i) / f64::from(round);
            let b = TAU * f64::from(j) / f64::from(tube);
            let r = 20.0 + 6.0 * b.cos();
            positions.push([
                (r * a.cos()) as f32,
                (r * a.sin()) as f32,
                (6.0 * b.sin()) as f32,
            ]);
        }
    }
    let at = |i: u32, j: u32| (i % round) * tube + j % tube;
    let mut triangles = Vec::new();
    for i in 0..round {
        for j in 0..tube {
            let [a, b, c, d] = [at(i, j), at(i + 1, j), at(i + 1, j + 1), at(i, j + 1)];
            triangles.extend([[a, b, c], [a, c, d]]);
        }
    }
    (positions, triangles)
}

/// The same mesh with three positions of its own for every triangle, as STL stores it.
fn soup((positions, triangles): &Mesh) -> Mesh {
    let corners = triangles.iter().flatten();
    let own = corners.map(|&c| positions[c as usize]).collect();
    let count = triangles.len() as u32;
    (
        own,
        (0..count).map(|t| [3 * t, 3 * t + 1, 3 * t + 2]).collect(),
    )
}

/// Seconds this thread has run, where the system counts them (Linux), so that other work on the
/// machine does not show; else seconds since `start`.
fn busy(start: Instant) -> f64 {
    std::fs::read_to_string("/proc/thread-self/schedstat")
        .ok()
        .and_then(|line| line.split(' ').next()?.parse::<f64>().ok())
        .map_or_else(
            || start.elapsed().as_secs_f64(),
            |nanoseconds| nanoseconds * 1e-9,
        )
}

fn main() -> io::Result<()> {
    let cases = [
        ("half 5k", half(60, 40)),
        ("half 10k", half(120, 40)),
        ("half 20k", half(240, 40)),
        ("ring 10k", ring(100, 50)),
        ("half 10k as soup", soup(&half(120, 40))),
    ];
    let mut out = io::stdout().lock();
    let start = Instant::now();
    for (name, (positions, triangles)) in cases {
        let sound = inspect(&positions, &triangles);
        assert!(sound.is_sound(), "{name}: {:?}", sound.findings.first());
        let mut times: Vec<f64> = (0..50)
            .map(|_| {
                let before = busy(start);
                black_box(inspect(black_box(&positions), black_box(&triangles)));
                (busy(start) - before) * 1e3
            })
            .collect();
        times.sort_by(f64::total_cmp);
        let count = triangles.len();
        let (least, middle) = (times[0], times[25]);
        writeln!(
            out,
            "{name:18} {count:6} triangles: {least:.2} ms, middle {middle:.2} ms"
        )?;
    }
    Ok(())
}
