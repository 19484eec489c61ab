//! Nothing fits: by how much, and which single change would do.

use super::fill::attempt;
use super::group::Group;
use super::judge::{Block, Judged, Kind};
use super::search::Failed;
use crate::chain::Seat;
use crate::chain::joint::{JointKey, SWING_AGREEMENT, SWING_USUAL};
use crate::diagnostic::Diagnostic;
use crate::params::value::{CutterKind, Job, Name, OrAuto};
use crate::params::written::{Design, Joint, Shop};
use crate::params::{Located, SPECIES};
use crate::units::{Angle, Length, Unit, angle_text, length_text};

/// Name of the rule.
const RULE: &str = "no-joint";

/// Says of a group that nothing fits it.
pub(super) fn unfit(
    (written, shop): (&Design, &Shop),
    group: &Group<'_>,
    failed: &[Failed],
) -> Diagnostic {
    let seat = group.seats[0];
    let mut ways = Ways {
        shop,
        written,
        seat,
        failed,
        most: None,
    };
    ways.most = seat.wish.swing.and_then(|_| ways.widest());
    let (found, allowed) = match nearest(failed) {
        Some(near) => missed(near, seat, written.units.value.0),
        None => ways.no_candidate(),
    };
    let all = ways.all();
    let way_out = match all.is_empty() {
        true => "no single change that was tried would do: make the ends at the joint wider and \
                 higher, or the section longer"
            .to_owned(),
        false => format!("one of these would do: {}", all.join("; or ")),
    };
    Diagnostic::error(seat.place.clone(), found)
        .rule(RULE)
        .allowed(allowed)
        .way_out(way_out)
}

/// The failure that misses least.
fn nearest(failed: &[Failed]) -> Option<&Failed> {
    failed
        .iter()
        .min_by(|a, b| short_of(&a.judged).total_cmp(&short_of(&b.judged)))
}

/// The most that a candidate misses.
fn short_of(judged: &Judged) -> f64 {
    judged.blocks.iter().map(|b| b.short).fold(0.0, f64::max)
}

fn missed(near: &Failed, seat: &Seat, unit: Unit) -> (String, String) {
    let worst = near
        .judged
        .blocks
        .iter()
        .max_by(|a, b| a.short.total_cmp(&b.short));
    let one = &near.one;
    let text = |radius: f64| length_text(Length::from_mm(2.0 * radius), unit);
    let found = format!(
        "nothing fits at the joint after `{}`; nearest is ball {}, neck {}, mouth {}, where {}",
        seat.after,
        text(one.ball),
        text(one.neck),
        text(one.mouth),
        worst.map_or("", |b| b.message.found.as_str()),
    );
    (
        found,
        worst.map_or(String::new(), |b| b.message.allowed.clone()),
    )
}

/// What could be changed.
struct Ways<'a> {
    shop: &'a Shop,
    written: &'a Design,
    seat: &'a Seat,
    failed: &'a [Failed],
    /// The widest swing that fits, when a wider one is written.
    most: Option<f64>,
}

impl Ways<'_> {
    /// Closed forms leave no joint at all: the swing, or a written size.
    fn no_candidate(&self) -> (String, String) {
        let after = &self.seat.after;
        let angle = |radians| angle_text(Angle::from_radians(radians));
        if let (Some(wanted), Some(most)) = (self.seat.wish.swing, self.most) {
            let found = format!("a swing of {} at the joint after `{after}`", angle(wanted));
            let short = angle(wanted - most);
            return (found, format!("at most {}, {short} less", angle(most)));
        }
        let found = format!("nothing fits at the joint after `{after}`");
        let end = length_text(Length::from_mm(2.0 * self.seat.end), self.unit());
        let words = format!(
            "a ball with a usual neck, mouth and land in an end {end} wide: its written sizes leave none"
        );
        (found, words)
    }

    fn unit(&self) -> crate::units::Unit {
        self.written.units.value.0
    }

    /// Every single change that was tried and does.
    fn all(&self) -> Vec<String> {
        let mut all = Vec::new();
        let length = |mm: f64| {
            length_text(
                Length::from_mm((mm * 100.0 - 1e-6).ceil() / 100.0),
                self.unit(),
            )
        };
        if let Some(x) = self.least(Kind::Stock) {
            all.push(format!("stock thicker by {}", length(x)));
        }
        if let Some(x) = self.least(Kind::Wall) {
            all.push(format!(
                "walls thinner by {} than the habit: write the sizes and accept the warning",
                length(x)
            ));
        }
        all.extend(self.cutter());
        all.extend(self.species());
        all.extend(self.swing());
        all.extend(self.keys());
        all
    }

    /// By how much the best of those misses that miss nothing but limits of one kind.
    fn least(&self, kind: Kind) -> Option<f64> {
        let only = |f: &&Failed| f.judged.blocks.iter().all(|b: &Block| b.kind == kind);
        let alone = self.failed.iter().filter(only);
        let least = alone.map(|f| short_of(&f.judged)).reduce(f64::min);
        least.filter(|x| x.is_finite())
    }

    /// The swing of the joint that is found in another design or shop.
    fn does(&self, design: &Design, shop: &Shop) -> Option<f64> {
        attempt(design, shop, &self.seat.after).map(|one| one.swing)
    }

    /// The widest swing that fits, at most the written one: without a written swing up to the
    /// solver's own ceiling, beyond that by halving.
    fn widest(&self) -> Option<f64> {
        let free = self.does(&self.without(|j| j.swing.take().is_some()), self.shop)?;
        let wanted = self.seat.wish.swing?;
        if free < SWING_USUAL - SWING_AGREEMENT || wanted <= SWING_USUAL {
            return Some(free);
        }
        let (mut low, mut high) = (free, wanted);
        while high - low > 2.0 * SWING_AGREEMENT {
            let middle = 0.5 * (low + high);
            let asked = self.without(|joint| {
                if let Some(swing) = &mut joint.swing {
                    swing.value = OrAuto::Given(Angle::from_radians(middle));
                }
                true
            });
            match self.does(&asked, self.shop) {
                Some(swing) => low = swing.clamp(middle, high),
                None => high = middle,
            }
        }
        Some(low)
    }

    fn swing(&self) -> Option<String> {
        let most = self.most?;
        Some(format!(
            "a swing of {}",
            angle_text(Angle::from_radians(most))
        ))
    }

    /// The written design with something changed in each record that bears on the joint.
    fn without(&self, change: impl Fn(&mut Joint) -> bool) -> Design {
        let mut design = self.written.clone();
        if let Some(general) = &mut design.joint {
            change(&mut general.value);
        }
        let own = design.joints.as_mut().map(|list| &mut list.value);
        for entry in own.into_iter().flatten() {
            if entry.value.after.value.0.to_lowercase() == self.seat.after.to_lowercase() {
                change(&mut entry.value.joint);
            }
        }
        design
    }

    /// Written sizes that could be found instead.
    fn keys(&self) -> Vec<String> {
        let wish = &self.seat.wish;
        let keys = [
            (JointKey::Ball, wish.ball.is_some()),
            (JointKey::Neck, wish.neck.is_some()),
            (JointKey::Mouth, wish.mouth.is_some()),
            (JointKey::Land, !self.seat.finds(JointKey::Land)),
        ];
        let does = |key: JointKey| {
            let design = self.without(|joint| {
                let at = joint.place.clone();
                let auto = Some(Located::new(OrAuto::Auto, at));
                match key {
                    JointKey::Ball => joint.ball = auto,
                    JointKey::Neck => joint.neck = auto,
                    JointKey::Mouth => joint.mouth = auto,
                    _ => joint.land = auto,
                }
                true
            });
            self.does(&design, self.shop)
        };
        let keys = keys.into_iter().filter(|(_, written)| *written);
        let keys = keys.filter(|&(key, _)| does(key).is_some());
        keys.map(|(key, _)| format!("`{}: auto`", key.name()))
            .collect()
    }

    /// The first wood of each kind of habits that does.
    fn species(&self) -> Option<String> {
        let mut seen = Vec::new();
        for wood in &SPECIES {
            let habits = (
                crate::chain::Walls::of(wood),
                crate::chain::least_neck(wood),
            );
            if seen.contains(&habits) {
                continue;
            }
            seen.push(habits);
            let mut design = self.written.clone();
            let place = design.place.clone();
            design.species = Some(Located::new(Name(wood.name.to_owned()), place));
            if habits.0 != self.seat.walls && self.does(&design, self.shop).is_some() {
                return Some(format!("{} instead", wood.name));
            }
        }
        None
    }

    /// A straight finishing ball, or one half as thick.
    fn cutter(&self) -> Option<String> {
        let finish = |shop: &Shop| {
            let mut all = shop.cutters.value.iter();
            all.position(|c| c.value.jobs.value.iter().any(|j| j.value == Job::Finish))
        };
        let at = finish(self.shop)?;
        let mut straight = self.shop.clone();
        let cutter = &mut straight.cutters.value[at].value;
        if cutter.taper.take().is_some() && self.does(self.written, &straight).is_some() {
            return Some("a finishing cutter without taper".to_owned());
        }
        let mut thin = self.shop.clone();
        let cutter = &mut thin.cutters.value[at].value;
        if cutter.kind.value != CutterKind::Ball {
            return None;
        }
        let sold = cutter.measured.take().or(cutter.tip_diameter.take())?;
        let half = Length::from_mm(0.5 * sold.value.mm());
        cutter.tip_diameter = Some(Located::new(half, sold.place));
        let words = length_text(half, self.unit());
        self.does(self.written, &thin)
            .map(|_| format!("a finishing ball of {words}"))
    }
}
