use super::*;

fn square() -> Drawing {
    let arc = Stroke::Arc {
        centre: [0.0, 0.0],
        radius: 5.0,
        start: 0.5 * std::f64::consts::PI,
        turn: std::f64::consts::PI,
    };
    let outline = vec![
        arc,
        Stroke::Line([0.0, -5.0], [10.0, -5.0]),
        Stroke::Polyline(vec![[10.0, -5.0], [11.0, 0.0], [10.0, 5.0]]),
        Stroke::Line([10.0, 5.0], [0.0, 5.0]),
    ];
    let hole = Stroke::Circle {
        centre: [4.0, 1.5],
        radius: 1.25,
    };
    let shape = |layer, seen, strokes| Shape {
        layer,
        seen,
        contour: Contour {
            strokes,
            closed: true,
        },
    };
    Drawing {
        setup: SetUp::OutsideUp,
        whole: false,
        shapes: vec![
            shape(Layer::Outline, None, outline),
            shape(Layer::PinHoles, Some(SetUp::InsideUp), vec![hole]),
        ],
    }
}

fn title(part: &str) -> Title {
    Title {
        part: part.to_owned(),
        bench_only: true,
    }
}

fn svg(part: &str) -> String {
    String::from_utf8(square().svg(&title(part))).unwrap()
}

#[test]
fn the_svg_says_what_is_drawn() {
    let text = svg("a & b");
    for wanted in [
        // The left half circle runs counter-clockwise: sense 0 where y points down; in two
        // pieces, so that a reader finds its centre.
        "<path d=\"M0 -5 A5 5 0 0 0 -5 0 A5 5 0 0 0 0 5 L10 5 L11 0 L10 -5 L0 -5 Z\"/>",
        "<circle cx=\"4\" cy=\"-1.5\" r=\"1.25\"/>",
        "<g id=\"pin-holes-far-side\" stroke=\"#0000d0\" stroke-dasharray=",
        "<title>a &amp; b</title>",
        "<desc>outside up, unit mm, 1:1, NOT FOR CUTTING</desc>",
        ">NOT FOR CUTTING</text>",
    ] {
        assert!(text.contains(wanted), "{wanted}\n{text}");
    }
}

#[test]
fn names_leave_no_markup_and_nothing_that_xml_cannot_hold() {
    let plain = svg("x");
    let hostile = svg("</svg>\"&<!--\u{0}\u{8}\u{b}\u{1f}\u{fffe}\u{ffff}]]>");
    for mark in ["<", "<title>", "\"", "\n"] {
        assert_eq!(hostile.matches(mark).count(), plain.matches(mark).count());
    }
    // Char of XML 1.0, production 2.
    let held = |c: char| matches!(c, '\t' | '\n' | '\r' | '\u{20}'..='\u{d7ff}' | '\u{e000}'..='\u{fffd}' | '\u{10000}'..);
    assert!(hostile.chars().all(held));
    assert_eq!(hostile.matches('&').count(), hostile.matches(';').count());
}

#[test]
fn the_dxf_is_pairs_with_handles_of_their_own() {
    let text = String::from_utf8(square().dxf(&title("0\nEOF\n ü"))).unwrap();
    assert!(text.is_ascii());
    let lines: Vec<&str> = text.lines().collect();
    let pairs: Vec<(u32, &str)> = lines
        .chunks(2)
        .map(|pair| (pair[0].trim().parse().unwrap(), pair[1]))
        .collect();
    assert_eq!(lines.len() % 2, 0);
    assert_eq!(pairs.last(), Some(&(0, "EOF")));
    assert_eq!(text.matches("EOF\n").count(), 1);
    let number = |text: &str| u32::from_str_radix(text, 16).unwrap();
    let handles = pairs.iter().filter(|(code, _)| matches!(code, 5 | 105));
    let mut handles: Vec<u32> = handles.map(|(_, h)| number(h)).collect();
    // The first is the seed, above all others.
    let seed = handles.remove(0);
    let count = handles.len();
    handles.sort_unstable();
    handles.dedup();
    assert_eq!(handles.len(), count);
    assert!(handles.iter().all(|h| *h > 0 && *h < seed));
    let owners = pairs.iter().filter(|(code, _)| matches!(code, 330 | 350));
    for (_, owner) in owners {
        let owner = number(owner);
        assert!(owner == 0 || handles.contains(&owner), "{owner:X}");
    }
}

#[test]
fn the_dxf_has_bulges_and_circles() {
    let text = String::from_utf8(square().dxf(&title("x"))).unwrap();
    // A half circle has the bulge tan(pi / 4) = 1; five corners, closed.
    let line = "AcDbPolyline\n 90\n5\n 70\n129\n 10\n0\n 20\n5\n 42\n1\n 10\n0\n 20\n-5\n 10\n10\n";
    assert!(text.contains(line), "{text}");
    assert!(
        text.contains(
            "pin holes (far side)\n100\nAcDbCircle\n 10\n4\n 20\n1.5\n 30\n0\n 40\n1.25\n"
        )
    );
    assert!(text.contains("$INSUNITS\n 70\n4\n") && text.contains("$ACADVER\n  1\nAC1015\n"));
}

/// The middle of an arc as a reader of SVG makes it from rounded ends and radius (SVG 1.1, F.6.5 and
/// F.6.6: the centre lies beside the chord, and a radius that is too small grows).
fn read_middle(from: Place, to: Place, radius: f64, sweep: bool) -> Place {
    let half = [0, 1].map(|k| 0.5 * (to[k] - from[k]));
    let chord = half[0].hypot(half[1]);
    let radius = radius.max(chord);
    let sagitta = radius - (radius * radius - chord * chord).sqrt();
    let side = if sweep { 1.0 } else { -1.0 };
    [
        0.5 * (from[0] + to[0]) + side * sagitta * half[1] / chord,
        0.5 * (from[1] + to[1]) - side * sagitta * half[0] / chord,
    ]
}

/// Ends off by half the fourth decimal either way, a radius off as much: the middle of a quarter
/// turn is off by 1.6e-4 mm at most (derived: half the rounding of the ends, plus sagitta
/// r - sqrt(r^2 - c^2 / 4) with dr = 5e-5 and dc = 1.4e-4).
#[test]
fn a_reader_of_the_svg_finds_every_arc_where_it_is() {
    let mut read = 0;
    for turn in [
        0.3,
        std::f64::consts::FRAC_PI_2,
        3.0,
        std::f64::consts::PI,
        3.3,
        4.7,
        6.2,
    ] {
        for (radius, way) in [(3.331_77, 1.0), (8.040_04, -1.0), (40.000_05, 1.0)] {
            let (centre, start): (Place, f64) = ([0.123_44, -7.765_43], 0.7);
            let arc = Stroke::Arc {
                centre,
                radius,
                start,
                turn: way * turn,
            };
            let mut drawing = square();
            drawing.shapes.truncate(1);
            drawing.shapes[0].contour.strokes = vec![arc];
            let text = String::from_utf8(drawing.svg(&title("x"))).unwrap();
            let path = text.split("<path d=\"M").nth(1).unwrap();
            let path = path.split(" Z").next().unwrap();
            let numbers =
                |text: &str| -> Vec<f64> { text.split(' ').map(|n| n.parse().unwrap()).collect() };
            let mut pieces = path.split(" A");
            let mut from = numbers(pieces.next().unwrap());
            let arcs: Vec<Vec<f64>> = pieces.map(numbers).collect();
            for (k, piece) in arcs.iter().enumerate() {
                let [r, _, _, large, sweep, x, y] = piece[..] else {
                    panic!("{piece:?}");
                };
                assert_eq!(large, 0.0);
                let middle = read_middle([from[0], from[1]], [x, y], r, sweep == 1.0);
                let along = (k as f64 + 0.5) / arcs.len() as f64;
                let (sin, cos) = (start + way * turn * along).sin_cos();
                let off = [
                    middle[0] - centre[0] - radius * cos,
                    -middle[1] - centre[1] - radius * sin,
                ];
                let off = off[0].hypot(off[1]);
                assert!(off < 1.6e-4, "turn {turn} radius {radius}: {off}");
                from = vec![x, y];
                read += 1;
            }
        }
    }
    assert!(read > 21, "{read}");
}
