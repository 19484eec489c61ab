//! STEP files (ISO 10303-21) of exact halves, after AP214, the widest read protocol.
//!
//! Guaranteed: elementary surfaces and curves as such, B-splines with their exact knots and
//! weights, one FACE_OUTER_BOUND a face, millimetres, names and colours of the part and of its
//! faces, the same bytes for the same half. Not guaranteed: that the half is a valid solid;
//! the writer passes on what it is given.

mod assembly;
mod encode;
mod part21;
mod product;
mod renumber;
mod shapes;
mod sphere;
mod spline;
mod stamp;
mod style;
mod topology;

pub use assembly::{Assembly, Fragment, Placed, Plain, Seed};
pub use part21::{Args, Complex, HeaderRecord, Id, Part21};
pub use product::{Context, context, product};
pub use stamp::{Stamp, StampError, VARIABLE};
pub use style::{Colour, face_colour};

use super::words::NOT_FOR_CUTTING;
use crate::brep::shape::Half;
use shapes::Shapes;
use truck_modeling::{Point3, Vector3};

/// The schema of the files: AP214 with its object identifier.
pub const SCHEMA: &str = "AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }";

/// The program's name in headers.
const ORIGIN: &str = concat!(env!("CARGO_PKG_NAME"), " ", env!("CARGO_PKG_VERSION"));

/// What an assembly needs to know of a part that stands in the file.
#[derive(Debug, Clone)]
pub struct PartRecords {
    /// The PRODUCT_DEFINITION.
    pub definition: Id,
    /// The shape representation, with the part's own frame as its first item.
    pub representation: Id,
    /// The AXIS2_PLACEMENT_3D of the part's own frame.
    pub frame: Id,
    /// The styled items, still to be bound by [`finish`].
    pub styles: Vec<Id>,
}

/// The STEP file of one half, in the half's own frame, in mm. `name` is the product's name and
/// may be any Unicode text; `bench_only` marks the file as not for cutting.
pub fn write_part(
    name: &str,
    half: &Half,
    colour: Colour,
    stamp: &Stamp,
    bench_only: bool,
) -> Vec<u8> {
    let mut p = Part21::new();
    let context = product::context(&mut p, bench_only);
    let part = add_part(&mut p, &context, name, half, colour);
    finish(p, &context, name, &part.styles, stamp)
}

/// Adds one half as a product to a file that may hold several.
pub fn add_part(
    p: &mut Part21,
    context: &Context,
    name: &str,
    half: &Half,
    colour: Colour,
) -> PartRecords {
    let mut shapes = Shapes::new(p);
    let origin = Point3::new(0.0, 0.0, 0.0);
    let frame = shapes.placement(origin, Vector3::unit_z(), Vector3::unit_x());
    let written = topology::solid(&mut shapes, name, half);
    let representation = p.add("ADVANCED_BREP_SHAPE_REPRESENTATION", |r| {
        r.text(name).ids(&[frame, written.solid]);
        r.id(context.representation);
    });
    PartRecords {
        definition: product::product(p, context, name, representation),
        representation,
        frame,
        styles: style::style(p, &written, colour),
    }
}

/// Closes a file: binds the colours and puts the header before the data.
pub fn finish(
    mut p: Part21,
    context: &Context,
    name: &str,
    styles: &[Id],
    stamp: &Stamp,
) -> Vec<u8> {
    style::presentation(&mut p, context, styles);
    let mut bytes = head(name, context.bench_only, stamp).into_bytes();
    bytes.extend(p.drain().into_bytes());
    bytes.extend(part21::TAIL.as_bytes());
    bytes
}

/// Header of a file, up to its data.
fn head(name: &str, bench_only: bool, stamp: &Stamp) -> String {
    part21::head(&[
        ("FILE_DESCRIPTION", &|r| {
            let note: &[&str] = if bench_only {
                &["lengths in mm", NOT_FOR_CUTTING]
            } else {
                &["lengths in mm"]
            };
            r.texts(note).text("2;1");
        }),
        ("FILE_NAME", &|r| {
            r.text(name).text(stamp.as_str()).texts(&[""]).texts(&[""]);
            r.text(ORIGIN).text(ORIGIN).text("");
        }),
        ("FILE_SCHEMA", &|r| {
            r.texts(&[SCHEMA]);
        }),
    ])
}
