//! How a socket holds its ball: capture, play, forces. Derived, no published source.

use super::swing::mouth_plane;
use std::f64::consts::PI;

/// Formula 5.6: capture, by how much the mouth is narrower than the ball (R - a, in mm), and
/// the ratio a / R.
#[must_use]
pub fn capture(ball: f64, mouth: f64) -> (f64, f64) {
    (ball - mouth, mouth / ball)
}

/// Formula 5.7: free movement of the ball along the axis. Inwards the clearance, outwards until
/// the ball rests on the mouth's edge: c + hm - sqrt(R^2 - a^2).
#[must_use]
pub fn axial_play(ball: f64, clearance: f64, mouth: f64) -> f64 {
    clearance + mouth_plane(ball + clearance, mouth) - mouth_plane(ball, mouth)
}

/// Formula 5.8: force in the lip (hoop) under a pull along the axis, in the pull's unit:
/// F a / (2 pi sqrt(R^2 - a^2)). Two glued halves are opened by twice this.
#[must_use]
pub fn hoop_force(pull: f64, ball: f64, mouth: f64) -> f64 {
    pull * mouth / (2.0 * PI * mouth_plane(ball, mouth))
}

/// Formula 5.9: strain the lip would need to snap over the ball, (R - a) / a. Wood fails across
/// the grain at about 0.01, so a captured ball goes in between two halves.
#[must_use]
pub fn snap_strain(ball: f64, mouth: f64) -> f64 {
    (ball - mouth) / mouth
}

/// Formula 5.10: volume in mm^3 of the socket up to the plane of the mouth, the sphere less the
/// cap of height Rs - hm.
#[must_use]
pub fn socket_void(socket: f64, mouth: f64) -> f64 {
    let h = socket - mouth_plane(socket, mouth);
    4.0 / 3.0 * PI * socket.powi(3) - PI * h * h * (3.0 * socket - h) / 3.0
}
