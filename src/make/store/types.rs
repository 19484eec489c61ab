//! What is kept of halves and joints, field by field.

use std::collections::BTreeMap;

use super::bytes::{Stored, stored, stored_as_number};
use crate::check::collide::Contact;
use crate::check::finding::{Amount, Bound, Finding, Limit, Row};
use crate::check::small::{Corners, Laid};
use crate::check::strength::{GlueFace, Width};
use crate::diagnostic::{Diagnostic, Place, Severity};
use crate::export::manifest::FileEntry;
use crate::export::step::Plain;
use crate::make::checked::{Checked, Measured};
use crate::make::parts::Numbers;
use crate::make::run::Listed;
use crate::mesh::Mesh;
use crate::units::Unit;

/// A distinct part as an earlier run made and checked it.
#[derive(Debug, Clone)]
pub(in crate::make) struct Solid {
    pub listed: Listed,
    /// The solid in the file of the whole creature.
    pub fragment: Plain,
    pub found: Vec<Found>,
    pub measured: Measured,
}

/// A finding without its place in the design's file: lines move with comments.
#[derive(Debug, Clone)]
pub(in crate::make) struct Found {
    subject: String,
    section: Option<usize>,
    at: Option<[f64; 3]>,
    measured: Option<Amount>,
    limit: Option<Limit>,
    rows: Vec<Row>,
    accepted: Option<String>,
    severity: Severity,
    words: [String; 4],
}

/// What was found for joints and sections, by the hash of all that it depends on.
#[derive(Debug, Default)]
pub(in crate::make) struct Chain {
    pub joints: BTreeMap<String, Touch>,
    pub laid: BTreeMap<String, Vec<Laid>>,
}

/// First contacts of a joint.
#[derive(Debug, Clone)]
pub(in crate::make) struct Touch {
    pub concentric: Contact,
    pub aside: Contact,
    pub short: [f64; 2],
}

impl Solid {
    /// What the manifest says of it, and what its checks found, at a place in the design's file.
    pub fn checked(self, place: &Place) -> (Listed, Checked) {
        let found = self.found.into_iter();
        let checked = Checked {
            findings: found.map(|f| f.at(place)).collect(),
            measured: Some(self.measured),
        };
        (self.listed, checked)
    }
}

impl Found {
    /// A finding that stands at `place`; nothing of one that stands elsewhere.
    pub fn of(finding: &Finding, place: &Place) -> Option<Self> {
        let Finding {
            subject,
            section,
            at,
            measured,
            limit,
            rows,
            accepted,
            message,
        } = finding.clone();
        let Diagnostic {
            severity,
            rule,
            place: own,
            found,
            allowed,
            way_out,
        } = message;
        (own == *place).then_some(Found {
            subject,
            section,
            at,
            measured,
            limit,
            rows,
            accepted,
            severity,
            words: [rule, found, allowed, way_out],
        })
    }

    /// The finding, at a place.
    pub fn at(self, place: &Place) -> Finding {
        let [rule, found, allowed, way_out] = self.words;
        Finding {
            subject: self.subject,
            section: self.section,
            at: self.at,
            measured: self.measured,
            limit: self.limit,
            rows: self.rows,
            accepted: self.accepted,
            message: Diagnostic {
                severity: self.severity,
                rule,
                place: place.clone(),
                found,
                allowed,
                way_out,
            },
        }
    }
}

stored!(Listed {
    finished,
    held,
    files
});
stored!(Solid {
    listed,
    fragment,
    found,
    measured
});
stored!(Found {
    subject,
    section,
    at,
    measured,
    limit,
    rows,
    accepted,
    severity,
    words
});
stored!(Chain { joints, laid });
stored!(Laid { name, out });
stored!(Touch {
    concentric,
    aside,
    short
});
stored!(Numbers {
    min,
    max,
    volume,
    triangles,
    deviation,
    misfit,
    faces
});
stored!(FileEntry {
    name,
    sha256,
    bytes
});
stored!(Plain { data, count, ids });
stored!(Measured {
    mesh,
    glue,
    corners,
    volume,
    moments
});
stored!(Mesh {
    positions,
    triangles,
    face,
    deviation
});
stored!(GlueFace {
    area,
    middle,
    second,
    reach,
    beside
});
stored!(Width { width, at });
stored!(Corners { stems, body });
stored!(Contact {
    angle,
    touched,
    place
});
stored!(Limit {
    amount,
    bound,
    source
});
stored!(Row {
    name,
    cells,
    source,
    unit
});

stored_as_number!(Bound { Bound::Least = 0, Bound::Most = 1 });
stored_as_number!(Unit { Unit::Mm = 0, Unit::Inch = 1 });
stored_as_number!(Severity { Severity::Error = 0, Severity::Warning = 1, Severity::Note = 2 });

impl Stored for Amount {
    fn put(&self, to: &mut Vec<u8>) {
        let (kind, value) = match *self {
            Amount::Length(mm) => (0_u8, mm),
            Amount::Angle(radians) => (1, radians),
            Amount::Volume(mm3) => (2, mm3),
            Amount::Area(mm2) => (3, mm2),
            Amount::Stress(mpa) => (4, mpa),
            Amount::Force(newtons) => (5, newtons),
            Amount::Mass(grams) => (6, grams),
            Amount::Factor(times) => (7, times),
            Amount::Count(n) => {
                to.push(8);
                return n.put(to);
            }
        };
        to.push(kind);
        value.put(to);
    }

    fn take(from: &mut &[u8]) -> Option<Self> {
        let kind = u8::take(from)?;
        if kind == 8 {
            return usize::take(from).map(Amount::Count);
        }
        let of: fn(f64) -> Amount = match kind {
            0 => Amount::Length,
            1 => Amount::Angle,
            2 => Amount::Volume,
            3 => Amount::Area,
            4 => Amount::Stress,
            5 => Amount::Force,
            6 => Amount::Mass,
            7 => Amount::Factor,
            _ => return None,
        };
        f64::take(from).map(of)
    }
}
