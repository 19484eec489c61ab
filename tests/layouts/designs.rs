//! Designs and shops as text.

use limberwood::chain::{Resolved, resolve};
use limberwood::make::{Laid, Settings, lay_out};
use limberwood::params::{read_design_str, read_shop_str};
use limberwood::units::Unit;

/// A head and a tail, the ball on the head.
pub const PAIR: &str = "limberwood: 1\nname: Pair\nunits: mm\nspecies: hard maple\n\
    joint: {ball: 18, clearance: 0.4, neck: 8.5, swing: 22 deg, land: 3.6, gap: 4}\n\
    sections:\n\
    - name: head\n  length: 50\n  tip_width: 12\n  rim: 5\n  outline:\n  \
    - {at: 0%, half_width: 6, height: 6}\n  \
    - {at: 40%, half_width: 17, height: 15}\n  \
    - {at: 100%, half_width: 12.4, height: 12.4, squareness: 2}\n\
    - name: tail\n  length: 60\n  tip_width: 10\n  rim: 5\n  outline:\n  \
    - {at: 0%, half_width: 12.4, height: 12.4, squareness: 2}\n  \
    - {at: 40%, half_width: 16, height: 15}\n  \
    - {at: 100%, half_width: 5, height: 5}\n";

/// What a shop file of a test says beside the cutters' jobs.
pub struct Shop<'a> {
    /// More keys of the cutters that rough, hold `holes`, `relief` and `marks`, and finish.
    pub cutters: [&'a str; 3],
    pub stock: &'a str,
    pub blank: &'a str,
    pub more: &'a str,
}

impl Default for Shop<'_> {
    fn default() -> Self {
        Shop {
            cutters: [""; 3],
            stock: "thickness: 20, length: 400, width: 180",
            blank: "ends: 30",
            more: "",
        }
    }
}

impl Shop<'_> {
    pub fn text(&self) -> String {
        let [rough, thin, ball] = self.cutters;
        format!(
            "limberwood_shop: 1\nname: Shed\nunits: mm\ncutters:\n  \
             - {{name: six, jobs: [rough], kind: flat, diameter: 6{rough}}}\n  \
             - {{name: three, jobs: [holes, relief], kind: flat, diameter: 3{thin}}}\n  \
             - {{name: fine, jobs: [marks], kind: flat, diameter: 0.8}}\n  \
             - {{name: ball, jobs: [finish], kind: ball, tip_diameter: 3{ball}}}\n\
             stock:\n  - {{name: pine, {}}}\nblank: {{{}}}\n{}",
            self.stock, self.blank, self.more
        )
    }
}

/// A design with the shop, where both can be read and resolved.
pub fn resolved(design: &str, shop: &str) -> Result<Resolved, String> {
    let (design, _) = read_design_str(design, "design.yaml").map_err(|e| e.to_string())?;
    let (shop, _) = read_shop_str(shop, "shop.yaml").map_err(|e| e.to_string())?;
    resolve(&design, &shop).map_err(|e| e.to_string())
}

pub fn settings(resolved: &Resolved) -> Settings {
    Settings::of(resolved, Unit::Mm)
}

/// A design laid out, whatever cutters and clamps say.
pub fn laid(resolved: &Resolved, creatures: usize) -> Laid {
    lay_out(resolved, &settings(resolved), creatures).unwrap_or_else(|e| panic!("{e}"))
}
