//! Texts as values of YAML that is written.

/// A text as YAML takes it: bare where it can be nothing else, else between single quotes, in which
/// only those are special.
#[must_use]
pub fn yaml_text(text: &str) -> String {
    let plain = |c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '_' | '.' | '/');
    let bare = text.starts_with(|c: char| c.is_ascii_alphabetic()) && text.chars().all(plain);
    // Words that some readers take for something else (YAML 1.1, from memory).
    let word = matches!(
        text.to_lowercase().as_str(),
        "true" | "false" | "null" | "yes" | "no" | "on" | "off" | "y" | "n"
    );
    match bare && !word {
        true => text.to_owned(),
        false => yaml_quoted(text),
    }
}

/// A text between single quotes.
#[must_use]
pub fn yaml_quoted(text: &str) -> String {
    format!("'{}'", text.replace('\'', "''"))
}

#[cfg(test)]
mod tests {
    use super::yaml_text;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn what_is_written_is_read(text in "[ -~ä-ü']{0,12}|no|Y|null|a: b|- a|# a|1e3") {
            let yaml = format!("key: {}\n", yaml_text(&text));
            let read: std::collections::BTreeMap<String, String> =
                serde_yaml::from_str(&yaml).unwrap();
            prop_assert_eq!(&read["key"], &text);
        }
    }
}
