//! A drawing as SVG 1.1 (W3C recommendation, second edition): one unit is 1 mm, y points down, so
//! every y changes its sign on the way out.

use std::fmt::Write;

use super::contour::{Contour, Shape};
use super::group::groups;
use super::number::length;
use super::sheet::{CENTRE, DASHES, LINE, Rule, Sheet, Words};
use super::stroke::{Place, Stroke};
use super::{Drawing, Title};
use crate::export::words::NOT_FOR_CUTTING;
use crate::export::xml::escape;

/// Height of a capital as a share of the em: about that of common fonts without serifs (from memory).
const CAPITAL: f64 = 0.72;

pub(super) fn write(drawing: &Drawing, title: &Title) -> Vec<u8> {
    let sheet = Sheet::of(drawing, title);
    let mut out = head(drawing, title, &sheet);
    for group in groups(drawing, &sheet) {
        let name = &group.name;
        out += &format!(
            "<g id=\"{}\" stroke=\"{}\"{}>\n<title>{name}</title>\n",
            id(name),
            group.layer.colour().1,
            dashed(group.far.then_some(DASHES))
        );
        group.shapes.iter().for_each(|s| out += &line(s));
        group.rules.iter().for_each(|r| out += &rule(r));
        group.words.iter().for_each(|w| out += &words(w));
        out += "</g>\n";
    }
    out += "</svg>\n";
    out.into_bytes()
}

fn head(drawing: &Drawing, title: &Title, sheet: &Sheet) -> String {
    let (low, high) = sheet.page;
    let (w, h) = (length(high[0] - low[0]), length(high[1] - low[1]));
    let mark = if title.bench_only {
        format!(", {NOT_FOR_CUTTING}")
    } else {
        String::new()
    };
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
         <svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" width=\"{w}mm\" \
         height=\"{h}mm\" viewBox=\"{} {} {w} {h}\" fill=\"none\" stroke-width=\"{LINE}\" \
         stroke-linejoin=\"round\">\n<title>{}</title>\n<desc>{}, unit mm, 1:1{mark}</desc>\n",
        length(low[0]),
        length(-high[1]),
        escape(&title.part),
        drawing.setup.word(drawing.whole)
    )
}

/// A layer's name as an XML name.
fn id(name: &str) -> String {
    let plain: String = name.chars().filter(|c| !"()".contains(*c)).collect();
    plain.replace(' ', "-")
}

fn at([x, y]: Place) -> String {
    format!("{} {}", length(x), length(-y))
}

fn line(shape: &Shape) -> String {
    if let [Stroke::Circle { centre, radius }] = shape.contour.strokes.as_slice() {
        return format!(
            "<circle cx=\"{}\" cy=\"{}\" r=\"{}\"/>\n",
            length(centre[0]),
            length(-centre[1]),
            length(*radius)
        );
    }
    format!("<path d=\"{}\"/>\n", path(&shape.contour))
}

fn path(contour: &Contour) -> String {
    let mut d = String::new();
    let first = contour.strokes.first().map(|s| s.ends().0);
    if let Some(first) = first {
        d += &format!("M{}", at(first));
    }
    for stroke in &contour.strokes {
        match stroke {
            Stroke::Line(_, end) => d += &format!(" L{}", at(*end)),
            Stroke::Polyline(places) => {
                for p in places.iter().skip(1) {
                    // Writing into a string cannot fail.
                    let _ = write!(d, " L{}", at(*p));
                }
            }
            Stroke::Arc { radius, turn, .. } => {
                let r = length(*radius);
                // Counter-clockwise is the negative sense where y points down.
                let sweep = u8::from(*turn < 0.0);
                for end in stroke.quarters() {
                    // Writing into a string cannot fail.
                    let _ = write!(d, " A{r} {r} 0 0 {sweep} {}", at(end));
                }
            }
            // Stands alone, see `line`.
            Stroke::Circle { .. } => (),
        }
    }
    if contour.closed {
        d += " Z";
    }
    d
}

fn rule(rule: &Rule) -> String {
    let dash = dashed(rule.centre.then_some(CENTRE));
    format!("<path d=\"M{} L{}\"{dash}/>\n", at(rule.from), at(rule.to))
}

/// The attribute of a line's dashes; nothing for a full line.
fn dashed(dashes: Option<&[f64]>) -> String {
    dashes.map_or(String::new(), |dashes| {
        let all: Vec<String> = dashes.iter().map(|d| length(*d)).collect();
        format!(" stroke-dasharray=\"{}\"", all.join(" "))
    })
}

/// Text is filled, not stroked. Its size is that of the em.
fn words(words: &Words) -> String {
    format!(
        "<text x=\"{}\" y=\"{}\" font-family=\"sans-serif\" font-size=\"{}\" fill=\"#000000\" \
         stroke=\"none\">{}</text>\n",
        length(words.at[0]),
        length(-words.at[1]),
        length(words.height / CAPITAL),
        escape(&words.text)
    )
}
