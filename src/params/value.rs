//! The kinds of value that a key can hold.

use super::located::Located;
use super::written::Pin;
use crate::units::{Angle, Length, Unit};

/// A file version; always 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Version(pub u32);

/// A name: 1 to 120 characters without control characters, no blank at either end.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Name(pub String);

/// The unit of a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct UnitName(pub Unit);

/// A plain number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scalar(pub f64);

/// A factor: a plain number, 0.9, or a percentage, `90%`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Factor(pub f64);

/// A percentage as a fraction: `50%` is 0.5.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Percent(pub f64);

/// Place along a body.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Along {
    /// Fraction of the length, from 0 to 1.
    Fraction(f64),
    /// Length from the front datum.
    Length(Length),
}

/// Size of repeated sections.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SectionTaper {
    /// Factor from each section to the next.
    Factor(f64),
    /// Size of the last section as a fraction of the first; equal steps between.
    To(f64),
}

/// Half pins of a section.
#[derive(Debug, Clone, PartialEq)]
pub enum Pins {
    /// Two where the length allows, else one.
    Auto,
    /// This many (0 to 2), placed by the program.
    Count(u32),
    /// Written out.
    List(Vec<Located<Pin>>),
}

/// Taper of a cutter; the file says `per side` or `included`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CutterTaper {
    /// Angle of one side with the cutter's axis.
    pub per_side: Angle,
}

/// How the split plane stands in the toy.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SplitPose {
    /// Upper and lower halves.
    Level,
    /// Left and right halves.
    Upright,
}

/// Form of an end face.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EndForm {
    /// A sphere about the socket's centre.
    Domed,
    /// A plane.
    Flat,
    /// A nose or a tip.
    Closed,
}

/// What an end carries.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum JointKind {
    /// A socket.
    Socket,
    /// A ball on a neck.
    Ball,
    /// Nothing.
    None,
}

/// Form of a cutter's tip.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CutterKind {
    /// Flat end.
    Flat,
    /// Ball end.
    Ball,
}

/// What a cutter is used for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Job {
    /// Roughing.
    Rough,
    /// Pin and dowel holes.
    Holes,
    /// The groove round each outline.
    Relief,
    /// Finishing.
    Finish,
}
