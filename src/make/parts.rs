//! Which parts a creature has, what they are called, and where they lie.

use std::collections::BTreeMap;

use super::Settings;
use super::model::Model;
use crate::brep::pose::{Pose, posed};
use crate::brep::set_up::SetUp;
use crate::brep::shape::label;
use crate::chain::{FormKey, HalfForm, Resolved, Section, Side, Split};
use crate::check::balance::mass_g;
use crate::export::manifest::{Allowances, BoundingBox, FileEntry, Held, Part, Side as Named};
use crate::export::names::safe_stem;
use crate::export::step::{Colour, write_part};
use crate::export::stl;

/// Pose in which halves are written; the origin is always the section's datum on the split face.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Place {
    /// Split face down on z = 0, outer side up: the second set-up.
    #[default]
    OutsideUp,
    /// Split face up on z = 0, outer side down: the first set-up.
    InsideUp,
    /// In the straight creature, all parts together.
    Creature,
}

/// A body of a half that is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Body {
    /// Without tabs.
    Finished,
    /// With the tabs that hold it in the blank.
    Held,
}

impl Body {
    /// The word in file names.
    pub fn word(self) -> &'static str {
        match self {
            Body::Finished => "finished",
            Body::Held => "held",
        }
    }
}

/// One part to be made.
#[derive(Debug, Clone)]
pub struct PartPlan {
    /// Name: number, section and side.
    pub name: String,
    /// File name without ending.
    pub stem: String,
    /// Index of the section.
    pub section: usize,
    /// Number of the section from 1.
    pub number: usize,
    /// Side in the section's frame.
    pub side: Side,
    /// Side as the toy's pose names it.
    pub named: Named,
    /// Whether it has tabs, so that a held body is written too.
    pub tabs: bool,
    /// Equal for equal solids.
    pub key: FormKey,
    /// From the half's own frame into the straight creature.
    pub placement: Pose,
    /// Pose in which it is written.
    pub written: Pose,
}

/// The parts of a creature that the settings ask for, front to rear, upper before lower; none when
/// they name a section that is not there.
pub fn parts(resolved: &Resolved, settings: &Settings) -> Vec<PartPlan> {
    let creature = &resolved.creature;
    let digits = creature.sections.len().to_string().len().max(2);
    let mut plans = Vec::new();
    let mut sections = creature.sections.iter();
    let first = match &settings.from {
        None => Some(0),
        Some(name) => sections.position(|s| same_name(name, &s.name)),
    };
    let Some(first) = first else { return plans };
    for (index, section) in creature.sections.iter().enumerate() {
        if index < first {
            continue;
        }
        if settings
            .only
            .as_ref()
            .is_some_and(|name| !same_name(name, &section.name))
        {
            continue;
        }
        let sides: &[Side] = if section.form.whole {
            &[Side::Upper]
        } else {
            &[Side::Upper, Side::Lower]
        };
        for &side in sides {
            let named = if section.form.whole {
                Named::Whole
            } else {
                named(section.split, side)
            };
            let name = format!(
                "{:0digits$}-{}-{}",
                section.number,
                section.name,
                word(named)
            );
            let placement = placement(section.split, side, section.x);
            plans.push(PartPlan {
                stem: safe_stem(&name),
                name,
                section: index,
                number: section.number,
                side,
                named,
                tabs: !section.form.features.tabs.is_empty(),
                key: if section.form.whole {
                    section.form.form_key()
                } else {
                    section.form.half_key(side)
                },
                placement,
                written: match settings.place {
                    Place::OutsideUp => Pose::NONE,
                    Place::InsideUp => Pose {
                        quarters: 2,
                        ..Pose::NONE
                    },
                    Place::Creature => placement,
                },
            });
        }
    }
    plans
}

fn same_name(a: &str, b: &str) -> bool {
    a.to_lowercase() == b.to_lowercase()
}

/// Upper and left are the same half, lower and right too: an upright split is a pose.
fn named(split: Split, side: Side) -> Named {
    match (split, side) {
        (Split::Level, Side::Upper) => Named::Upper,
        (Split::Level, Side::Lower) => Named::Lower,
        (Split::Upright, Side::Upper) => Named::Left,
        (Split::Upright, Side::Lower) => Named::Right,
    }
}

/// The side's word.
pub fn word(side: Named) -> &'static str {
    match side {
        Named::Upper => "upper",
        Named::Lower => "lower",
        Named::Left => "left",
        Named::Right => "right",
        Named::Whole => "whole",
    }
}

/// Straight creature: x from head to tail, z up, so the toy's left is -y. The lower half comes
/// turned half a turn; an upright split stands the section on its side, upper half to the left.
fn placement(split: Split, side: Side, x: f64) -> Pose {
    let turned = if side == Side::Lower { 2 } else { 0 };
    let upright = if split == Split::Upright { 1 } else { 0 };
    Pose {
        quarters: (turned + upright) % 4,
        about_z: false,
        shift: [x, 0.0, 0.0],
    }
}

impl PartPlan {
    /// Name of a body's STL file.
    pub fn stl(&self, body: Body) -> String {
        format!("{}-{}.stl", self.stem, body.word())
    }

    /// Name of a body's STEP file.
    pub fn step(&self, body: Body) -> String {
        format!("{}-{}.step", self.stem, body.word())
    }

    /// Names of a set-up's drawings: DXF and SVG.
    pub fn drawings(&self, setup: SetUp) -> [String; 2] {
        let whole = self.named == Named::Whole;
        let word = setup.word(whole).replace(' ', "-");
        ["dxf", "svg"].map(|ending| format!("{}-{word}.{ending}", self.stem))
    }

    /// All file names.
    pub fn files(&self) -> Vec<String> {
        let bodies = [Body::Finished, Body::Held];
        let written = bodies.into_iter().take(if self.tabs { 2 } else { 1 });
        let solids = written.flat_map(|body| [self.stl(body), self.step(body)]);
        let drawings = SetUp::BOTH.into_iter().flat_map(|s| self.drawings(s));
        solids.chain(drawings).collect()
    }

    /// The half that this part is.
    pub fn half(&self, section: &Section) -> HalfForm {
        HalfForm::of(&section.form, self.side)
    }

    /// The same with its tabs.
    pub fn held_half(&self, section: &Section) -> HalfForm {
        HalfForm::held(&section.form, self.side)
    }

    /// Bytes of STL and STEP.
    ///
    /// # Errors
    /// A mesh that is not sound as written, in words.
    pub fn bytes(
        &self,
        body: Body,
        model: &Model,
        settings: &Settings,
        bench_only: bool,
    ) -> Result<(Vec<u8>, Vec<u8>), String> {
        let name = format!("{}-{}", self.name, body.word());
        let positions = model.positions(self.written);
        model.check(&positions)?;
        let stl = stl::write(&name, bench_only, &positions, &model.mesh.triangles)
            .map_err(|e| e.to_string())?;
        let solid = posed(&model.half, self.written);
        let step = write_part(&name, &solid, Colour::WOOD, &settings.stamp, bench_only);
        Ok((stl, step))
    }

    fn allowances(&self, resolved: &Resolved) -> Allowances {
        let source = &resolved.sources[self.section];
        let (sanding_mm, relief_mm) = match self.named {
            Named::Whole => (0.0, 0.0),
            _ => (source.sanding, resolved.relief),
        };
        Allowances {
            sanding_mm,
            relief_mm,
            stock_mm: source.stock,
        }
    }

    /// The part's entry in the manifest.
    pub(super) fn record(
        &self,
        resolved: &Resolved,
        body: &Numbers,
        files: Vec<FileEntry>,
    ) -> Part {
        let creature = &resolved.creature;
        Part {
            name: self.name.clone(),
            section: self.number,
            side: self.named,
            files,
            placement: self.placement.matrix(),
            bounding_box: body.bounds(),
            volume_mm3: body.volume,
            mass_g: mass_g(body.volume, creature.density),
            species: creature.species.clone(),
            density_kg_m3: creature.density,
            triangles: body.triangles,
            deviation_mm: body.deviation,
            skin_misfit_mm: body.misfit,
            faces: body.faces.clone(),
            allowances: self.allowances(resolved),
            held: None,
        }
    }
}

/// What the manifest says of a body by itself.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Numbers {
    pub min: [f64; 3],
    pub max: [f64; 3],
    pub volume: f64,
    pub triangles: usize,
    pub deviation: f64,
    pub misfit: f64,
    /// How many faces of each kind it has.
    pub faces: BTreeMap<String, usize>,
}

impl Numbers {
    /// Of a body.
    pub fn of(model: &Model) -> Self {
        let (min, max) = model.mesh.bounds();
        let mut faces = BTreeMap::new();
        for kind in &model.half.kinds {
            *faces.entry(label(*kind).to_owned()).or_insert(0) += 1;
        }
        Numbers {
            min,
            max,
            volume: model.volume,
            triangles: model.mesh.triangles.len(),
            deviation: model.mesh.deviation,
            misfit: model.misfit,
            faces,
        }
    }

    fn bounds(&self) -> BoundingBox {
        let Numbers { min, max, .. } = *self;
        BoundingBox { min, max }
    }
}

/// A held body's entry in the manifest.
pub(super) fn held(body: &Numbers, files: Vec<FileEntry>) -> Held {
    Held {
        files,
        bounding_box: body.bounds(),
        volume_mm3: body.volume,
        triangles: body.triangles,
        deviation_mm: body.deviation,
        faces: body.faces.clone(),
    }
}
