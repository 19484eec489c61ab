//! A drawing as SVG 1.1 (W3C recommendation, second edition): one unit is 1 mm, y points down, so
//! every y changes its sign on the way out.

use std::fmt::Write;

use super::contour::{Contour, Shape};
use super::layer::Layer;
use super::number::length;
use super::sheet::{Rule, Sheet, Words};
use super::stroke::{Place, Stroke};
use super::{Drawing, Title};
use crate::export::words::NOT_FOR_CUTTING;

/// Width of lines, mm.
const LINE: &str = "0.2";
/// Dashes and gaps of lines on the far side, mm.
const FAR: &str = "1.8 1";
/// Those of the centre line.
const CENTRE: &str = "8 1.5 1 1.5";

pub(super) fn write(drawing: &Drawing, title: &Title) -> Vec<u8> {
    let sheet = Sheet::of(drawing, title);
    let mut out = head(drawing, title, &sheet);
    for (layer, far) in drawing.layers() {
        let name = layer.name(far);
        let dash = if far {
            format!(" stroke-dasharray=\"{FAR}\"")
        } else {
            String::new()
        };
        out += &format!(
            "<g id=\"{}\" stroke=\"{}\"{dash}>\n<title>{name}</title>\n",
            id(&name),
            layer.colour().1
        );
        for shape in drawing.on(layer, far) {
            out += &line(shape);
        }
        if !far {
            let own = sheet.rules.iter().filter(|r| r.layer == layer);
            own.for_each(|r| out += &rule(r));
        }
        if layer == Layer::Notes {
            sheet.words.iter().for_each(|w| out += &words(w));
        }
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
        escaped(&title.part),
        drawing.setup.word(title.whole)
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
        let end = at(stroke.ends().1);
        match stroke {
            Stroke::Line(..) => d += &format!(" L{end}"),
            Stroke::Polyline(places) => {
                for p in places.iter().skip(1) {
                    // Writing into a string cannot fail.
                    let _ = write!(d, " L{}", at(*p));
                }
            }
            Stroke::Arc { radius, turn, .. } => {
                let r = length(*radius);
                let large = u8::from(turn.abs() > std::f64::consts::PI);
                // Counter-clockwise is the negative sense where y points down.
                let sweep = u8::from(*turn < 0.0);
                d += &format!(" A{r} {r} 0 {large} {sweep} {end}");
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
    let dash = if rule.centre {
        format!(" stroke-dasharray=\"{CENTRE}\"")
    } else {
        String::new()
    };
    format!("<path d=\"M{} L{}\"{dash}/>\n", at(rule.from), at(rule.to))
}

/// Text is filled, not stroked. Its size is that of the em; a capital has about 0.72 of it.
fn words(words: &Words) -> String {
    format!(
        "<text x=\"{}\" y=\"{}\" font-family=\"sans-serif\" font-size=\"{}\" fill=\"#000000\" \
         stroke=\"none\">{}</text>\n",
        length(words.at[0]),
        length(-words.at[1]),
        length(words.height / 0.72),
        escaped(&words.text)
    )
}

/// Text for XML 1.0: markup escaped, characters that XML cannot hold replaced.
fn escaped(text: &str) -> String {
    let mut out = String::new();
    for c in text.chars() {
        match c {
            '&' => out += "&amp;",
            '<' => out += "&lt;",
            '>' => out += "&gt;",
            '"' => out += "&quot;",
            '\t' | '\n' | '\r' => out.push(' '),
            '\u{0}'..='\u{1f}' | '\u{fffe}' | '\u{ffff}' => out.push('\u{fffd}'),
            c => out.push(c),
        }
    }
    out
}
