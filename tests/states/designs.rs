//! Designs laid out.

use std::path::Path;

use limberwood::chain::{Resolved, resolve};
use limberwood::make::{Laid, Settings, lay_out};
use limberwood::params::{self, BUILT_IN_SHOP, read_design_str, read_shop_str};
use limberwood::units::Unit;

use super::draw::Draw;

pub const DEMOS: [&str; 5] = ["newt", "caterpillar", "pike", "otter", "whale"];
/// Upright splits, turned chains, plates, flats, eyes, a section in one piece, tabs on plates, inches.
pub const FILES: [&str; 9] = [
    "closed",
    "eyes",
    "flat",
    "inch",
    "plate-tabs",
    "plates",
    "turned",
    "upright",
    "whole",
];

/// A design laid out once.
pub struct Case {
    pub name: String,
    pub resolved: Resolved,
    pub laid: Laid,
}

/// How many random chains.
pub fn cases() -> u64 {
    let wanted = std::env::var("LIMBERWOOD_CASES").ok();
    wanted.and_then(|n| n.parse().ok()).unwrap_or(3)
}

fn case(name: &str, resolved: Resolved) -> Option<Case> {
    let settings = Settings::of(&resolved, Unit::Mm);
    let laid = lay_out(&resolved, &settings, 1).ok()?;
    Some(Case {
        name: name.to_owned(),
        resolved,
        laid,
    })
}

fn read(path: &str) -> Resolved {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join(path);
    let (design, shop, _) = params::read_files(&file, None).expect("the design is read");
    resolve(&design, &shop).expect("the design is resolved")
}

pub fn demo(name: &str) -> Case {
    case(name, read(&format!("params/{name}.yaml"))).expect("the demo is laid out")
}

/// A design of the test data, if it is one that can be laid out.
pub fn file(name: &str) -> Option<Case> {
    case(name, read(&format!("tests/data/{name}.yaml")))
}

/// A chain of the sizes of the number: fronts domed or flat, leans up to those at which a flat front
/// stands far behind its foot, in stock of the built-in shop.
pub fn random(number: u64) -> Option<Case> {
    let mut draw = Draw::of(number);
    let turned = draw.chance(0.3);
    let mut b = |from: f64, to: f64| (draw.between(from, to) * 100.0).round() / 100.0;
    let (ball, clearance, land) = (b(14.0, 18.0), b(0.25, 0.5), b(3.2, 4.2));
    let (swing, rim, lean) = (b(12.0, 20.0), b(4.6, 5.4), b(3.2, 7.0));
    let end = b(0.90, 0.95) * (0.5 * ball + clearance + land);
    let high = (end + 0.5).max(b(13.0, 16.5));
    let (front, rear) = (b(44.0, 60.0), b(50.0, 64.0));
    let (wide, tip) = (end + b(2.0, 6.0), b(8.0, 11.0));
    let face = ["domed", "flat"][draw.pick(2)];
    let ends = if turned {
        ["ball", "socket"]
    } else {
        ["socket", "ball"]
    };
    let faces = if turned {
        ["flat", face]
    } else {
        [face, "flat"]
    };
    let text = format!(
        "limberwood: 1\nname: Chain {number}\nunits: mm\nspecies: hard maple\n\
         joint: {{ball: {ball}, clearance: {clearance}, neck: {:.2}, swing: {swing} deg, land: {land}}}\n\
         defaults:\n  front_joint: {}\n  rear_joint: {}\n  front: {}\n  rear: {}\n  rim: {rim}\n  \
         lean: {lean} deg\n\
         sections:\n\
         - name: head\n  length: {front}\n  front: closed\n  front_joint: none\n  tip_width: {tip}\n  \
         outline:\n  - {{at: 0%, half_width: 6, height: 7}}\n  \
         - {{at: 50%, half_width: {wide:.2}, height: {high:.2}}}\n  \
         - {{at: 100%, half_width: {end:.3}, height: {end:.3}}}\n\
         - name: trunk\n  length: {rear}\n  outline:\n  \
         - {{at: 0%, half_width: {end:.3}, height: {end:.3}}}\n  \
         - {{at: 50%, half_width: {wide:.2}, height: {high:.2}}}\n  \
         - {{at: 100%, half_width: {end:.3}, height: {end:.3}}}\n\
         - name: tail\n  length: {front}\n  rear: closed\n  rear_joint: none\n  tip_width: {tip}\n  \
         outline:\n  - {{at: 0%, half_width: {end:.3}, height: {end:.3}}}\n  \
         - {{at: 50%, half_width: {wide:.2}, height: {high:.2}}}\n  \
         - {{at: 100%, half_width: 6, height: 7}}\n",
        0.45 * ball,
        ends[0],
        ends[1],
        faces[0],
        faces[1],
    );
    let (design, _) = read_design_str(&text, "design").expect("the chain is read");
    let (shop, _) = read_shop_str(BUILT_IN_SHOP, "shop").expect("a shop");
    case(&format!("chain {number}"), resolve(&design, &shop).ok()?)
}
