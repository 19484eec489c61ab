//! The page of a coupon: what to try, what to measure, and lines to write it down.

use super::html::{classed, table, ticks, words};
use crate::units::mm_text;

/// A line to write on.
const LINE: &str = "________";

/// What a coupon gives to try. Lengths in mm.
#[derive(Debug, Clone, PartialEq)]
pub struct TrialSheet {
    /// The joint, in words.
    pub joint: String,
    /// What to do, in order.
    pub steps: Vec<String>,
    /// Of each socket: number, clearance, diameter, wood over it.
    pub sockets: Vec<(usize, [f64; 3])>,
    /// Of each pin hole: number, diameter.
    pub holes: Vec<(usize, f64)>,
    /// What else to measure: what, and its size as it is to come out, where it is known.
    pub sizes: Vec<(String, Option<f64>)>,
    /// Samples that were left out, with the reason.
    pub left_out: Vec<String>,
    /// What comes next, a paragraph each.
    pub next: Vec<String>,
}

impl TrialSheet {
    /// The page; `rods` is its table of pins to cut.
    pub fn html(&self, coupon: &str, rods: &str) -> String {
        let mut out = String::from("<section>\n");
        out += &words("h1", &format!("{coupon}: to try and to measure"));
        out += &words("p", &self.joint);
        out += rods;
        out += &words("h2", "In this order");
        out += &ticks(&self.steps);
        for left_out in &self.left_out {
            out += &classed("p", "warn", &format!("Left out: {left_out}"));
        }
        out += "</section>\n<section>\n";
        out += &words("h1", &format!("{coupon}: what was found"));
        out += &words("h2", "Sockets");
        let socket = |&(number, [clearance, diameter, wall]): &(usize, [f64; 3])| {
            let sizes = [clearance, diameter, wall].map(mm_text);
            let blank = ["stuck / stiff / easy / loose", LINE].map(str::to_owned);
            let all = [vec![number.to_string()], sizes.to_vec(), blank.to_vec()];
            all.concat()
        };
        let rows: Vec<Vec<String>> = self.sockets.iter().map(socket).collect();
        out += &table(
            &[
                "number",
                "clearance",
                "diameter",
                "wood over it",
                "how it moves: circle one",
                "measured diameter",
            ],
            &rows,
        );
        out += &words("h2", "Pin holes");
        let hole = |&(number, diameter): &(usize, f64)| {
            let blank = ["yes / no", LINE].map(str::to_owned);
            [vec![number.to_string(), mm_text(diameter)], blank.to_vec()].concat()
        };
        let rows: Vec<Vec<String>> = self.holes.iter().map(hole).collect();
        out += &table(
            &[
                "number",
                "diameter",
                "takes the dowel by hand",
                "measured diameter",
            ],
            &rows,
        );
        out += &words("h2", "Sizes");
        let size = |(what, wanted): &(String, Option<f64>)| {
            let wanted = wanted.map_or_else(|| "as sold".to_owned(), mm_text);
            vec![what.clone(), wanted, LINE.to_owned()]
        };
        let rows: Vec<Vec<String>> = self.sizes.iter().map(size).collect();
        out += &table(&["what", "designed", "measured"], &rows);
        for paragraph in &self.next {
            out += &words("p", paragraph);
        }
        out + "</section>\n"
    }
}
