//! The near miss: which known word was meant.

/// Bytes of a word at most: longer ones are no misspelling, and comparing takes time.
const LONGEST: usize = 40;

/// Known words looked at, for the same reason.
const MOST_KNOWN: usize = 200;

/// The way out for an unknown word: the near miss, or else what is given.
pub fn did_you_mean<'a>(
    word: &str,
    known: impl IntoIterator<Item = &'a str>,
    otherwise: &str,
) -> String {
    nearest(word, known).map_or_else(
        || otherwise.to_owned(),
        |near| format!("did you mean `{near}`?"),
    )
}

/// The known word that is nearest to a misspelt one, if one is near enough: the same but for
/// case and `-`; within a third of its letters; or one word inside the other.
pub(super) fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let plain = |text: &str| text.trim().to_lowercase().replace(['-', ' '], "_");
    if word.len() > LONGEST {
        return None;
    }
    let word = plain(word);
    let known: Vec<&str> = known.into_iter().take(MOST_KNOWN).collect();
    let close = known
        .iter()
        .map(|candidate| (strsim::osa_distance(&word, &plain(candidate)), *candidate))
        .filter(|(distance, candidate)| *distance <= (candidate.chars().count() / 3).max(1))
        .min_by_key(|(distance, _)| *distance);
    let inside = |candidate: &&&str| {
        let candidate = plain(candidate);
        word.len() >= 3
            && (candidate.contains(&word)
                || (candidate.len() >= 3 && word.contains(&candidate))
                || (candidate.len() >= 2 && word.starts_with(&candidate)))
    };
    close
        .map(|(_, candidate)| candidate)
        .or_else(|| known.iter().find(inside).copied())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_what_was_meant() {
        let keys = ["length", "half_width", "above", "below", "squareness", "at"];
        for (word, meant) in [
            ("lenght", Some("length")),
            ("half-width", Some("half_width")),
            ("Half_Width", Some("half_width")),
            ("width", Some("half_width")),
            ("abov", Some("above")),
            ("squarness", Some("squareness")),
            ("colour", None),
            ("x", None),
        ] {
            assert_eq!(nearest(word, keys), meant, "{word}");
        }
    }
}
