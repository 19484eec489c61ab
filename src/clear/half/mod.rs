//! Least distances between all features of one half, before it is built.
//!
//! [`ligaments`] measures; [`refusals`] says which of them cannot be built and which are thinner
//! than is usual. Every distance is a closed form or proven to within
//! [`super::DISTANCE_TOLERANCE`]. What a joint must keep by itself (neck in mouth, ball in
//! socket) is the joint's own matter, not measured here.

mod ends;
mod eyes;
mod feature;
mod flats;
mod found;
mod ledges;
mod level;
mod outer;
mod own;
mod pockets;
mod refusal;
mod stands;
mod strokes;
mod voids;
mod words;

pub use eyes::eye_rims;
pub use feature::{Facing, Feature, Ligament, Named};
pub use refusal::{BUILD_GAP, HABIT_SLACK, LEAST_HABIT, Refusal, habit, refusals};

use ends::EndOf;
use flats::Flats;
use outer::{Outer, Sheet};
use pockets::{Around, pockets};
use voids::{Void, between, floor, voids};

use crate::chain::HalfForm;
use crate::skin::Skin;
use crate::skin::flank::RimSide;

/// The wood between all pairs of features that can meet inside a half; `skin` is its outer form.
///
/// Of a flat end the endless plane counts as its face, except for the rings of wood on it. A
/// flare counts with the disc of its mouth, behind which its socket is nearer to anything. The
/// half must be one of a resolved creature: its numbers are finite and its joints captured.
pub fn ligaments(half: &HalfForm, skin: &Skin) -> Vec<Ligament> {
    let outer = Outer::of(half, skin);
    let ends = EndOf::both(half);
    let mut voids = voids(half, &ends);
    let flats = Flats::of(half);
    let (eyes, mut all) = eyes::eyes(half, skin);
    for (k, eye) in half.features.eyes.iter().enumerate() {
        all.extend(flats.beside(eye, Feature::Eye(k + 1)));
    }
    voids.extend(eyes);
    for end in &ends {
        all.extend(own::own(end, &outer));
    }
    for (k, void) in voids.iter().enumerate() {
        // An eye opens in the skin.
        if !matches!(void.feature, Feature::Eye(_)) {
            let skin = to_sheet(void, Feature::Skin, &outer, &outer.skin);
            all.extend(skin.map(|l| flats.told(l, void, &outer)));
        }
        all.extend(to_sheet(void, Feature::Rim, &outer, &outer.rim));
        for end in ends
            .iter()
            .filter(|e| void.feature.facing() != Some(e.facing))
        {
            all.extend(to_face(void, end, half.length));
        }
        for other in &voids[k + 1..] {
            // A flare opens its own socket.
            let own =
                void.feature.facing().is_some() && void.feature.facing() == other.feature.facing();
            if !own && !one_hole(void.feature, other.feature) {
                let found = between(&void.solid, &other.solid);
                all.push(found.named(void.feature, other.feature, [void.size, other.size]));
            }
        }
    }
    let around = Around {
        half,
        outer: &outer,
        ends: &ends,
        voids: &voids,
    };
    all.extend(pockets(&around));
    if !half.features.plates.is_empty() || !half.features.tabs.is_empty() {
        all.extend(stands::stands(&around, &RimSide::of(half, skin)));
    }
    for (k, pin) in half.pins.iter().enumerate() {
        let void = Void {
            feature: Feature::PinFloor(k + 1),
            solid: floor(pin),
            size: ("pin hole depth", pin.depth),
        };
        let skin = to_sheet(&void, Feature::Skin, &outer, &outer.skin);
        all.extend(skin.map(|l| flats.told(l, &void, &outer)));
    }
    let height = |s: Option<&crate::chain::HalfStation>| s.map_or(0.0, |s| s.height);
    let height = height(half.stations.first()).min(height(half.stations.last()));
    all.extend(own::ends(&ends[0], &ends[1], &outer, (half.length, height)));
    all
}

/// A pin hole and its own chamfer.
fn one_hole(a: Feature, b: Feature) -> bool {
    matches!((a, b), (Feature::PinHole(a), Feature::PinChamfer(b)) if a == b)
}

fn to_sheet(void: &Void, feature: Feature, outer: &Outer, sheet: &Sheet) -> Option<Ligament> {
    let (solid, turned) = void.solid.on_minus_side();
    let near = outer.least(sheet, &*solid)?;
    // The rim tells of what lies wholly outside.
    let held = feature != Feature::Rim || void.place().is_none_or(|p| outer.holds(p.x, p.y));
    let found = near.found.turned(turned).within(held);
    Some(found.named(void.feature, feature, [void.size, near.size()]))
}

fn to_face(void: &Void, end: &EndOf, length: f64) -> Option<Ligament> {
    let (solid, turned) = void.solid.on_minus_side();
    let found = end.behind(&*solid)?.turned(turned);
    let numbers = [void.size, ("section length", length)];
    Some(found.named(void.feature, Feature::EndFace(end.facing), numbers))
}
