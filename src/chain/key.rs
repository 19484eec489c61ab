//! Keys of forms: equal forms and equal halves are built once.

use super::feature::{Features, TabRoot};
use super::form::{EndFace, EndJoint, SectionForm, Side};
use super::half::HalfForm;

/// The numbers of a form, bit by bit; equal keys mean equal solids.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct FormKey(Vec<u64>);

impl FormKey {
    /// Adds a number; -0.0 counts as 0.0.
    fn number(&mut self, value: f64) {
        self.0.push((value + 0.0).to_bits());
    }

    fn numbers(&mut self, values: &[f64]) {
        for &value in values {
            self.number(value);
        }
    }

    fn tag(&mut self, tag: u64) {
        self.0.push(tag);
    }

    /// Features of a half, in its own frame.
    fn features(&mut self, f: &Features) {
        self.tag(f.plates.len() as u64);
        for p in &f.plates {
            self.numbers(&[p.flank.sign(), p.half_thickness, p.ease]);
            self.tag(p.corners.len() as u64);
            for c in &p.corners {
                self.numbers(&[c.x, c.out, c.radius]);
            }
        }
        self.tag(f.tabs.len() as u64);
        for t in &f.tabs {
            self.tag(match t.on {
                TabRoot::Rim => 0,
                TabRoot::Plate(number) => 1 + number as u64,
            });
            self.numbers(&[t.flank.sign(), t.x, t.width, t.from, t.to]);
            self.numbers(&t.length);
        }
        self.tag(f.eyes.len() as u64);
        for e in &f.eyes {
            self.numbers(&[e.x, e.y, e.radius, e.depth]);
        }
        self.tag(f.flats.len() as u64);
        for f in &f.flats {
            self.numbers(&[f.from, f.to, f.half_width, f.height]);
            self.numbers(&[f.level.0, f.level.1]);
        }
        self.tag(f.grooves.len() as u64);
        for g in &f.grooves {
            self.numbers(&[g.x, g.mouth, g.radius, g.half_width, g.depth, g.free]);
        }
        self.tag(f.marks.len() as u64);
        for m in &f.marks {
            self.numbers(&[m.half_width, m.depth]);
            self.tag(m.strokes.len() as u64);
            for stroke in &m.strokes {
                self.tag(stroke.path.len() as u64);
                self.numbers(stroke.path.as_flattened());
            }
        }
        self.number(f.pin_chamfer);
    }

    fn end(&mut self, form: &super::form::End) {
        match form.face {
            EndFace::Flat => self.tag(0),
            EndFace::Closed => self.tag(1),
            EndFace::Domed { radius } => {
                self.tag(2);
                self.number(radius);
            }
        }
        match form.joint {
            EndJoint::None => self.tag(0),
            EndJoint::Ball(b) => {
                self.tag(1);
                self.numbers(&[b.radius, b.reach, b.neck_radius, b.fillet]);
            }
            EndJoint::Socket(s) => {
                self.tag(2);
                self.numbers(&[s.radius, s.depth, s.mouth_radius, s.flare]);
            }
        }
    }
}

impl SectionForm {
    /// Key of the whole section, both halves.
    #[must_use]
    pub fn form_key(&self) -> FormKey {
        let mut key = self.half_key(Side::Upper);
        key.0.extend(self.half_key(Side::Lower).0);
        key
    }

    /// Key of one half in its own pose (the lower half turned about x, which changes the sign
    /// of y), tabs included: halves with equal keys are the same solids, whichever side they are.
    #[must_use]
    pub fn half_key(&self, side: Side) -> FormKey {
        let half = HalfForm::held(self, side);
        let mut key = FormKey(Vec::new());
        key.tag(u64::from(self.whole));
        key.numbers(&[half.length, half.crown, half.rim, half.lean]);
        key.tag(half.stations.len() as u64);
        for s in &half.stations {
            key.numbers(&[s.x, s.half_width, s.height, s.squareness]);
            key.tag(s.fixes as u64);
        }
        key.end(&half.front);
        key.end(&half.rear);
        key.tag(half.pins.len() as u64);
        for p in &half.pins {
            key.numbers(&[p.x, p.y, p.radius, p.slot, p.depth]);
        }
        key.features(&half.features);
        key
    }
}

#[cfg(test)]
mod tests {
    use super::super::form::*;

    fn form() -> SectionForm {
        let station = |x| Station {
            x,
            half_width: 14.0,
            above: 12.0,
            below: 12.0,
            squareness: 2.5,
            knot: Knot::Point,
        };
        let end = End {
            face: EndFace::Flat,
            joint: EndJoint::None,
        };
        SectionForm {
            length: 40.0,
            outline: vec![station(0.0), station(40.0)],
            rim: 4.5,
            lean: 0.06,
            front: end,
            rear: end,
            pins: vec![Pin {
                x: 20.0,
                y: 0.0,
                radius: 3.2,
                slot: 0.0,
                depth_above: 8.0,
                depth_below: 8.0,
            }],
            whole: false,
            features: crate::chain::Features::default(),
        }
    }

    #[test]
    fn halves_of_a_symmetric_section_are_one() {
        let form = form();
        assert_eq!(form.half_key(Side::Upper), form.half_key(Side::Lower));
        let mut zero = form.clone();
        zero.pins[0].y = -0.0;
        assert_eq!(zero.form_key(), form.form_key());
    }

    #[test]
    fn every_number_counts() {
        let base = form().form_key();
        let changes: [fn(&mut SectionForm); 9] = [
            |f| f.length += 1e-12 * f.length,
            |f| f.rim += 1e-9,
            |f| f.outline[1].squareness += 1e-9,
            |f| f.outline[0].below += 1e-9,
            |f| f.front.face = EndFace::Closed,
            |f| f.rear.face = EndFace::Domed { radius: 13.0 },
            |f| f.pins[0].y += 1e-9,
            |f| f.pins[0].depth_below += 1e-9,
            |f| f.pins.clear(),
        ];
        for (i, change) in changes.iter().enumerate() {
            let mut other = form();
            change(&mut other);
            assert_ne!(other.form_key(), base, "change {i}");
        }
        let mut other = form();
        other.pins[0].y = 2.0;
        assert_ne!(other.half_key(Side::Upper), other.half_key(Side::Lower));
        other.outline[0].below = 11.0;
        assert_eq!(
            form().half_key(Side::Upper).0.len(),
            other.half_key(Side::Lower).0.len()
        );
    }
}
