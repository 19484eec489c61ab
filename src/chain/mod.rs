//! The resolved creature: millimetres and radians, no `Option`, no default left.

mod form;
pub mod joint;

pub use form::{
    Ball, Creature, End, EndFace, EndJoint, Pin, Section, SectionForm, Side, Socket, Split, Station,
};
