//! Pictures of a demo creature.

mod creature;
mod views;

use std::path::Path;

use creature::Creature;
use limberwood::picture::{Picture, Size, View, Wood, picture};

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

/// Pixels of each hue: how many, and their mean column.
fn found(drawn: &Picture) -> Vec<(usize, f64)> {
    let mut sums = vec![(0, 0); HUES.len()];
    for (at, pixel) in drawn.pixels.iter().enumerate() {
        if let Some(hue) = hue(*pixel) {
            sums[hue].0 += 1;
            sums[hue].1 += at % drawn.size.width();
        }
    }
    let mean = |(count, sum)| (count, sum as f64 / count as f64);
    sums.into_iter().map(mean).collect()
}

#[test]
fn every_section_of_the_newt_is_seen_from_head_to_tail() {
    let newt = Creature::read(Path::new("params/newt.yaml"));
    let size = Size::new(640, 360).unwrap();
    let sections: Vec<usize> = (0..newt.sections()).collect();
    for view in [View::FRONT_LEFT, View::SIDE, View::TOP] {
        let mut last = 0.0;
        // As many sections at a time as there are hues, the others grey.
        for some in sections.chunks(HUES.len()) {
            let pieces = newt.pieces(|section, _| {
                let hue = some.iter().position(|s| *s == section);
                Wood::Painted(hue.map_or([0.5; 3], |hue| HUES[hue]))
            });
            let found = found(&picture(&pieces, &view, size));
            for (section, (count, column)) in some.iter().zip(&found) {
                assert!(*count > 200, "{view:?}: {section} has {count} pixels");
                assert!(
                    *column > last,
                    "{view:?}: {section} at {column}, last {last}"
                );
                last = *column;
            }
            for (count, _) in &found[some.len()..] {
                // Pixels in which two sections meet may mix to the hue of neither.
                assert!(*count < 50, "{view:?}: a colour of no section: {count}");
            }
        }
    }
}
