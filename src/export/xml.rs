//! Text inside XML.

/// Text for element content and quoted attributes. Characters that XML 1.0 forbids (section 2.2)
/// become U+FFFD.
pub fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&apos;"),
            // Plain, they would be read as blanks.
            '\t' => out.push_str("&#9;"),
            '\n' => out.push_str("&#10;"),
            '\r' => out.push_str("&#13;"),
            _ if c < ' ' || matches!(c, '\u{FFFE}' | '\u{FFFF}') => out.push('\u{FFFD}'),
            _ => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::escape;

    #[test]
    fn markup_and_forbidden_characters() {
        // Source: XML 1.0, sections 2.2, 2.4 and 3.3.3.
        assert_eq!(
            escape("a<b & \"c\"'>"),
            "a&lt;b &amp; &quot;c&quot;&apos;&gt;"
        );
        assert_eq!(escape("\u{1}\n\u{FFFF}ü蛇"), "\u{FFFD}&#10;\u{FFFD}ü蛇");
    }
}
