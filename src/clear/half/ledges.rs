//! A tab and the plate that it stands out of: straight wall beside its root, upright wall over its
//! top, and its sides against the plate's other walls.

use nalgebra::Point3;

use super::feature::{Feature, Ligament};
use super::found::Found;
use super::level::{Segment, nearer, segments};
use super::stands::Stand;
use crate::chain::{Flank, Plate, Tab};
use crate::skin::ledge::Ledge;
use crate::skin::plan::{Corner, Way, gap};

/// Distances of a tab from its plate, everything at y < 0.
pub(super) fn ledge(
    own: (Feature, &Plate),
    (stand, tab): (&Stand, &Tab),
    ledge: &Ledge,
) -> Vec<Ligament> {
    let (feature, plate) = own;
    let turned = tab.flank == Flank::Plus;
    let at = |p: [f64; 2], z: f64| Point3::new(p[0], p[1], z);
    let named = |found: Found, numbers| found.turned(turned).named(feature, stand.feature, numbers);
    let width = ("tab width", tab.width);
    let mut all: Vec<Ligament> = ledge
        .beside()
        .into_iter()
        .zip(ledge.root)
        .map(|(left, p)| {
            let found = Found::exact(left, at(p, tab.to), at(p, tab.to));
            named(found, [stand.size(), width])
        })
        .collect();
    let upright = plate.half_thickness - plate.ease;
    let root = ledge.root[0];
    let over = Found::exact(upright - tab.to, at(root, tab.to), at(root, upright));
    all.push(named(
        over,
        [
            ("top of the tab", tab.to),
            ("upright edge of the plate", upright),
        ],
    ));
    let walls = stand.path.windows(2).map(|p| [p[0].into(), p[1].into()]);
    let others = walls_but(&ledge.outline, ledge.wall);
    let near = walls
        .flat_map(|w: Segment| others.iter().map(move |o| segments(&w, o)))
        .reduce(nearer);
    all.extend(near.map(|n| {
        stand
            .found(n)
            .named(feature, stand.feature, [stand.size(), width])
    }));
    all
}

/// Walls of an outline but one, with wood to spare: a hollow rounding counts as its chord, another
/// one as its tangents.
fn walls_but(outline: &[Corner], own: usize) -> Vec<Segment> {
    let mut all: Vec<Segment> = Vec::new();
    for (k, pair) in outline.windows(2).enumerate().filter(|(k, _)| *k != own) {
        let (p, q) = (pair[0].at, pair[1].at);
        match outline[k].way {
            Way::Left { centre, radius } => {
                // The tangents meet beyond the chord's middle, at r^2 / its distance from the
                // centre.
                let middle = [0, 1].map(|c| 0.5 * (p[c] + q[c]));
                let part = (radius / gap(centre, middle)).powi(2);
                let tip = [0, 1].map(|c| centre[c] + part * (middle[c] - centre[c]));
                all.push([p.into(), tip.into()]);
                all.push([tip.into(), q.into()]);
            }
            Way::Line | Way::Right { .. } => all.push([p.into(), q.into()]),
        }
    }
    all
}
