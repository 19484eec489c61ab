//! HTML as text: escaped words, tables, lists, and a page that needs nothing from outside.

use crate::export::xml::escape;

/// Style of all pages: plain, dark on white, large enough for arm's length; every section begins a
/// printed page on A4 and on Letter, and one of a piece ends there: its drawing is lower than what its words
/// leave of a Letter page, 255 mm between the margins (tried in a browser).
const STYLE: &str = "\
@page { margin: 12mm }
* { box-sizing: border-box }
body { font: 11.5pt/1.35 Georgia, 'Times New Roman', serif; color: #111; background: #fff; margin: 0 auto; \
max-width: 186mm; padding: 4mm }
section { break-after: page; padding-bottom: 6mm }
section:last-of-type { break-after: auto }
h1 { font-size: 20pt; line-height: 1.15; margin: 0 0 2mm }
h2 { font-size: 13pt; margin: 3mm 0 1mm; break-after: avoid }
.up { font: 700 17pt/1.2 Arial, sans-serif; border: 1.2mm solid #111; padding: 1.5mm 4mm; margin: 2mm 0 3mm }
.zero { font-size: 14pt; line-height: 1.2; border-left: 2mm solid #111; padding-left: 4mm; margin: 2mm 0 }
.warn { font: 700 15pt/1.3 Arial, sans-serif; background: #111; color: #fff; padding: 2mm 4mm }
table { border-collapse: collapse; width: 100%; margin: 1mm 0 3mm }
th, td { border-bottom: .2mm solid #999; padding: .8mm 2mm; text-align: left; vertical-align: top }
th { font: 700 10pt/1.3 Arial, sans-serif }
tr, li { break-inside: avoid }
td.n { text-align: right; white-space: nowrap; font-variant-numeric: tabular-nums }
svg { width: 100%; max-height: 80mm; display: block; margin: 1mm 0; stroke-width: .45px }
ul.tick { list-style: none; padding: 0 0 0 7mm; margin: 1mm 0 }
ul.tick li { margin: .6mm 0 }
ul.tick li::before { content: '\\2610'; font-size: 14pt; line-height: 1; display: inline-block; width: 7mm; margin-left: -7mm }
.two { display: grid; grid-template-columns: 2fr 3fr; gap: 0 6mm }
.small { font-size: 10pt; line-height: 1.35 }
@media print { body { padding: 0; max-width: none } section { padding-bottom: 0 } }
@media screen { section { border-bottom: .4mm solid #999; margin-bottom: 8mm } }
";

/// A whole page. Its policy lets nothing load and no script run.
pub(super) fn page(title: &str, body: &str) -> String {
    format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <title>{}</title>\n<style>\n{STYLE}</style>\n</head>\n<body>\n{body}</body>\n</html>\n",
        escape(title)
    )
}

/// An element with words.
pub(super) fn words(tag: &str, text: &str) -> String {
    format!("<{tag}>{}</{tag}>\n", escape(text))
}

/// An element of a class with words.
pub(super) fn classed(tag: &str, class: &str, text: &str) -> String {
    format!("<{tag} class=\"{class}\">{}</{tag}>\n", escape(text))
}

/// A list of boxes to tick.
pub(super) fn ticks<S: AsRef<str>>(items: &[S]) -> String {
    let lines: String = items.iter().map(|i| words("li", i.as_ref())).collect();
    format!("<ul class=\"tick\">\n{lines}</ul>\n")
}

/// A table; cells of numbers stand to the right.
pub(super) fn table(heads: &[&str], rows: &[Vec<String>]) -> String {
    let head: String = heads
        .iter()
        .map(|h| format!("<th>{}</th>", escape(h)))
        .collect();
    let numeric = |text: &str| text.starts_with(|c: char| c.is_ascii_digit() || c == '-');
    let cell = |text: &String| {
        let class = if numeric(text) { " class=\"n\"" } else { "" };
        format!("<td{class}>{}</td>", escape(text))
    };
    let rows: String = rows
        .iter()
        .map(|row| format!("<tr>{}</tr>\n", row.iter().map(cell).collect::<String>()))
        .collect();
    format!("<table>\n<thead><tr>{head}</tr></thead>\n<tbody>\n{rows}</tbody>\n</table>\n")
}

/// A drawing to stand inside a page: without its declaration, and without the names of its groups,
/// which would come twice on a page.
pub(super) fn inline(svg: &str) -> String {
    let start = svg.find("<svg").unwrap_or(0);
    svg[start..].replace("<g id=\"", "<g class=\"")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_with_markup_come_out_as_text() {
        let page = page("<b>", &words("p", "<script>alert(1)</script>"));
        assert!(page.contains("<title>&lt;b&gt;</title>"));
        assert!(page.contains("<p>&lt;script&gt;") && !page.contains("<script>"));
    }

    #[test]
    fn numbers_stand_to_the_right_and_words_to_the_left() {
        let table = table(
            &["what", "mm"],
            &[vec!["ball".to_owned(), "20 mm".to_owned()]],
        );
        assert!(table.contains("<td>ball</td><td class=\"n\">20 mm</td>"));
    }
}
