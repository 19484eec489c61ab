//! Explicit tags (`!!int "3"`): the YAML reader drops them, so they are looked up in the text.

/// Length of a tag at most, in bytes, for the look backwards.
const LONGEST: usize = 128;

/// Bytes of a line looked at for a comment: a look at the whole of one long line for each of
/// its nodes would take the square of its length.
const LINE: usize = 256;

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
    let Some(word) = end_of(before, LONGEST)
        .rsplit([' ', '\t', '\r', '\n', ',', '[', '{'])
        .next()
    else {
        return false;
    };
    if !word.starts_with('!') {
        return false;
    }
    let lead = end_of(&before[..before.len() - word.len()], LINE);
    let line = lead.rsplit(['\n', '\r']).next().unwrap_or(lead);
    let comment = line.starts_with('#') || line.contains(" #") || line.contains("\t#");
    let lead = line.trim_end();
    !comment && (lead.is_empty() || lead.ends_with([':', '-', '?', '[', '{', ',']))
}

/// The last bytes of a text, at most so many, from the start of a character.
fn end_of(text: &str, most: usize) -> &str {
    let mut start = text.len().saturating_sub(most);
    while !text.is_char_boundary(start) {
        start += 1;
    }
    &text[start..]
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
