//! The number in front of a unit: decimal, fraction, mixed number or a vulgar fraction sign.

/// How a number is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Writing {
    /// `12`, `12.5`, `.5`.
    Decimal,
    /// `3/4`, `1-1/2`, `1 1/2`, `¾`, `1¾`.
    Fraction,
}

/// A number and what follows it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Amount<'a> {
    pub value: f64,
    pub writing: Writing,
    /// What follows, without leading blanks.
    pub rest: &'a str,
}

/// Signs for fractions, numerator and denominator (Unicode chart "Number Forms" and Latin-1).
const VULGAR: [(char, f64, f64); 15] = [
    ('¼', 1.0, 4.0),
    ('½', 1.0, 2.0),
    ('¾', 3.0, 4.0),
    ('⅓', 1.0, 3.0),
    ('⅔', 2.0, 3.0),
    ('⅕', 1.0, 5.0),
    ('⅖', 2.0, 5.0),
    ('⅗', 3.0, 5.0),
    ('⅘', 4.0, 5.0),
    ('⅙', 1.0, 6.0),
    ('⅚', 5.0, 6.0),
    ('⅛', 1.0, 8.0),
    ('⅜', 3.0, 8.0),
    ('⅝', 5.0, 8.0),
    ('⅞', 7.0, 8.0),
];

/// Reads a number, with an optional `-` in front, from the start of a text. `None` when the
/// text does not begin with a number in one of the known writings; a proper mixed number needs
/// a fraction below one.
pub(super) fn leading_amount(text: &str) -> Option<Amount<'_>> {
    let (sign, unsigned) = text
        .strip_prefix('-')
        .map_or((1.0, text), |rest| (-1.0, rest));
    let (value, writing, rest) = fraction(unsigned)
        .or_else(|| mixed(unsigned))
        .or_else(|| decimal(unsigned))?;
    let value = sign * value;
    value.is_finite().then(|| Amount {
        value,
        writing,
        rest: rest.trim_start_matches(' '),
    })
}

/// Splits off leading ASCII digits; `None` without any.
fn digits(text: &str) -> Option<(&str, &str)> {
    let end = text
        .find(|c: char| !c.is_ascii_digit())
        .unwrap_or(text.len());
    (end > 0).then(|| text.split_at(end))
}

fn decimal(text: &str) -> Option<(f64, Writing, &str)> {
    let (_, after) = digits(text).unwrap_or(("", text));
    let rest = after
        .strip_prefix('.')
        .map_or(after, |tail| digits(tail).map_or(tail, |(_, rest)| rest));
    let number = &text[..text.len() - rest.len()];
    // A lone dot is no number; `1.` and `.5` are.
    (!number.is_empty() && number != ".").then_some(())?;
    Some((number.parse().ok()?, Writing::Decimal, rest))
}

/// `3/4` or a vulgar fraction sign.
fn fraction(text: &str) -> Option<(f64, Writing, &str)> {
    if let Some(first) = text.chars().next()
        && let Some((_, over, under)) = VULGAR.iter().find(|(sign, _, _)| *sign == first)
    {
        return Some((over / under, Writing::Fraction, &text[first.len_utf8()..]));
    }
    let (over, after) = digits(text)?;
    let (under, rest) = digits(after.strip_prefix('/')?)?;
    let (over, under): (f64, f64) = (over.parse().ok()?, under.parse().ok()?);
    (under > 0.0).then_some((over / under, Writing::Fraction, rest))
}

/// `1-1/2`, `1 1/2`, `1¾`, `1 ¾`, `1-¾`.
fn mixed(text: &str) -> Option<(f64, Writing, &str)> {
    let (whole, after) = digits(text)?;
    let joined = after.strip_prefix([' ', '-']);
    let (part, writing, rest) = fraction(joined.unwrap_or(after))?;
    (part < 1.0).then_some(())?;
    Some((whole.parse::<f64>().ok()? + part, writing, rest))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_every_writing() {
        for (text, value, rest) in [
            ("12", 12.0, ""),
            ("12.5 mm", 12.5, "mm"),
            (".5in", 0.5, "in"),
            ("1. in", 1.0, "in"),
            ("3/4\"", 0.75, "\""),
            ("1-1/2 in", 1.5, "in"),
            ("1 1/2 in", 1.5, "in"),
            ("¾ in", 0.75, "in"),
            ("1¾in", 1.75, "in"),
            ("2 ⅜ in", 2.375, "in"),
            ("-3 mm", -3.0, "mm"),
            ("-1-1/2 in", -1.5, "in"),
        ] {
            let amount = leading_amount(text).unwrap();
            assert!((amount.value - value).abs() < 1e-15, "{text}");
            assert_eq!(amount.rest, rest, "{text}");
        }
    }

    #[test]
    fn refuses_what_is_no_number() {
        for text in [
            "",
            ".",
            "mm",
            "-",
            "--1",
            "+1",
            "−1",
            "½½x".get(4..).unwrap_or("x"),
        ] {
            assert_eq!(leading_amount(text), None, "{text}");
        }
        // An improper mixed number is left as `1` with a rest that is no unit.
        assert_eq!(leading_amount("1-5/4 in").unwrap().rest, "-5/4 in");
        assert_eq!(leading_amount("3/0 in").unwrap().rest, "/0 in");
    }
}
