//! B-spline curves and surfaces as records (ISO 10303-42): plain with equal weights, else
//! rational, which is an instance of several entity types at once.

use super::part21::{Args, Complex, Id};
use super::shapes::Shapes;
use truck_modeling::{KnotVec, NurbsCurve, NurbsSurface, Point3, Vector4};

/// Knots without repeats, and how often each stands.
struct Knots {
    values: Vec<f64>,
    counts: Vec<usize>,
}

impl Knots {
    fn new(knots: &KnotVec) -> Self {
        let (mut values, mut counts) = (Vec::new(), Vec::<usize>::new());
        for &knot in knots.iter() {
            match (values.last(), counts.last_mut()) {
                (Some(&last), Some(count)) if last == knot => *count += 1,
                _ => {
                    values.push(knot);
                    counts.push(1);
                }
            }
        }
        Knots { values, counts }
    }
}

pub(super) fn curve(shapes: &mut Shapes, nurbs: &NurbsCurve<Vector4>) -> Id {
    let points = nurbs.control_points();
    let ids: Vec<Id> = points.iter().map(|p| shapes.point(place(p))).collect();
    let knots = Knots::new(nurbs.knot_vec());
    let form = |r: &mut Args| {
        r.int(nurbs.degree()).ids(&ids);
        r.word("UNSPECIFIED").flag(false).flag(false);
    };
    let spans = |r: &mut Args| {
        r.ints(&knots.counts).reals(&knots.values);
        r.word("UNSPECIFIED");
    };
    if points.iter().all(|p| p.w == points[0].w) {
        return shapes.p.add("B_SPLINE_CURVE_WITH_KNOTS", |r| {
            form(r.text(""));
            spans(r);
        });
    }
    let weights: Vec<f64> = points.iter().map(|p| p.w).collect();
    shapes.p.add_complex(|c: &mut Complex| {
        c.part("BOUNDED_CURVE", |_| ())
            .part("B_SPLINE_CURVE", form)
            .part("B_SPLINE_CURVE_WITH_KNOTS", spans)
            .part("CURVE", |_| ())
            .part("GEOMETRIC_REPRESENTATION_ITEM", |_| ())
            .part("RATIONAL_B_SPLINE_CURVE", |r| {
                r.reals(&weights);
            })
            .part("REPRESENTATION_ITEM", |r| {
                r.text("");
            });
    })
}

pub(super) fn surface(shapes: &mut Shapes, nurbs: &NurbsSurface<Vector4>) -> Id {
    let net = nurbs.control_points();
    let ids: Vec<Vec<Id>> = net
        .iter()
        .map(|row| row.iter().map(|p| shapes.point(place(p))).collect())
        .collect();
    let (u, v) = (Knots::new(nurbs.uknot_vec()), Knots::new(nurbs.vknot_vec()));
    let form = |r: &mut Args| {
        r.int(nurbs.udegree()).int(nurbs.vdegree()).id_rows(&ids);
        r.word("UNSPECIFIED").flag(false).flag(false).flag(false);
    };
    let spans = |r: &mut Args| {
        r.ints(&u.counts).ints(&v.counts);
        r.reals(&u.values).reals(&v.values).word("UNSPECIFIED");
    };
    if net.iter().flatten().all(|p| p.w == net[0][0].w) {
        return shapes.p.add("B_SPLINE_SURFACE_WITH_KNOTS", |r| {
            form(r.text(""));
            spans(r);
        });
    }
    let weights: Vec<Vec<f64>> = net
        .iter()
        .map(|row| row.iter().map(|p| p.w).collect())
        .collect();
    shapes.p.add_complex(|c: &mut Complex| {
        c.part("BOUNDED_SURFACE", |_| ())
            .part("B_SPLINE_SURFACE", form)
            .part("B_SPLINE_SURFACE_WITH_KNOTS", spans)
            .part("GEOMETRIC_REPRESENTATION_ITEM", |_| ())
            .part("RATIONAL_B_SPLINE_SURFACE", |r| {
                r.real_rows(&weights);
            })
            .part("REPRESENTATION_ITEM", |r| {
                r.text("");
            })
            .part("SURFACE", |_| ());
    })
}

/// The control point in space of a weighted one.
fn place(p: &Vector4) -> Point3 {
    Point3::new(p.x / p.w, p.y / p.w, p.z / p.w)
}
