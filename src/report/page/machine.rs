//! The work at the machine: pieces of stock in both set-ups, and the tables of the shop sheet.

use super::tables::wide;
use super::{CreaturePage, drawn};
use crate::export::xml::escape;
use crate::report::html::{classed, words};
use crate::report::sheet::{Assembly, PieceSheet, ShopSheet, place};

impl CreaturePage {
    pub(super) fn machine_pages(&self) -> String {
        if !self.checked {
            return "<section id=\"machine\" hidden></section>\n".to_owned();
        }
        let mut out = String::from("<section id=\"machine\">\n");
        out += &words("h2", "At the machine");
        match &self.machine.sheet {
            Some(sheet) => out += &sheet_pages(sheet),
            None if self.machine.refused.is_empty() => return String::new(),
            None => {
                out += &words("p", "The parts find no place on the stock of the shop:");
                let lines = self.machine.refused.iter();
                let lines: String = lines.map(|line| words("li", line)).collect();
                out += &format!("<ul>\n{lines}</ul>\n");
            }
        }
        out + "</section>\n"
    }
}

fn sheet_pages(sheet: &ShopSheet) -> String {
    let mut out = classed(
        "p",
        "note",
        "One creature on the stock of the shop, as the cutter sees each piece from above. Front to the \
         left; not 1:1, measure by the bar. The command `blank` writes these pieces as solids and drawings, \
         and a sheet to print.",
    );
    out += &wide("Table of pieces of stock", &sheet.pieces_table());
    if !sheet.stations.is_empty() {
        out += &words("h3", "Work offsets to type in");
        out += &wide("Table of work offsets", &sheet.stations_table());
        let rounds = sheet.rounds.iter();
        let rounds: String = rounds.map(|r| words("li", &r.join("; "))).collect();
        out += &format!("<ol class=\"rounds\">\n{rounds}</ol>\n");
    }
    for both in sheet.pieces.chunks(2) {
        out += &piece(sheet, both);
    }
    out + &gluing(&sheet.assembly)
}

/// A piece in both set-ups: drawings side by side, then what the shop sheet says of each.
fn piece(sheet: &ShopSheet, set_ups: &[PieceSheet]) -> String {
    let mut out = String::from("<article class=\"drawing piece\">\n");
    out += &words("h3", &set_ups[0].name);
    out += &classed("p", "note", &set_ups[0].parts.join(", "));
    for own in set_ups {
        let (set_up, up, zero) = place(own);
        out += "<figure>";
        out += &drawn(&own.drawing);
        out += &format!(
            "<figcaption><b>{}</b> {up} {zero}</figcaption>\n",
            escape(set_up)
        );
        let cutters = own.cutters.iter();
        let cutters = cutters.map(|(job, name)| words("li", &format!("{job}: {name}")));
        let before = sheet.before(own).into_iter().map(|line| words("li", &line));
        out += &format!(
            "<details><summary>Cutters and checks before the start</summary>\n<ol>\n{}</ol>\n\
             <ul>\n{}{}</ul>\n</details>\n</figure>\n",
            cutters.collect::<String>(),
            before.collect::<String>(),
            words("li", &sheet.touch(own)),
        );
    }
    out + "</article>\n"
}

fn gluing(a: &Assembly) -> String {
    let mut out = words("h3", "Gluing, front to rear");
    let steps = a.steps_in_words();
    let steps: String = steps.iter().map(|line| words("li", line)).collect();
    out += &format!("<ul class=\"steps\">\n{steps}</ul>\n");
    out += &words("h3", "Pins to cut");
    out += &wide("Table of pins", &a.rods_table());
    out += &words("h3", "To measure");
    out += &wide("Table of sizes to measure", &a.gauges_table());
    a.advice
        .iter()
        .fold(out, |out, line| out + &classed("p", "note", line))
}
