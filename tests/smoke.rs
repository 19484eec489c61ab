use limberwood::brep::build_form;
use limberwood::chain::*;
use limberwood::mesh::tessellate;

pub fn caterpillar() -> SectionForm {
    let (rs, land) = (10.4, 3.0);
    let rho = rs + land;
    let re: f64 = 12.0;
    let x0 = rho - (rho * rho - re * re).sqrt();
    let st = |x: f64, w: f64, a: f64, b: f64| Station {
        x,
        half_width: w,
        above: a,
        below: b,
        squareness: 2.5,
    };
    let length = 36.0;
    SectionForm {
        length,
        outline: vec![
            st(x0, re, re, re),
            st(18.0, 16.0, 15.5, 14.0),
            st(length, 11.0, 11.0, 11.0),
        ],
        rim: 4.5,
        lean: 3.5f64.to_radians(),
        front: End {
            face: EndFace::Domed { radius: rho },
            joint: EndJoint::Socket(Socket {
                radius: rs,
                depth: rho,
                mouth_radius: 8.5,
                flare: 25f64.to_radians(),
            }),
        },
        rear: End {
            face: EndFace::Flat,
            joint: EndJoint::Ball(Ball {
                radius: 10.0,
                reach: rho + 4.0,
                neck_radius: 4.25,
                fillet: 1.75,
            }),
        },
        pins: vec![Pin {
            x: 29.0,
            y: 0.0,
            radius: 3.2,
            slot: 0.6,
            depth_above: 8.0,
            depth_below: 8.0,
        }],
    }
}

#[test]
fn smoke() {
    let form = caterpillar();
    let half = HalfForm::of(&form, Side::Upper);
    let t = std::time::Instant::now();
    let (solid, skin) = build_form(&half).unwrap();
    println!("build {:?} misfit {}", t.elapsed(), skin.misfit);
    for tol in [0.1, 0.02, 0.005] {
        let t = std::time::Instant::now();
        let mesh = tessellate(&solid, tol).unwrap();
        println!(
            "tol {tol}: {:?} tris {} vol {} bounds {:?}",
            t.elapsed(),
            mesh.triangles.len(),
            mesh.volume(),
            mesh.bounds()
        );
        let mut n = std::collections::BTreeMap::new();
        for (k, f) in mesh.face.iter().enumerate() {
            let _ = k;
            *n.entry(format!("{:?}", solid.kinds[*f as usize]))
                .or_insert(0) += 1;
        }
        println!("{n:?}");
        let mut edges = std::collections::BTreeMap::new();
        for t in &mesh.triangles {
            for k in 0..3 {
                let (a, b) = (t[k], t[(k + 1) % 3]);
                *edges.entry((a, b)).or_insert(0) += 1;
            }
        }
        let bad = edges
            .iter()
            .filter(|((a, b), n)| **n != 1 || edges.get(&(*b, *a)) != Some(&1))
            .count();
        println!("bad edges {bad}");
        let p: Vec<[f32; 3]> = mesh.positions.iter().map(|p| p.map(|c| c as f32)).collect();
        std::fs::write(
            format!("/tmp/smoke_{tol}.stl"),
            limberwood::export::stl::write("x", false, &p, &mesh.triangles).unwrap(),
        )
        .unwrap();
    }
    let step = limberwood::export::step::write_part(
        "S1 upper",
        &solid,
        limberwood::export::step::Colour::WOOD,
        &Default::default(),
        false,
    );
    std::fs::write("/tmp/smoke.step", step).unwrap();
}
