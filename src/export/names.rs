//! From the name of a part to a safe name of a file.
//!
//! Rule: letters and digits of any script stay; blanks, control and invisible characters and
//! `/ \ : * ? " < > |` become one `-` each run; dots, blanks and `-` at both ends go; a name
//! that is reserved on some system gets a `_` in front; a name longer than 100 bytes is cut and
//! ends in eight digits of its hash; nothing left over becomes `part`. The result is one plain
//! component, so it never leaves its folder. Two parts whose file names differ by case alone,
//! or not at all, are refused by [`unique`].

use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::fmt;

/// Longest stem in bytes: with folder, extension and a mark for unfinished files it stays
/// within the 255 bytes that file systems give one name and well within old limits of paths.
const LONGEST: usize = 100;

/// Two parts that would be written to one file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NameClash {
    /// The earlier part.
    pub first: String,
    /// The later part.
    pub second: String,
    /// The file name that both would have.
    pub file: String,
}

impl fmt::Display for NameClash {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        write!(
            f,
            "\"{}\" and \"{}\" would both be written to \"{}\"; give one another name \
             (capital and small letters count as the same)",
            self.first, self.second, self.file
        )
    }
}

impl std::error::Error for NameClash {}

/// The safe stem of a file, or of a folder, for a name.
pub fn safe_stem(name: &str) -> String {
    let mut stem = String::new();
    for c in name.chars() {
        if !replaced(c) {
            stem.push(c);
        } else if !stem.ends_with('-') {
            stem.push('-');
        }
    }
    let stem = stem.trim_matches(['-', '.', ' ']);
    let stem = match stem {
        "" => "part".to_string(),
        _ if reserved(stem) => format!("_{stem}"),
        _ => stem.to_string(),
    };
    cut(stem, name)
}

/// Safe stems of all names, in their order.
///
/// # Errors
/// The first two names whose files would be one, case left aside.
pub fn unique(names: &[&str]) -> Result<Vec<String>, NameClash> {
    let mut seen: BTreeMap<String, usize> = BTreeMap::new();
    let stems: Vec<String> = names.iter().map(|name| safe_stem(name)).collect();
    for (i, stem) in stems.iter().enumerate() {
        if let Some(&first) = seen.get(&folded(stem)) {
            return Err(NameClash {
                first: names[first].to_string(),
                second: names[i].to_string(),
                file: stem.clone(),
            });
        }
        seen.insert(folded(stem), i);
    }
    Ok(stems)
}

/// A name as file systems that leave case aside see it (both ways, for letters such as the
/// final sigma).
pub(super) fn folded(name: &str) -> String {
    name.to_uppercase().to_lowercase()
}

/// Characters that some system forbids in a name, that cannot be seen, or that turn the
/// direction of writing.
fn replaced(c: char) -> bool {
    c.is_control()
        || c.is_whitespace()
        || matches!(c, '/' | '\\' | ':' | '*' | '?' | '"' | '<' | '>' | '|')
        || matches!(c, '\u{AD}' | '\u{61C}' | '\u{180E}' | '\u{FEFF}' | '\u{FFFD}')
        || matches!(c, '\u{200B}'..='\u{200F}' | '\u{2028}'..='\u{202E}' | '\u{2060}'..='\u{206F}')
        // Not characters: Unicode, section 23.7.
        || matches!(c, '\u{FDD0}'..='\u{FDEF}')
        || u32::from(c) & 0xFFFE == 0xFFFE
}

/// Names of devices on Windows, with or without an extension ("Naming files, paths, and
/// namespaces" of its documentation, from memory).
fn reserved(stem: &str) -> bool {
    let first = stem.split('.').next().unwrap_or(stem).trim_end();
    let upper = first.to_uppercase();
    if matches!(
        upper.as_str(),
        "CON" | "PRN" | "AUX" | "NUL" | "CONIN$" | "CONOUT$"
    ) {
        return true;
    }
    let digit = upper
        .strip_prefix("COM")
        .or_else(|| upper.strip_prefix("LPT"));
    digit.is_some_and(|d| {
        let mut d = d.chars();
        matches!(d.next(), Some('0'..='9' | '¹' | '²' | '³')) && d.next().is_none()
    })
}

/// Cuts a long stem between characters; the hash of the whole name keeps it apart from others
/// with the same beginning.
fn cut(stem: String, name: &str) -> String {
    if stem.len() <= LONGEST {
        return stem;
    }
    let hash = Sha256::digest(name.as_bytes());
    let mark: String = hash[..4].iter().map(|b| format!("{b:02x}")).collect();
    let mut end = LONGEST - mark.len() - 1;
    while !stem.is_char_boundary(end) {
        end -= 1;
    }
    format!("{}-{mark}", stem[..end].trim_end_matches(['-', '.']))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::path::{Component, Path};

    #[test]
    fn odd_names_become_safe() {
        for (name, wanted) in [
            ("S01-upper", "S01-upper"),
            ("Schwanz ü / 2", "Schwanz-ü-2"),
            ("..", "part"),
            ("", "part"),
            ("../../etc/passwd", "etc-passwd"),
            ("C:\\temp\\a.stl", "C-temp-a.stl"),
            ("con", "_con"),
            ("NUL.txt", "_NUL.txt"),
            ("lpt1", "_lpt1"),
            ("COM²", "_COM²"),
            ("LPT10", "LPT10"),
            ("Контур 3", "Контур-3"),
            ("蛇の", "蛇の"),
            ("trailing. ", "trailing"),
            (".hidden", "hidden"),
            ("a\u{202E}b\0c\nd", "a-b-c-d"),
        ] {
            assert_eq!(safe_stem(name), wanted, "{name:?}");
        }
    }

    #[test]
    fn long_names_are_cut_and_stay_apart() {
        let (a, b) = ("ü".repeat(300), "ü".repeat(299) + "x");
        let (a, b) = (safe_stem(&a), safe_stem(&b));
        assert!(a.len() <= LONGEST && a.starts_with("üüü"));
        assert_ne!(a, b);
    }

    #[test]
    fn clashes_name_both_parts() {
        assert!(unique(&["Tail", "tails"]).is_ok());
        for (first, second) in [
            ("Tail", "tail"),
            ("a b", "a/b"),
            ("ÄΣ", "äς"),
            ("CON", "_con"),
        ] {
            let clash = unique(&["head", first, second]).unwrap_err();
            assert_eq!(
                (clash.first.as_str(), clash.second.as_str()),
                (first, second)
            );
            assert!(clash.to_string().contains(second));
        }
    }

    fn odd_text() -> impl Strategy<Value = String> {
        prop_oneof![
            any::<String>(),
            "[./\\\\: \\-]{0,6}(con|aux|nul|com1|x)?[./\\\\: ]{0,4}",
            "\\PC{0,300}",
        ]
    }

    proptest! {
        #[test]
        fn a_stem_is_one_plain_component(name in odd_text()) {
            let stem = safe_stem(&name);
            let parts: Vec<_> = Path::new(&stem).components().collect();
            prop_assert!(matches!(parts[..], [Component::Normal(p)] if p == stem.as_str()));
            prop_assert!(!stem.is_empty() && stem.len() <= LONGEST);
            prop_assert!(!stem.contains(replaced));
            prop_assert!(!stem.ends_with('.') && !stem.starts_with(['.', '-']));
            prop_assert!(!reserved(&stem));
        }

        #[test]
        fn a_safe_stem_is_left_alone(name in odd_text()) {
            let stem = safe_stem(&name);
            prop_assert_eq!(safe_stem(&stem), stem);
        }
    }
}
