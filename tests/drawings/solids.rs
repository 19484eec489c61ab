//! Parts of designs as exact solids, without meshes.

use limberwood::brep::set_up::SetUp;
use limberwood::brep::shape::Half;
use limberwood::brep::{build_form, sew};
use limberwood::chain::{HalfForm, HalfPin, Resolved, Section, Side, Tab, resolve};
use limberwood::export::names::safe_stem;
use limberwood::params::{BUILT_IN_SHOP, read_design_str, read_shop_str};

/// Designs with all features between them: eyes, flats, plates, tabs, grooves, marks, chamfers, whole
/// sections, names beyond ASCII, and one for benches only.
const DESIGNS: [(&str, &str); 7] = [
    ("newt", include_str!("../../params/newt.yaml")),
    ("pike", include_str!("../../params/pike.yaml")),
    ("whole", include_str!("../data/whole.yaml")),
    ("plates", include_str!("../data/plates.yaml")),
    ("flat", include_str!("../data/flat.yaml")),
    ("unicode", include_str!("../data/unicode.yaml")),
    ("reference", include_str!("../../params/reference.yaml")),
];

/// A part to be drawn, with the numbers of its form.
pub struct Part {
    pub design: &'static str,
    pub name: String,
    pub stem: String,
    pub bench_only: bool,
    pub whole: bool,
    pub finished: Half,
    pub held: Option<Half>,
    pub pins: Vec<HalfPin>,
    pub pin_chamfer: f64,
    pub tabs: Vec<Tab>,
    /// Eyes of both halves, and those of the lower one.
    pub eyes: usize,
    eyes_below: usize,
}

impl Part {
    /// Eyes on the side away from a set-up.
    pub fn eyes_far_from(&self, setup: SetUp) -> usize {
        match setup {
            SetUp::OutsideUp => self.eyes_below,
            SetUp::InsideUp => self.eyes - self.eyes_below,
        }
    }
}

fn creature(text: &str) -> Resolved {
    let (design, _) = read_design_str(text, "design").expect("a sound design");
    let (shop, _) = read_shop_str(BUILT_IN_SHOP, "shop").expect("a sound shop");
    resolve(&design, &shop).expect("a legal creature")
}

fn half(form: &HalfForm) -> Half {
    build_form(form).expect("a half").0
}

fn body(section: &Section, side: Side, held: bool) -> Half {
    let form = |side| {
        let form = &section.form;
        half(&if held {
            HalfForm::held(form, side)
        } else {
            HalfForm::of(form, side)
        })
    };
    if section.form.whole {
        sew(&form(Side::Upper), &form(Side::Lower)).expect("a whole section")
    } else {
        form(side)
    }
}

fn of(design: &'static str, creature: &Resolved, section: &Section, side: Side) -> Part {
    let word = match (section.form.whole, side) {
        (true, _) => "whole",
        (_, Side::Upper) => "upper",
        (_, Side::Lower) => "lower",
    };
    let name = format!("{:02}-{}-{word}", section.number, section.name);
    let form = HalfForm::held(&section.form, side);
    let eyes = &section.form.features.eyes;
    Part {
        design,
        stem: safe_stem(&name),
        name,
        bench_only: creature.creature.bench_only,
        whole: section.form.whole,
        finished: body(section, side, false),
        held: (!form.features.tabs.is_empty()).then(|| body(section, side, true)),
        pins: form.pins,
        pin_chamfer: form.features.pin_chamfer,
        tabs: form.features.tabs,
        eyes: eyes.len(),
        eyes_below: eyes.iter().filter(|e| e.side == Side::Lower).count(),
    }
}

fn of_design(&(design, text): &(&'static str, &str)) -> Vec<Part> {
    let creature = creature(text);
    let sections = creature.creature.sections.iter();
    let all = sections.flat_map(|section| {
        let sides: &[Side] = if section.form.whole {
            &[Side::Upper]
        } else {
            &[Side::Upper, Side::Lower]
        };
        sides.iter().map(move |side| (section, *side))
    });
    all.map(|(section, side)| of(design, &creature, section, side))
        .collect()
}

/// All parts of all designs.
pub fn parts() -> Vec<Part> {
    DESIGNS.iter().flat_map(of_design).collect()
}

/// One part, built afresh.
pub fn part(design: &str, number: usize) -> Part {
    let found = DESIGNS.iter().find(|(name, _)| *name == design);
    of_design(found.expect("a design")).swap_remove(number)
}
