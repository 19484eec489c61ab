//! Why a half is not made, in words.

use crate::brep::BuildError;
use crate::clear::half::Refusal;
use crate::diagnostic::{Diagnostic, Diagnostics, Place};
use crate::skin::SkinError;
use crate::skin::eye::{EyeError, LEAST_RISE};
use crate::units::{Angle, Length, Unit, angle_text, length_text};

/// Why a half cannot be made.
#[derive(Debug, Clone)]
pub enum Refused {
    /// The outer form cannot be built.
    Skin(SkinError),
    /// Features too near to each other, with the thin walls found beside them.
    Near(Vec<Refusal>),
    /// The eye of this number has no edge on the skin.
    Eye(usize, EyeError),
    /// The outer form faces down: where, mm, and by how much, radians.
    FacesDown([f64; 3], f64),
    /// A fault of this program: the faces do not close, or the mesh is not sound.
    Fault(String),
}

impl From<BuildError> for Refused {
    fn from(error: BuildError) -> Self {
        match error {
            BuildError::Skin(e) => Refused::Skin(e),
            // Eyes are looked at before anything is built, so a fault of this program.
            BuildError::Eye(e) => Refused::Fault(format!("{e:?}")),
            BuildError::NotClosed(e) => Refused::Fault(e.0),
        }
    }
}

impl Refused {
    /// As messages at the section's place that name the part, lengths in `unit`.
    pub fn diagnostics(&self, place: &Place, part: &str, unit: Unit) -> Diagnostics {
        let messages = match self {
            Refused::Skin(error) => vec![skin(*error, place, unit)],
            Refused::Near(refusals) => refusals
                .iter()
                .map(|r| r.diagnostic(place.clone(), unit))
                .collect(),
            Refused::Eye(number, error) => vec![eye(*number, *error, place)],
            Refused::FacesDown(at, down) => vec![faces_down(*at, *down, place, unit)],
            Refused::Fault(what) => vec![fault(place.clone(), what)],
        };
        let mut all = Diagnostics::new();
        all.extend(messages.into_iter().map(|m| named(m, part)));
        all
    }
}

/// A fault of this program, which no change of the design is asked to mend.
pub(super) fn fault(place: Place, what: &str) -> Diagnostic {
    Diagnostic::error(place, format!("a fault of limberwood: {what}"))
        .way_out("the design is not to blame: please report it with the design file")
}

/// Names the part in front of what was found.
pub fn named(mut message: Diagnostic, part: &str) -> Diagnostic {
    message.found = format!("{part}: {}", message.found);
    message
}

fn skin(error: SkinError, place: &Place, unit: Unit) -> Diagnostic {
    let length = |mm: f64| length_text(Length::from_mm(mm), unit);
    let (found, allowed, way_out) = match error {
        SkinError::UnequalDomes(front, rear) => (
            format!(
                "two domed ends of radius {} and {}",
                length(front),
                length(rear)
            ),
            "one domed end, or two of equal radius",
            "give both end points the same half_width, or make one end `flat`",
        ),
        SkinError::RimOverDome(radius, rim) => (
            format!(
                "rim {} at a domed end of radius {}",
                length(rim),
                length(radius)
            ),
            "a rim lower than the domed end's radius",
            "lower the rim or widen the domed end",
        ),
        SkinError::WideFlat(width, most) => {
            return Diagnostic::error(
                place.clone(),
                format!("a flat {} wide", length(width)),
            )
            .allowed(format!("at most {}, as far as the skin is level", length(most)))
            .way_out(
                "make the flat's `width` smaller, or the outline wider or squarer (`squareness`)",
            );
        }
    };
    Diagnostic::error(place.clone(), found)
        .allowed(allowed)
        .way_out(way_out)
}

fn faces_down([x, y, z]: [f64; 3], down: f64, place: &Place, unit: Unit) -> Diagnostic {
    let length = |mm: f64| length_text(Length::from_mm(mm), unit);
    let found = format!(
        "the outer form faces down by {} at x {}, y {}, z {}",
        angle_text(Angle::from_radians(down)),
        length(x),
        length(y),
        length(z)
    );
    Diagnostic::error(place.clone(), found)
        .allowed("a form that a cutter from outside sees everywhere")
        .way_out("draw the points near that x further apart or nearer in size, or lower the lean")
}

fn eye(number: usize, error: EyeError, place: &Place) -> Diagnostic {
    let (found, allowed) = match error {
        EyeError::OffSkin => (
            format!("eye {number} reaches over the edge of the outer form"),
            "an eye that lies wholly on the skin above the rim".to_owned(),
        ),
        EyeError::Steep(angle) => (
            format!(
                "eye {number} on skin that falls by {}",
                angle_text(Angle::from_radians(angle))
            ),
            format!(
                "up to {} (habit)",
                angle_text(Angle::from_radians(LEAST_RISE.acos()))
            ),
        ),
    };
    Diagnostic::error(place.clone(), found)
        .allowed(allowed)
        .way_out("move the eye nearer to the middle line, or make it smaller")
}
