//! A piece of stock before the last pass: after the first set-up, and roughed from both sides. Frame as
//! in [`super::blank`].
//!
//! What is cut from the one face of the stock and what is cut from the other do not meet but in the holes
//! of the dowels, so the faces of each are added by themselves.

use super::blank::{Size, Through, holed, moved};
use super::pose::{Pose, posed};
use super::relief::{Cut, relief};
use super::shape::Half;
use super::terraces::{Terraces, terraces};
use super::weave::{NotClosed, Weave};
use crate::skin::plan::Corner;

/// A state of a piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum State {
    /// After the first set-up: halves with all that is cut into their split faces and the relief groove,
    /// sections in one piece with their lower side roughed.
    InsideCut,
    /// Roughed from both sides, with a thin floor between the tabs.
    Rough,
    /// After the last pass, with the tabs alone.
    Finished,
}

impl State {
    /// All, in the order of the work.
    pub const ALL: [State; 3] = [State::InsideCut, State::Rough, State::Finished];

    /// Its name.
    pub const fn word(self) -> &'static str {
        match self {
            State::InsideCut => "inside cut",
            State::Rough => "rough",
            State::Finished => "finished",
        }
    }
}

/// A part in its place.
#[derive(Debug, Clone, Copy)]
pub struct Site<'a> {
    /// From the part's own frame onto the piece; turned about z only.
    pub pose: Pose,
    /// Border of its window in its own frame, counter-clockwise.
    pub window: &'a [Corner],
    /// What is cut from the face with the split faces.
    pub below: Below<'a>,
    /// What is roughed from the other face, if it is.
    pub above: Option<&'a Terraces>,
}

/// What is cut of a part from the face of the stock with the split faces.
#[derive(Debug, Clone, Copy)]
pub enum Below<'a> {
    /// Of a half, all that is cut into its split face, and the relief groove.
    Relief {
        /// Its finished body, without tabs.
        body: &'a Half,
        /// Height of its split plane over the face of the stock, mm.
        split: f64,
        /// Height of the groove's floor over the same, mm.
        floor: f64,
    },
    /// Of a section in one piece, its lower side as it is roughed.
    Rough(&'a Terraces),
}

/// The piece with its parts in that state.
///
/// # Errors
/// [`NotClosed`] on a fault of topology: a fault of the caller.
pub fn piece(size: Size, sites: &[Site<'_>], holes: &[Through]) -> Result<Half, NotClosed> {
    let mut weave = Weave::default();
    let (mut low, mut high) = (Vec::new(), Vec::new());
    for site in sites {
        let window: Vec<Corner> = site.window.iter().map(|c| moved(c, site.pose)).collect();
        match site.below {
            Below::Relief { body, split, floor } => {
                let body = &posed(body, site.pose);
                let cut = Cut { body, split, floor };
                low.push(relief(&mut weave, &cut, &window)?);
            }
            Below::Rough(own) => {
                low.push(terraces(&mut weave, &own.moved(site.pose), &window, 0.0)?);
            }
        }
        if let Some(own) = site.above {
            let own = own.moved(site.pose);
            high.push(terraces(&mut weave, &own, &window, size[2])?);
        }
    }
    holed(weave, size, holes, (low, high))
}
