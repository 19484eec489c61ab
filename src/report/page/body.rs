//! What stands on the page, from top to bottom.

use super::packed::base64;
use super::{CreaturePage, PageFinding, drawn};
use crate::diagnostic::Severity;
use crate::export::words::NOT_FOR_CUTTING;
use crate::export::xml::escape;
use crate::report::html::{classed, words};
use crate::units::mm_text;

/// The picture and its levers; all words of the design are put in by [`CreaturePage::figure`].
const FIGURE: &str = include_str!("figure.html");

impl CreaturePage {
    /// The body of the document.
    pub(super) fn body(&self) -> String {
        [
            self.front(),
            "<main>\n".to_owned(),
            self.figure(),
            "<div id=\"rest\">\n".to_owned(),
            self.rest(),
            "</div>\n</main>\n".to_owned(),
        ]
        .concat()
    }

    /// All under the picture.
    pub(super) fn rest(&self) -> String {
        [
            self.finding_lists(),
            self.joint_table(),
            self.fit_tables(),
            self.part_table(),
            self.machine_pages(),
            self.all_drawings(),
            self.caution_list(),
        ]
        .concat()
    }

    /// Name and the few numbers that matter.
    pub(super) fn front(&self) -> String {
        let whole = self.parts.iter().filter(|p| p.whole).count();
        let facts = [
            count(self.sections.len(), "section", "sections"),
            count(self.parts.len() - whole, "half", "halves"),
            count(whole, "whole section", "whole sections"),
            format!("{} long", mm_text(self.length.round())),
            format!("{:.0} g of {}", self.mass, self.species),
        ];
        let facts: Vec<&str> = facts.iter().map(String::as_str).collect();
        let facts: Vec<&str> = facts.into_iter().filter(|f| !f.is_empty()).collect();
        let mark = if self.bench_only {
            classed("p", "warn", NOT_FOR_CUTTING)
        } else {
            String::new()
        };
        format!(
            "<header id=\"front\">\n{}{}{mark}</header>\n",
            words("h1", &self.creature),
            classed("p", "facts", &facts.join(" · "))
        )
    }

    fn figure(&self) -> String {
        let alt = escape(&format!(
            "The jointed creature {} seen from the front, the left and above",
            self.creature
        ));
        FIGURE
            .replace("{{picture}}", &base64(&self.picture))
            .replace("{{alt}}", &alt)
    }

    fn finding_lists(&self) -> String {
        let open = |f: &PageFinding| f.severity != Severity::Note;
        let mut out = String::from("<section id=\"findings\">\n");
        out += &words("h2", "What the checks say");
        out += &classed("p", "verdict", &self.verdict);
        if !self.checked {
            return out + "</section>\n";
        }
        let mut number = 0;
        let mut grave = String::new();
        let (mut placed, mut other) = (String::new(), String::new());
        for finding in &self.findings {
            let place = finding.at.map(|_| {
                number += 1;
                number - 1
            });
            let line = line(finding, place);
            match (open(finding), place) {
                (true, _) => grave += &line,
                (false, Some(_)) => placed += &line,
                (false, None) => other += &line,
            }
        }
        if grave.is_empty() {
            out += &words(
                "p",
                "No check found anything that stands in the way of cutting.",
            );
        } else {
            out += &format!("<ol class=\"findings\">\n{grave}</ol>\n");
        }
        out += &folded("Measured places", &placed);
        out += &folded("Further notes", &other);
        out + "</section>\n"
    }

    fn all_drawings(&self) -> String {
        let mut out = String::from("<section id=\"drawings\">\n");
        out += &words("h2", "Drawings");
        out += &classed(
            "p",
            "note",
            "Each different part once, in both set-ups, as the cutter sees it from above. Front to the \
             left; not 1:1, measure by the bar.",
        );
        for part in &self.drawings {
            out += "<article class=\"drawing\">\n";
            out += &words("h3", &part.parts.join(", "));
            for (set_up, svg) in &part.set_ups {
                out += &format!(
                    "<figure>{}{}</figure>\n",
                    drawn(svg),
                    classed("figcaption", "set-up", set_up)
                );
            }
            out += "</article>\n";
        }
        out + "</section>\n"
    }

    fn caution_list(&self) -> String {
        let lines: String = self.cautions.iter().map(|c| words("li", c)).collect();
        format!("<section id=\"cautions\">\n<h2>Cautions</h2>\n<ul>\n{lines}</ul>\n</section>\n")
    }
}

/// A number of things; nothing of none.
fn count(n: usize, one: &str, many: &str) -> String {
    match n {
        0 => String::new(),
        1 => format!("1 {one}"),
        n => format!("{n} {many}"),
    }
}

/// A list under a line that opens it, with its length; nothing of an empty one.
fn folded(title: &str, lines: &str) -> String {
    let count = lines.matches("<li class").count();
    if count == 0 {
        return String::new();
    }
    format!(
        "<details><summary>{title} <span class=\"count\">{count}</span></summary>\n\
         <ol class=\"findings\">\n{lines}</ol>\n</details>\n"
    )
}

/// Words with what stands between backticks set apart.
pub(super) fn coded(text: &str) -> String {
    let parts = text.split('`').map(escape).enumerate();
    let tags = parts.map(|(k, part)| match k {
        0 => part,
        k if k % 2 == 1 => format!("<code>{part}"),
        _ => format!("</code>{part}"),
    });
    let closed = text.matches('`').count().is_multiple_of(2);
    tags.collect::<String>() + if closed { "" } else { "</code>" }
}

/// A finding; one with a place has a button that flies there.
fn line(finding: &PageFinding, place: Option<usize>) -> String {
    let check = escape(&finding.check);
    let mut text = format!("<b>{}</b> {}", finding.severity, coded(&finding.words));
    if let Some(reason) = &finding.accepted {
        text += &format!(" <i>Accepted: {}</i>", escape(reason));
    }
    if !finding.rows.is_empty() {
        let rows: String = finding.rows.iter().map(|r| words("li", r)).collect();
        text += &format!("<ul class=\"rows\">\n{rows}</ul>");
    }
    text += &format!(" <span class=\"check\">{check}</span>");
    let button = place.map_or(String::new(), |k| {
        format!("<button type=\"button\" class=\"show\" data-place=\"{k}\">Show</button>")
    });
    format!(
        "<li class=\"{}\"><div>{text}</div>{button}</li>\n",
        finding.severity
    )
}
