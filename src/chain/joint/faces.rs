//! The faces on both sides of a joint: where the flare ends, when faces meet, rings of joints.
//! Derived, no published source. Frame as in [`super::swing`].

use super::swing::mouth_plane;
use std::f64::consts::TAU;

/// Where the flare cone meets a flat end `land` in front of the plane of the mouth:
/// (x, r) = (hm + land, a + land tan(flare)).
#[must_use]
pub fn flare_on_flat(socket: f64, mouth: f64, flare: f64, land: f64) -> (f64, f64) {
    (
        mouth_plane(socket, mouth) + land,
        mouth + land * flare.tan(),
    )
}

/// Where the flare cone meets a dome of radius `dome` about the socket's centre. Along the cone
/// from the mouth, (hm + t cos, a + t sin) lies on the dome for
/// t = -b + sqrt(b^2 + dome^2 - Rs^2) with b = hm cos + a sin.
#[must_use]
pub fn flare_on_dome(socket: f64, mouth: f64, flare: f64, dome: f64) -> (f64, f64) {
    let hm = mouth_plane(socket, mouth);
    let (sin, cos) = flare.sin_cos();
    let b = hm * cos + mouth * sin;
    let outward = (dome - socket) * (dome + socket);
    // The other form of -b + sqrt(b^2 + q): no cancellation when the land is thin.
    let t = outward / (b + (b * b + outward).sqrt());
    (hm + t * cos, mouth + t * sin)
}

/// Formula 5.14: swing at which two flat faces of half-width `half_width`, `pivot` in front of
/// the socket's centre and `gap` apart, meet: acos(p / R0) - atan(w / (p+g)),
/// R0 = hypot(p+g, w).
#[must_use]
pub fn face_swing(pivot: f64, gap: f64, half_width: f64) -> f64 {
    let far = pivot + gap;
    (pivot / far.hypot(half_width)).acos() - half_width.atan2(far)
}

/// Formula 5.15: gap that lets two flat faces swing by `swing`: (p + w sin) / cos - p.
#[must_use]
pub fn gap_for_swing(pivot: f64, half_width: f64, swing: f64) -> f64 {
    (pivot + half_width * swing.sin()) / swing.cos() - pivot
}

/// Distance left between a flat face and the other end's edge after a swing (fact 1.22):
/// (p+g) cos - w sin - p. Negative: they have met.
#[must_use]
pub fn face_gap(pivot: f64, gap: f64, half_width: f64, swing: f64) -> f64 {
    (pivot + gap) * swing.cos() - half_width * swing.sin() - pivot
}

/// Formula 5.16: radius of the circle on which the joints of a chain lie when each swings by
/// `swing`, `pitch` apart: L / (2 sin(theta / 2)).
#[must_use]
pub fn ring_radius(pitch: f64, swing: f64) -> f64 {
    pitch / (2.0 * (0.5 * swing).sin())
}

/// Formula 5.16: how many joints close a ring.
#[must_use]
pub fn joints_in_ring(swing: f64) -> f64 {
    TAU / swing
}
