//! A builder of Part 21 text (ISO 10303-21:2016): numbered records and the grammar of their
//! attributes.
//!
//! It knows the grammar, not the schema: which attributes an entity has is the caller's
//! business. Records are numbered from 1 in the order they are added, so that several parts
//! can be written one after the other into one file.

use super::encode::{push_real, push_text};
use super::renumber::{Mark, Renumber};
use std::fmt::Write;

/// Number of a record.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Id(pub(super) usize);

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

    /// An empty data section whose records are numbered on from those of another, so that it may
    /// refer to them.
    pub(super) fn after(other: Mark) -> Self {
        Part21 {
            data: String::new(),
            count: other.0,
        }
    }

    /// Where the numbers stand now.
    pub(super) fn mark(&self) -> Mark {
        Mark(self.count)
    }

    /// Adds the records of a section that was numbered on from `mark`, under new numbers; returns
    /// how to renumber what refers to them.
    pub(super) fn append(&mut self, other: &Part21, mark: Mark) -> Renumber {
        let renumber = Renumber {
            mark,
            shift: self.count - mark.0,
        };
        renumber.copy(&other.data, &mut self.data);
        self.count += other.count - mark.0;
        renumber
    }

    /// The text so far, and the number of the last record.
    pub(super) fn parts(&self) -> (&str, usize) {
        (&self.data, self.count)
    }

    /// From what [`Part21::parts`] gave.
    pub(super) fn of_parts(data: String, count: usize) -> Self {
        Part21 { data, count }
    }

    /// Takes the text so far, to write it away.
    pub(super) fn drain(&mut self) -> String {
        std::mem::take(&mut self.data)
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

    fn open(&mut self) -> Id {
        self.count += 1;
        // Writing into a String cannot fail.
        let _ = write!(self.data, "#{}=", self.count);
        Id(self.count)
    }
}

/// What follows the data.
pub(super) const TAIL: &str = "ENDSEC;\nEND-ISO-10303-21;\n";

/// What stands before the data.
pub(super) fn head(header: &[HeaderRecord]) -> String {
    let mut out = String::from("ISO-10303-21;\nHEADER;\n");
    for (keyword, fill) in header {
        list(&mut out, keyword, fill);
        out.push_str(";\n");
    }
    out.push_str("ENDSEC;\nDATA;\n");
    out
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

#[cfg(test)]
mod tests {
    use super::*;

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
        let head = head(&[("H", &|r| {
            r.texts(&["x"]);
        })]);
        let file = head + &p.drain() + TAIL;
        assert_eq!(
            file,
            "ISO-10303-21;\nHEADER;\nH(('x'));\nENDSEC;\nDATA;\n#1=A('',$,*,.T.);\n\
             #2=B((#1,#1),(),((#1),(#1,#1)),.MILLI.,L(2.));\n#3=(C()D((2,1)));\nENDSEC;\n\
             END-ISO-10303-21;\n"
        );
    }
}
