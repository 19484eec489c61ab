//! The resolved creature: millimetres and radians, no `Option`, no default left.

mod form;
mod half;
mod outline;

pub use form::{
    Ball, Creature, End, EndFace, EndJoint, Pin, Section, SectionForm, Side, Socket, Split, Station,
};
pub use half::{HalfForm, HalfPin, HalfStation};
pub use outline::{Outline, Values, monotone_slopes};
