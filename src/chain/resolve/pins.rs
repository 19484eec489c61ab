//! Half pins: written out, or placed where the wood allows.

use super::Ground;
use super::expand::Part;
use super::report::Report;
use super::skin::{Hole, Wood};
use crate::chain::form::{Pin, Side};
use crate::diagnostic::Place;
use crate::params::Located;
use crate::params::value::{Along, Pins};
use crate::params::written;

/// Depth of a hole in pin diameters: 1.5 wanted (1.5 to 2 where walls limit it), 0.75 at least
/// (common practice, no source).
const DEPTH: (f64, f64) = (0.75, 1.5);
/// Two pins stand at least this many hole diameters apart (common practice: 3 to 4).
const SPACING: f64 = 3.0;
/// The distances of two pins from their ends differ by this, mm, so that no half goes on end
/// for end (derived: more than slip and slot together).
const UNEQUAL: f64 = 3.0;
/// Steps in which places along a section are tried.
const PLACES: u32 = 40;

/// Where pins may stand.
#[derive(Clone)]
pub(super) struct Field {
    pub wood: Wood,
    pub length: f64,
    /// From the floor of a front socket, with its wall, to that of a rear one.
    pub free: (f64, f64),
    /// Whether the ball is in front.
    pub ball_in_front: bool,
}

/// The pins of a section.
pub(super) fn pins(
    part: &Part<'_>,
    field: &Field,
    ground: &Ground<'_>,
    report: &mut Report,
) -> Vec<Pin> {
    let (place, pins) = part.keys.pins.map_or((part.place, &Pins::Auto), |k| {
        (&k.written.place, &k.written.value)
    });
    match pins {
        Pins::List(list) => list
            .iter()
            .filter_map(|pin| written_pin(pin, part, field, ground, report))
            .collect(),
        Pins::Count(0) => {
            none(part, place, report);
            Vec::new()
        }
        Pins::Count(count) => roomy(field, ground, *count as usize).unwrap_or_else(|| {
            no_room(part, place, field, *count, report);
            Vec::new()
        }),
        Pins::Auto => roomy(field, ground, 2)
            .or_else(|| roomy(field, ground, 1))
            .unwrap_or_else(|| {
                none(part, place, report);
                Vec::new()
            }),
    }
}

/// Glue lets halves slide that no pin holds.
fn none(part: &Part<'_>, place: &Place, report: &mut Report) {
    report.advice(
        "no pin",
        place,
        format!("`{}` without a half pin", part.name),
        "one pin, better two: halves slide on wet glue",
        "make the section longer or higher, or the shop's dowel thinner",
    );
}

fn no_room(part: &Part<'_>, place: &Place, field: &Field, count: u32, report: &mut Report) {
    let free = (field.free.1 - field.free.0).max(0.0);
    report.error(
        "no room",
        place,
        format!("{count} half pins in `{}`", part.name),
        format!(
            "pins that keep their walls in the {} between sockets and ends",
            report.length(free)
        ),
        "write `pins: auto` or fewer, make the section longer, or the shop's dowel thinner",
    );
}

/// Places pins with room for a glue groove between them and the sockets, or else without.
fn roomy(field: &Field, ground: &Ground<'_>, count: usize) -> Option<Vec<Pin>> {
    let more = (super::pockets::beside_socket(ground) - ground.walls.skin).max(0.0);
    let inset = |at: f64, end: f64, more: f64| if at == end { at } else { at + more };
    let wide = Field {
        free: (
            inset(field.free.0, 0.0, more),
            inset(field.free.1, field.length, -more),
        ),
        ..field.clone()
    };
    placed(&wide, ground, count).or_else(|| placed(field, ground, count))
}

/// Places one or two pins; `None` when there is no room.
fn placed(field: &Field, ground: &Ground<'_>, count: usize) -> Option<Vec<Pin>> {
    let radius = 0.5 * (ground.shop.dowel + ground.shop.slip);
    let slot = if count > 1 { ground.shop.slot } else { 0.0 };
    let (from, to) = run(field, ground, radius, slot)?;
    let hole = |x: f64, slot: f64| {
        with_depths(
            field,
            ground,
            Hole {
                x,
                y: 0.0,
                radius,
                slot,
            },
        )
    };
    if count < 2 {
        return Some(vec![hole(tenth(0.5 * (from + to)), 0.0)?]);
    }
    let (front, rear) = apart(from, to, field.length, SPACING * 2.0 * radius)?;
    // The round one near the ball, where a step between the halves matters most.
    let (a, b) = if field.ball_in_front {
        (0.0, slot)
    } else {
        (slot, 0.0)
    };
    Some(vec![hole(front, a)?, hole(rear, b)?])
}

/// Two places at unequal distances from the ends.
fn apart(from: f64, to: f64, length: f64, spacing: f64) -> Option<(f64, f64)> {
    let (mut front, mut rear) = (from, to);
    let difference = front - (length - rear);
    if difference.abs() < UNEQUAL {
        if difference > 0.0 {
            front += UNEQUAL - difference;
        } else {
            rear -= UNEQUAL + difference;
        }
    }
    (rear - front >= spacing).then_some((front, rear))
}

/// The longest run of places where a hole of the least depth keeps its walls in both halves:
/// looked for in equal steps, its ends by halving.
fn run(field: &Field, ground: &Ground<'_>, radius: f64, slot: f64) -> Option<(f64, f64)> {
    let half = radius + 0.5 * slot;
    let (low, high) = (field.free.0 + half, field.free.1 - half);
    if low > high {
        return None;
    }
    let least = DEPTH.0 * ground.shop.dowel;
    let free = |x: f64| {
        let hole = Hole {
            x,
            y: 0.0,
            radius,
            slot,
        };
        [Side::Upper, Side::Lower]
            .into_iter()
            .all(|side| field.wood.takes(side, &hole, least, ground.walls.pin_floor))
    };
    let place = |k: u32| low + (high - low) * f64::from(k) / f64::from(PLACES);
    let mut best: Option<(u32, u32)> = None;
    let mut from: Option<u32> = None;
    for k in 0..=PLACES {
        if !free(place(k)) {
            from = None;
            continue;
        }
        let start = *from.get_or_insert(k);
        if best.is_none_or(|(a, b)| k - start > b - a) {
            best = Some((start, k));
        }
    }
    let (a, b) = best?;
    let front = a
        .checked_sub(1)
        .map_or(low, |k| edge(&free, place(a), place(k)));
    let rear = if b < PLACES {
        edge(&free, place(b), place(b + 1))
    } else {
        high
    };
    // Tenths inside the run.
    let (front, rear) = ((front * 10.0).ceil() / 10.0, (rear * 10.0).floor() / 10.0);
    (front <= rear).then_some((front, rear))
}

/// The last free place between a free one and one that is not, to 0.05 mm.
fn edge(free: &impl Fn(f64) -> bool, mut inside: f64, mut outside: f64) -> f64 {
    while (outside - inside).abs() > 0.05 {
        let middle = 0.5 * (inside + outside);
        if free(middle) {
            inside = middle;
        } else {
            outside = middle;
        }
    }
    inside
}

/// To 0.1 mm.
fn tenth(x: f64) -> f64 {
    (x * 10.0).round() / 10.0
}

/// Least and most depth of a hole, the most on tenths of a millimetre.
fn depths(ground: &Ground<'_>) -> (f64, f64) {
    let dowel = ground.shop.dowel;
    (DEPTH.0 * dowel, (DEPTH.1 * dowel * 10.0).floor() / 10.0)
}

fn with_depths(field: &Field, ground: &Ground<'_>, hole: Hole) -> Option<Pin> {
    let (least, most) = depths(ground);
    let deepest = |side| {
        field
            .wood
            .deepest(side, &hole, ground.walls.pin_floor, least, most)
    };
    Some(Pin {
        x: hole.x,
        y: hole.y,
        radius: hole.radius,
        slot: hole.slot,
        depth_above: deepest(Side::Upper)?,
        depth_below: deepest(Side::Lower)?,
    })
}

/// A pin as written; depths that are left out as for placed ones.
fn written_pin(
    pin: &Located<written::Pin>,
    part: &Part<'_>,
    field: &Field,
    ground: &Ground<'_>,
    report: &mut Report,
) -> Option<Pin> {
    let p = &pin.value;
    let x = match p.at.value {
        Along::Fraction(f) => f * field.length,
        Along::Length(l) => l.mm(),
    };
    let usual = ground.shop.dowel + ground.shop.slip;
    let radius = 0.5 * p.diameter.as_ref().map_or(usual, |d| d.value.mm());
    let hole = Hole {
        x,
        y: p.across.as_ref().map_or(0.0, |a| a.value.mm()),
        radius,
        slot: p.slot.as_ref().map_or(0.0, |s| s.value.mm()),
    };
    if !(0.0..=field.length).contains(&x) {
        report.error(
            "pin place",
            &p.at.place,
            format!("a pin at {} from the front", report.length(x)),
            format!(
                "a place in `{}`, {} long",
                part.name,
                report.length(field.length)
            ),
            "write a percentage, so that it follows the length",
        );
        return None;
    }
    let depth = |own: &Option<Located<crate::units::Length>>, side: Side| {
        let written = own.as_ref().or(p.depth.as_ref()).map(|d| d.value.mm());
        let (least, most) = depths(ground);
        written.or_else(|| {
            field
                .wood
                .deepest(side, &hole, ground.walls.pin_floor, least, most)
        })
    };
    let (above, below) = (
        depth(&p.depth_above, Side::Upper),
        depth(&p.depth_below, Side::Lower),
    );
    let (Some(depth_above), Some(depth_below)) = (above, below) else {
        report.error(
            "pin depth",
            &pin.place,
            format!("no room for a pin of this diameter in `{}`", part.name),
            format!(
                "{} of wood round and under the hole",
                report.length(ground.walls.pin_floor)
            ),
            "move it, make it thinner, or write its depths",
        );
        return None;
    };
    Some(Pin {
        x,
        y: hole.y,
        radius,
        slot: hole.slot,
        depth_above,
        depth_below,
    })
}
