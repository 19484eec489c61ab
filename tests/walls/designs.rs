//! Halves of the designs, and of random ones.

use limberwood::chain::{HalfForm, resolve};
use limberwood::make::{Settings, model, parts};
use limberwood::params::{BUILT_IN_SHOP, read_design_str, read_shop_str};

use super::draw::Draw;

pub const DESIGNS: [(&str, &str); 6] = [
    ("newt", include_str!("../../params/newt.yaml")),
    ("caterpillar", include_str!("../../params/caterpillar.yaml")),
    ("pike", include_str!("../../params/pike.yaml")),
    ("otter", include_str!("../../params/otter.yaml")),
    ("whale", include_str!("../../params/whale.yaml")),
    ("reference", include_str!("../../params/reference.yaml")),
];

/// Distinct halves of a design; none when it is refused.
pub fn halves(name: &str, design: &str) -> Option<Vec<(String, HalfForm)>> {
    let (design, _) = read_design_str(design, "design").ok()?;
    let (shop, _) = read_shop_str(BUILT_IN_SHOP, "shop").ok()?;
    let creature = resolve(&design, &shop).ok()?;
    let settings = Settings::of(&creature, limberwood::units::Unit::Mm);
    let mut seen = Vec::new();
    let mut all = Vec::new();
    for plan in parts(&creature, &settings) {
        let section = &creature.creature.sections[plan.section];
        if seen.contains(&plan.key) || section.form.whole {
            continue;
        }
        all.push((format!("{name} {}", plan.stem), plan.half(section)));
        seen.push(plan.key);
    }
    Some(all)
}

/// Halves of a random design that can be made: numbers near a sound one, often with thin walls.
pub fn random(case: u64) -> Vec<(String, HalfForm)> {
    let mut draw = Draw::of(case);
    let mut made = Vec::new();
    for _ in 0..40 {
        let design = drawn(&mut draw);
        let Some(all) = halves(&format!("random {case}"), &design) else {
            continue;
        };
        let walls =
            limberwood::chain::Walls::of(limberwood::params::species("hard maple").unwrap());
        made = all;
        made.retain(|(_, form)| model(form, 0.1, &walls, true).is_ok());
        if made.len() > 1 {
            break;
        }
    }
    made
}

fn drawn(draw: &mut Draw) -> String {
    let mut b = |from: f64, to: f64| (draw.between(from, to) * 100.0).round() / 100.0;
    let (ball, wide, high) = (b(17.0, 20.0), b(15.0, 20.0), b(13.5, 18.0));
    let (pin, across, deep) = (b(40.0, 60.0), b(0.0, 10.0), b(5.0, 11.0));
    let (eye, aside, hollow) = (b(30.0, 60.0), b(4.0, 8.0), b(2.0, 11.0));
    let (end, lean, square) = (b(12.2, 14.0), b(3.5, 6.0), b(2.0, 2.6));
    format!(
        "limberwood: 1\nname: Pair\nunits: mm\nspecies: hard maple\n\
         joint: {{ball: {ball}, clearance: 0.4, neck: 8.5, swing: 22 deg, land: 3.6, gap: 4}}\n\
         sections:\n\
         - name: head\n  length: 50\n  tip_width: 12\n  rim: 5\n  lean: {lean} deg\n  \
         eyes: [{{at: {eye}%, across: {aside}, diameter: 5, depth: {hollow}}}]\n  outline:\n  \
         - {{at: 0%, half_width: 6, height: 6}}\n  \
         - {{at: 40%, half_width: {wide}, height: {high}, squareness: {square}}}\n  \
         - {{at: 100%, half_width: {end}, height: {end}, squareness: 2}}\n\
         - name: tail\n  length: 64\n  tip_width: 10\n  rim: 5\n  \
         pins: [{{at: {pin}%, across: {across}, diameter: 4, depth: {deep}}}]\n  outline:\n  \
         - {{at: 0%, half_width: {end}, height: {end}, squareness: 2}}\n  \
         - {{at: 40%, half_width: {wide}, height: {high}}}\n  \
         - {{at: 100%, half_width: 5, height: 5}}\n"
    )
}
