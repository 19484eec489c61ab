//! A drawing layer by layer, as both formats write it.

use super::Drawing;
use super::contour::Shape;
use super::layer::Layer;
use super::sheet::{Rule, Sheet, Words};

/// What lies on one layer, on one side.
pub(super) struct Group<'a> {
    pub layer: Layer,
    pub far: bool,
    pub name: String,
    pub shapes: Vec<&'a Shape>,
    pub rules: Vec<&'a Rule>,
    pub words: &'a [Words],
}

/// Layers in use, in their order, the far side behind the near one; outline, axis and notes always.
pub(super) fn groups<'a>(drawing: &'a Drawing, sheet: &'a Sheet) -> Vec<Group<'a>> {
    let sides = Layer::ALL.iter().flat_map(|l| [(*l, false), (*l, true)]);
    sides
        .map(|(layer, far)| group(drawing, sheet, layer, far))
        .filter(|g| {
            let always = matches!(g.layer, Layer::Outline | Layer::Axis | Layer::Notes);
            (always && !g.far) || !g.shapes.is_empty()
        })
        .collect()
}

fn group<'a>(drawing: &'a Drawing, sheet: &'a Sheet, layer: Layer, far: bool) -> Group<'a> {
    let own = |s: &&Shape| s.layer == layer && drawing.is_far(s) == far;
    Group {
        layer,
        far,
        name: layer.name(far),
        shapes: drawing.shapes.iter().filter(own).collect(),
        rules: sheet
            .rules
            .iter()
            .filter(|r| r.layer == layer && !far)
            .collect(),
        words: match (layer, far) {
            (Layer::Notes, false) => &sheet.words,
            _ => &[],
        },
    }
}
