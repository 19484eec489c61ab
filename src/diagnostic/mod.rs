//! One kind of message for every stage.

mod place;

pub use place::Place;
