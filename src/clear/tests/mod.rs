//! Tests of the room: an independent brute force, closed forms, and the proof itself.

mod brute;
mod closed;
mod pairs;
mod proof;
mod shapes;
mod solids;
