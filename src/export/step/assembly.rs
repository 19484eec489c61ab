//! One STEP file of the whole creature: each solid once, placed as often as it occurs.
//!
//! Solids are written to text on any thread ([`Seed::fragment`]) and joined in their order, so the
//! file grows on disk and not in memory. Occurrences follow the usual chain of AP214 (from memory,
//! held by a foreign kernel): NEXT_ASSEMBLY_USAGE_OCCURRENCE, its PRODUCT_DEFINITION_SHAPE, and a
//! CONTEXT_DEPENDENT_SHAPE_REPRESENTATION that carries the part's frame to its place.

use super::part21::{Id, Part21, TAIL};
use super::product::{Context, context, product};
use super::renumber::Mark;
use super::shapes::Shapes;
use super::style::{self, Colour};
use super::{PartRecords, Stamp, add_part, head};
use crate::brep::pose::Pose;
use crate::brep::shape::Half;
use std::io::{self, Write};
use truck_modeling::{Point3, Vector3};

/// What every solid of one file shares.
#[derive(Debug, Clone, Copy)]
pub struct Seed {
    context: Context,
    mark: Mark,
}

/// The records of one solid, not yet in the file.
#[derive(Debug)]
pub struct Fragment {
    records: Part21,
    part: PartRecords,
}

/// A fragment as text and numbers, to be kept and to come back from.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Plain {
    /// Its records.
    pub data: String,
    /// Number of the last of them.
    pub count: usize,
    /// Records that an assembly needs: of the [`PartRecords`], styles last.
    pub ids: Vec<usize>,
}

/// One occurrence of a solid.
#[derive(Debug, Clone, PartialEq)]
pub struct Placed {
    /// Its name.
    pub name: String,
    /// Number of the solid, from 0, in the order they were added.
    pub solid: usize,
    /// From the solid's own frame into the creature.
    pub pose: Pose,
}

/// The file as it grows.
#[derive(Debug)]
pub struct Assembly<W> {
    out: W,
    records: Part21,
    seed: Seed,
    parts: Vec<PartRecords>,
}

impl Seed {
    /// The records of a solid in its own frame, as a product `name`.
    pub fn fragment(&self, name: &str, half: &Half, colour: Colour) -> Fragment {
        let mut records = Part21::after(self.mark);
        let part = add_part(&mut records, &self.context, name, half, colour);
        Fragment { records, part }
    }
}

impl Fragment {
    /// As text and numbers.
    pub fn plain(&self) -> Plain {
        let PartRecords {
            definition,
            representation,
            frame,
            styles,
        } = &self.part;
        let ids = [definition, representation, frame]
            .into_iter()
            .chain(styles);
        let (data, count) = self.records.parts();
        Plain {
            data: data.to_owned(),
            count,
            ids: ids.map(|id| id.0).collect(),
        }
    }

    /// From what [`Fragment::plain`] gave of a file with the same beginning; nothing of anything else.
    pub fn of_plain(plain: Plain) -> Option<Fragment> {
        let (first, styles) = plain.ids.split_first_chunk()?;
        let [definition, representation, frame] = first.map(Id);
        Some(Fragment {
            part: PartRecords {
                definition,
                representation,
                frame,
                styles: styles.iter().map(|&id| Id(id)).collect(),
            },
            records: Part21::of_parts(plain.data, plain.count),
        })
    }
}

impl<W: Write> Assembly<W> {
    /// Begins a file of a creature called `name`.
    ///
    /// # Errors
    /// Those of `out`, as for all that follows.
    pub fn begin(mut out: W, name: &str, stamp: &Stamp, bench_only: bool) -> io::Result<Self> {
        out.write_all(head(name, bench_only, stamp).as_bytes())?;
        let mut records = Part21::new();
        let context = context(&mut records, bench_only);
        let seed = Seed {
            context,
            mark: records.mark(),
        };
        Ok(Assembly {
            out,
            records,
            seed,
            parts: Vec::new(),
        })
    }

    /// What solids of this file are written with.
    pub fn seed(&self) -> Seed {
        self.seed
    }

    /// Adds the next solid.
    ///
    /// # Errors
    /// Those of the writer.
    pub fn add(&mut self, fragment: &Fragment) -> io::Result<()> {
        let new = self.records.append(&fragment.records, self.seed.mark);
        let part = &fragment.part;
        self.parts.push(PartRecords {
            definition: new.id(part.definition),
            representation: new.id(part.representation),
            frame: new.id(part.frame),
            styles: part.styles.iter().map(|&s| new.id(s)).collect(),
        });
        self.write()
    }

    /// Places the solids and closes the file; gives the writer back.
    ///
    /// # Errors
    /// Those of the writer.
    pub fn end(mut self, name: &str, placed: &[Placed]) -> io::Result<W> {
        let mut shapes = Shapes::new(&mut self.records);
        let own = place(&mut shapes, Pose::NONE);
        let frames: Vec<Id> = placed.iter().map(|p| place(&mut shapes, p.pose)).collect();
        let p = &mut self.records;
        let representation = p.add("SHAPE_REPRESENTATION", |r| {
            let items: Vec<Id> = std::iter::once(own).chain(frames.iter().copied()).collect();
            r.text(name)
                .ids(&items)
                .id(self.seed.context.representation);
        });
        let whole = Whole {
            definition: product(p, &self.seed.context, name, representation),
            representation,
        };
        for (one, frame) in placed.iter().zip(frames) {
            occurrence(p, whole, &one.name, &self.parts[one.solid], frame);
        }
        let styles: Vec<Id> = self.parts.iter().flat_map(|p| &p.styles).copied().collect();
        style::presentation(p, &self.seed.context, &styles);
        self.write()?;
        self.out.write_all(TAIL.as_bytes())?;
        Ok(self.out)
    }

    fn write(&mut self) -> io::Result<()> {
        self.out.write_all(self.records.drain().as_bytes())
    }
}

/// The creature's own records.
#[derive(Clone, Copy)]
struct Whole {
    definition: Id,
    representation: Id,
}

fn place(shapes: &mut Shapes, pose: Pose) -> Id {
    let turned = |v: [f64; 3]| Vector3::from(pose.turn(v));
    let origin = Point3::from(pose.shift);
    shapes.placement(origin, turned([0.0, 0.0, 1.0]), turned([1.0, 0.0, 0.0]))
}

fn occurrence(p: &mut Part21, whole: Whole, name: &str, part: &PartRecords, frame: Id) {
    let usage = p.add("NEXT_ASSEMBLY_USAGE_OCCURRENCE", |r| {
        r.text(name).text(name).text("");
        r.id(whole.definition).id(part.definition).absent();
    });
    let shape = p.add("PRODUCT_DEFINITION_SHAPE", |r| {
        r.text("").text("").id(usage);
    });
    let moved = p.add("ITEM_DEFINED_TRANSFORMATION", |r| {
        r.text("").text("").id(part.frame).id(frame);
    });
    let relation = p.add_complex(|c| {
        c.part("REPRESENTATION_RELATIONSHIP", |r| {
            r.text("").text("");
            r.id(part.representation).id(whole.representation);
        })
        .part("REPRESENTATION_RELATIONSHIP_WITH_TRANSFORMATION", |r| {
            r.id(moved);
        })
        .part("SHAPE_REPRESENTATION_RELATIONSHIP", |_| ());
    });
    p.add("CONTEXT_DEPENDENT_SHAPE_REPRESENTATION", |r| {
        r.id(relation).id(shape);
    });
}
