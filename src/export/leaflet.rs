//! The text that goes first in an archive: what it is, and what to do before cutting.

use super::words::NOT_FOR_CUTTING;
use crate::check::cautions::CAUTIONS;
use std::fmt::Write;

/// Width of the text, in characters.
const WIDTH: usize = 78;

/// What the text says of a creature.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Leaflet {
    /// Name of the creature.
    pub creature: String,
    /// Who made it.
    pub author: String,
    /// Terms of use.
    pub licence: String,
    /// Whom else to name.
    pub credit: Option<String>,
    /// Wood.
    pub species: String,
    /// Boards that the parts were made for, each in words.
    pub boards: Vec<String>,
    /// Height of the tallest part over the split face or, of a whole section, through, in words.
    pub tallest: String,
    /// Name of the design file.
    pub design: String,
    /// Not for cutting.
    pub bench_only: bool,
}

impl Leaflet {
    /// The text: plain, in lines of at most 78 characters but for long names.
    pub fn text(&self) -> String {
        let mut out = String::new();
        let rule = "=".repeat(self.creature.chars().count().min(WIDTH));
        // Writing into a String cannot fail.
        let _ = write!(out, "{}\n{rule}\n\n", self.creature);
        if self.bench_only {
            let _ = write!(out, "{NOT_FOR_CUTTING}\n\n");
        }
        out.push_str("RE-FIT TO YOUR STOCK BEFORE CUTTING\n\n");
        for paragraph in self.fit() {
            wrap(&mut out, &paragraph, "", "");
            out.push('\n');
        }
        out.push_str("WHAT IS IN HERE\n\n");
        for (name, words) in self.contents() {
            wrap(&mut out, &words, &format!("{name:<22}"), &" ".repeat(22));
        }
        out.push_str("\nWHO MADE IT, AND ON WHICH TERMS\n\n");
        wrap(&mut out, &format!("Design: {}", self.author), "", "");
        if let Some(credit) = &self.credit {
            wrap(&mut out, &format!("With: {credit}"), "", "");
        }
        wrap(&mut out, &format!("Terms: {}", self.licence), "", "");
        out.push_str("\nCAUTIONS\n\n");
        for caution in CAUTIONS {
            wrap(&mut out, caution.text, "- ", "  ");
        }
        out
    }

    fn fit(&self) -> [String; 3] {
        let program = env!("CARGO_PKG_NAME");
        [
            format!(
                "These parts were made for {} and boards of {}. The tallest part is {} high. \
                 Cutters, thickness and moisture of your wood are yours: measure them first.",
                self.species,
                self.boards.join(", "),
                self.tallest
            ),
            format!(
                "If anything differs, make the parts again from {}: write your cutters and boards \
                 into a shop file and run: {program} make {} --shop my-shop.yaml",
                self.design, self.design
            ),
            "Without the program every file here opens in common ones; then keep the sizes as they \
             are: scaling a part also scales pins and the gap between ball and socket. Cut one \
             joint as a trial before the rest."
                .to_owned(),
        ]
    }

    fn contents(&self) -> Vec<(&str, String)> {
        let text = |t: &str| t.to_owned();
        vec![
            (
                &self.design,
                text("the design: every size in one text file"),
            ),
            ("picture.png", text("the creature")),
            (
                "parts/manifest.json",
                text("every part: files, sizes, place, mass"),
            ),
            (
                "parts/creature.step",
                text("all parts together, exact, in mm"),
            ),
            (
                "parts/creature.3mf",
                text("all parts side by side, meshes, in mm"),
            ),
            (
                "parts/NN-*",
                text(
                    "each part: finished, and held (with the tabs that keep it in the board), as \
                     STEP (exact) and STL (mesh); its outline with pin holes, 1:1 in mm, as DXF and \
                     SVG for each side up",
                ),
            ),
        ]
    }
}

/// Adds a paragraph in lines.
fn wrap(out: &mut String, text: &str, first: &str, next: &str) {
    let mut line = first.to_owned();
    let mut empty = true;
    for word in text.split_whitespace() {
        let long = line.chars().count() + 1 + word.chars().count() > WIDTH;
        if long && !empty {
            out.push_str(line.trim_end());
            out.push('\n');
            line = next.to_owned();
            empty = true;
        }
        if !empty {
            line.push(' ');
        }
        line.push_str(word);
        empty = false;
    }
    out.push_str(line.trim_end());
    out.push('\n');
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fitting_comes_first_and_all_is_said() {
        let leaflet = Leaflet {
            creature: "Newt".into(),
            author: "A. Maker".into(),
            licence: "CC0-1.0".into(),
            credit: Some("the club".into()),
            species: "beech".into(),
            boards: vec!["19.05 mm".into(), "38.1 mm".into()],
            tallest: "16.2 mm".into(),
            design: "newt.yaml".into(),
            bench_only: false,
        };
        let text = leaflet.text();
        let order = [
            "RE-FIT TO YOUR STOCK",
            "WHAT IS IN HERE",
            "A. Maker",
            "the club",
            "CC0-1.0",
            "CAUTIONS",
        ];
        let places: Vec<usize> = order.iter().map(|w| text.find(w).unwrap()).collect();
        assert!(places.is_sorted(), "{text}");
        assert!(text.contains("19.05 mm, 38.1 mm") && text.contains("16.2 mm"));
        assert!(text.lines().all(|l| l.chars().count() <= WIDTH), "{text}");
        assert!(!text.contains(NOT_FOR_CUTTING));
        let bench = Leaflet {
            bench_only: true,
            ..leaflet
        };
        assert!(bench.text().contains(NOT_FOR_CUTTING));
    }
}
