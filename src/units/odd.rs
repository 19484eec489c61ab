//! Odd forms of numbers that people type: named, and turned into what to write.

use super::error::QuantityError;

/// A form with a plain replacement.
struct Odd {
    name: &'static str,
    applies: fn(&str) -> bool,
    replace: fn(&str) -> String,
}

const ODD: [Odd; 7] = [
    Odd {
        name: "a true minus sign (U+2212)",
        applies: |t| t.contains('\u{2212}'),
        replace: |t| t.replace('\u{2212}', "-"),
    },
    Odd {
        name: "full-width characters",
        applies: |t| t.chars().any(is_full_width),
        replace: narrow,
    },
    Odd {
        name: "a no-break space or another blank that is not the ordinary one",
        applies: |t| t.chars().any(is_odd_blank),
        replace: |t| {
            t.chars()
                .map(|c| if is_odd_blank(c) { ' ' } else { c })
                .collect()
        },
    },
    Odd {
        name: "a fraction slash (U+2044)",
        applies: |t| t.contains('\u{2044}'),
        replace: |t| t.replace('\u{2044}', "/"),
    },
    Odd {
        name: "`_` between digits",
        applies: |t| t.contains('_'),
        replace: |t| t.replace('_', ""),
    },
    Odd {
        name: "a `+` in front",
        applies: |t| t.trim_start().starts_with('+'),
        replace: |t| t.trim_start().trim_start_matches('+').to_owned(),
    },
    Odd {
        name: "a comma in a number that has a point as well",
        applies: |t| t.contains(',') && t.contains('.'),
        replace: |t| t.replace(',', ""),
    },
];

fn is_full_width(c: char) -> bool {
    ('\u{ff01}'..='\u{ff5e}').contains(&c)
}

fn narrow(text: &str) -> String {
    let ascii = |c: char| char::from_u32(c as u32 - 0xff01 + 0x21).unwrap_or(c);
    text.chars()
        .map(|c| if is_full_width(c) { ascii(c) } else { c })
        .collect()
}

/// A blank that YAML and this program do not take for one.
fn is_odd_blank(c: char) -> bool {
    c != ' ' && c.is_whitespace()
}

/// Names the oddity of a refused text. `reads` says whether a cleaned text would be read;
/// `None` when nothing odd is in it.
pub(super) fn explain(
    text: &str,
    allowed: &str,
    unit: &str,
    reads: impl Fn(&str) -> bool,
) -> Option<QuantityError> {
    let error = |fault: &str, way_out: String| {
        Some(QuantityError {
            found: format!("`{text}` with {fault}"),
            allowed: allowed.to_owned(),
            way_out,
        })
    };
    let lower = text.trim().to_ascii_lowercase();
    let word = lower.trim_start_matches(['-', '+', '.']);
    if word.starts_with("nan") || word.starts_with("inf") {
        return Some(QuantityError {
            found: format!("`{text}`, not a number"),
            allowed: allowed.to_owned(),
            way_out: format!("write a number, such as `12 {unit}`"),
        });
    }
    if word.starts_with("0x") || word.starts_with("0o") || word.starts_with("0b") {
        return error(
            "a prefix for another base",
            "write a decimal number".to_owned(),
        );
    }
    let mut clean = text.trim_matches(' ').to_owned();
    let mut faults = Vec::new();
    for odd in &ODD {
        if (odd.applies)(&clean) {
            clean = (odd.replace)(&clean);
            faults.push(odd.name);
        }
    }
    if clean.contains(',') {
        let (fault, way_out) = comma(&clean);
        faults.push(fault);
        return error(&faults.join(" and "), way_out);
    }
    if faults.is_empty() {
        let bytes = clean.as_bytes();
        let exponent = clean
            .find(['e', 'E'])
            .filter(|i| *i > 0 && bytes[i - 1].is_ascii_digit());
        let digit_after = |i: usize| {
            bytes
                .get(i + 1)
                .is_some_and(|b| b.is_ascii_digit() || b"+-".contains(b))
        };
        return exponent.filter(|i| digit_after(*i)).and_then(|_| {
            error(
                "an exponent",
                "write the number without exponent".to_owned(),
            )
        });
    }
    let way_out = if reads(clean.trim_matches(' ')) {
        format!("write `{}`", clean.trim_matches(' '))
    } else {
        format!("write a plain number with a unit, such as `12 {unit}`")
    };
    error(&faults.join(" and "), way_out)
}

/// A comma alone: a decimal comma, or thousands when three digits follow.
fn comma(text: &str) -> (&'static str, String) {
    let point = text.replacen(',', ".", 1);
    let after = text.split_once(',').map_or("", |(_, after)| after);
    let digits = after
        .find(|c: char| !c.is_ascii_digit())
        .unwrap_or(after.len());
    if after.contains(',') {
        (
            "commas in a number",
            format!("write `{}`", text.replace(',', "")),
        )
    } else if digits == 3 {
        (
            "a comma",
            format!("write `{point}` or `{}`", text.replace(',', "")),
        )
    } else {
        ("a decimal comma", format!("write `{point}`"))
    }
}
