use super::packed::base64;
use super::*;
use crate::brep::shape::FaceKind;
use crate::mesh::Mesh;

fn bytes(text: &str) -> Vec<u8> {
    // The other way round, by a table of letters, so that the encoder is not its own judge.
    let value = |c: char| match c {
        'A'..='Z' => c as u32 - 65,
        'a'..='z' => c as u32 - 71,
        '0'..='9' => c as u32 + 4,
        '+' => 62,
        _ => 63,
    };
    let mut out = Vec::new();
    let (mut bits, mut held) = (0_u32, 0);
    for c in text.chars().filter(|c| *c != '=') {
        bits = bits << 6 | value(c);
        held += 6;
        if held >= 8 {
            held -= 8;
            out.push((bits >> held & 255) as u8);
        }
    }
    out
}

fn tetrahedron() -> Mesh {
    Mesh {
        positions: vec![
            [-3.0, 0.25, 1.0],
            [70.0, 0.25, 1.0],
            [-3.0, 40.0, 1.0],
            [-3.0, 0.25, 17.3],
        ],
        triangles: vec![[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]],
        face: vec![0, 1, 2, 1],
        deviation: 0.0,
    }
}

/// The first set-up cuts the split face and the socket.
fn measures(walls: &[f32]) -> Measures<'_> {
    Measures {
        first: &[true, false, true, false],
        walls,
        most: 12.0,
        left: None,
    }
}

const KINDS: [FaceKind; 3] = [FaceKind::SplitFace, FaceKind::Skin, FaceKind::Socket];

fn sample(creature: &str) -> CreaturePage {
    let part = |name: &str| PagePart {
        name: name.to_owned(),
        section: 0,
        mesh: 0,
        pose: crate::brep::pose::Pose::NONE.matrix(),
        whole: false,
        size: [73.0, 39.75, 16.3],
        mass: 12.34,
    };
    CreaturePage {
        creature: creature.to_owned(),
        bench_only: false,
        species: "hard maple".to_owned(),
        wood: [[0.8; 3], [0.6; 3]],
        ramp: vec![[0.1; 3]; 9],
        walls: [3.0, 12.0],
        left: PageLeft {
            names: ["inside up", "outside up"],
            most: 1.5,
        },
        mass: 12.34,
        length: 73.0,
        sections: vec!["<i>a".to_owned(), "b".to_owned()],
        verdict: "cut".to_owned(),
        checked: true,
        picture: vec![1, 2, 3],
        meshes: vec![PackedMesh::of(&tetrahedron(), &KINDS, &measures(&[1.0; 4]))],
        parts: vec![part("01-</script><b>x")],
        joints: vec![PageJoint {
            after: 0,
            centre: [70.0, 0.0, 0.0],
            limit: 0.4,
            stop: "neck and mouth",
            diameters: [20.0, 8.5, 16.0],
            clearance: 0.4,
            capture: 2.0,
            play: 1.0,
            gap: 4.0,
        }],
        pins: Vec::new(),
        findings: vec![
            PageFinding {
                severity: Severity::Warning,
                check: "thin-wall".to_owned(),
                words: "<img src=x onerror=y>".to_owned(),
                measured: Some("1.2 mm".to_owned()),
                rows: vec!["<q>row".to_owned()],
                accepted: Some("<u>why".to_owned()),
                at: Some((0, [1.0, 2.0, 3.0])),
            },
            PageFinding {
                severity: Severity::Note,
                check: "play".to_owned(),
                words: "plain `a<b` and `open".to_owned(),
                measured: None,
                rows: Vec::new(),
                accepted: None,
                at: None,
            },
        ],
        fits: vec![PageFit {
            joints: vec!["<b>x".to_owned()],
            rows: vec![["clearance", "0.4 mm", "0.4 mm", "design"].map(str::to_owned)],
        }],
        machine: PageMachine {
            sheet: None,
            refused: vec!["<s>p".to_owned()],
        },
        drawings: vec![PageDrawings {
            parts: vec!["<s>p".to_owned()],
            set_ups: [
                ("inside up".to_owned(), "<?xml?><svg/>".to_owned()),
                ("outside up".to_owned(), "<svg/>".to_owned()),
            ],
        }],
        cautions: vec!["<em>care".to_owned()],
    }
}

#[test]
fn base64_as_in_the_standard() {
    // RFC 4648, section 10.
    let all = [
        ("", ""),
        ("f", "Zg=="),
        ("fo", "Zm8="),
        ("foo", "Zm9v"),
        ("foob", "Zm9vYg=="),
        ("foobar", "Zm9vYmFy"),
    ];
    for (plain, coded) in all {
        assert_eq!(base64(plain.as_bytes()), coded);
    }
}

#[test]
fn a_mesh_is_packed_within_half_a_step() {
    let mesh = tetrahedron();
    let walls = [0.0, 3.0, 12.0, f32::NAN];
    let packed = PackedMesh::of(
        &mesh,
        &KINDS,
        &Measures {
            left: Some([&[left_sign(0.1234, true, false); 4], &[0, 1, 256, 0]]),
            ..measures(&walls)
        },
    );
    let [first, second] = packed.left.as_ref().unwrap();
    assert_eq!(bytes(first)[..2], (0x8000_u16 + 123).to_le_bytes());
    assert_eq!(bytes(second), [0, 0, 1, 0, 0, 1, 0, 0]);
    assert_eq!(left_sign(99.0, false, true), 0x7fff);
    assert_eq!(left_sign(f64::NAN, false, false), 0);
    assert_eq!(bytes(&packed.walls), [0, 64, 255, 255]);
    let steps: Vec<u16> = bytes(&packed.places)
        .chunks(2)
        .map(|c| u16::from_le_bytes([c[0], c[1]]))
        .collect();
    assert_eq!(steps.len(), 3 * mesh.positions.len());
    for (place, own) in mesh.positions.iter().zip(steps.chunks(3)) {
        for k in 0..3 {
            let read = packed.low[k] + f64::from(own[k]) * packed.step[k];
            assert!((read - place[k]).abs() <= 0.5 * packed.step[k] + 1e-9);
        }
    }
    // In the order of the groups: skin (1 and 3), split face (0), socket (2).
    let corners: Vec<u32> = bytes(&packed.corners)
        .chunks(2)
        .map(|c| u32::from(u16::from_le_bytes([c[0], c[1]])))
        .collect();
    let wanted = [1, 3, 0, 2].map(|t| mesh.triangles[t]).concat();
    assert_eq!(corners, wanted);
    assert_eq!(packed.runs, [0, 2, 1, 0, 0, 0, 1, 0, 0, 0, 0, 0, 0, 0]);
    assert!(!packed.wide);
}

#[test]
fn many_corners_take_32_bits_and_a_flat_box_is_no_fault() {
    let mut mesh = tetrahedron();
    mesh.positions.iter_mut().for_each(|p| p[2] = 5.0);
    mesh.positions.resize(70_000, [0.0, 1.0, 5.0]);
    mesh.triangles = vec![[0, 1, 69_999]];
    mesh.face = vec![1];
    let packed = PackedMesh::of(&mesh, &KINDS, &measures(&[]));
    assert!(packed.wide);
    let last = bytes(&packed.corners)[8..].to_vec();
    assert_eq!(last, 69_999_u32.to_le_bytes());
    assert_eq!(packed.step[2], 0.0);
}

#[test]
fn words_of_the_design_come_out_as_text() {
    let html = sample("<script>alert(1)</script>").html().unwrap();
    assert!(html.contains("<h1>&lt;script&gt;alert(1)&lt;/script&gt;</h1>"));
    // The record and the program: nothing else.
    assert_eq!(html.matches("<script").count(), 2);
    assert_eq!(html.matches("</script>").count(), 2);
    for tag in [
        "<i>a",
        "<b>x",
        "<img src=x",
        "<u>why",
        "<q>row",
        "<s>p",
        "<em>care",
    ] {
        assert!(!html.contains(tag), "{tag}");
    }
    assert!(html.contains("plain <code>a&lt;b</code> and <code>open</code>"));
    // A hidden template word in a name must not be filled in twice.
    let html = sample("{{picture}}").html().unwrap();
    assert!(html.contains("The jointed creature {{picture}} seen"));
}

#[test]
fn the_policy_names_the_script_and_nothing_comes_from_outside() {
    use sha2::{Digest, Sha256};
    let html = sample("x").html().unwrap();
    let script = html.rsplit("<script>").next().unwrap();
    let script = script.split("</script>").next().unwrap();
    let hash = base64(&Sha256::digest(script));
    assert!(html.contains(&format!("script-src 'sha256-{hash}'")));
    assert!(html.contains("default-src 'none'"));
    for word in ["http:", "https:", "url(", "import ", "fetch("] {
        assert!(!html.contains(word), "{word}");
    }
    assert!(is_page(html.as_bytes()));
    assert!(!is_page(b"<!DOCTYPE html><html></html>"));
}

#[test]
fn the_record_holds_what_the_script_reads() {
    let page = sample("x");
    let record = serde_json::to_value(page.record()).unwrap();
    assert_eq!(record["joints"][0]["limit"], 0.4);
    assert_eq!(record["parts"][0]["pose"][0][0], 1.0);
    assert_eq!(record["places"][0]["measured"], "1.2 mm");
    assert_eq!(record["places"].as_array().unwrap().len(), 1);
    assert_eq!(record["groups"].as_array().unwrap().len(), 7);
    // Only findings with a place have a button.
    assert_eq!(page.html().unwrap().matches("data-place=\"").count(), 1);
}
