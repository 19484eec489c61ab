//! Reals and strings as Part 21 writes them (ISO 10303-21:2016).

use std::fmt::Write;

/// Shortest decimal form that reads back to the same value, always with a point
/// (ISO 10303-21, REAL). A value that is no number becomes `$`: a reader then refuses the
/// file instead of reading a wrong solid.
pub(super) fn push_real(out: &mut String, value: f64) {
    if !value.is_finite() {
        out.push('$');
        return;
    }
    if value == 0.0 {
        out.push_str("0.");
        return;
    }
    let start = out.len();
    let _ = write!(out, "{value:?}");
    if let Some(at) = out[start..].find('e').map(|i| start + i) {
        let exponent = out.split_off(at);
        if !out[start..].contains('.') {
            out.push('.');
        }
        out.push('E');
        out.push_str(&exponent[1..]);
    } else if out.ends_with(".0") {
        out.pop();
    }
}

/// A string literal: codes 32 to 126 as they are with `'` and `\` doubled, the rest in
/// `\X2\` (16 bits) and `\X4\` (32 bits) runs closed by `\X0\` (ISO 10303-21, string encoding).
pub(super) fn push_text(out: &mut String, value: &str) {
    #[derive(PartialEq, Clone, Copy)]
    enum Run {
        Plain,
        Two,
        Four,
    }
    let mut run = Run::Plain;
    out.push('\'');
    for c in value.chars() {
        let code = u32::from(c);
        let wanted = match code {
            32..=126 => Run::Plain,
            0..=0xFFFF => Run::Two,
            _ => Run::Four,
        };
        if wanted != run {
            if run != Run::Plain {
                out.push_str("\\X0\\");
            }
            out.push_str(match wanted {
                Run::Plain => "",
                Run::Two => "\\X2\\",
                Run::Four => "\\X4\\",
            });
            run = wanted;
        }
        match (wanted, c) {
            (Run::Plain, '\'') => out.push_str("''"),
            (Run::Plain, '\\') => out.push_str("\\\\"),
            (Run::Plain, _) => out.push(c),
            (Run::Two, _) => {
                let _ = write!(out, "{code:04X}");
            }
            (Run::Four, _) => {
                let _ = write!(out, "{code:08X}");
            }
        }
    }
    if run != Run::Plain {
        out.push_str("\\X0\\");
    }
    out.push('\'');
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn real(value: f64) -> String {
        let mut out = String::from("#1=");
        push_real(&mut out, value);
        out[3..].to_string()
    }

    fn text(value: &str) -> String {
        let mut out = String::new();
        push_text(&mut out, value);
        out
    }

    #[test]
    fn reals_have_a_point() {
        // Forms after ISO 10303-21's grammar of REAL (from memory) and files in use.
        for (value, wanted) in [
            (1.0, "1."),
            (0.0, "0."),
            (-0.0, "0."),
            (-2.5, "-2.5"),
            (1e-6, "1.E-6"),
            (1.25e-7, "1.25E-7"),
            (1e22, "1.E22"),
            (100.0, "100."),
            (f64::NAN, "$"),
        ] {
            assert_eq!(real(value), wanted);
        }
    }

    #[test]
    fn strings_follow_the_standard() {
        // Vectors: ISO 10303-21 string encoding; \X4\ from memory.
        for (value, wanted) in [
            ("S00-upper", "'S00-upper'"),
            ("O'Brien", "'O''Brien'"),
            ("a\\b", "'a\\\\b'"),
            ("Äpfel", "'\\X2\\00C4\\X0\\pfel'"),
            ("蛇の", "'\\X2\\86C7306E\\X0\\'"),
            ("\u{1F40D}", "'\\X4\\0001F40D\\X0\\'"),
            ("ä\u{1F40D}", "'\\X2\\00E4\\X0\\\\X4\\0001F40D\\X0\\'"),
            ("a\nb", "'a\\X2\\000A\\X0\\b'"),
        ] {
            assert_eq!(text(value), wanted);
        }
    }

    proptest! {
        #[test]
        fn reals_read_back(bits in any::<u64>()) {
            let value = f64::from_bits(bits);
            prop_assume!(value.is_finite());
            let out = real(value);
            prop_assert!(out.contains('.') && !out.contains('e'));
            prop_assert_eq!(out.parse::<f64>().unwrap(), value);
        }

        #[test]
        fn strings_are_plain_and_closed(value in any::<String>()) {
            let out = text(&value);
            prop_assert!(out.bytes().all(|b| (32..=126).contains(&b)));
            // An apostrophe inside comes in pairs only.
            prop_assert_eq!(out.matches('\'').count(), 2 + 2 * value.matches('\'').count());
        }
    }
}
