//! The joints of the chain: the general record, the one that differs, and what they give.

use std::collections::BTreeMap;

use super::expand::{Part, fold};
use super::findings;
use super::report::Report;
use super::roles::Ends;
use super::{Ground, findings::Given};
use crate::chain::joint::budget::{Feel, clearance_for};
use crate::chain::joint::{
    Joint, JointDefaults, JointKey, JointLimits, JointWish, Rule, SocketFace, solve,
};
use crate::diagnostic::Place;
use crate::params::Located;
use crate::params::value::{EndForm, Feel as Word, JointKind, OrAuto};
use crate::params::written;
use crate::units::{Angle, Length, angle_text};

/// A joint in its chain, as far as it could be solved.
#[derive(Debug, Clone)]
pub(super) struct Link<'a> {
    pub joint: Joint,
    /// The same as its solids are drawn.
    pub cut: Joint,
    /// Whether the section in front carries the ball.
    pub ball_in_front: bool,
    /// What is written about it.
    pub given: Vec<Given<'a>>,
    /// Where messages about it point when no key is to blame.
    pub place: &'a Place,
}

/// The joints that differ, by the name of the section in front.
pub(super) type Own<'a> = BTreeMap<String, &'a Located<written::JointOverride>>;

pub(super) fn own_joints<'a>(ground: &Ground<'a>) -> Own<'a> {
    let written = ground.design.joints.iter().flat_map(|list| &list.value);
    written
        .map(|joint| (fold(&joint.value.after.value.0), joint))
        .collect()
}

/// All joints from front to rear; `None` for one that is refused.
pub(super) fn links<'a>(
    ground: &Ground<'a>,
    parts: &[Part<'a>],
    ends: &[Ends],
    report: &mut Report,
) -> Vec<Option<Link<'a>>> {
    let own = own_joints(ground);
    (1..parts.len())
        .map(|k| link(ground, &Between::of(parts, ends, k - 1, &own), report))
        .collect()
}

/// What two neighbours say about the joint between them.
pub(super) struct Between<'p, 'a> {
    /// The section in front of it, and the one behind.
    pub front: &'p Part<'a>,
    pub rear: &'p Part<'a>,
    /// What is written for it alone.
    pub own: Option<&'a Located<written::JointOverride>>,
    pub ball_in_front: bool,
    /// Face of the end with the socket.
    pub face: SocketFace,
}

impl<'p, 'a> Between<'p, 'a> {
    /// Behind the section of this index.
    pub fn of(parts: &'p [Part<'a>], ends: &[Ends], index: usize, own: &Own<'a>) -> Self {
        let (front, rear) = (&parts[index], &parts[index + 1]);
        let ball_in_front = ends[index].rear.0 == JointKind::Ball;
        let face = if ball_in_front {
            ends[index + 1].front.1
        } else {
            ends[index].rear.1
        };
        Between {
            front,
            rear,
            own: own.get(&fold(&front.name)).copied(),
            ball_in_front,
            face: match face {
                EndForm::Domed => SocketFace::Domed,
                _ => SocketFace::Flat,
            },
        }
    }

    /// Scale of what is written for all joints: that of the section with the ball, if joints follow.
    pub fn scale(&self, design: &written::Design) -> f64 {
        let ball = if self.ball_in_front {
            self.front
        } else {
            self.rear
        };
        let follows = design.scale_joints.as_ref().is_some_and(|s| s.value);
        if follows { ball.scale } else { 1.0 }
    }

    /// The keys that are written for it alone.
    pub fn own_keys(&self) -> Option<&'a written::Joint> {
        self.own.map(|own| &own.value.joint)
    }
}

fn link<'a>(ground: &Ground<'a>, seat: &Between<'_, 'a>, report: &mut Report) -> Option<Link<'a>> {
    let design = ground.design;
    let general = design.joint.as_ref();
    let place = general.map_or(&design.place, |g| &g.place);
    let place = seat.own.map_or(place, |own| &own.place);
    let (scale, own) = (seat.scale(design), seat.own_keys());
    let given = given(general.map(|g| &g.value), own, scale);
    let subject = findings::Subject {
        after: &seat.front.name,
        given: &given,
        place,
    };
    let mut wish = wish(&given);
    let defaults = defaults(ground, scale);
    let feel = feel(general.map(|g| &g.value), own);
    if let Some(feel) = feel {
        felt(&mut wish, feel, ground, &defaults, seat.face);
    }
    let solved = solve(&wish, &defaults, seat.face);
    let (joint, found) = match solved {
        Ok(solved) => (Some(solved.joint), solved.warnings),
        Err(found) => (None, found),
    };
    // A clearance that a feel gives is meant so, and one that a coupon showed to fit is not odd.
    let measured = ground.measured();
    let fits = feel.is_some() || joint.is_some_and(|j| measured.fits(j.clearance));
    let told = found
        .iter()
        .filter(|f| !fits || f.rule != Rule::OddClearance);
    for finding in told {
        findings::say(finding, &subject, report);
    }
    let joint = joint?;
    let cut = joint.cut(&measured);
    if cut.mouth >= cut.ball
        || cut.neck >= cut.mouth - cut.clearance.max(0.0)
        || cut.clearance <= 0.0
        || JointLimits::of(&cut, 0.0).swing_aside <= 0.0
    {
        if cut == joint {
            no_swing_aside(&joint, &subject, report);
        } else {
            not_drawn(&joint, &cut, &subject, report);
        }
        return None;
    }
    Some(Link {
        joint,
        cut,
        ball_in_front: seat.ball_in_front,
        given,
        place,
    })
}

/// A joint that is sound as wanted, but not as its solids would be drawn.
fn not_drawn(joint: &Joint, cut: &Joint, subject: &findings::Subject<'_, '_>, report: &mut Report) {
    let sizes = |j: &Joint| {
        let all = [2.0 * j.ball, 2.0 * j.socket()].map(|d| report.length(d));
        all.join(" and ")
    };
    let found = format!(
        "ball and socket drawn {} wide instead of {} by the shop's record, at the joint after `{}`",
        sizes(cut),
        sizes(joint),
        subject.after
    );
    report.error(
        "measured",
        subject.place,
        found,
        "a ball wider than the mouth and narrower than the socket, and a neck that passes the mouth and swings in it",
        "make the mouth narrower, or look at `measured` in the shop file",
    );
}

/// A joint that swings about the middle of its socket alone.
fn no_swing_aside(joint: &Joint, subject: &findings::Subject<'_, '_>, report: &mut Report) {
    let found = format!(
        "a swing of {} at the joint after `{}`, none of which is left when the ball lies aside by its \
         clearance of {}",
        angle_text(Angle::from_radians(joint.swing)),
        subject.after,
        report.length(joint.clearance)
    );
    report.error(
        "swing",
        subject.place,
        found,
        "a swing that is left when the ball lies aside",
        "make the mouth wider or the swing larger, the neck thinner, or the clearance smaller",
    );
}

/// What the joint is to feel like, when no clearance of its own stands against the general feel.
pub(super) fn feel(general: Option<&written::Joint>, own: Option<&written::Joint>) -> Option<Feel> {
    let of = |joint: Option<&written::Joint>| joint.and_then(|j| j.feel.as_ref()).map(|f| f.value);
    let written = |j: &written::Joint| {
        j.clearance
            .as_ref()
            .is_some_and(|c| c.value.given().is_some())
    };
    let own_clearance = own.is_some_and(written);
    let word = of(own).or_else(|| of(general).filter(|_| !own_clearance))?;
    Some(match word {
        Word::Stiff => Feel::Stiff,
        Word::Easy => Feel::Easy,
        Word::Loose => Feel::Loose,
    })
}

/// Puts the clearance of a feel into the wishes. Ball and swing enter the losses and may follow from
/// the clearance, so it is solved a few times; what cannot be solved is told later.
fn felt(
    wish: &mut JointWish,
    feel: Feel,
    ground: &Ground<'_>,
    defaults: &JointDefaults,
    face: SocketFace,
) {
    wish.clearance = None;
    let making = ground.making();
    for _ in 0..4 {
        let Ok(solved) = solve(wish, defaults, face) else {
            return;
        };
        let (ball, swing) = (solved.joint.ball, solved.joint.swing);
        wish.clearance = Some(clearance_for(feel, ball, swing, &making));
    }
}

pub(super) fn defaults(ground: &Ground<'_>, scale: f64) -> JointDefaults {
    let usual = JointDefaults::HARD_MAPLE;
    JointDefaults {
        ball: usual.ball * scale,
        neck: usual.neck * scale,
        clearance: ground.shop.clearance,
        land: ground.walls.land,
        fillet: 1.1 * ground.shop.tip.max(ground.shop.relief_tip),
        least_neck: 0.5 * ground.least_neck,
        ..usual
    }
}

/// The written keys, those of the joint's own entry before the general ones. Ball, neck and
/// mouth of the general record follow the scale of their section; those of an own entry are
/// meant as they stand.
pub(super) fn given<'a>(
    general: Option<&'a written::Joint>,
    own: Option<&'a written::Joint>,
    scale: f64,
) -> Vec<Given<'a>> {
    let mut all: Vec<Given<'a>> = own.map(|j| keys_of(j, true)).unwrap_or_default();
    for mut key in general.map(|j| keys_of(j, false)).unwrap_or_default() {
        let felt = key.key == JointKey::Clearance && own.is_some_and(|j| j.feel.is_some());
        // An `auto` of the joint's own entry stands against a general value too.
        if felt || own.is_some_and(|j| stands(j, key.key)) {
            continue;
        }
        if matches!(key.key, JointKey::Ball | JointKey::Neck | JointKey::Mouth) {
            key.value *= scale;
        }
        all.push(key);
    }
    give_way(&mut all);
    all
}

/// Whether a key stands in a record, be it as `auto`.
pub(super) fn stands(joint: &written::Joint, key: JointKey) -> bool {
    let mut keys = all_keys(joint).into_iter();
    keys.any(|(k, _, place)| k == key && place.is_some())
}

/// Swing, mouth and neck bind each other. When all three are written and some of them for this
/// joint alone, a general one gives way: the swing first, then the mouth, then the neck.
fn give_way(all: &mut Vec<Given<'_>>) {
    let tied = [JointKey::Swing, JointKey::Mouth, JointKey::Neck];
    let find = |key: JointKey| all.iter().position(|g| g.key == key);
    let places: Vec<usize> = tied.into_iter().filter_map(find).collect();
    if places.len() == tied.len()
        && places.iter().any(|&i| all[i].own)
        && let Some(&general) = places.iter().find(|&&i| !all[i].own)
    {
        all.remove(general);
    }
}

/// Every key of a record: its value when it is written as one, and its place when it stands there.
type KeyOf<'a> = (JointKey, Option<f64>, Option<&'a Place>);

pub(super) fn all_keys(joint: &written::Joint) -> [KeyOf<'_>; 9] {
    fn length(written: &Option<Located<OrAuto<Length>>>) -> (Option<f64>, Option<&Place>) {
        let value = written.as_ref().and_then(|w| w.value.given());
        (value.map(Length::mm), written.as_ref().map(|w| &w.place))
    }
    fn angle(written: &Option<Located<OrAuto<Angle>>>) -> (Option<f64>, Option<&Place>) {
        let value = written.as_ref().and_then(|w| w.value.given());
        (
            value.map(Angle::radians),
            written.as_ref().map(|w| &w.place),
        )
    }
    let all = [
        (JointKey::Ball, length(&joint.ball)),
        (JointKey::Clearance, length(&joint.clearance)),
        (JointKey::Neck, length(&joint.neck)),
        (JointKey::Mouth, length(&joint.mouth)),
        (JointKey::Swing, angle(&joint.swing)),
        (JointKey::Flare, angle(&joint.flare)),
        (JointKey::Land, length(&joint.land)),
        (JointKey::Gap, length(&joint.gap)),
        (JointKey::Fillet, length(&joint.fillet)),
    ];
    all.map(|(key, (value, place))| {
        let radius = matches!(key, JointKey::Ball | JointKey::Neck | JointKey::Mouth);
        let part = if radius { 0.5 } else { 1.0 };
        (key, value.map(|v| part * v), place)
    })
}

fn keys_of(joint: &written::Joint, own: bool) -> Vec<Given<'_>> {
    let given = all_keys(joint)
        .into_iter()
        .filter_map(|(key, value, place)| {
            Some(Given {
                key,
                value: value?,
                place: place?,
                own,
            })
        });
    given.collect()
}

pub(super) fn wish(given: &[Given<'_>]) -> JointWish {
    let value = |key: JointKey| given.iter().find(|g| g.key == key).map(|g| g.value);
    JointWish {
        ball: value(JointKey::Ball),
        clearance: value(JointKey::Clearance),
        neck: value(JointKey::Neck),
        mouth: value(JointKey::Mouth),
        swing: value(JointKey::Swing),
        flare: value(JointKey::Flare),
        land: value(JointKey::Land),
        gap: value(JointKey::Gap),
        fillet: value(JointKey::Fillet),
    }
}
