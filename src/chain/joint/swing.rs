//! How far a joint swings: closed forms about the centre that ball and socket share.
//!
//! Frame of a joint, in a plane through its axis: the origin is the socket's centre, x points
//! out of the mouth, r is the distance from the axis. All lengths mm, all angles radians.
//! Callers pass legal sizes (see [`super::check`]); nothing here refuses.
//!
//! The formulas are derived, no published source; the tests compare each with worked values and
//! with a search that knows none of them.

/// Ball, neck and the fillet between them: what swings inside the mouth. A body of revolution
/// about the neck's axis with its origin at the ball's centre.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stem {
    /// Ball radius R, mm.
    pub ball: f64,
    /// Neck radius n, below R, mm.
    pub neck: f64,
    /// Fillet radius f, 0 for none, mm.
    pub fillet: f64,
}

impl Stem {
    /// Distance xc along the neck from the ball's centre to the fillet's centre, where fillet
    /// and neck are tangent: sqrt((R+f)^2 - (n+f)^2). Without fillet: where neck meets ball.
    #[must_use]
    pub fn fillet_centre(&self) -> f64 {
        let (outer, inner) = (self.ball + self.fillet, self.neck + self.fillet);
        ((outer - inner) * (outer + inner)).sqrt()
    }

    /// The circle where fillet and ball are tangent: (distance along the neck, radius), the
    /// fillet's centre drawn towards the ball's by R / (R+f).
    #[must_use]
    pub fn fillet_on_ball(&self) -> (f64, f64) {
        let k = self.ball / (self.ball + self.fillet);
        (k * self.fillet_centre(), k * (self.neck + self.fillet))
    }

    /// The stem that is thicker by `by` all round, mm: ball and neck grow, the fillet keeps its
    /// centre and loses so much of its radius, until ball and neck meet in a corner.
    #[must_use]
    pub fn grown(&self, by: f64) -> Stem {
        Stem {
            ball: self.ball + by,
            neck: self.neck + by,
            fillet: (self.fillet - by).max(0.0),
        }
    }

    /// Angle between the neck's axis and the stem's surface at the distance `d` > R from the
    /// socket's centre, when the ball lies `aside` across the neck towards that surface.
    ///
    /// On the neck: asin((n + aside) / d). On the fillet, whose centre lies at (xc, n+f+aside),
    /// D away: atan((n+f+aside) / xc) - acos((d^2 + D^2 - f^2) / (2 d D)).
    #[must_use]
    pub fn half_angle(&self, d: f64, aside: f64) -> f64 {
        let neck = self.neck + aside;
        let xc = self.fillet_centre();
        if self.fillet <= 0.0 || neck >= d || (d - neck) * (d + neck) >= xc * xc {
            return (neck / d).min(1.0).asin();
        }
        let centre_r = neck + self.fillet;
        let centre = xc.hypot(centre_r);
        let cos = (d * d + centre * centre - self.fillet * self.fillet) / (2.0 * d * centre);
        centre_r.atan2(xc) - cos.min(1.0).acos()
    }
}

/// Formula 5.1: distance hm from the socket's centre to the plane of the mouth,
/// sqrt(Rs^2 - a^2).
#[must_use]
pub fn mouth_plane(socket: f64, mouth: f64) -> f64 {
    ((socket - mouth) * (socket + mouth)).sqrt()
}

/// Formula 5.2: half-angle psi of the mouth seen from the socket's centre, asin(a / Rs).
#[must_use]
pub fn mouth_half_angle(socket: f64, mouth: f64) -> f64 {
    (mouth / socket).asin()
}

/// Formula 5.3: swing to the contact of a plain neck with a sharp mouth edge,
/// asin(a / Rs) - asin(n / Rs).
#[must_use]
pub fn sharp_swing(socket: f64, mouth: f64, neck: f64) -> f64 {
    mouth_half_angle(socket, mouth) - (neck / socket).asin()
}

/// Formula 5.4: least and greatest of 5.3 when the ball lies `clearance` across the neck:
/// n + c and n - c in place of n.
#[must_use]
pub fn sharp_swing_aside(socket: f64, mouth: f64, neck: f64, clearance: f64) -> (f64, f64) {
    (
        sharp_swing(socket, mouth, neck + clearance),
        sharp_swing(socket, mouth, neck - clearance),
    )
}

/// Swing until a stem meets the circular edge through (x, r), coaxial with the socket; `aside`
/// as for [`Stem::half_angle`]. The general form of 5.3, 5.5 and 5.13.
#[must_use]
pub fn edge_swing(stem: &Stem, edge: (f64, f64), aside: f64) -> f64 {
    let (x, r) = edge;
    r.atan2(x) - stem.half_angle(x.hypot(r), aside)
}

/// Formula 5.5: swing of a plain neck in a mouth with a straight lip of thickness `lip`,
/// whose edge lies at (hm + lip, a).
#[must_use]
pub fn lip_swing(socket: f64, mouth: f64, neck: f64, lip: f64) -> f64 {
    let x = mouth_plane(socket, mouth) + lip;
    mouth.atan2(x) - (neck / x.hypot(mouth)).asin()
}

/// Formulas 5.3 and 5.13: swing of a stem to the edge of the mouth,
/// psi - (angle of the stem at the distance Rs).
#[must_use]
pub fn mouth_swing(stem: &Stem, clearance: f64, mouth: f64) -> f64 {
    let socket = stem.ball + clearance;
    mouth_half_angle(socket, mouth) - stem.half_angle(socket, 0.0)
}

/// Formula 5.11: mouth radius for a wanted swing, Rs sin(theta + angle of the stem at Rs).
/// `None` when the mouth would have to open wider than a half sphere.
#[must_use]
pub fn mouth_for_swing(stem: &Stem, clearance: f64, swing: f64) -> Option<f64> {
    let socket = stem.ball + clearance;
    let psi = swing + stem.half_angle(socket, 0.0);
    (psi < std::f64::consts::FRAC_PI_2).then(|| socket * psi.sin())
}

/// Formula 5.11 for the neck: radius n for a given mouth and swing. Plain: Rs sin(psi - theta).
/// On the fillet, the triangle of socket centre, contact point and fillet centre keeps its
/// three sides whatever the neck, so n + f = (R+f) sin(psi - theta + kappa), kappa its angle
/// at the socket's centre. `None` when the swing leaves no room for a neck.
#[must_use]
pub fn neck_for_swing(
    ball: f64,
    clearance: f64,
    mouth: f64,
    fillet: f64,
    swing: f64,
) -> Option<f64> {
    let socket = ball + clearance;
    let room = mouth_half_angle(socket, mouth) - swing;
    let plain = socket * room.sin();
    let outer = ball + fillet;
    let cos = (socket * socket + outer * outer - fillet * fillet) / (2.0 * socket * outer);
    let round = outer * (room + cos.min(1.0).acos()).sin() - fillet;
    let limits = |n: f64| {
        let stem = Stem {
            ball,
            neck: n,
            fillet,
        };
        (socket - n) * (socket + n) < stem.fillet_centre().powi(2)
    };
    let neck = if fillet > 0.0 && round > 0.0 && round < ball && limits(round) {
        round
    } else {
        plain
    };
    (neck > 0.0 && room > 0.0).then_some(neck)
}

/// Ball radius for given neck, mouth and swing, by halving (5.3 and 5.13 fall as the ball
/// grows). Without fillet the answer is Rs^2 = n^2 + ((a - n cos theta) / sin theta)^2.
/// `None` when no ball gives that swing; the answer may be smaller than the mouth, which then
/// does not hold the ball.
#[must_use]
pub fn ball_for_swing(
    neck: f64,
    clearance: f64,
    mouth: f64,
    fillet: f64,
    swing: f64,
) -> Option<f64> {
    let at = |ball: f64| {
        let stem = Stem { ball, neck, fillet };
        mouth_swing(&stem, clearance, mouth)
    };
    let (mut low, mut high) = ((mouth - clearance).max(neck), 1e4 * mouth);
    if swing > at(low) || swing < at(high) {
        return None;
    }
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if at(middle) > swing {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some(0.5 * (low + high))
}

/// Halvings of [`ball_for_swing`]: the interval, at most 10^4 mouth radii, falls below the
/// rounding noise of the answer.
const HALVINGS: u32 = 100;

#[cfg(test)]
pub(super) mod tests;
