//! Explicit tags (`!!int "3"`): the YAML reader drops them, so they are looked up in the text.

/// Length of a tag at most, in bytes, for the look backwards.
const LONGEST: usize = 128;

/// Whether a tag stands before the node that begins at this byte. A tag follows the start of
/// a line or one of `: - ? [ { ,`; in a comment or inside a text it is none.
pub(super) fn stands_before(source: &str, offset: usize) -> bool {
    let Some(before) = source.get(..offset) else {
        return false;
    };
    let before = before.trim_end_matches([' ', '\t', '\r', '\n']);
    if before.len() == offset
        || before.ends_with([',', ':', '-', '[', '{', '?', ']', '}', '"', '\''])
    {
        return false;
    }
    let mut start = before.len().saturating_sub(LONGEST);
    while !before.is_char_boundary(start) {
        start += 1;
    }
    let window = &before[start..];
    let Some(word) = window.rsplit([' ', '\t', '\r', '\n', ',', '[', '{']).next() else {
        return false;
    };
    if !word.starts_with('!') {
        return false;
    }
    let lead = &before[..before.len() - word.len()];
    let line_start = lead.rfind(['\n', '\r']).map_or(0, |i| i + 1);
    let line = &lead[line_start..];
    let comment = line.starts_with('#') || line.contains(" #") || line.contains("\t#");
    let lead = line.trim_end();
    !comment && (lead.is_empty() || lead.ends_with([':', '-', '?', '[', '{', ',']))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_tags_and_nothing_else() {
        for (source, node, tagged) in [
            ("a: !!int \"3\"", "\"3\"", true),
            ("a: !foo 3", "3", true),
            ("!!map\na: 3", "a:", true),
            ("a: !foo\n  b: 1", "b", true),
            ("- [!x 1]", "1", true),
            ("a: 3", "3", false),
            ("a: hi !x\nb: 2", "b", false),
            ("# see: !x\nb: 2", "b", false),
            ("a: \"hi !x\"\nb: 2", "b", false),
            ("a: [hi !x, c]", "c", false),
        ] {
            let offset = source.rfind(node).unwrap();
            assert_eq!(stands_before(source, offset), tagged, "{source}");
        }
    }
}
