//! What makes a drawn section legal, by plain rules that have nothing to do with room `clear`.

use limberwood::chain::{End, EndFace, EndJoint, HalfForm, Outline, Pin, SectionForm, Side};

/// Wood left between any two features, mm.
pub const WALL: f64 = 1.0;

pub fn pin_fits(form: &SectionForm, pin: &Pin) -> bool {
    let reach = 0.5 * pin.slot + pin.radius;
    let free = [deep(&form.front), deep(&form.rear)];
    if pin.x - reach - WALL < free[0] || pin.x + reach + WALL > form.length - free[1] {
        return false;
    }
    let apart = |other: &Pin| {
        let along = (pin.x - other.x).abs() - 0.5 * (pin.slot + other.slot);
        let across = (pin.y - other.y).abs();
        along.max(0.0).hypot(across) > pin.radius + other.radius + WALL
    };
    form.pins.iter().all(apart)
        && [Side::Upper, Side::Lower].iter().all(|&side| {
            let half = HalfForm::of(form, side);
            let outline = Outline::of(&half);
            let depth = match side {
                Side::Upper => pin.depth_above,
                Side::Lower => pin.depth_below,
            };
            (0..=8).all(|i| {
                let x = pin.x + (reach + WALL) * (f64::from(i) / 4.0 - 1.0);
                let (w, h) = inside(&half, &outline, x);
                let (y, z) = (pin.y.abs() + pin.radius + WALL, depth + WALL);
                (y / w).powi(2) + (z / h).powi(2) < 1.0
            })
        })
}

fn deep(end: &End) -> f64 {
    match end.joint {
        EndJoint::Socket(s) => s.depth + s.radius,
        _ => 1.0,
    }
}

/// Half axes of an ellipse that lies inside the body at x: the lean takes at most 2.5 times its
/// tangent per height (derived: plan slopes up to 1).
pub fn inside(half: &HalfForm, outline: &Outline, x: f64) -> (f64, f64) {
    let v = outline.at(outline.u_of_x(x)).0;
    (v[1] - 2.5 * half.lean.tan() * v[2], v[2])
}

/// Slopes are moderate, and each joint's circles lie inside the body.
pub fn keeps_clear(form: &SectionForm) -> bool {
    [Side::Upper, Side::Lower].iter().all(|&side| {
        let half = HalfForm::of(form, side);
        half.stations
            .iter()
            .all(|s| s.half_width > form.rim * form.lean.tan() + 0.2 && s.height >= form.rim + 0.5)
            && moderate(&half)
            && deep(&form.front) + deep(&form.rear) + WALL < form.length
            && socket_inside(&half, &form.front, |along| along)
            && socket_inside(&half, &form.rear, |along| form.length - along)
            && ends_hold(&half)
    })
}

/// Plan and height rise by at most 1 in 1 but next to a closed end.
fn moderate(half: &HalfForm) -> bool {
    let last = half.stations.len() - 2;
    half.stations.windows(2).enumerate().all(|(k, p)| {
        let closed = (k == 0 && half.front.face == EndFace::Closed)
            || (k == last && half.rear.face == EndFace::Closed);
        let run = p[1].x - p[0].x;
        let rise = (p[1].half_width - p[0].half_width)
            .abs()
            .max((p[1].height - p[0].height).abs());
        // A tip is neither higher nor squarer than what it leads to: sections grow from it.
        let (tip, next) = if k == 0 { (p[0], p[1]) } else { (p[1], p[0]) };
        (!closed
            || tip.height < next.height
                && tip.half_width < next.half_width
                && tip.squareness <= next.squareness)
            && run >= 3.0
            && rise <= if closed { 2.5 } else { 0.7 } * run
    })
}

/// Socket and flare circles against the inner ellipse. `x` is the place at a depth.
fn socket_inside(half: &HalfForm, end: &End, x: impl Fn(f64) -> f64) -> bool {
    let EndJoint::Socket(s) = end.joint else {
        return true;
    };
    let outline = Outline::of(half);
    let mouth = s.depth - (s.radius.powi(2) - s.mouth_radius.powi(2)).sqrt();
    (0..=60).all(|i| {
        let depth = (s.depth + s.radius) * f64::from(i) / 60.0;
        let circle = if depth < mouth {
            s.mouth_radius + (mouth - depth) * s.flare.tan()
        } else {
            (s.radius.powi(2) - (depth - s.depth).powi(2))
                .max(0.0)
                .sqrt()
        };
        // Inside a dome's own round zone the section is a circle, wide enough by its radius.
        let first = match end.face {
            EndFace::Domed { radius } => {
                s.depth - (radius.powi(2) - circle_of(half, end).powi(2)).sqrt()
            }
            _ => 0.0,
        };
        if depth < first {
            return true;
        }
        let (w, h) = inside(half, &outline, x(depth));
        circle + WALL < w.min(h)
    })
}

fn circle_of(half: &HalfForm, end: &End) -> f64 {
    if half.front == *end {
        half.stations[0].half_width
    } else {
        half.stations[half.stations.len() - 1].half_width
    }
}

/// The neck stands on the end's face.
fn ends_hold(half: &HalfForm) -> bool {
    let outline = Outline::of(half);
    [(&half.front, 0.0), (&half.rear, half.length)]
        .iter()
        .all(|(end, x)| match end.joint {
            EndJoint::Ball(b) => {
                let (w, h) = inside(half, &outline, *x);
                b.neck_radius + WALL < w.min(h)
            }
            _ => true,
        })
}
