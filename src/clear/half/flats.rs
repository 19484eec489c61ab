//! Flats: parts of the skin with a name of their own. The skin's patch is planar under them, so a
//! distance from the skin is never more than one from a flat.

use nalgebra::Point3;

use super::feature::{Feature, Ligament, Named};
use super::found::Found;
use super::outer::{Outer, Sheet};
use super::voids::Void;
use crate::chain::{Eye, Flat, HalfForm};
use crate::clear::DISTANCE_TOLERANCE;
use crate::skin::BezierNet;

/// The flats of a half, numbered from 1 as it lists them.
pub(super) struct Flats(Vec<(Feature, Flat, Sheet)>);

impl Flats {
    pub fn of(half: &HalfForm) -> Self {
        let flats = half.features.flats.iter().enumerate();
        Flats(
            flats
                .map(|(k, flat)| (Feature::Flat(k + 1), *flat, Sheet::of(&[net(flat)])))
                .collect(),
        )
    }

    /// What a hole leaves of the skin, told by the flat where the nearest place lies on one.
    pub fn told(&self, mut skin: Ligament, void: &Void, outer: &Outer) -> Ligament {
        let (solid, _) = void.solid.on_minus_side();
        for (feature, flat, sheet) in &self.0 {
            let near = outer.least(sheet, &*solid);
            if near.is_some_and(|n| n.found.gap <= skin.gap + 2.0 * DISTANCE_TOLERANCE) {
                skin.between.1 = *feature;
                skin.numbers[1] = Named {
                    name: "height of the flat",
                    value: flat.height,
                };
            }
        }
        skin
    }

    /// From an eye's edge to the flats in plan: one in a flat, or across its border, is none.
    pub fn beside(&self, eye: &Eye, feature: Feature) -> Vec<Ligament> {
        let apart = |flat: &Flat| {
            let place = Point3::new(eye.x, eye.y, flat.height);
            let nearest = Point3::new(
                eye.x.clamp(flat.from, flat.to),
                eye.y.clamp(-flat.half_width, flat.half_width),
                flat.height,
            );
            let across = eye.y.abs() - flat.half_width;
            let along = (flat.from - eye.x).max(eye.x - flat.to);
            let inside = along.max(across).min(0.0);
            let gap = (place - nearest).norm() + inside - eye.radius;
            Found::exact(gap, place, nearest)
        };
        let named = |(other, flat, _): &(Feature, Flat, Sheet)| {
            let numbers = [
                ("eye radius", eye.radius),
                ("half width of the flat", flat.half_width),
            ];
            apart(flat).named(feature, *other, numbers)
        };
        self.0.iter().map(named).collect()
    }
}

/// The half of the rectangle at y < 0.
fn net(flat: &Flat) -> BezierNet {
    let corner = |x: f64, y: f64| [x, y, flat.height, 1.0];
    let w = -flat.half_width;
    BezierNet {
        degree: (1, 1),
        points: vec![
            corner(flat.from, w),
            corner(flat.from, 0.0),
            corner(flat.to, w),
            corner(flat.to, 0.0),
        ],
        u: (flat.from, flat.to),
        v: (w, 0.0),
    }
}
