//! Joints before they are solved: what is written, what is to be found, and the ends they sit in.

use super::expand::Part;
use super::joints::{Between, all_keys, defaults, feel, given, own_joints, stands, wish};
use super::report::Report;
use super::roles::ends;
use super::{Ground, expand::expand};
use crate::chain::joint::budget::{Feel, Making};
use crate::chain::joint::{JointDefaults, JointKey, JointWish, SocketFace, solve};
use crate::chain::species::Walls;
use crate::diagnostic::Place;
use crate::params::written::{Design, Joint, Shop};

/// A joint of a chain as written.
#[derive(Debug, Clone, PartialEq)]
pub struct Seat {
    /// Name of the section in front of it.
    pub after: String,
    /// Index of that section.
    pub index: usize,
    /// Whether that section carries the ball.
    pub ball_in_front: bool,
    /// What is written as a value, general values scaled.
    pub wish: JointWish,
    /// Keys that are to be found: those that say `auto`, and with one of ball, neck, mouth and
    /// swing among them also those of the four that are left out.
    pub free: Vec<JointKey>,
    /// How it is meant to move, when that gives the clearance.
    pub feel: Option<Feel>,
    /// What stands in for keys that are left out.
    pub defaults: JointDefaults,
    /// Cutters, fits and wood as the budget of a joint reads them.
    pub making: Making,
    /// Thinnest walls of the wood.
    pub walls: Walls,
    /// Form of the end that holds the socket.
    pub face: SocketFace,
    /// Half width of that end as written, scaled, mm.
    pub end: f64,
    /// The least of half width and heights of that end, mm.
    pub room: f64,
    /// The least of the greatest half width and the greatest heights of the section with the socket.
    pub body: f64,
    /// Equal for joints of equal sections with the same keys.
    pub class: String,
    /// The first key that is to be found, else the record.
    pub place: Place,
}

impl Seat {
    /// Whether a key is to be found.
    #[must_use]
    pub fn finds(&self, key: JointKey) -> bool {
        self.free.contains(&key)
    }
}

/// All joints from front to rear; none when neighbours do not fit together, which resolving tells.
#[must_use]
pub fn seats(design: &Design, shop: &Shop) -> Vec<Seat> {
    let ground = Ground::of(design, shop, &[]);
    let parts = expand(design);
    let mut unsaid = Report::new(design.units.value.0, ground.bench);
    let Some(ends) = ends(&parts, &mut unsaid) else {
        return Vec::new();
    };
    let own = own_joints(&ground);
    (1..parts.len())
        .map(|k| seat(&ground, k - 1, &Between::of(&parts, &ends, k - 1, &own)))
        .collect()
}

fn seat(ground: &Ground<'_>, index: usize, between: &Between<'_, '_>) -> Seat {
    let design = ground.design;
    let (front, rear, own) = (between.front, between.rear, between.own);
    let (ball_in_front, face) = (between.ball_in_front, between.face);
    let socket = if ball_in_front { rear } else { front };
    let (scale, own_keys) = (between.scale(design), between.own_keys());
    let general = design.joint.as_ref().map(|g| &g.value);
    let mut wish = wish(&given(general, own_keys, scale));
    let (mut free, place) = free(&wish, general, own_keys);
    let defaults = defaults(ground, scale);
    if !JointKey::TIED.iter().any(|k| free.contains(k)) {
        match solve(&wish, &defaults, face) {
            Ok(solved) => {
                let joint = solved.joint;
                (wish.ball, wish.neck, wish.mouth) =
                    (Some(joint.ball), Some(joint.neck), Some(joint.mouth));
                wish.swing = None;
            }
            // The resolver says what is wrong with what is written.
            Err(_) => free.clear(),
        }
    }
    let (end, room, body) = sizes(socket, ball_in_front);
    let form = |p: &Part<'_>| {
        format!(
            "{}:{}:{} {}",
            p.place.file, p.place.line, p.place.column, p.scale
        )
    };
    let own_place = own.map(|o| (&o.place.file, o.place.line, o.place.column));
    Seat {
        after: front.name.clone(),
        index,
        ball_in_front,
        wish,
        free,
        feel: feel(general, own_keys),
        defaults,
        making: ground.making(),
        walls: ground.walls,
        face,
        end,
        room,
        body,
        class: match design.scale_joints.as_ref().map(|s| s.value) {
            Some(false) if own.is_none() => "all".to_owned(),
            _ => format!("{} {} {own_place:?}", form(front), form(rear)),
        },
        place: place.unwrap_or_else(|| design.place.clone()),
    }
}

/// What is to be found, and where that is said.
fn free(
    wish: &JointWish,
    general: Option<&Joint>,
    own: Option<&Joint>,
) -> (Vec<JointKey>, Option<Place>) {
    let mut keys = Vec::new();
    let mut place = None;
    for key in JointKey::ALL {
        let record = own.filter(|j| stands(j, key)).or(general);
        let said = record.map(all_keys).into_iter().flatten();
        let mut auto =
            said.filter(|&(k, value, place)| k == key && value.is_none() && place.is_some());
        if let Some((_, _, at)) = auto.next() {
            keys.push(key);
            place = place.or(at.cloned());
        }
    }
    if JointKey::TIED.iter().any(|k| keys.contains(k)) {
        let written = [wish.ball, wish.neck, wish.mouth, wish.swing];
        let left_out = JointKey::TIED
            .iter()
            .zip(written)
            .filter(|(_, w)| w.is_none());
        let more: Vec<JointKey> = left_out.map(|(&k, _)| k).collect();
        keys.extend(
            more.into_iter()
                .filter(|k| !keys.contains(k))
                .collect::<Vec<_>>(),
        );
    }
    (keys, place)
}

/// Half width and room of the end with the socket, and of the body.
fn sizes(socket: &Part<'_>, at_front: bool) -> (f64, f64, f64) {
    let none = Vec::new();
    let points = socket.keys.outline.map_or(&none, |k| &k.written.value);
    let size = |point: &crate::params::Located<crate::params::written::Point>| {
        let p = &point.value;
        let mm = |l: &crate::params::Located<crate::units::Length>| l.value.mm() * socket.scale;
        let above = p.above.as_ref().or(p.height.as_ref()).map_or(0.0, mm);
        let below = p.below.as_ref().or(p.height.as_ref()).map_or(0.0, mm);
        [mm(&p.half_width), above, below]
    };
    let end = if at_front {
        points.first()
    } else {
        points.last()
    };
    let [wide, above, below] = end.map_or([0.0; 3], size);
    let all = points.iter().map(size);
    let body = all.fold([0.0_f64; 3], |m, s| {
        [m[0].max(s[0]), m[1].max(s[1]), m[2].max(s[2])]
    });
    let least = |s: [f64; 3]| s[0].min(s[1]).min(s[2]);
    (wide, least([wide, above, below]), least(body))
}
