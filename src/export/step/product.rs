//! Products, units and contexts as records (ISO 10303-41 as AP214 uses it).

use super::part21::{Id, Part21};
use crate::export::words::NOT_FOR_CUTTING;

/// Records that all parts of a file share.
#[derive(Debug, Clone, Copy)]
pub struct Context {
    product: Id,
    definition: Id,
    /// Geometric context with units and uncertainty: the one of every representation.
    pub representation: Id,
    /// The products are for benches and tests, not for cutting.
    pub bench_only: bool,
}

/// Distance in mm below which points are one; edges meet faces within a tenth of it.
const UNCERTAINTY: f64 = 1e-6;

/// Adds the contexts: design of mechanical parts, millimetre, radian, steradian.
pub fn context(p: &mut Part21, bench_only: bool) -> Context {
    let application = p.add("APPLICATION_CONTEXT", |r| {
        r.text("core data for automotive mechanical design processes");
    });
    p.add("APPLICATION_PROTOCOL_DEFINITION", |r| {
        r.text("international standard").text("automotive_design");
        r.int(2000).id(application);
    });
    let product = p.add("PRODUCT_CONTEXT", |r| {
        r.text("").id(application).text("mechanical");
    });
    let definition = p.add("PRODUCT_DEFINITION_CONTEXT", |r| {
        r.text("part definition").id(application).text("design");
    });
    Context {
        product,
        definition,
        representation: representation_context(p),
        bench_only,
    }
}

fn representation_context(p: &mut Part21) -> Id {
    let length = unit(p, "LENGTH_UNIT", Some("MILLI"), "METRE");
    let angle = unit(p, "PLANE_ANGLE_UNIT", None, "RADIAN");
    let solid_angle = unit(p, "SOLID_ANGLE_UNIT", None, "STERADIAN");
    let uncertainty = p.add("UNCERTAINTY_MEASURE_WITH_UNIT", |r| {
        r.typed("LENGTH_MEASURE", UNCERTAINTY).id(length);
        r.text("distance_accuracy_value").text("");
    });
    p.add_complex(|c| {
        c.part("GEOMETRIC_REPRESENTATION_CONTEXT", |r| {
            r.int(3);
        })
        .part("GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT", |r| {
            r.ids(&[uncertainty]);
        })
        .part("GLOBAL_UNIT_ASSIGNED_CONTEXT", |r| {
            r.ids(&[length, angle, solid_angle]);
        })
        .part("REPRESENTATION_CONTEXT", |r| {
            r.text("").text("3D");
        });
    })
}

fn unit(p: &mut Part21, kind: &str, prefix: Option<&str>, name: &str) -> Id {
    p.add_complex(|c| {
        let mut parts = ["NAMED_UNIT", "SI_UNIT", kind];
        parts.sort_unstable();
        for part in parts {
            c.part(part, |r| match part {
                "NAMED_UNIT" => {
                    r.derived();
                }
                "SI_UNIT" => {
                    match prefix {
                        Some(prefix) => r.word(prefix),
                        None => r.absent(),
                    };
                    r.word(name);
                }
                _ => (),
            });
        }
    })
}

/// Adds a product named `name` whose shape is `representation`; returns its
/// PRODUCT_DEFINITION.
pub fn product(p: &mut Part21, context: &Context, name: &str, representation: Id) -> Id {
    let note = if context.bench_only {
        NOT_FOR_CUTTING
    } else {
        ""
    };
    let product = p.add("PRODUCT", |r| {
        r.text(name).text(name).text(note);
        r.ids(&[context.product]);
    });
    p.add("PRODUCT_RELATED_PRODUCT_CATEGORY", |r| {
        r.text("part").absent().ids(&[product]);
    });
    let formation = p.add("PRODUCT_DEFINITION_FORMATION", |r| {
        r.text("").text("").id(product);
    });
    let definition = p.add("PRODUCT_DEFINITION", |r| {
        r.text("design").text("").id(formation);
        r.id(context.definition);
    });
    let shape = p.add("PRODUCT_DEFINITION_SHAPE", |r| {
        r.text("").text("").id(definition);
    });
    p.add("SHAPE_DEFINITION_REPRESENTATION", |r| {
        r.id(shape).id(representation);
    });
    definition
}
