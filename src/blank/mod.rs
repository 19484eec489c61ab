//! Halves laid out on pieces of stock, with the windows round them and the dowels of the flip.
//!
//! Frame of a piece: x along the grain from its front end, y across from one side, z = 0 its face with
//! the split faces, z up into the wood: as it lies in the second set-up, outside up.
//!
//! Guaranteed: windows keep the web between each other and stay out of the ends and sides kept for
//! clamps; both halves of a section lie on one piece, the lower one turned half round in plan, so
//! that an error of the flip line moves both alike. Not guaranteed: the fewest pieces; the bound that
//! is stated beside their number tells how many fewer there could be at best.

mod clamps;
mod layout;
mod place;
mod polygon;
mod registration;
mod rough;
mod share;
mod station;
mod window;

pub use clamps::ClampArea;
pub use layout::{BallPlace, BlankError, Blanks, Kind, Layout, Part, Placed, lay_out};
pub use registration::{BallStep, Dowel, DowelError, Flip, ball_steps, flip};
pub use rough::{Cloud, Height, USUAL_PASS, terraces};
pub use station::{Load, StationError, conflicts, corners, rounds};
pub use window::{Ray, Window, tab_sides, window};
