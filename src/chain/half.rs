//! What one half of a section is made from: the section seen from its own split face.

use super::feature::Features;
use super::form::{End, EndFace, Knot, Pin, SectionForm, Side, Station};

/// A point of a half's outer form, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HalfStation {
    /// Place along x.
    pub x: f64,
    /// Half of the width at the split plane.
    pub half_width: f64,
    /// Height over the split plane.
    pub height: f64,
    /// Superellipse exponent of the section curve above the rim.
    pub squareness: f64,
    /// What it fixes.
    pub fixes: Fixes,
}

/// What a station fixes of a half; the curves of all else run through it as if it were not there.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Fixes {
    /// All its sizes.
    All,
    /// The height: a flat begins or ends there.
    Height,
    /// Nothing: it belongs to a flat of the other half.
    Nothing,
}

impl HalfStation {
    /// A station of a section as the half on `side` sees it.
    pub fn of(station: &Station, side: Side) -> Self {
        HalfStation {
            x: station.x,
            half_width: station.half_width,
            height: station.height(side),
            squareness: station.squareness,
            fixes: match (station.knot, side) {
                (Knot::Point, _) => Fixes::All,
                (Knot::Level { above: true, .. }, Side::Upper)
                | (Knot::Level { below: true, .. }, Side::Lower) => Fixes::Height,
                (Knot::Level { .. }, _) => Fixes::Nothing,
            },
        }
    }
}

/// A pin hole as one half sees it, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HalfPin {
    /// Centre along x.
    pub x: f64,
    /// Centre across, in the half's own (turned) frame.
    pub y: f64,
    /// Hole radius.
    pub radius: f64,
    /// Extra length along x; 0 for a round hole.
    pub slot: f64,
    /// Depth from the split face.
    pub depth: f64,
}

/// One half in its own frame: split face on z = 0, outer side up. Equal values are the same solid,
/// whichever section or side they come from ([`SectionForm::half_key`]).
#[derive(Debug, Clone, PartialEq)]
pub struct HalfForm {
    /// Length between the end datums.
    pub length: f64,
    /// Outer form from front to rear.
    pub stations: Vec<HalfStation>,
    /// Greatest height of both halves of its section: where the rim leaves a flat end's plane must
    /// not differ between them, or plates and tabs would not meet in the split plane.
    pub crown: f64,
    /// Rim height.
    pub rim: f64,
    /// Draft of rim and flat ends, radians.
    pub lean: f64,
    /// The end at x = 0.
    pub front: End,
    /// The end at x = length.
    pub rear: End,
    /// Pin holes.
    pub pins: Vec<HalfPin>,
    /// Features in this half's own frame (every `side` is `Upper`); tabs in the held body alone.
    pub features: Features,
}

impl HalfForm {
    /// The finished half of `form` on `side`; the lower half is turned about x, so y changes sign.
    pub fn of(form: &SectionForm, side: Side) -> Self {
        Self::body(form, side, false)
    }

    /// The half as its tabs hold it in the blank.
    pub fn held(form: &SectionForm, side: Side) -> Self {
        Self::body(form, side, true)
    }

    fn body(form: &SectionForm, side: Side, held: bool) -> Self {
        let stations = form.outline.iter().map(|s| HalfStation::of(s, side));
        HalfForm {
            length: form.length,
            stations: stations.collect(),
            crown: form
                .outline
                .iter()
                .fold(0.0, |most, s| s.above.max(s.below).max(most)),
            rim: form.rim,
            lean: form.lean,
            front: form.front,
            rear: form.rear,
            pins: form.pins.iter().map(|p| half_pin(p, side)).collect(),
            features: form.features.of_half(side, held),
        }
    }

    /// The dome radius of each domed end, front first.
    pub fn domes(&self) -> [Option<f64>; 2] {
        [&self.front, &self.rear].map(|end| match end.face {
            EndFace::Domed { radius } => Some(radius),
            EndFace::Flat | EndFace::Closed => None,
        })
    }
}

fn half_pin(pin: &Pin, side: Side) -> HalfPin {
    let (y, depth) = match side {
        Side::Upper => (pin.y, pin.depth_above),
        Side::Lower => (-pin.y, pin.depth_below),
    };
    HalfPin {
        x: pin.x,
        y,
        radius: pin.radius,
        slot: pin.slot,
        depth,
    }
}
