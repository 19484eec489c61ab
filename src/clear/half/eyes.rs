//! Eyes as holes: upright cylinders from their floors up through the skin.

use nalgebra::{Point3, Vector3};

use super::feature::{Feature, Ligament};
use super::found::Found;
use super::voids::{Solid, Void};
use crate::chain::HalfForm;
use crate::clear::Stadium;
use crate::skin::Skin;
use crate::skin::eye::{EyeError, EyeRim, eye_rim};

/// A hole is looked at to this height over its edge, mm: nothing else is so near over the skin.
const OVER: f64 = 1.0;

/// Edges of a half's eyes on its skin.
///
/// # Errors
/// The number of the first eye that has none, from 1, and why.
pub fn eye_rims(half: &HalfForm, skin: &Skin) -> Result<Vec<EyeRim>, (usize, EyeError)> {
    let eyes = half.features.eyes.iter().enumerate();
    eyes.map(|(k, eye)| eye_rim(skin, eye).map_err(|e| (k + 1, e)))
        .collect()
}

/// The eyes of a half as holes, with the wood between floor and edge and under the floor.
pub(super) fn eyes(half: &HalfForm, skin: &Skin) -> (Vec<Void>, Vec<Ligament>) {
    let (mut voids, mut ligaments) = (Vec::new(), Vec::new());
    for (k, eye) in half.features.eyes.iter().enumerate() {
        // Without an edge the half is refused before it comes to distances.
        let Ok(rim) = eye_rim(skin, eye) else {
            continue;
        };
        let feature = Feature::Eye(k + 1);
        let at = |z: f64| Point3::new(eye.x, eye.y, z);
        let size = ("eye radius", eye.radius);
        let depth = ("eye depth", eye.depth);
        let (low, high) = rim.heights;
        let edge = Found::exact(low - rim.floor, at(rim.floor), at(low));
        ligaments.push(edge.named(feature, Feature::Skin, [depth, ("height of its edge", low)]));
        let under = Found::exact(rim.floor, at(0.0), at(rim.floor));
        ligaments.push(under.named(
            feature,
            Feature::SplitFace,
            [depth, ("height of its edge", low)],
        ));
        voids.push(Void {
            feature,
            solid: Solid::Stadium(Stadium {
                base: at(rim.floor),
                axis: Vector3::z(),
                half_slot: Vector3::zeros(),
                radius: eye.radius,
                height: (high - rim.floor + OVER).max(OVER),
            }),
            size,
        });
    }
    (voids, ligaments)
}
