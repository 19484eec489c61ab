//! The lines and words of a drawing as entities of the model space.

use super::super::contour::{Contour, Shape};
use super::super::group::Group;
use super::super::number::{length, ratio};
use super::super::sheet::{Rule, Words};
use super::super::stroke::{Place, Stroke};
use super::handle::MODEL_SPACE;
use super::tags::{Tags, escaped};

pub(super) fn entities(t: &mut Tags, groups: &[Group<'_>]) {
    for group in groups {
        let name = &group.name;
        group.shapes.iter().for_each(|s| line(t, name, s));
        group.rules.iter().for_each(|r| rule(t, name, r));
        group.words.iter().for_each(|w| words(t, name, w));
    }
}

fn begin<'a>(t: &'a mut Tags, kind: &str, layer: &str) -> &'a mut Tags {
    t.record(kind, MODEL_SPACE);
    t.put(100, "AcDbEntity").put(8, layer)
}

fn line(t: &mut Tags, layer: &str, shape: &Shape) {
    if let [Stroke::Circle { centre, radius }] = shape.contour.strokes.as_slice() {
        begin(t, "CIRCLE", layer).put(100, "AcDbCircle");
        t.place(10, *centre).mm(40, *radius);
        return;
    }
    let corners = corners(&shape.contour);
    begin(t, "LWPOLYLINE", layer).put(100, "AcDbPolyline");
    t.put(90, corners.len());
    // Dashes run on over the corners of a flattened spline (128); 1 is closed.
    t.put(70, 128 + u8::from(shape.contour.closed));
    for (at, bulge) in corners {
        t.flat_place(10, at);
        if bulge != 0.0 {
            t.put(42, ratio(bulge));
        }
    }
}

/// Corners with the bulge of the piece behind each: the tangent of a quarter of the angle turned,
/// positive counter-clockwise. Corners that print alike are one.
fn corners(contour: &Contour) -> Vec<(Place, f64)> {
    let mut all: Vec<(Place, f64)> = Vec::new();
    for stroke in &contour.strokes {
        match stroke {
            Stroke::Line(p, _) => all.push((*p, 0.0)),
            Stroke::Arc { turn, .. } => all.push((stroke.ends().0, (0.25 * turn).tan())),
            Stroke::Polyline(places) => {
                let inner = &places[..places.len().max(1) - 1];
                all.extend(inner.iter().map(|p| (*p, 0.0)));
            }
            // Stands alone, see `line`.
            Stroke::Circle { .. } => (),
        }
    }
    let last = contour.strokes.last().map(|s| s.ends().1);
    if let (false, Some(last)) = (contour.closed, last) {
        all.push((last, 0.0));
    }
    let printed = |p: Place| p.map(length);
    let mut kept: Vec<(Place, f64)> = Vec::new();
    for (at, bulge) in all {
        match kept.last_mut() {
            Some((before, straight)) if *straight == 0.0 && printed(*before) == printed(at) => {
                *straight = bulge;
            }
            _ => kept.push((at, bulge)),
        }
    }
    kept
}

fn rule(t: &mut Tags, layer: &str, rule: &Rule) {
    begin(t, "LINE", layer);
    if !rule.centre {
        // Beside the centre line of its layer.
        t.put(6, "Continuous");
    }
    t.put(100, "AcDbLine");
    t.place(10, rule.from).place(11, rule.to);
}

fn words(t: &mut Tags, layer: &str, words: &Words) {
    begin(t, "TEXT", layer).put(100, "AcDbText");
    t.place(10, words.at).mm(40, words.height);
    t.put(1, escaped(&words.text)).put(7, "Standard");
    t.put(100, "AcDbText");
}
