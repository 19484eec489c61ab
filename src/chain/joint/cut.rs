//! A joint as its solids are drawn, so that it comes out of the wood as it is wanted.

use super::swing::mouth_plane;
use super::wish::first_contact;
use super::{Joint, SocketFace};
use crate::chain::Measured;

impl Joint {
    /// Ball and socket smaller by half of what their diameters come out larger: R - b / 2 and
    /// Rs - s / 2 (derived). Neck, mouth, depth, flare and gap stay; the swing is that of the solids.
    /// The same joint, bit by bit, where nothing was measured.
    #[must_use]
    pub fn cut(&self, measured: &Measured) -> Joint {
        let (b, s) = (
            0.5 * measured.ball.unwrap_or(0.0),
            0.5 * measured.socket.unwrap_or(0.0),
        );
        if b == 0.0 && s == 0.0 {
            return *self;
        }
        let (ball, socket) = (self.ball - b, self.socket() - s);
        let inner = match self.face {
            SocketFace::Domed => socket,
            SocketFace::Flat => mouth_plane(socket, self.mouth),
        };
        let mut cut = Joint {
            ball,
            clearance: socket - ball,
            land: self.depth() - inner,
            ..*self
        };
        cut.swing = first_contact(&cut);
        cut
    }
}
