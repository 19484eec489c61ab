//! A builder of Part 21 text (ISO 10303-21:2016): numbered records and the grammar of their
//! attributes.
//!
//! It knows the grammar, not the schema: which attributes an entity has is the caller's
//! business. Records are numbered from 1 in the order they are added, so that several parts
//! can be written one after the other into one file.

use std::fmt::Write;

/// Number of a record.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Id(usize);

/// The data section as it grows.
#[derive(Debug, Default)]
pub struct Part21 {
    data: String,
    count: usize,
}

/// Attribute list of one record, in the order of the schema.
#[derive(Debug)]
pub struct Args<'a> {
    out: &'a mut String,
    first: bool,
}

/// The parts of a record that is an instance of several entity types at once.
#[derive(Debug)]
pub struct Complex<'a> {
    out: &'a mut String,
}

impl Part21 {
    /// An empty data section.
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds one record and returns its number.
    pub fn add(&mut self, keyword: &str, fill: impl FnOnce(&mut Args)) -> Id {
        let id = self.open();
        list(&mut self.data, keyword, fill);
        self.data.push_str(";\n");
        id
    }

    /// Adds a record of several entity types; the standard wants them in alphabetical order
    /// (ISO 10303-21, external mapping).
    pub fn add_complex(&mut self, fill: impl FnOnce(&mut Complex)) -> Id {
        let id = self.open();
        self.data.push('(');
        fill(&mut Complex {
            out: &mut self.data,
        });
        self.data.push_str(");\n");
        id
    }

    /// The whole file: header records, then the data.
    pub fn finish(self, header: &[HeaderRecord]) -> Vec<u8> {
        let mut out = String::with_capacity(self.data.len() + 1024);
        out.push_str("ISO-10303-21;\nHEADER;\n");
        for (keyword, fill) in header {
            list(&mut out, keyword, fill);
            out.push_str(";\n");
        }
        out.push_str("ENDSEC;\nDATA;\n");
        out.push_str(&self.data);
        out.push_str("ENDSEC;\nEND-ISO-10303-21;\n");
        out.into_bytes()
    }

    fn open(&mut self) -> Id {
        self.count += 1;
        // Writing into a String cannot fail.
        let _ = write!(self.data, "#{}=", self.count);
        Id(self.count)
    }
}

/// A record of the header section: keyword and attributes.
pub type HeaderRecord<'a> = (&'a str, &'a dyn Fn(&mut Args));

impl Complex<'_> {
    /// Adds one entity type with its own attributes.
    pub fn part(&mut self, keyword: &str, fill: impl FnOnce(&mut Args)) -> &mut Self {
        list(self.out, keyword, fill);
        self
    }
}

impl Args<'_> {
    /// A string.
    pub fn text(&mut self, value: &str) -> &mut Self {
        push_text(self.next(), value);
        self
    }

    /// A list of strings.
    pub fn texts(&mut self, values: &[&str]) -> &mut Self {
        self.items(values, |out, value| push_text(out, value))
    }

    /// A real.
    pub fn real(&mut self, value: f64) -> &mut Self {
        push_real(self.next(), value);
        self
    }

    /// A list of reals.
    pub fn reals(&mut self, values: &[f64]) -> &mut Self {
        self.items(values, |out, value| push_real(out, *value))
    }

    /// A list of lists of reals.
    pub fn real_rows(&mut self, rows: &[Vec<f64>]) -> &mut Self {
        self.items(rows, |out, row| {
            join(out, row, |out, value| push_real(out, *value));
        })
    }

    /// A real with the type that picks its meaning in a select.
    pub fn typed(&mut self, keyword: &str, value: f64) -> &mut Self {
        list(self.next(), keyword, |args| {
            args.real(value);
        });
        self
    }

    /// An integer.
    pub fn int(&mut self, value: usize) -> &mut Self {
        push_int(self.next(), value);
        self
    }

    /// A list of integers.
    pub fn ints(&mut self, values: &[usize]) -> &mut Self {
        self.items(values, |out, value| push_int(out, *value))
    }

    /// A reference to a record.
    pub fn id(&mut self, id: Id) -> &mut Self {
        push_id(self.next(), id);
        self
    }

    /// A list of references.
    pub fn ids(&mut self, ids: &[Id]) -> &mut Self {
        self.items(ids, |out, id| push_id(out, *id))
    }

    /// A list of lists of references.
    pub fn id_rows(&mut self, rows: &[Vec<Id>]) -> &mut Self {
        self.items(rows, |out, row| join(out, row, |out, id| push_id(out, *id)))
    }

    /// A boolean or logical.
    pub fn flag(&mut self, value: bool) -> &mut Self {
        self.next().push_str(if value { ".T." } else { ".F." });
        self
    }

    /// A value of an enumeration, without its dots.
    pub fn word(&mut self, value: &str) -> &mut Self {
        let out = self.next();
        out.push('.');
        out.push_str(value);
        out.push('.');
        self
    }

    /// No value: `$`.
    pub fn absent(&mut self) -> &mut Self {
        self.next().push('$');
        self
    }

    /// A value that follows from others: `*`.
    pub fn derived(&mut self) -> &mut Self {
        self.next().push('*');
        self
    }

    fn items<T>(&mut self, items: &[T], push: impl Fn(&mut String, &T)) -> &mut Self {
        join(self.next(), items, push);
        self
    }

    fn next(&mut self) -> &mut String {
        if !std::mem::take(&mut self.first) {
            self.out.push(',');
        }
        self.out
    }
}

fn list(out: &mut String, keyword: &str, fill: impl FnOnce(&mut Args)) {
    out.push_str(keyword);
    out.push('(');
    fill(&mut Args { out, first: true });
    out.push(')');
}

fn join<T>(out: &mut String, items: &[T], push: impl Fn(&mut String, &T)) {
    out.push('(');
    for (i, item) in items.iter().enumerate() {
        if i > 0 {
            out.push(',');
        }
        push(out, item);
    }
    out.push(')');
}

fn push_int(out: &mut String, value: usize) {
    let _ = write!(out, "{value}");
}

fn push_id(out: &mut String, id: Id) {
    let _ = write!(out, "#{}", id.0);
}

/// Shortest decimal form that reads back to the same value, always with a point
/// (ISO 10303-21, REAL). A value that is no number becomes `$`: a reader then refuses the
/// file instead of reading a wrong solid.
fn push_real(out: &mut String, value: f64) {
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
fn push_text(out: &mut String, value: &str) {
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

    #[test]
    fn lists_and_markers() {
        let mut p = Part21::new();
        let a = p.add("A", |r| {
            r.text("").absent().derived().flag(true);
        });
        p.add("B", |r| {
            r.ids(&[a, a])
                .ids(&[])
                .id_rows(&[vec![a], vec![a, a]])
                .word("MILLI")
                .typed("L", 2.0);
        });
        p.add_complex(|c| {
            c.part("C", |_| ()).part("D", |r| {
                r.ints(&[2, 1]);
            });
        });
        let file = String::from_utf8(p.finish(&[("H", &|r| {
            r.texts(&["x"]);
        })]))
        .unwrap();
        assert_eq!(
            file,
            "ISO-10303-21;\nHEADER;\nH(('x'));\nENDSEC;\nDATA;\n#1=A('',$,*,.T.);\n\
             #2=B((#1,#1),(),((#1),(#1,#1)),.MILLI.,L(2.));\n#3=(C()D((2,1)));\nENDSEC;\n\
             END-ISO-10303-21;\n"
        );
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
