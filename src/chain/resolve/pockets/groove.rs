//! Where a glue groove goes round its socket.

use super::face::{DRY, Face};
use super::{BESIDE_SOCKET, RIB};
use crate::chain::feature::Groove;

/// Depth, mm (common practice, no source).
const DEPTH: f64 = 0.8;
/// Glue face that stays between a groove and the outline, mm: with the groove and the wood inside
/// it more than the 4 mm wanted beside a socket (common practice, no source).
pub(super) const GLUE: f64 = 3.0;
/// A groove with more of the angle free than this, on each side of the mouth, is of no use,
/// degrees (habit).
const MOST_FREE: u32 = 120;

/// The groove round the socket of an end: as long as it keeps its distances, to whole degrees;
/// `None` where little or nothing of it would be left.
pub(super) fn groove(face: &Face, end: usize, width: f64) -> Option<Groove> {
    let cup = face.sockets[end]?;
    let half_width = 0.5 * width;
    let radius = cup.radius + BESIDE_SOCKET + half_width;
    let keeps = |degrees: u32| {
        let (sin, cos) = f64::from(degrees).to_radians().sin_cos();
        [-1.0, 1.0].into_iter().all(|side| {
            let p = [cup.x + cup.mouth * radius * cos, side * radius * sin];
            let own = face.off_edge(p).min(face.off_end(1 - end, p)) - half_width >= GLUE
                && cup.off_flare(p).min(face.off_end(end, p)) - half_width >= DRY;
            let off = |q: [f64; 2]| (q[0] - p[0]).hypot(q[1] - p[1]) - half_width;
            own && face.off_pins(p) - half_width >= RIB
                && face.under_eyes(None, DEPTH, off)
                && face.sockets[1 - end].is_none_or(|other| {
                    other.distance(p) - half_width >= BESIDE_SOCKET + width + RIB
                })
        })
    };
    let free = (1..=180).rev().take_while(|&d| keeps(d)).last()?;
    (free <= MOST_FREE).then(|| Groove {
        x: cup.x,
        mouth: cup.mouth,
        radius,
        half_width,
        depth: DEPTH,
        free: f64::from(free).to_radians(),
    })
}
