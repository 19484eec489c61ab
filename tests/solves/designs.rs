//! Random designs of two sections, shops for them, and one joint written into them.

use limberwood::params::written::{Design, Shop};
use limberwood::params::{BUILT_IN_SHOP, read_design_str, read_shop_str};

use super::draw::Draw;

/// Woods of every kind of habits.
const WOODS: [&str; 4] = ["hard maple", "cherry", "yellow-poplar", "basswood"];

/// A design of which only the joint is open, and a shop.
pub struct Case {
    wood: &'static str,
    sections: String,
    shop: String,
}

impl Case {
    pub fn random(case: u64) -> Case {
        let mut draw = Draw::of(case);
        let mut b = |from: f64, to: f64| (draw.between(from, to) * 100.0).round() / 100.0;
        let (wide, high) = (b(14.0, 20.0), b(12.5, 18.0));
        let (end, length, lean) = (b(10.0, 13.5), b(46.0, 64.0), b(3.5, 5.0));
        let wood = WOODS[(b(0.0, 3.99)) as usize];
        let flat = b(0.0, 1.0) < 0.3;
        let face = if flat { "\n  front: flat" } else { "" };
        // A round front is a circle; a flat one need not be.
        let front = format!("half_width: {end}, height: {end}, squareness: 2");
        let (board, tip, taper) = (
            b(14.0, 20.0),
            [2.0, 3.175, 4.0][b(0.0, 2.99) as usize],
            b(0.0, 3.0),
        );
        let sections = format!(
            "sections:\n\
             - name: head\n  length: {length}\n  tip_width: 12\n  lean: {lean} deg\n  outline:\n  \
             - {{at: 0%, half_width: 7, height: 9}}\n  \
             - {{at: 40%, half_width: {wide}, height: {high}}}\n  \
             - {{at: 100%, half_width: {end}, height: {end}, squareness: 2}}\n\
             - name: tail\n  length: 64\n  tip_width: 10\n  lean: {lean} deg{face}\n  outline:\n  \
             - {{at: 0%, {front}}}\n  \
             - {{at: 40%, half_width: {wide}, height: {high}}}\n  \
             - {{at: 100%, half_width: 7, height: 9}}\n"
        );
        let shop = BUILT_IN_SHOP
            .replace("thickness: 19.05 mm", &format!("thickness: {board} mm"))
            .replace("  - {name: double, thickness: 38.1 mm, length: 400 mm, width: 180 mm, species: hard maple}\n", "")
            .replace("tip_diameter: 1/8 in", &format!("tip_diameter: {tip} mm"))
            .replace("taper: 3 deg per side", &format!("taper: {taper} deg per side"));
        Case {
            wood,
            sections,
            shop,
        }
    }

    /// The text with this joint in it.
    pub fn text(&self, joint: &str) -> String {
        format!(
            "limberwood: 1\nname: Pair\nunits: mm\nspecies: {}\n{joint}{}",
            self.wood, self.sections
        )
    }

    pub fn design(&self, joint: &str) -> Design {
        design(&self.text(joint))
    }

    pub fn shop(&self) -> Shop {
        read_shop_str(&self.shop, "shop.yaml").unwrap().0
    }
}

pub fn design(text: &str) -> Design {
    match read_design_str(text, "pair.yaml") {
        Ok((design, _)) => design,
        Err(refused) => panic!("{refused}\n{text}"),
    }
}

pub fn built_in() -> Shop {
    read_shop_str(BUILT_IN_SHOP, "shop.yaml").unwrap().0
}
