//! Colours of woods and of the faces cut into them, chosen by eye.

use nalgebra::Vector3;

use crate::brep::shape::FaceKind;

/// What a piece is made of.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum Wood {
    /// Pale cream.
    #[default]
    Maple,
    /// Pale, a little pink.
    Beech,
    /// Golden brown.
    Oak,
    /// Warm red brown.
    Cherry,
    /// Dark brown.
    Walnut,
    /// Paint of a colour (sRGB, 0 to 1), without grain.
    Painted([f32; 3]),
}

impl Wood {
    /// The tone nearest to a species of the table of [`crate::params::SPECIES`].
    #[must_use]
    pub fn of_species(name: &str) -> Wood {
        let name = name.trim().to_lowercase();
        let is = |words: &[&str]| words.iter().any(|w| name.contains(w));
        if is(&["walnut"]) {
            Wood::Walnut
        } else if is(&["cherry"]) {
            Wood::Cherry
        } else if is(&["oak", "ash"]) {
            Wood::Oak
        } else if is(&["beech"]) {
            Wood::Beech
        } else {
            Wood::Maple
        }
    }

    /// Whether rings are drawn on it.
    pub(super) fn has_grain(self) -> bool {
        !matches!(self, Wood::Painted(_))
    }

    /// Linear light of early and late wood, red, green and blue.
    #[must_use]
    pub fn light(self) -> [[f32; 3]; 2] {
        self.tones().map(Into::into)
    }

    /// Linear light of early and late wood.
    pub(super) fn tones(self) -> [Vector3<f32>; 2] {
        let [early, late] = match self {
            Wood::Maple => [[0.93, 0.80, 0.60], [0.84, 0.67, 0.45]],
            Wood::Beech => [[0.89, 0.72, 0.53], [0.80, 0.59, 0.40]],
            Wood::Oak => [[0.83, 0.66, 0.43], [0.68, 0.48, 0.27]],
            Wood::Cherry => [[0.78, 0.50, 0.31], [0.66, 0.37, 0.21]],
            Wood::Walnut => [[0.53, 0.37, 0.25], [0.38, 0.24, 0.15]],
            Wood::Painted(colour) => [colour, colour],
        };
        [early, late].map(|c| Vector3::from(c).map(linear))
    }
}

/// A sRGB value as linear light (IEC 61966-2-1).
fn linear(v: f32) -> f32 {
    let v = if v.is_finite() {
        v.clamp(0.0, 1.0)
    } else {
        0.0
    };
    if v <= 0.040_45 {
        v / 12.92
    } else {
        ((v + 0.055) / 1.055).powf(2.4)
    }
}

/// How a face differs from the wood round it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Tint {
    /// The wood as it is.
    Plain,
    /// A fresh cut: the glue face and what is cut into it.
    Fresh,
    /// Polished by turning: ball, neck, socket.
    Joint,
    /// An eye: burnt dark.
    Eye,
}

impl Tint {
    /// By what the face is for.
    pub fn of(kind: FaceKind) -> Tint {
        match kind {
            FaceKind::EyeWall | FaceKind::EyeFloor => Tint::Eye,
            FaceKind::Ball
            | FaceKind::Neck
            | FaceKind::Fillet
            | FaceKind::Socket
            | FaceKind::Flare => Tint::Joint,
            FaceKind::SplitFace
            | FaceKind::PinWall
            | FaceKind::PinFloor
            | FaceKind::PinChamfer
            | FaceKind::GrooveWall
            | FaceKind::GrooveFloor
            | FaceKind::MarkWall
            | FaceKind::MarkFloor => Tint::Fresh,
            _ => Tint::Plain,
        }
    }

    /// The wood's colour, tinted.
    pub fn on(self, colour: Vector3<f32>) -> Vector3<f32> {
        let by = |factor: [f32; 3]| colour.component_mul(&Vector3::from(factor));
        match self {
            Tint::Plain => colour,
            Tint::Fresh => by([1.06, 1.06, 1.04]),
            Tint::Joint => by([0.86, 0.78, 0.70]),
            Tint::Eye => by([0.10, 0.08, 0.07]),
        }
    }
}
