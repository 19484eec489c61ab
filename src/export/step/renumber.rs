//! Records that were numbered apart, brought into one file.

use super::part21::Id;
use std::fmt::Write;

/// A place in the numbers of a file: all up to it are shared.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Mark(pub(super) usize);

/// New numbers for records beyond a mark.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Renumber {
    pub(super) mark: Mark,
    pub(super) shift: usize,
}

impl Renumber {
    /// The number of a record in the joined file.
    pub(super) fn id(self, id: Id) -> Id {
        Id(self.number(id.0))
    }

    fn number(self, number: usize) -> usize {
        if number > self.mark.0 {
            number + self.shift
        } else {
            number
        }
    }

    /// Copies records; what stands in quotes is no reference.
    pub(super) fn copy(self, from: &str, to: &mut String) {
        to.reserve(from.len() + from.len() / 8);
        let mut quoted = false;
        let mut rest = from;
        while let Some(at) = rest.find(['#', '\'']) {
            to.push_str(&rest[..=at]);
            let mark = rest.as_bytes()[at];
            rest = &rest[at + 1..];
            if mark == b'\'' {
                quoted = !quoted;
            } else if !quoted {
                let digits =
                    rest.len() - rest.trim_start_matches(|c: char| c.is_ascii_digit()).len();
                let (number, after) = rest.split_at(digits);
                // A reference is a number: the builder wrote it.
                let number = number.parse().unwrap_or_default();
                let _ = write!(to, "{}", self.number(number));
                rest = after;
            }
        }
        to.push_str(rest);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn references_beyond_the_mark_are_shifted_and_text_is_left_alone() {
        let renumber = Renumber {
            mark: Mark(9),
            shift: 100,
        };
        let mut out = String::new();
        renumber.copy(
            "#10=A('#11 isn\'\'t #12',#9,(#10,#11));\n#11=B();\n",
            &mut out,
        );
        let wanted = "#110=A('#11 isn\'\'t #12',#9,(#110,#111));\n#111=B();\n";
        assert_eq!(out, wanted);
        assert_eq!(renumber.id(Id(9)), Id(9));
        assert_eq!(renumber.id(Id(10)), Id(110));
    }
}
