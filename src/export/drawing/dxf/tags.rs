//! Pairs of a group code and a value, the grain of every DXF file.

use std::fmt::Display;

use super::super::number::length;
use super::super::stroke::Place;

/// Longest text of one pair: the limit of R2000 (DXF reference, from memory).
const LONGEST: usize = 255;

/// Pairs under construction.
pub(super) struct Tags {
    pub text: String,
    next: u32,
}

impl Tags {
    /// Handles are counted from `first`.
    pub fn new(first: u32) -> Self {
        Tags {
            text: String::new(),
            next: first,
        }
    }

    /// One pair.
    pub fn put(&mut self, code: u16, value: impl Display) -> &mut Self {
        self.text += &format!("{code:>3}\n{value}\n");
        self
    }

    /// A handle as a value.
    pub fn handle(&mut self, code: u16, value: u32) -> &mut Self {
        self.put(code, format!("{value:X}"))
    }

    /// The next handle, left free.
    pub fn next_handle(&self) -> u32 {
        self.next
    }

    /// Begins a record with a handle of its own.
    pub fn record(&mut self, name: &str, owner: u32) -> &mut Self {
        let own = self.next;
        self.next += 1;
        self.put(0, name).handle(5, own).handle(330, owner)
    }

    /// A variable of the header.
    pub fn variable(&mut self, name: &str, values: &[(u16, &str)]) {
        self.put(9, name);
        for (code, value) in values {
            self.put(*code, value);
        }
    }

    /// A length in mm.
    pub fn mm(&mut self, code: u16, value: f64) -> &mut Self {
        self.put(code, length(value))
    }

    /// A place with z = 0; `code` is that of x.
    pub fn place(&mut self, code: u16, at: Place) -> &mut Self {
        self.flat_place(code, at).put(code + 20, 0)
    }

    /// A place without z.
    pub fn flat_place(&mut self, code: u16, at: Place) -> &mut Self {
        self.mm(code, at[0]).mm(code + 10, at[1])
    }

    /// A section.
    pub fn section(&mut self, name: &str, fill: impl FnOnce(&mut Tags)) {
        self.put(0, "SECTION").put(2, name);
        fill(self);
        self.put(0, "ENDSEC");
    }
}

/// Text in ASCII: other characters, and those that mean something in DXF text, as `\U+XXXX`, beyond
/// the basic plane as two surrogates. Cut where a reader of R2000 would cut it.
pub(super) fn escaped(text: &str) -> String {
    let mut out = String::new();
    for c in text.chars() {
        let plain = matches!(c, ' '..='~') && !"\\%^".contains(c);
        let piece = if plain {
            c.to_string()
        } else {
            let mut units = [0; 2];
            let units = c.encode_utf16(&mut units).iter();
            units.map(|u| format!("\\U+{u:04X}")).collect()
        };
        if out.len() + piece.len() > LONGEST {
            break;
        }
        out += &piece;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_is_ascii_and_means_itself() {
        // Code units of U+00FC, U+2264 and U+1F98E: the Unicode standard.
        let text = escaped("ü≤🦎 a\\P 50%% ^J\n");
        assert_eq!(
            text,
            "\\U+00FC\\U+2264\\U+D83E\\U+DD8E a\\U+005CP 50\\U+0025\\U+0025 \\U+005EJ\\U+000A"
        );
        assert!(escaped(&"ü".repeat(100)).len() <= 255);
    }
}
