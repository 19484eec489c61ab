//! Tables and lists of the shop sheet, which the page of a creature shows too.

use super::html::table;
use super::sheet::{Assembly, ShopSheet, both, size};
use crate::units::mm_text;

impl ShopSheet {
    /// Pieces of stock: how many, from which stock, how large.
    pub(super) fn pieces_table(&self) -> String {
        let first = self.pieces.iter().filter(|p| p.inside_up);
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

    /// Work offsets to type in.
    pub(super) fn stations_table(&self) -> String {
        let rows = self.stations.iter().map(|s| {
            let [x, y] = s.at.map(mm_text);
            vec![s.offset.clone(), s.name.clone(), s.set_up.clone(), x, y]
        });
        let heads = ["offset", "station", "set-up", "machine x", "machine y"];
        table(&heads, &rows.collect::<Vec<_>>())
    }
}

impl Assembly {
    /// Order of gluing, a line for each section.
    pub(super) fn steps_in_words(&self) -> Vec<String> {
        let line = |s: &super::Step| format!("{} {}: {}", s.number, s.name, s.words);
        self.steps.iter().map(line).collect()
    }

    /// Pins to cut.
    pub(super) fn rods_table(&self) -> String {
        let rows = self
            .rods
            .iter()
            .map(|r| vec![both(r.diameter), mm_text(r.length), r.count.to_string()]);
        table(&["rod", "length", "how many"], &rows.collect::<Vec<_>>())
    }

    /// Sizes to measure.
    pub(super) fn gauges_table(&self) -> String {
        let rows = self.gauges.iter().map(|g| {
            let [least, most] = g.go.map(mm_text);
            let right = format!("{least} to {most}");
            vec![g.what.clone(), mm_text(g.nominal), right, g.off.clone()]
        });
        let heads = ["what", "designed", "right", "if not"];
        table(&heads, &rows.collect::<Vec<_>>())
    }
}
