//! The near miss: which known word was meant.

/// The known word that is nearest to a misspelt one, if one is near enough: the same but for
/// case and `-`; within a third of its letters; or one word inside the other.
pub(super) fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let plain = |text: &str| text.trim().to_lowercase().replace(['-', ' '], "_");
    // Longer words are no misspelling, and comparing them takes time.
    if word.len() > 64 {
        return None;
    }
    let word = plain(word);
    let known: Vec<&str> = known.into_iter().collect();
    let close = known
        .iter()
        .map(|candidate| {
            (
                strsim::damerau_levenshtein(&word, &plain(candidate)),
                *candidate,
            )
        })
        .filter(|(distance, candidate)| *distance <= (candidate.chars().count() / 3).max(1))
        .min_by_key(|(distance, _)| *distance);
    let inside = |candidate: &&&str| {
        let candidate = plain(candidate);
        word.len() >= 3
            && (candidate.contains(&word) || (candidate.len() >= 3 && word.contains(&candidate)))
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
