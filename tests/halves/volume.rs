//! Volume of a half without its solid: the outer form as a height field over its plan, by
//! quadrature over the patches, and closed forms for all that ends and pins add or take.
//!
//! With S the outer form, V = integral of z over S's plan, since the split face lies on z = 0:
//! the flux of (0, 0, z). An upright end gives nothing, a tilted one the first moment of its
//! outline times the tangent of its tilt (derived).

use std::f64::consts::PI;

use limberwood::chain::{Ball, End, EndFace, EndJoint, HalfForm, Socket};
use limberwood::skin::Skin;

use super::eyes;
use super::gauss;
use super::pockets;
use super::spline::Spline;
use super::stands;

/// Volume of a half, mm3.
pub fn expected(half: &HalfForm, skin: &Skin) -> f64 {
    let mut sum = body(half, skin);
    for end in [&half.front, &half.rear] {
        sum += match end.joint {
            EndJoint::None => 0.0,
            EndJoint::Ball(b) => stem(&b, half.lean.tan()),
            EndJoint::Socket(s) => -hollow(end, &s, half.lean.tan()),
        };
    }
    sum - half.pins.iter().map(pin).sum::<f64>() - pockets::volume(half)
        + stands::volume(half, skin)
        - eyes::volume(half, skin)
}

fn pin(pin: &limberwood::chain::HalfPin) -> f64 {
    (PI * pin.radius.powi(2) + 2.0 * pin.radius * pin.slot) * pin.depth
}

/// The body with whole ends, without joints and pins.
pub fn body(half: &HalfForm, skin: &Skin) -> f64 {
    let (top, rim) = (Spline::of_patch(&skin.skin), Spline::of_patch(&skin.rim));
    let mut sum = under(&top) + 2.0 * under(&rim);
    for (k, end) in [&half.front, &half.rear].into_iter().enumerate() {
        sum += match end.face {
            EndFace::Flat | EndFace::Closed => {
                half.lean.tan() * (moment(&top, k == 1) + 2.0 * moment(&rim, k == 1))
            }
            EndFace::Domed { radius } => {
                let station = if k == 0 {
                    half.stations.first()
                } else {
                    half.stations.last()
                };
                let circle = station.map_or(0.0, |s| s.half_width);
                0.5 * cap(radius, radius - (radius * radius - circle * circle).sqrt())
            }
        };
    }
    sum
}

/// Integral of z over the plan of a patch. Exact in u: the integrand has degree 8 there.
fn under(patch: &Spline) -> f64 {
    let (us, vs) = patch.breaks();
    let mut sum = 0.0;
    for u in us.windows(2) {
        for v in vs.windows(2) {
            sum += gauss::five(u[0], u[1], |u| {
                gauss::fifteen(v[0], v[1], |v| {
                    let j = patch.jet(u, v);
                    j.at[2] * (j.du[0] * j.dv[1] - j.du[1] * j.dv[0])
                })
            });
        }
    }
    sum
}

/// Integral of z^2/2 dy along the first or last section: the first moment about the split plane
/// of what lies below.
fn moment(patch: &Spline, last: bool) -> f64 {
    let (us, vs) = patch.breaks();
    let u = if last { us[us.len() - 1] } else { us[0] };
    vs.windows(2)
        .map(|v| {
            gauss::fifteen(v[0], v[1], |v| {
                let j = patch.jet(u, v);
                0.5 * j.at[2].powi(2) * j.dv[1]
            })
        })
        .sum()
}

/// Spherical cap of height h (any text, facts 5: pi h^2 (3R - h) / 3).
pub fn cap(radius: f64, h: f64) -> f64 {
    PI * h * h * (3.0 * radius - h) / 3.0
}

fn ball_volume(radius: f64) -> f64 {
    4.0 / 3.0 * PI * radius.powi(3)
}

/// Half of neck, fillet and ball outside a tilted end. The wedge between the tilted face and the
/// upright plane through its foot holds tan (2/3) n^3 of the neck (moment of a half disc).
pub fn stem(b: &Ball, tilt: f64) -> f64 {
    let (r, n) = (b.radius, b.neck_radius);
    let d = (r * r - n * n).sqrt();
    let neck = PI * n * n * (b.reach - d);
    let ball = ball_volume(r) - cap(r, r - d);
    0.5 * (neck + ball + fillet(r, n, b.fillet)) + tilt * 2.0 / 3.0 * n.powi(3)
}

/// What a fillet adds between ball and neck, turned about the axis: the ring under its arc less
/// the zone of ball and the piece of neck inside it (derived; the tests hold it to worked
/// values).
pub fn fillet(r: f64, n: f64, f: f64) -> f64 {
    if f == 0.0 {
        return 0.0;
    }
    let far = n + f;
    let centre = ((r + f).powi(2) - far * far).sqrt();
    let touch = r * centre / (r + f);
    let d = (r * r - n * n).sqrt();
    // Square of the fillet's distance from the axis, integrated along it; the substitution
    // x = centre - f sin a keeps the arc's end smooth.
    let last = ((centre - touch) / f).asin();
    let under_arc = gauss::fifteen(0.0, last, |a| {
        PI * (far - f * a.cos()).powi(2) * f * a.cos()
    });
    let ball = PI * ((r * r * d - d.powi(3) / 3.0) - (r * r * touch - touch.powi(3) / 3.0));
    under_arc - ball - PI * n * n * (centre - d)
}

/// Half of what socket and flare take out of the body.
pub fn hollow(end: &End, s: &Socket, tilt: f64) -> f64 {
    let mouth = (s.radius.powi(2) - s.mouth_radius.powi(2)).sqrt();
    let slope = s.flare.tan();
    let sphere = 0.5 * (ball_volume(s.radius) - cap(s.radius, s.radius - mouth));
    let apex = mouth - s.mouth_radius / slope;
    let tip = 0.5 * PI * s.mouth_radius.powi(2) * (mouth - apex) / 3.0;
    sphere
        + match end.face {
            EndFace::Domed { radius } => {
                // Where the cone r = slope (x - apex) meets x^2 + r^2 = radius^2.
                let (a, b) = (1.0 + slope * slope, -slope * slope * apex);
                let c = slope * slope * apex * apex - radius * radius;
                let x = (-b + (b * b - a * c).sqrt()) / a;
                let r = slope * (x - apex);
                0.5 * (PI * r * r * (x - apex) / 3.0 + cap(radius, radius - x)) - tip
            }
            EndFace::Flat | EndFace::Closed => {
                // A cone from its apex to the tilted face: a third of the height over the foot
                // times the face's outline seen along the axis (derived).
                let height = s.depth - apex;
                height * seen(height * slope, slope * tilt) / 3.0 - tip
            }
        }
}

/// Area of y^2 + z^2 < (r - k z)^2 over z > 0, by quadrature: z = top sin^2 leaves no root at
/// the upper end.
fn seen(r: f64, k: f64) -> f64 {
    let top = r / (1.0 + k);
    let piece = |from: f64, to: f64| {
        gauss::fifteen(from, to, |a| {
            let z = top * a.sin();
            let wide = ((r - k * z).powi(2) - z * z).max(0.0).sqrt();
            2.0 * wide * top * a.cos()
        })
    };
    let steps = 8;
    (0..steps)
        .map(|i| {
            let at = |i: i32| 0.5 * PI * f64::from(i) / f64::from(steps);
            piece(at(i), at(i + 1))
        })
        .sum()
}

#[test]
fn closed_forms_at_worked_values() {
    // Facts 8.2 and 8.8: ball 10 with neck 4.
    assert!((cap(10.0, 10.0 - 84f64.sqrt()) - 21.286699).abs() < 1e-6);
    for (r, n, f, v) in [
        (10.0, 4.0, 1.5875, 4.132959),
        (10.0, 4.0, 3.175, 14.584011),
        (6.35, 2.5, 1.0, 1.047018),
    ] {
        assert!((fillet(r, n, f) - v).abs() < 1e-6, "{}", fillet(r, n, f));
    }
    // Half a disc without tilt.
    assert!((seen(3.0, 0.0) - 4.5 * PI).abs() < 1e-10);
    // Half an ellipse segment: semi-axes 3/(1-k^2) up and 3/sqrt(1-k^2) across about -k up.
    let k: f64 = 0.08;
    let (up, across) = (3.0 / (1.0 - k * k), 3.0 / (1.0 - k * k).sqrt());
    let area = up * across * (0.5 * PI - k.asin() - k * (1.0 - k * k).sqrt());
    assert!((seen(3.0, k) - area).abs() < 1e-10);
}
