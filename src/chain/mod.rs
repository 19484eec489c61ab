//! The resolved creature: millimetres and radians, no `Option`, no default left.
//!
//! [`resolve`] is the only way from the written files to a [`Creature`]. What it returns keeps:
//! every number is finite; stations increase in x and reach from end to end; a domed end is
//! round where it meets its dome; every ball has its socket, captured, with a neck that passes
//! the mouth; names are unique whatever the letter case. It does not promise that features
//! keep apart inside the wood: that is measured by the room `clear`.

mod cutter;
mod feature;
mod form;
mod half;
pub mod joint;
mod key;
mod marks;
mod measured;
mod outline;
mod resolve;
mod species;
pub mod strengths;
mod trial;

pub use cutter::Cutter;
pub use feature::{
    Eye, Features, Flank, Flat, Groove, Mark, Plate, PlateCorner, Stroke, Tab, TabRoot,
};
pub use form::{
    Ball, Creature, End, EndFace, EndJoint, Knot, Pin, Section, SectionForm, Side, Socket, Split,
    Station,
};
pub use half::{Fixes, HalfForm, HalfPin, HalfStation};
pub use key::FormKey;
pub use measured::Measured;
pub use outline::{Outline, ROUND_ZONE, Values, monotone_slopes};
pub use resolve::{
    Accepted, BlankRules, Board, ChainJoint, DOME_PART, MachineStation, Resolved, SKIN_OF_STOCK,
    Seat, SectionSource, ShopFits, Terms, resolve, resolve_numbered, seats,
};
pub use species::{Walls, least_neck};
pub use trial::{DrawnWith, Trial, TrialHole, TrialSocket};
