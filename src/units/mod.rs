//! Lengths, angles and percentages: what people write, and what they read.
//!
//! Inside the program every length is in millimetres and every angle in radians. Text enters
//! here ([`Length::parse`], [`Angle::parse`], [`parse_percent`]) and leaves here ([`mm_text`],
//! [`length_text`], [`angle_text`]). A text is read in one way only or refused: a
//! [`QuantityError`] quotes it and says what to write instead.

mod amount;
mod angle;
mod error;
mod format;
mod length;
mod odd;
mod percent;

pub use angle::{ANGLE_PATTERN, Angle};
pub use error::QuantityError;
pub(crate) use format::short;
pub use format::{angle_text, inch_text, length_text, mm_text};
pub use length::{LENGTH_PATTERN, Length, MM_PER_INCH, Unit};
pub use percent::{PERCENT_PATTERN, parse_percent};
