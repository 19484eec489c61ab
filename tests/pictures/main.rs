//! Pictures of the demo creatures.
//!
//! `LIMBERWOOD_PICTURE=/tmp/pic.png` also writes the picture of the newt; with
//! `LIMBERWOOD_PICTURE_OF=params/pike.yaml` that of another design.

mod creature;

use std::path::Path;

use creature::Creature;
use limberwood::picture::{Size, View, Wood, draw, picture};

/// One colour a section, far apart in hue.
const HUES: [[f32; 3]; 6] = [
    [0.9, 0.1, 0.1],
    [0.1, 0.8, 0.1],
    [0.15, 0.15, 0.9],
    [0.85, 0.8, 0.05],
    [0.8, 0.1, 0.8],
    [0.05, 0.8, 0.8],
];

/// Index of the nearest hue of a pixel; none where it is nearly grey.
fn hue([r, g, b]: [u8; 3]) -> Option<usize> {
    let p = [r, g, b].map(f32::from);
    let most = p.iter().copied().fold(0.0, f32::max);
    let least = p.iter().copied().fold(255.0, f32::min);
    if most - least < 60.0 {
        return None;
    }
    let share = |c: [f32; 3]| {
        let long = |c: [f32; 3]| c.iter().map(|v| v * v).sum::<f32>().sqrt();
        (0..3).map(|k| c[k] * p[k]).sum::<f32>() / long(c) / long(p)
    };
    (0..HUES.len()).max_by(|&a, &b| share(HUES[a]).total_cmp(&share(HUES[b])))
}

#[test]
fn every_section_of_the_newt_is_seen_from_head_to_tail() {
    let newt = Creature::read(Path::new("params/newt.yaml"));
    let pieces = newt.pieces(|section, _| Wood::Painted(HUES[section % HUES.len()]));
    let size = Size::new(640, 360).unwrap();
    let sections = newt.sections();
    for view in [View::FRONT_LEFT, View::SIDE, View::TOP] {
        let drawn = picture(&pieces, &view, size);
        // Mean column of the pixels of each hue: sections follow from left to right.
        let mut found = vec![(0usize, 0usize); HUES.len()];
        for (at, pixel) in drawn.pixels.iter().enumerate() {
            if let Some(hue) = hue(*pixel) {
                found[hue].0 += 1;
                found[hue].1 += at % size.width();
            }
        }
        assert!(sections > 3);
        let mut last = 0;
        for (section, &(count, columns)) in found.iter().enumerate().take(sections) {
            assert!(
                count > 300,
                "{view:?}: section {section} has {count} pixels"
            );
            if sections <= HUES.len() {
                assert!(columns / count > last, "{view:?}: section {section}");
                last = columns / count;
            }
        }
    }
}

#[test]
fn a_picture_to_look_at() {
    let Some(path) = std::env::var_os("LIMBERWOOD_PICTURE") else {
        return;
    };
    let design = std::env::var("LIMBERWOOD_PICTURE_OF");
    let design = design.unwrap_or_else(|_| "params/newt.yaml".to_owned());
    let angle = |name: &str, or: f64| {
        let given = std::env::var(name).ok().and_then(|v| v.parse::<f64>().ok());
        given.map_or(or, f64::to_radians)
    };
    let view = View {
        azimuth: angle("LIMBERWOOD_AZIMUTH", View::FRONT_LEFT.azimuth),
        elevation: angle("LIMBERWOOD_ELEVATION", View::FRONT_LEFT.elevation),
    };
    let bend = angle("LIMBERWOOD_BEND", 0.0);
    let mut creature = Creature::read(Path::new(&design));
    creature.bend(bend);
    let wood = Wood::of_species(creature.species());
    let pieces = creature.pieces(|_, _| wood);
    let start = std::time::Instant::now();
    let bytes = draw(&pieces, &view, Size::default()).unwrap();
    println!(
        "{} triangles, {} bytes, {:.0?}",
        pieces.iter().map(|p| p.mesh.triangles.len()).sum::<usize>(),
        bytes.len(),
        start.elapsed()
    );
    std::fs::write(path, bytes).unwrap();
}
