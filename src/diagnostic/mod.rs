//! One kind of message for every stage: where, what was found, what is allowed, the way out.
//!
//! Stages never print. They return [`Diagnostic`]s, warnings beside their result and errors
//! instead of it, gathered in [`Diagnostics`]; the command line prints them as text or JSON.

mod collection;
mod message;
mod place;

pub use collection::Diagnostics;
pub use message::{Diagnostic, Severity};
pub use place::Place;
