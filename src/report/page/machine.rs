//! The work at the machine: pieces of stock in both set-ups, and the tables of the shop sheet.

use super::tables::wide;
use super::{CreaturePage, drawn};
use crate::export::xml::escape;
use crate::report::html::{classed, table, words};
use crate::report::sheet::{Assembly, PieceSheet, ShopSheet, both, place, size};
use crate::units::mm_text;

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
    out += &wide("Table of pieces of stock", &pieces(sheet));
    if !sheet.stations.is_empty() {
        out += &words("h3", "Work offsets to type in");
        out += &wide("Table of work offsets", &stations(sheet));
        let rounds = sheet.rounds.iter();
        let rounds: String = rounds.map(|r| words("li", &r.join("; "))).collect();
        out += &format!("<ol class=\"rounds\">\n{rounds}</ol>\n");
    }
    for both in sheet.pieces.chunks(2) {
        out += &piece(sheet, both);
    }
    out + &gluing(&sheet.assembly)
}

fn pieces(sheet: &ShopSheet) -> String {
    let first = sheet.pieces.iter().filter(|p| p.inside_up);
    let rows: Vec<Vec<String>> = first
        .map(|p| {
            vec![
                p.name.clone(),
                p.count.to_string(),
                p.stock.clone(),
                size(p.size),
                p.parts.len().to_string(),
            ]
        })
        .collect();
    let heads = [
        "piece",
        "how many",
        "stock",
        "length x width x thickness",
        "parts",
    ];
    table(&heads, &rows)
}

fn stations(sheet: &ShopSheet) -> String {
    let row = |s: &crate::report::StationRow| {
        let [x, y] = s.at.map(mm_text);
        vec![s.offset.clone(), s.name.clone(), s.set_up.clone(), x, y]
    };
    let rows: Vec<Vec<String>> = sheet.stations.iter().map(row).collect();
    let heads = ["offset", "station", "set-up", "machine x", "machine y"];
    table(&heads, &rows)
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
    let steps = a.steps.iter();
    let steps = steps.map(|s| words("li", &format!("{} {}: {}", s.number, s.name, s.words)));
    out += &format!("<ul class=\"steps\">\n{}</ul>\n", steps.collect::<String>());
    out += &words("h3", "Pins to cut");
    let rods = a.rods.iter();
    let rods: Vec<Vec<String>> = rods
        .map(|r| vec![both(r.diameter), mm_text(r.length), r.count.to_string()])
        .collect();
    out += &wide(
        "Table of pins",
        &table(&["rod", "length", "how many"], &rods),
    );
    out += &words("h3", "To measure");
    let gauges = a.gauges.iter();
    let gauges: Vec<Vec<String>> = gauges
        .map(|g| {
            let [least, most] = g.go.map(mm_text);
            let right = format!("{least} to {most}");
            vec![g.what.clone(), mm_text(g.nominal), right, g.off.clone()]
        })
        .collect();
    let heads = ["what", "designed", "right", "if not"];
    out += &wide("Table of sizes to measure", &table(&heads, &gauges));
    a.advice
        .iter()
        .fold(out, |out, line| out + &classed("p", "note", line))
}
