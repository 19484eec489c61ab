//! What stands round the part in both formats: axis, datum, arrow, words and scale bar.

use super::contour::bounds;
use super::layer::Layer;
use super::stroke::Place;
use super::{Drawing, Title};
use crate::export::words::NOT_FOR_CUTTING;

/// Width of lines, mm (by eye).
pub(super) const LINE: f64 = 0.2;
/// Dashes and gaps in turn of lines on the far side, mm (by eye).
pub(super) const DASHES: &[f64] = &[1.8, 1.0];
/// Those of the centre line (by eye).
pub(super) const CENTRE: &[f64] = &[8.0, 1.5, 1.0, 1.5];
/// Length of the scale bar, mm (habit).
const BAR: f64 = 50.0;
/// Between ticks of the scale bar, mm (habit).
const TICK: f64 = 10.0;
/// Height of the ticks at the ends of the scale bar and of those between, mm (by eye).
const TICKS: (f64, f64) = (3.0, 1.5);
/// Height of small and of large letters, mm: two of the nominal sizes of ISO 3098 (from memory).
pub(super) const SMALL: f64 = 3.5;
const LARGE: f64 = 5.0;
/// Between lines of text, mm (by eye).
const LEADING: f64 = 2.5;
/// Width of a letter as a share of its height, on the wide side so that words stay on the sheet;
/// and that of letters beyond ASCII (habit).
const WIDTH: (f64, f64) = (0.7, 1.2);
/// Most letters of a part's name in the notes, in UTF-16 units: long names would make the sheet
/// wider, and a text of DXF R2000 has at most 255 characters, seven for each unit beyond ASCII.
const LETTERS: usize = 35;
/// Half the width of the datum's cross, mm (by eye).
const CROSS: f64 = 2.0;
/// How far the centre line stands out of the part in front and behind, mm (by eye).
const OUT: (f64, f64) = (3.0, 4.0);
/// Tail and tip of the arrow to the front, mm before the part, and the length and half the width
/// of its head (by eye).
const ARROW: (f64, f64) = (5.0, 16.0);
const HEAD: (f64, f64) = (4.0, 1.5);
/// From the axis to the word over the arrow, from the part down to the notes, from these to the
/// scale bar, and from the bar to its word, mm (by eye).
const OVER_ARROW: f64 = 3.0;
const BELOW_PART: f64 = 4.0;
const BELOW_NOTES: f64 = 8.0;
const BESIDE_BAR: f64 = 2.0;
/// Empty border, mm (by eye).
const MARGIN: f64 = 5.0;

/// A straight line.
pub(super) struct Rule {
    pub layer: Layer,
    pub from: Place,
    pub to: Place,
    /// A centre line of dashes and dots.
    pub centre: bool,
}

/// A line of text.
pub(super) struct Words {
    /// Left end of the base line.
    pub at: Place,
    /// Height of a capital, mm.
    pub height: f64,
    pub text: String,
}

/// Everything round the part; words belong to the notes.
pub(super) struct Sheet {
    pub rules: Vec<Rule>,
    pub words: Vec<Words>,
    /// Lower left and upper right corner.
    pub page: (Place, Place),
}

impl Sheet {
    pub(super) fn of(drawing: &Drawing, title: &Title) -> Self {
        let mut sheet = Sheet {
            rules: Vec::new(),
            words: Vec::new(),
            page: ([0.0; 2], [0.0; 2]),
        };
        let boxes = drawing.shapes.iter().map(|s| s.contour.bounds());
        let datum = ([0.0; 2], [0.0; 2]);
        let all = boxes.chain([datum]).flat_map(|(low, high)| [low, high]);
        let (low, high) = bounds(all);
        sheet.axis(low[0], high[0]);
        let left = low[0] - ARROW.1;
        let bottom = sheet.notes(drawing, title, [left, low[1] - BELOW_PART]);
        sheet.bar([left, bottom - BELOW_NOTES]);
        let ends = sheet.rules.iter().flat_map(|r| [r.from, r.to]);
        let words = sheet.words.iter().flat_map(|w| {
            let across = w.at[0] + width(w);
            [w.at, [across, w.at[1] + w.height]]
        });
        let (low, high) = bounds(ends.chain(words).chain([low, high]));
        sheet.page = (low.map(|c| c - MARGIN), high.map(|c| c + MARGIN));
        sheet
    }

    fn rule(&mut self, layer: Layer, from: Place, to: Place) {
        self.rules.push(Rule {
            layer,
            from,
            to,
            centre: false,
        });
    }

    fn say(&mut self, at: Place, height: f64, text: &str) {
        self.words.push(Words {
            at,
            height,
            text: text.to_owned(),
        });
    }

    /// Centre line, a cross at the datum, and the arrow to the front before a part from x = `low`
    /// to x = `high`.
    fn axis(&mut self, low: f64, high: f64) {
        self.rules.push(Rule {
            layer: Layer::Axis,
            from: [low - OUT.0, 0.0],
            to: [high + OUT.1, 0.0],
            centre: true,
        });
        // Aslant: a flat end lies in the datum's upright.
        self.rule(Layer::Axis, [-CROSS, -CROSS], [CROSS, CROSS]);
        self.rule(Layer::Axis, [-CROSS, CROSS], [CROSS, -CROSS]);
        let tip = [low - ARROW.1, 0.0];
        self.rule(Layer::Axis, [low - ARROW.0, 0.0], tip);
        for side in [-HEAD.1, HEAD.1] {
            self.rule(Layer::Axis, tip, [tip[0] + HEAD.0, side]);
        }
        self.say([tip[0], OVER_ARROW], SMALL, "front");
    }

    /// Lines of text below a place; returns the last one's y.
    fn notes(&mut self, drawing: &Drawing, title: &Title, [x, y]: Place) -> f64 {
        let far = drawing.shapes.iter().any(|s| drawing.is_far(s));
        let mut lines = vec![
            (LARGE, shown(&title.part)),
            (
                SMALL,
                format!("{}, unit mm, 1:1", drawing.setup.word(drawing.whole)),
            ),
        ];
        if far {
            lines.push((SMALL, "dashed: on the far side".to_owned()));
        }
        if title.bench_only {
            lines.push((LARGE, NOT_FOR_CUTTING.to_owned()));
        }
        let mut y = y;
        lines.retain(|(_, text)| !text.is_empty());
        for (height, text) in lines {
            y -= height + LEADING;
            self.say([x, y], height, &text);
        }
        y
    }

    /// A scale bar whose line begins at a place.
    fn bar(&mut self, [x, y]: Place) {
        self.rule(Layer::Notes, [x, y], [x + BAR, y]);
        let count = (BAR / TICK) as u32;
        for k in 0..=count {
            let at = x + f64::from(k) * TICK;
            let end = k == 0 || k == count;
            let long = if end { TICKS.0 } else { TICKS.1 };
            self.rule(Layer::Notes, [at, y], [at, y + long]);
        }
        self.say([x + BAR + BESIDE_BAR, y], SMALL, &format!("{BAR} mm"));
    }
}

/// A name as the notes show it: one line, cut where it is long, without what XML cannot hold.
fn shown(name: &str) -> String {
    let plain = |c: char| match c {
        '\u{fffe}' | '\u{ffff}' => '\u{fffd}',
        c if c.is_control() => ' ',
        c => c,
    };
    let mut left = LETTERS;
    let mut text = String::new();
    for c in name.trim().chars().map(plain) {
        if c.len_utf16() > left {
            text.push('\u{2026}');
            break;
        }
        left -= c.len_utf16();
        text.push(c);
    }
    text
}

fn width(words: &Words) -> f64 {
    let letter = |c: char| if c.is_ascii() { WIDTH.0 } else { WIDTH.1 };
    words.height * words.text.chars().map(letter).sum::<f64>()
}
