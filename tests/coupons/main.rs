//! Coupons and records: what a coupon is made of, what of it is recorded, and what follows.
//!
//! `LIMBERWOOD_CASES` is the number of demos whose coupons are checked whole, and of random shop
//! files; 2 and 40 when it is not set.

// Helpers of the tests stand outside of test functions.
#![allow(clippy::unwrap_used)]

mod command;
mod made;
mod shops;
mod used;

use std::path::Path;

use limberwood::brep::build_form;
use limberwood::brep::shape::{FaceKind, Surface};
use limberwood::chain::{HalfForm, Resolved, Section, Side, resolve};
use limberwood::make::Settings;
use limberwood::make::coupon::{Coupon, coupon};
use limberwood::params::written::Shop;
use limberwood::params::{BUILT_IN_SHOP, read_design, read_shop_str};
use limberwood::units::Unit;

const DEMOS: [&str; 5] = ["caterpillar", "newt", "otter", "pike", "whale"];

/// How many of something are tried.
fn cases(usual: usize) -> usize {
    let asked = std::env::var("LIMBERWOOD_CASES").ok();
    asked.and_then(|n| n.parse().ok()).unwrap_or(usual)
}

fn shop(text: &str) -> Shop {
    match read_shop_str(text, "shop.yaml") {
        Ok((shop, _)) => shop,
        Err(found) => panic!("{found}"),
    }
}

/// The built-in shop with more keys at its end.
fn shop_with(more: &str) -> Shop {
    shop(&format!("{BUILT_IN_SHOP}{more}"))
}

fn demo(name: &str, shop: &Shop) -> Resolved {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("params/{name}.yaml"));
    let (design, _) = read_design(&file).expect("the demo is read");
    resolve(&design, shop).expect("the demo is resolved")
}

fn made(design: &Resolved, shop: &Shop, after: Option<&str>) -> Coupon {
    let settings = Settings::of(design, Unit::Mm);
    match coupon(design, shop, after, &settings, &|_, _| {}) {
        Ok(coupon) => coupon,
        Err(found) => panic!("{found}"),
    }
}

/// Radii of the spheres of a kind of face in the solids of both halves.
fn radii(section: &Section, wanted: FaceKind) -> Vec<f64> {
    let mut all = Vec::new();
    for side in [Side::Upper, Side::Lower] {
        let Ok((half, _)) = build_form(&HalfForm::held(&section.form, side)) else {
            panic!("{} is not built", section.name);
        };
        let faces = half.solid.face_iter().zip(&half.kinds);
        for (face, _) in faces.filter(|(_, kind)| **kind == wanted) {
            match face.surface() {
                Surface::Sphere { radius, .. } => all.push(radius),
                other => panic!("no sphere: {other:?}"),
            }
        }
    }
    all
}

/// Whether there are some, and all are the same as this.
fn all_near(found: &[f64], wanted: f64) -> bool {
    !found.is_empty() && found.iter().all(|r| (r - wanted).abs() < 1e-9)
}
