//! Colours of parts and faces as records (ISO 10303-46).

use super::part21::{Id, Part21};
use super::product::Context;
use super::topology::Written;
use crate::brep::shape::FaceKind;

/// Red, green and blue, each from 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Colour(pub [f64; 3]);

impl Colour {
    /// Bare wood, for parts without a colour of their own.
    pub const WOOD: Colour = Colour([0.80, 0.62, 0.42]);
}

/// Colour of a kind of face; `None` for the outer form, which has the part's colour.
pub const fn face_colour(kind: FaceKind) -> Option<Colour> {
    let rgb = match kind {
        FaceKind::Skin | FaceKind::Rim | FaceKind::Front | FaceKind::Rear => return None,
        FaceKind::SplitFace => [0.93, 0.86, 0.70],
        FaceKind::Socket => [0.30, 0.50, 0.75],
        FaceKind::Flare => [0.45, 0.65, 0.85],
        FaceKind::Ball => [0.75, 0.35, 0.25],
        FaceKind::Neck => [0.85, 0.50, 0.35],
        FaceKind::Fillet => [0.90, 0.60, 0.45],
        FaceKind::PinWall => [0.35, 0.60, 0.35],
        FaceKind::PinFloor => [0.50, 0.75, 0.50],
        FaceKind::PinChamfer => [0.60, 0.80, 0.60],
        FaceKind::PlateTop => [0.72, 0.56, 0.36],
        FaceKind::PlateWall => [0.62, 0.47, 0.29],
        FaceKind::PlateEase => [0.80, 0.66, 0.46],
        FaceKind::TabTop => [0.45, 0.45, 0.50],
        FaceKind::TabUnderside => [0.38, 0.38, 0.44],
        FaceKind::TabWall => [0.52, 0.52, 0.57],
        FaceKind::EyeWall => [0.25, 0.22, 0.20],
        FaceKind::EyeFloor => [0.18, 0.16, 0.15],
        FaceKind::Flat => [0.85, 0.70, 0.50],
        FaceKind::GrooveWall => [0.55, 0.55, 0.75],
        FaceKind::GrooveFloor => [0.45, 0.45, 0.68],
        FaceKind::MarkWall => [0.66, 0.50, 0.66],
        FaceKind::MarkFloor => [0.56, 0.40, 0.56],
        FaceKind::StockFace => [0.88, 0.78, 0.60],
        FaceKind::StockSide => [0.84, 0.73, 0.54],
        FaceKind::WindowWall => [0.74, 0.60, 0.42],
        FaceKind::DowelWall => [0.40, 0.62, 0.60],
        FaceKind::SandingWall => [0.90, 0.82, 0.66],
        FaceKind::ReliefWall => [0.66, 0.54, 0.40],
        FaceKind::ReliefFloor => [0.60, 0.48, 0.36],
        FaceKind::RoughWall => [0.70, 0.58, 0.44],
        FaceKind::RoughLevel => [0.78, 0.66, 0.50],
    };
    Some(Colour(rgb))
}

/// Styled items of one part: the solid, and each face whose kind has a colour.
pub(super) fn style(p: &mut Part21, written: &Written, colour: Colour) -> Vec<Id> {
    let part = assignment(p, colour);
    let mut items = vec![styled(p, part, written.solid)];
    let mut by_kind: Vec<(FaceKind, Id)> = Vec::new();
    for &(kind, face) in &written.faces {
        let Some(colour) = face_colour(kind) else {
            continue;
        };
        let known = by_kind.iter().find(|known| known.0 == kind);
        let style = match known {
            Some(known) => known.1,
            None => {
                let style = assignment(p, colour);
                by_kind.push((kind, style));
                style
            }
        };
        items.push(styled(p, style, face));
    }
    items
}

/// Binds the styled items of all parts to the file.
pub(super) fn presentation(p: &mut Part21, context: &Context, items: &[Id]) {
    let keyword = "MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION";
    p.add(keyword, |r| {
        r.text("").ids(items).id(context.representation);
    });
}

fn styled(p: &mut Part21, style: Id, item: Id) -> Id {
    p.add("STYLED_ITEM", |r| {
        r.text("").ids(&[style]).id(item);
    })
}

/// One colour on both sides of a surface.
fn assignment(p: &mut Part21, colour: Colour) -> Id {
    let [red, green, blue] = colour.0;
    let colour = p.add("COLOUR_RGB", |r| {
        r.text("").real(red).real(green).real(blue);
    });
    let fill = p.add("FILL_AREA_STYLE_COLOUR", |r| {
        r.text("").id(colour);
    });
    let fill = p.add("FILL_AREA_STYLE", |r| {
        r.text("").ids(&[fill]);
    });
    let fill = p.add("SURFACE_STYLE_FILL_AREA", |r| {
        r.id(fill);
    });
    let side = p.add("SURFACE_SIDE_STYLE", |r| {
        r.text("").ids(&[fill]);
    });
    let usage = p.add("SURFACE_STYLE_USAGE", |r| {
        r.word("BOTH").id(side);
    });
    p.add("PRESENTATION_STYLE_ASSIGNMENT", |r| {
        r.ids(&[usage]);
    })
}
