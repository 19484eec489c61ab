//! What a plain scalar means: the core schema of YAML 1.2.2, section 10.3.2, to the letter.
//!
//! The reader behind [`super::tree`] resolves a little more than the core schema (binary
//! numbers, a sign before `0x`); therefore the text is resolved again here.

/// A resolved plain scalar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Scalar {
    Null,
    Bool(bool),
    /// A number; `integer` when it is written as one and fits 64 bits.
    Number {
        value: f64,
        integer: Option<i64>,
    },
    Text,
}

/// Resolves the text of a plain scalar.
pub(super) fn resolve(text: &str) -> Scalar {
    match text {
        "" | "~" | "null" | "Null" | "NULL" => return Scalar::Null,
        "true" | "True" | "TRUE" => return Scalar::Bool(true),
        "false" | "False" | "FALSE" => return Scalar::Bool(false),
        _ => {}
    }
    based(text)
        .or_else(|| special(text))
        .or_else(|| decimal(text))
        .unwrap_or(Scalar::Text)
}

/// `0o17` and `0x1F`, without sign.
fn based(text: &str) -> Option<Scalar> {
    let (base, digits) = match text.get(..2)? {
        "0o" => (8, &text[2..]),
        "0x" => (16, &text[2..]),
        _ => return None,
    };
    (!digits.is_empty() && digits.chars().all(|c| c.is_digit(base))).then_some(())?;
    let value = digits
        .chars()
        .filter_map(|c| c.to_digit(base))
        .fold(0.0, |sum, digit| sum * f64::from(base) + f64::from(digit));
    Some(Scalar::Number {
        value,
        integer: i64::from_str_radix(digits, base).ok(),
    })
}

/// `.inf` and `.nan` in their three spellings.
fn special(text: &str) -> Option<Scalar> {
    let number = |value| {
        Some(Scalar::Number {
            value,
            integer: None,
        })
    };
    if matches!(text, ".nan" | ".NaN" | ".NAN") {
        return number(f64::NAN);
    }
    let unsigned = text.strip_prefix(['-', '+']).unwrap_or(text);
    let sign = if text.starts_with('-') { -1.0 } else { 1.0 };
    matches!(unsigned, ".inf" | ".Inf" | ".INF").then(|| number(sign * f64::INFINITY))?
}

/// `[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?`, an integer when only digits.
fn decimal(text: &str) -> Option<Scalar> {
    let unsigned = text.strip_prefix(['-', '+']).unwrap_or(text);
    let (mantissa, exponent) = match unsigned.split_once(['e', 'E']) {
        Some((mantissa, exponent)) => (mantissa, Some(exponent)),
        None => (unsigned, None),
    };
    let digits = |t: &str| t.bytes().all(|b| b.is_ascii_digit());
    let (whole, part) = mantissa.split_once('.').unwrap_or((mantissa, ""));
    let known = digits(whole)
        && digits(part)
        && !(whole.is_empty() && part.is_empty())
        && exponent.is_none_or(|e| {
            let e = e.strip_prefix(['-', '+']).unwrap_or(e);
            !e.is_empty() && digits(e)
        });
    known.then_some(())?;
    let integer = if digits(unsigned) {
        text.parse().ok()
    } else {
        None
    };
    Some(Scalar::Number {
        value: text.parse().ok()?,
        integer,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn number(value: f64) -> Scalar {
        Scalar::Number {
            value,
            integer: None,
        }
    }

    fn integer(value: i64) -> Scalar {
        #[allow(clippy::cast_precision_loss)]
        Scalar::Number {
            value: value as f64,
            integer: Some(value),
        }
    }

    /// YAML 1.2.2, 10.3.2: the regular expressions of the core schema, one row a form that
    /// other readers take for something else.
    #[test]
    fn core_schema_of_yaml_1_2() {
        for (text, scalar) in [
            ("no", Scalar::Text),
            ("off", Scalar::Text),
            ("yes", Scalar::Text),
            ("on", Scalar::Text),
            ("y", Scalar::Text),
            ("1_000", Scalar::Text),
            ("010", integer(10)),
            ("0o10", integer(8)),
            ("1e3", number(1000.0)),
            ("-0x1F", Scalar::Text),
            ("1e-3", number(0.001)),
            ("1.5e3", number(1500.0)),
            ("12:30:45", Scalar::Text),
            ("3/4", Scalar::Text),
            ("5in", Scalar::Text),
            ("1,5", Scalar::Text),
            ("0b11", Scalar::Text),
            ("1.", number(1.0)),
            ("+1", integer(1)),
            (".5", number(0.5)),
            ("0x1F", integer(31)),
            ("2026-01-02", Scalar::Text),
            ("08", integer(8)),
            ("+.5", number(0.5)),
            ("-7", integer(-7)),
            (".", Scalar::Text),
            ("-", Scalar::Text),
            ("e5", Scalar::Text),
            ("1e", Scalar::Text),
            ("1e+", Scalar::Text),
            ("0x", Scalar::Text),
            ("0o8", Scalar::Text),
            ("tRue", Scalar::Text),
            ("TRUE", Scalar::Bool(true)),
            ("False", Scalar::Bool(false)),
            ("", Scalar::Null),
            ("~", Scalar::Null),
            ("NULL", Scalar::Null),
            ("nULL", Scalar::Text),
            (".inf", number(f64::INFINITY)),
            ("-.Inf", number(f64::NEG_INFINITY)),
            ("inf", Scalar::Text),
            ("nan", Scalar::Text),
            ("1e400", number(f64::INFINITY)),
            ("99999999999999999999", number(1e20)),
        ] {
            assert_eq!(resolve(text), scalar, "{text}");
        }
        assert!(matches!(resolve(".nan"), Scalar::Number { value, .. } if value.is_nan()));
        assert_eq!(resolve("+.nan"), Scalar::Text);
    }
}
