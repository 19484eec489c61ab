//! Weight, centre of gravity, and whether the creature stands, straight or curled.
//!
//! The chain is taken as stiff in each pose. It touches the ground where its lowest corners lie, and
//! stands when its centre of gravity lies over the hull of those.

use nalgebra::{Rotation3, Vector2, Vector3};

use super::finding::{Amount, Finding, Subject};
use crate::diagnostic::Severity;

/// Corners this near to the lowest one touch the ground, mm: wood gives, and meshes deviate (habit).
const TOUCHING: f64 = 0.1;
/// A creature that tips over within this is said to roll, radians: 3 degrees (habit).
const ROLLS: f64 = 3.0 * std::f64::consts::PI / 180.0;
/// The curled pose bends by this in all at most, radians: three quarters of a turn, so that head and
/// tail keep apart (habit).
const CURL: f64 = 1.5 * std::f64::consts::PI;

/// A section in the straight creature, z up.
#[derive(Debug, Clone)]
pub struct Weighed {
    /// Corners, mm.
    pub corners: Vec<Vector3<f64>>,
    /// Volume, mm3.
    pub volume: f64,
    /// Its first moments, mm4.
    pub moments: Vector3<f64>,
}

/// A joint: where its centre lies along the straight creature, mm, and how far it bends, radians.
pub type Bend = (f64, f64);

/// How a creature rests on the ground.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stance {
    /// Centre of gravity, mm, z from the ground.
    pub centre: Vector3<f64>,
    /// Tilt at which it tips over, radians; not above 0 when it falls at once.
    pub tips: f64,
}

/// Mass in g of a volume in mm3 at a density in kg/m3 (derived: 1 kg/m3 is 1e-6 g/mm3).
#[must_use]
pub fn mass_g(volume_mm3: f64, density_kg_m3: f64) -> f64 {
    volume_mm3 * density_kg_m3 * 1e-6
}

/// The chain curled sideways: each joint bent to its stop, or all by the same part of it.
#[must_use]
pub fn curled(sections: &[Weighed], joints: &[Bend]) -> Vec<Weighed> {
    let all: f64 = joints.iter().map(|j| j.1).sum();
    let part = (CURL / all).min(1.0);
    let (mut turn, mut shift) = (Rotation3::identity(), Vector3::zeros());
    let mut out = Vec::with_capacity(sections.len());
    for (k, section) in sections.iter().enumerate() {
        if let Some(&(x, swing)) = k.checked_sub(1).and_then(|k| joints.get(k)) {
            let centre = Vector3::new(x, 0.0, 0.0);
            let bend = Rotation3::from_axis_angle(&Vector3::z_axis(), part * swing);
            // First about the straight joint, then with all in front of it.
            shift += turn * (centre - bend * centre);
            turn *= bend;
        }
        out.push(Weighed {
            corners: section.corners.iter().map(|p| turn * p + shift).collect(),
            volume: section.volume,
            moments: turn * section.moments + shift * section.volume,
        });
    }
    out
}

/// How sections rest together; nothing without wood.
#[must_use]
pub fn stance(sections: &[Weighed]) -> Option<Stance> {
    let volume: f64 = sections.iter().map(|s| s.volume).sum();
    let moments: Vector3<f64> = sections.iter().map(|s| s.moments).sum();
    let corners = || sections.iter().flat_map(|s| &s.corners);
    let ground = corners().map(|p| p.z).fold(f64::INFINITY, f64::min);
    if volume <= 0.0 || !ground.is_finite() {
        return None;
    }
    let mut centre = moments / volume;
    centre.z -= ground;
    let touching = corners()
        .filter(|p| p.z < ground + TOUCHING)
        .map(|p| p.xy())
        .collect();
    let inside = depth(&hull(touching), &centre.xy());
    Some(Stance {
        centre,
        tips: inside.atan2(centre.z),
    })
}

/// Convex hull, counter-clockwise (Andrew's monotone chain, 1979).
fn hull(mut points: Vec<Vector2<f64>>) -> Vec<Vector2<f64>> {
    points.sort_by(|a, b| {
        (a.x, a.y)
            .partial_cmp(&(b.x, b.y))
            .unwrap_or(std::cmp::Ordering::Equal)
    });
    points.dedup();
    if points.len() < 3 {
        return points;
    }
    let chain = |points: &mut dyn Iterator<Item = Vector2<f64>>| {
        let mut chain: Vec<Vector2<f64>> = Vec::new();
        for p in points {
            while let [.., a, b] = chain.as_slice() {
                if (b - a).perp(&(p - a)) > 0.0 {
                    break;
                }
                chain.pop();
            }
            chain.push(p);
        }
        chain.pop();
        chain
    };
    let mut all = chain(&mut points.iter().copied());
    all.extend(chain(&mut points.iter().rev().copied()));
    all
}

/// How deep a place lies inside a hull, mm; negative or 0 outside, and in a hull that is a line.
fn depth(hull: &[Vector2<f64>], p: &Vector2<f64>) -> f64 {
    if hull.len() < 3 {
        return 0.0;
    }
    let sides = (0..hull.len()).map(|k| {
        let (a, b) = (hull[k], hull[(k + 1) % hull.len()]);
        (b - a).normalize().perp(&(p - a))
    });
    sides.fold(f64::INFINITY, f64::min)
}

/// Weight, and how the creature rests straight and curled. `density` in kg/m3.
pub fn findings(
    subject: &Subject<'_>,
    sections: &[Weighed],
    joints: &[Bend],
    (species, density): (&str, f64),
) -> Vec<Finding> {
    let volume: f64 = sections.iter().map(|s| s.volume).sum();
    let words =
        format!("of {species} at {density:.0} kg/m3, without pins, glue and finish, weighs");
    let mass = Amount::Mass(mass_g(volume, density));
    let mut all = vec![subject.finds(Severity::Note, "weight", &words, mass, None)];
    let mut rests = |pose: &str, stance: Option<Stance>| {
        let Some(found) = stance else { return };
        let text = |mm: f64| Amount::Length(mm).text(subject.unit);
        let centre = format!(
            "centre of gravity {} behind the front, {} over the ground",
            text(found.centre.x),
            text(found.centre.z)
        );
        let how = match found.tips {
            tips if tips <= 0.0 => "does not stand",
            tips if tips < ROLLS => "rolls over at a touch",
            _ => "stands",
        };
        let words = format!("{pose}, it {how}; {centre}; it tips at");
        let tips = Amount::Angle(found.tips.max(0.0));
        all.push(subject.finds(Severity::Note, "stands", &words, tips, None));
    };
    rests("straight", stance(sections));
    if !joints.is_empty() {
        rests("curled sideways", stance(&curled(sections, joints)));
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A box between two corners.
    fn block(low: [f64; 3], high: [f64; 3]) -> Weighed {
        let (low, high) = (Vector3::from(low), Vector3::from(high));
        let corner = |k: usize| {
            let side = |bit: usize, axis: usize| {
                if k >> bit & 1 == 0 {
                    low[axis]
                } else {
                    high[axis]
                }
            };
            Vector3::new(side(0, 0), side(1, 1), side(2, 2))
        };
        let volume = (high - low).product();
        Weighed {
            corners: (0..8).map(corner).collect(),
            volume,
            moments: 0.5 * (low + high) * volume,
        }
    }

    #[test]
    fn a_box_tips_over_its_nearer_edge() {
        let found = stance(&[block([0.0, -10.0, -5.0], [60.0, 10.0, 25.0])]).unwrap();
        assert_eq!(found.centre, Vector3::new(30.0, 0.0, 15.0));
        assert!((found.tips - (10.0f64 / 15.0).atan()).abs() < 1e-12);
    }

    #[test]
    fn a_bridge_stands_on_both_feet_and_a_crane_falls() {
        let foot = |x: f64| block([x, -2.0, 0.0], [x + 4.0, 2.0, 10.0]);
        let deck = block([0.0, -2.0, 10.0], [50.0, 2.0, 14.0]);
        let bridge = stance(&[foot(0.0), deck.clone(), foot(46.0)]).unwrap();
        assert!((bridge.tips - (2.0 / bridge.centre.z).atan()).abs() < 1e-12);
        assert!(stance(&[foot(0.0), deck]).unwrap().tips < 0.0);
    }

    #[test]
    fn a_curl_keeps_joints_together_and_mass() {
        let sections: Vec<Weighed> = (0..5)
            .map(|k| {
                block(
                    [20.0 * f64::from(k), -1.0, 0.0],
                    [20.0 * f64::from(k) + 20.0, 1.0, 4.0],
                )
            })
            .collect();
        let joints: Vec<Bend> = (1..5).map(|k| (20.0 * f64::from(k), 0.6)).collect();
        let bent = curled(&sections, &joints);
        // Ends of the middle lines: corners of a polygon with sides of 20.
        let middle = |w: &Weighed, x: usize| {
            let own = w.corners.iter().skip(x).step_by(2);
            own.sum::<Vector3<f64>>() / 4.0
        };
        for k in 0..4 {
            assert!((middle(&bent[k], 1) - middle(&bent[k + 1], 0)).norm() < 1e-9);
            let (a, b) = (
                middle(&bent[k], 1) - middle(&bent[k], 0),
                middle(&bent[k + 1], 1) - middle(&bent[k + 1], 0),
            );
            assert!((a.angle(&b) - 0.6).abs() < 1e-9);
        }
        let volume = |w: &[Weighed]| w.iter().map(|s| s.volume).sum::<f64>();
        assert!((volume(&bent) - volume(&sections)).abs() < 1e-9);
        // A row of narrow blocks tips sideways sooner than the bow.
        assert!(stance(&bent).unwrap().tips > stance(&sections).unwrap().tips + 0.5);
    }
}
