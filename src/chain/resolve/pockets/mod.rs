//! What is cut into the glue face beside sockets and pin holes: chamfers at the holes' mouths,
//! glue grooves, marks. Each goes where it keeps its distances and is left out where it does not;
//! the exact distances of room `clear` judge what is left.

mod face;
mod groove;
mod mark;

use std::collections::BTreeMap;

use super::Ground;
use super::expand::Part;
use super::report::Report;
use crate::chain::feature::{Features, Groove, Mark};
use crate::chain::form::{SectionForm, Side};
use crate::diagnostic::Place;
use crate::params::value::Wanted;
use face::Face;

/// Width of a stroke and of a groove, mm, unless the cutter is thicker: 0.8 (common practice, no
/// source).
const WIDTH: f64 = 0.8;
/// From a socket's edge to its groove, mm (common practice, no source).
pub(super) const BESIDE_SOCKET: f64 = 1.5;
/// Wood between a groove or a chamfer and what lies next to it, mm (common practice, no source).
const RIB: f64 = 0.5;

/// What the shop and the design ask for.
#[derive(Debug, Clone, Copy)]
struct Wish {
    /// Width of strokes and grooves.
    width: f64,
    grooves: bool,
    marks: bool,
    chamfer: f64,
    /// Wood under an eye.
    wall: f64,
}

/// Cuts the pockets of all sections. Equal sections are built once and can be exchanged, so a
/// mark is the number of the first section of the chain that has the same form.
pub(super) fn cut(
    forms: &mut [SectionForm],
    parts: &[Part<'_>],
    ground: &Ground<'_>,
    report: &mut Report,
) {
    if ground.bench {
        return;
    }
    let wish = wish(ground, report);
    let mut known = BTreeMap::new();
    for (k, (form, part)) in forms.iter_mut().zip(parts).enumerate() {
        if form.whole {
            continue;
        }
        let key = form.form_key();
        let own = known
            .entry(key)
            .or_insert_with(|| pockets(form, ground.number(k), part, wish, report));
        let Features {
            grooves,
            marks,
            pin_chamfer,
            ..
        } = own;
        form.features.grooves.clone_from(grooves);
        form.features.marks.clone_from(marks);
        form.features.pin_chamfer = *pin_chamfer;
    }
}

/// How far automatic pins keep from a socket so that its groove and their chamfers fit between.
pub(super) fn beside_socket(ground: &Ground<'_>) -> f64 {
    if ground.bench || !wanted(ground.design.glue_groove.as_ref().map(|k| k.value)) {
        return 0.0;
    }
    let width = ground.shop.marks_cutter.map_or(0.0, |d| d.max(WIDTH));
    BESIDE_SOCKET + width + RIB + ground.shop.chamfer
}

fn wanted(written: Option<Wanted>) -> bool {
    written != Some(Wanted::Off)
}

fn wish(ground: &Ground<'_>, report: &mut Report) -> Wish {
    let (marks, grooves) = (&ground.design.marks, &ground.design.glue_groove);
    let (wants_marks, wants_grooves) = (
        wanted(marks.as_ref().map(|k| k.value)),
        wanted(grooves.as_ref().map(|k| k.value)),
    );
    if ground.shop.marks_cutter.is_none() && (wants_marks || wants_grooves) {
        no_cutter(&ground.design.name.place, report);
    }
    let there = ground.shop.marks_cutter.is_some();
    Wish {
        width: ground.shop.marks_cutter.map_or(WIDTH, |d| d.max(WIDTH)),
        grooves: wants_grooves && there,
        marks: wants_marks && there,
        chamfer: ground.shop.chamfer,
        wall: ground.walls.pin_floor,
    }
}

fn no_cutter(place: &Place, report: &mut Report) {
    report.advice(
        "no cutter for marks",
        place,
        "a shop without a cutter for the job `marks`: halves without numbers and without glue grooves",
        "a thin flat cutter, such as 1/32 in or 0.8 mm",
        "add one to the shop file, or write the numbers on the glue faces by pencil and say `marks: off` and `glue_groove: off`",
    );
}

/// The pockets of a section that has none.
fn pockets(
    form: &SectionForm,
    number: usize,
    part: &Part<'_>,
    wish: Wish,
    report: &mut Report,
) -> Features {
    let mut face = Face::of(form, wish.wall);
    let pin_chamfer = face.chamfer(wish.chamfer);
    let mut grooves: Vec<Groove> = Vec::new();
    if wish.grooves {
        for (k, name) in ["front", "rear"].into_iter().enumerate() {
            if face.sockets[k].is_none() {
                continue;
            }
            match groove::groove(&face, k, wish.width) {
                Some(groove) => grooves.push(groove),
                None => no_groove(name, part, wish.wall, report),
            }
        }
    }
    face.grooves = wish.width;
    let mut marks: Vec<Mark> = Vec::new();
    if wish.marks {
        for side in [Side::Upper, Side::Lower] {
            marks.extend(mark::mark(&face, side, number, wish.width));
        }
        if marks.len() < 2 {
            no_mark(number, part, wish, report);
        }
    }
    Features {
        grooves,
        marks,
        pin_chamfer,
        ..Features::default()
    }
}

fn no_groove(name: &str, part: &Part<'_>, wall: f64, report: &mut Report) {
    report.advice(
        &format!("no {name} groove"),
        part.place,
        format!(
            "no room for a glue groove round the {name} socket of `{}`",
            part.name
        ),
        format!(
            "{} of glue face between it and the outline, {} to pins{} (habit)",
            report.length(groove::GLUE),
            report.length(RIB),
            to_eyes(part, wall, report)
        ),
        "make the section wider beside the socket or move the pin, or write `glue_groove: off`",
    );
}

fn no_mark(number: usize, part: &Part<'_>, wish: Wish, report: &mut Report) {
    let (long, high) = mark::least_place(number, wish.width);
    report.advice(
        "no mark",
        part.place,
        format!(
            "no room for the mark `{number}` in the glue face of `{}`",
            part.name
        ),
        format!(
            "a free place of {} by {}, {} from joints and {} from edges{}",
            report.length(long),
            report.length(high),
            report.length(face::DRY),
            report.length(face::EDGE),
            to_eyes(part, wish.wall, report)
        ),
        "write the number by pencil, or `marks: off`",
    );
}

/// What an eye asks for, in a section that has any.
fn to_eyes(part: &Part<'_>, wall: f64, report: &Report) -> String {
    let eyes = part.keys.eyes.map_or(&[][..], |k| &k.written.value);
    if eyes.is_empty() {
        return String::new();
    }
    format!(", {} to eyes", report.length(wall))
}
