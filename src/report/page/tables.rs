//! Tables of joints and parts.

use super::body::coded;
use super::{CreaturePage, PagePart};
use crate::export::xml::escape;
use crate::report::html::{classed, table, words};
use crate::units::{Angle, angle_text, mm_text, short};

impl CreaturePage {
    pub(super) fn joint_table(&self) -> String {
        if self.joints.is_empty() {
            return String::new();
        }
        let rows: Vec<Vec<String>> = self
            .joints
            .iter()
            .map(|j| {
                let between = [j.after, j.after + 1].map(|s| self.sections[s].as_str());
                let [ball, neck, mouth] = j.diameters.map(mm_text);
                vec![
                    between.join(" – "),
                    degrees(j.limit),
                    j.stop.to_owned(),
                    ball,
                    mm_text(j.clearance),
                    neck,
                    mouth,
                    mm_text(j.capture),
                    mm_text(j.play),
                    mm_text(j.gap),
                ]
            })
            .collect();
        let heads = [
            "between",
            "bends by",
            "stopped by",
            "ball",
            "clearance",
            "neck",
            "mouth",
            "held by",
            "play",
            "gap",
        ];
        format!(
            "<section id=\"joints\">\n{}{}{}</section>\n",
            words("h2", "Joints"),
            classed(
                "p",
                "note",
                "Ball, neck and mouth are diameters, clearance is radial. A joint bends by its angle in \
                 any direction.",
            ),
            wide("Table of joints", &table(&heads, &rows))
        )
    }

    /// What is left of each clearance, row by row; equal joints share a table.
    pub(super) fn fit_tables(&self) -> String {
        if self.fits.is_empty() {
            return "<section id=\"fits\" hidden></section>\n".to_owned();
        }
        let mut out = String::from("<section id=\"fits\">\n");
        out += &words("h2", "What is left of the clearance");
        out += &classed(
            "p",
            "note",
            "Cutting, gluing, seasons and finish take from it: all at once in the worst case, and as they \
             are likely to come together.",
        );
        let heads = ["", "worst", "likely", "from"];
        for fit in &self.fits {
            out += &format!("<h3>{}</h3>\n", coded(&fit.joints.join(", ")));
            let rows: Vec<Vec<String>> = fit.rows.iter().map(|row| row.to_vec()).collect();
            out += &wide("Table of a clearance", &table(&heads, &rows));
        }
        out + "</section>\n"
    }

    pub(super) fn part_table(&self) -> String {
        let rows: String = self.parts.iter().enumerate().map(row).collect();
        format!(
            "<section id=\"parts\">\n{}<div class=\"wide\" tabindex=\"0\" role=\"region\" \
             aria-label=\"Table of parts\">\n<table>\n<thead><tr><th>shown</th><th>part</th>\
             <th>length</th><th>width</th><th>height</th><th>mass</th></tr></thead>\n\
             <tbody>\n{rows}</tbody>\n</table>\n</div>\n</section>\n",
            words("h2", "Parts")
        )
    }
}

/// A table that scrolls by itself where the screen is narrow.
pub(super) fn wide(name: &str, table: &str) -> String {
    format!(
        "<div class=\"wide\" tabindex=\"0\" role=\"region\" aria-label=\"{name}\">\n{table}</div>\n"
    )
}

/// A part, with a box that shows or hides it and a button that picks it.
fn row((k, part): (usize, &PagePart)) -> String {
    let name = escape(&part.name);
    let sizes: String = part
        .size
        .iter()
        .map(|s| format!("<td class=\"n\">{}</td>", mm_text(*s)))
        .collect();
    format!(
        "<tr data-part=\"{k}\"><td><input type=\"checkbox\" checked data-shown=\"{k}\" \
         aria-label=\"Show {name}\"></td><td><button type=\"button\" class=\"pick\" \
         data-pick=\"{k}\" aria-pressed=\"false\">{name}</button></td>{sizes}\
         <td class=\"n\">{} g</td></tr>\n",
        short(part.mass, 1)
    )
}

/// An angle to half a degree, with its sign.
fn degrees(radians: f64) -> String {
    angle_text(Angle::from_radians(radians)).replace(" deg", "°")
}
