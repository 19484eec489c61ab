//! What stands against a layout, in words.

use crate::blank::{BlankError, DowelError, Part, StationError};
use crate::chain::BlankRules;
use crate::diagnostic::{Diagnostic, Place};
use crate::units::{Length, Unit, length_text};

/// A fault of the layout as a message.
pub(super) fn words(
    error: &BlankError,
    parts: &[Part],
    rules: &BlankRules,
    unit: Unit,
) -> Diagnostic {
    let text = |mm: f64| length_text(Length::from_mm(mm), unit);
    let message = |place: &Place, found: String, allowed: String, way_out: &str| {
        let message = Diagnostic::error(place.clone(), found).rule("blank");
        message.allowed(allowed).way_out(way_out)
    };
    let name = |part: usize| parts[part].names[0].clone();
    match error {
        BlankError::Thin { part, most } => message(
            &parts[*part].place,
            format!(
                "{}: needs stock {} thick",
                name(*part),
                text(parts[*part].need)
            ),
            format!("at most {}, the thickest board of the shop", text(*most)),
            "make the body lower, or add a thicker board to the shop file",
        ),
        BlankError::NoSize(board) => message(
            &board.place,
            format!("stock `{}` without length and width", board.name),
            "both, of the pieces that lie on the machine".to_owned(),
            "measure one and write, for example, `length: 400 mm, width: 180 mm`",
        ),
        BlankError::Large {
            part,
            board,
            needs,
            free,
        } => message(
            &parts[*part].place,
            format!(
                "{}: its window takes {} x {}",
                name(*part),
                text(needs[0]),
                text(needs[1])
            ),
            format!(
                "at most {} x {}, what stock `{}` leaves between clamps",
                text(free[0]),
                text(free[1]),
                board.name
            ),
            "take larger pieces, or make `window`, `ends` or `sides` in the shop file smaller",
        ),
        BlankError::Station(e) => station(e, rules, unit),
        BlankError::Dowel(board, dowel) => match dowel {
            DowelError::ShortEnds(ends, least) => message(
                &board.place,
                format!("ends of {} for the dowels of the flip", text(*ends)),
                format!("at least {}: three times the wider hole", text(*least)),
                "make `ends` of `blank` in the shop file longer, or the dowels thinner",
            ),
            DowelError::Alike(rod) => message(
                &board.place,
                format!("both dowels of the flip {} thick", text(*rod)),
                "two sizes, so that the blank goes in one way only".to_owned(),
                "write two sizes for `front_dowel` and `rear_dowel` in the shop file",
            ),
        },
        BlankError::Narrow { window, cutter } => message(
            &Place::default(),
            format!("a window {} wide", text(*window)),
            format!("at least {}, the cutter that roughs", text(*cutter)),
            "make `window` of `fits` in the shop file wider, or rough with a thinner cutter",
        ),
    }
}

/// A fault of the stations as a message.
fn station(error: &StationError, rules: &BlankRules, unit: Unit) -> Diagnostic {
    let text = |mm: f64| length_text(Length::from_mm(mm), unit);
    let plan = |p: [f64; 2]| format!("{}, {}", text(p[0]), text(p[1]));
    let message = |place: &Place, found: String, allowed: String, way_out: &str| {
        let message = Diagnostic::error(place.clone(), found).rule("stations");
        message.allowed(allowed).way_out(way_out)
    };
    let stations = &rules.stations;
    match error {
        StationError::Off {
            station,
            corners,
            travel,
        } => message(
            &stations[*station].place,
            format!(
                "a piece at station `{}` reaches from {} to {}",
                stations[*station].name,
                plan(corners[0]),
                plan(corners[1])
            ),
            format!("from 0, 0 to {}, the machine's travel", plan(*travel)),
            "move the station, or take smaller pieces",
        ),
        StationError::Overlap {
            stations: [a, b],
            by,
        } => message(
            &stations[*b].place,
            format!(
                "a piece at station `{}` lies {} x {} over one at `{}`",
                stations[*b].name,
                text(by[0]),
                text(by[1]),
                stations[*a].name
            ),
            "pieces side by side".to_owned(),
            "move one of the two stations, or take smaller pieces",
        ),
        StationError::None { inside_up } => {
            let word = if *inside_up {
                "inside-up"
            } else {
                "outside-up"
            };
            message(
                &stations[0].place.whole_file(),
                format!("no station for the set-up `{word}`"),
                "at least one for each of the two set-ups".to_owned(),
                "add a station with that `set_up`, or leave `stations` out",
            )
        }
    }
}
