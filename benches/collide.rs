//! Pace of the swing of one joint in 24 directions, to be compared with a collision library.
//!
//! `cargo bench --bench collide` takes the first joint of the caterpillar, meshed within 0.002 mm;
//! `cargo bench --bench collide -- DEVIATION` within another deviation (mm);
//! `cargo bench --bench collide -- STILL.stl MOVING.stl CENTRE_STILL CENTRE_MOVING [MOST]` takes two
//! sections along x, each with the place of the joint's centre on its own x axis (mm), and the
//! greatest angle (degrees, 60 when not given). It prints, as JSON, the least wall time of five
//! runs on one thread and on all, in seconds, and the angles in degrees; direction 0 carries the
//! moving section towards +y, direction 6 towards +z.

#[path = "../tests/swings/bodies.rs"]
mod bodies;

use std::io::{self, Write};
use std::time::Instant;

use bodies::{Pair, Soup};
use limberwood::check::collide::{Contact, Swing, swing_all};
use limberwood::mesh::nearest::MeshTree;

const RUNS: usize = 5;
const DIRECTIONS: usize = 24;
const CATERPILLAR: &str = include_str!("../params/caterpillar.yaml");
/// Deviation when none is given, mm: as in the test against the closed form.
const DEVIATION: f64 = 2e-3;

/// The mesh of a file, moved by -`centre` along x.
fn read(path: &str, centre: f64) -> io::Result<Soup> {
    let mesh = stl_io::read_stl(&mut std::fs::File::open(path)?)?;
    let positions = mesh.vertices.iter().map(|v| {
        let [x, y, z] = [0, 1, 2].map(|c| f64::from(v.0[c]));
        [x - centre, y, z]
    });
    let triangles = mesh.faces.iter().map(|f| f.vertices.map(|v| v as u32));
    Ok((positions.collect(), triangles.collect()))
}

/// Least wall time of the runs in seconds, and the answer.
fn timed<T>(run: impl Fn() -> T) -> (f64, T) {
    let one = || {
        let begin = Instant::now();
        let answer = std::hint::black_box(run());
        (begin.elapsed().as_secs_f64(), answer)
    };
    let mut best = one();
    for _ in 1..RUNS {
        let next = one();
        if next.0 < best.0 {
            best = next;
        }
    }
    best
}

/// The joint that the arguments ask for, and the greatest angle, degrees.
fn given(given: &[String]) -> io::Result<(Pair, f64)> {
    let number = |k: usize| given.get(k).and_then(|n| n.parse::<f64>().ok());
    if let (Some(still), Some(moving), Some(first), Some(second)) =
        (given.first(), given.get(1), number(2), number(3))
    {
        let pair = Pair {
            still: read(still, first)?,
            moving: read(moving, second)?,
            centre: 0.0,
            way: 1.0,
        };
        return Ok((pair, number(4).unwrap_or(60.0)));
    }
    let deviation = number(0).unwrap_or(DEVIATION);
    let pair = bodies::resolved(CATERPILLAR).and_then(|c| bodies::pair(&c, 0, deviation));
    Ok((pair.map_err(io::Error::other)?, 60.0))
}

fn main() -> io::Result<()> {
    let arguments = std::env::args().skip(1).filter(|a| a != "--bench");
    let (pair, most) = given(&arguments.collect::<Vec<_>>())?;
    let tree = |soup: &Soup| MeshTree::new(&soup.0, &soup.1);
    let (build, trees) = timed(|| (tree(&pair.still), tree(&pair.moving)));
    let (Ok(a), Ok(b)) = trees else {
        return writeln!(io::stdout(), "collide: a file holds no mesh");
    };
    let swing = Swing {
        centre: [pair.centre, 0.0, 0.0],
        chain_axis: [pair.way, 0.0, 0.0],
        count: DIRECTIONS,
        aside: 0.0,
        most: most.to_radians(),
    };
    let all = || swing_all(&a, &b, &swing);
    let one = rayon::ThreadPoolBuilder::new().num_threads(1).build();
    let one = one.map_err(io::Error::other)?;
    let (single, found) = timed(|| one.install(all));
    let (every, _) = timed(all);
    let degrees = |c: &Contact| format!("{:.5}", c.angle.to_degrees());
    let angles: Vec<String> = found.iter().map(degrees).collect();
    writeln!(
        io::stdout(),
        "{{\"triangles\": [{}, {}], \"build\": {build:.5}, \"one_thread\": {single:.5}, \
         \"all_threads\": {every:.5}, \"degrees\": [{}]}}",
        pair.still.1.len(),
        pair.moving.1.len(),
        angles.join(", ")
    )
}
