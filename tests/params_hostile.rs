//! Hostile and broken files: refused fast, with the limit named, and never a panic.

use std::fmt::Write as _;
use std::io::Write as _;
use std::time::{Duration, Instant};

use limberwood::params::{
    read_design, read_design_str, read_files, read_shop, read_shop_str, shop_beside,
};
use proptest::prelude::*;

const HEAD: &str = "limberwood: 1\nname: Pike\nunits: mm\n";
const DEMO: &str = include_str!("../params/caterpillar.yaml");
const SHOP: &str = include_str!("../params/shop-metric.yaml");

/// Time that this thread has had on a processor, so that a busy machine does not fail a test;
/// where the system does not tell, the time since `start`.
fn processor_time(start: Instant) -> Duration {
    std::fs::read_to_string("/proc/thread-self/schedstat")
        .ok()
        .and_then(|text| text.split(' ').next()?.parse().ok())
        .map_or_else(|| start.elapsed(), Duration::from_nanos)
}

/// Reads a text within a second and returns the first message.
fn refused(source: &str) -> String {
    let start = Instant::now();
    let before = processor_time(start);
    let errors = read_design_str(source, "pike.yaml").expect_err("refused");
    let time = processor_time(start).saturating_sub(before);
    assert!(time < Duration::from_secs(1), "{time:?}");
    errors.sorted()[0].to_string()
}

fn assert_has(message: &str, words: &[&str]) {
    assert!(words.iter().all(|word| message.contains(word)), "{message}");
}

#[test]
fn alias_bomb() {
    let mut text = String::from(HEAD);
    text.push_str("a: &a [x, x, x, x, x, x, x, x, x]\n");
    for (name, before) in ["b", "c", "d", "e", "f", "g", "h", "i"]
        .iter()
        .zip(["a", "b", "c", "d", "e", "f", "g", "h"])
    {
        let nine = vec![format!("*{before}"); 9].join(", ");
        writeln!(text, "{name}: &{name} [{nine}]").unwrap();
    }
    assert_has(&refused(&text), &["pike.yaml:4:4", "anchor or alias"]);
}

#[test]
fn a_thousand_million_sections() {
    let text = format!("{HEAD}sections:\n  - name: body\n    repeat: 1000000000\n");
    assert_has(
        &refused(&text),
        &["sections[0].repeat", "1000000000", "1 to 1000"],
    );
}

#[test]
fn many_written_sections() {
    let mut text = format!("{HEAD}sections:\n");
    for i in 0..3000 {
        writeln!(text, "  - {{name: s{i}}}").unwrap();
    }
    assert_has(
        &refused(&text),
        &["sections: found a list of 3000 entries", "1 to 1000"],
    );
}

#[test]
fn many_repeats_together() {
    let text =
        format!("{HEAD}sections:\n  - {{name: a, repeat: 600}}\n  - {{name: b, repeat: 600}}\n");
    assert_has(&refused(&text), &["1200 sections", "at most 1000"]);
}

#[test]
fn too_many_nodes() {
    let text = format!("{HEAD}sections: [{}]\n", "a,".repeat(1_000_000));
    assert_has(
        &refused(&text),
        &["too many keys and values", "at most 120000"],
    );
}

#[test]
fn many_unknown_keys() {
    let mut text = String::from(HEAD);
    for i in 0..50_000 {
        writeln!(text, "halfwidth_of_section_{i}: 1").unwrap();
    }
    refused(&text);
    let errors = read_design_str(&text, "pike.yaml")
        .expect_err("refused")
        .sorted();
    assert!(errors.len() <= 201, "{}", errors.len());
    assert_has(
        &errors.last().unwrap().to_string(),
        &["more messages, not shown"],
    );
}

#[test]
fn many_sections_alike() {
    let mut text = format!("{HEAD}sections:\n");
    for i in 0..999 {
        writeln!(text, "  - {{name: long_name_of_a_section_number_{i}, like: long_name_of_a_section_number_{}}}", i + 1).unwrap();
    }
    text.push_str("  - {name: x, like: long_name_of_a_section_number_0}\n");
    refused(&text);
}

#[test]
fn deep_nesting() {
    for (open, close) in [("[", "]"), ("{a: ", "}"), ("- ", ""), ("? ", "")] {
        let text = format!(
            "{HEAD}sections: \n  {}1{}\n",
            open.repeat(5000),
            close.repeat(5000)
        );
        refused(&text);
    }
    let text = format!("{HEAD}sections: {}1{}\n", "[".repeat(40), "]".repeat(40));
    assert_has(&refused(&text), &["nested too deep", "at most 16"]);
}

#[test]
fn a_huge_file_is_not_read() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("huge.yaml");
    let file = std::fs::File::create(&path).unwrap();
    file.set_len(50_000_000).unwrap();
    let message = read_design(&path).expect_err("refused").to_string();
    assert_has(&message, &["50000000 bytes", "4194304"]);
    let text = " ".repeat(5_000_000);
    assert_has(&refused(&text), &["5000000 bytes", "at most"]);
}

#[test]
fn long_lines_and_long_scalars() {
    refused(&format!("{HEAD}{}", "a".repeat(4_000_000)));
    refused(&format!("{HEAD}species: {}\n", "a".repeat(4_000_000)));
    refused(&format!("{HEAD}species: \"{}\n", "\\t".repeat(1_900_000)));
    refused(&format!("{HEAD}{}\n", "# !x \n".repeat(600_000)));
    refused(&format!(
        "{HEAD}joint: {{ball: {}}}\n",
        "9".repeat(4_000_000)
    ));
    refused(&format!("{HEAD}sections: [{}]\n", "!a b,".repeat(50_000)));
}

#[test]
fn files_that_are_none() {
    let folder = tempfile::tempdir().unwrap();
    let message = read_design(folder.path()).expect_err("refused").to_string();
    assert_has(&message, &["a folder"]);
    let message = read_design(&folder.path().join("none.yaml"))
        .expect_err("refused")
        .to_string();
    assert_has(
        &message,
        &["none.yaml: error: no such file", "check the path"],
    );
    let path = folder.path().join("latin.yaml");
    std::fs::File::create(&path)
        .unwrap()
        .write_all(b"limberwood: 1\nname: M\xfcller\n")
        .unwrap();
    let message = read_design(&path).expect_err("refused").to_string();
    assert_has(
        &message,
        &["latin.yaml:2:8", "not UTF-8", "save the file as UTF-8"],
    );
    std::fs::File::create(&path)
        .unwrap()
        .write_all(b"\xff\xfel\0i\0")
        .unwrap();
    assert_has(
        &read_shop(&path).expect_err("refused").to_string(),
        &["UTF-16"],
    );
}

#[test]
fn faults_of_both_files_come_together() {
    let folder = tempfile::tempdir().unwrap();
    let (design, shop) = (
        folder.path().join("pike.yaml"),
        folder.path().join("shop.yaml"),
    );
    std::fs::write(&design, DEMO.replace("ball: 20", "ball: 2,0")).unwrap();
    std::fs::write(&shop, SHOP.replace("5 deg included", "5 deg")).unwrap();
    let message = read_files(&design, Some(&shop))
        .expect_err("refused")
        .to_string();
    assert_has(
        &message,
        &[
            "pike.yaml:13:9: error: joint.ball",
            "shop.yaml:13:12: error: cutters[2].taper",
        ],
    );
    std::fs::write(&design, DEMO).unwrap();
    assert_eq!(shop_beside(&design), Some(shop));
    let (_, built_in, _) = read_files(&design, None).unwrap();
    assert_eq!(built_in.name.value.0, "Built-in shop");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn random_text_never_panics(text in "\\PC{0,200}") {
        let _ = read_design_str(&text, "x.yaml");
        let _ = read_shop_str(&text, "x.yaml");
    }

    #[test]
    fn random_bytes_never_panic(bytes in proptest::collection::vec(any::<u8>(), 0..300)) {
        let text = String::from_utf8_lossy(&bytes);
        let _ = read_design_str(&text, "x.yaml");
    }

    /// A valid file with a few pieces cut, doubled or replaced.
    #[test]
    fn mutated_files_never_panic(
        cuts in proptest::collection::vec((any::<prop::sample::Index>(), 0usize..30, "[-{}\\[\\],:#&*!|>'\"%@`0-9a-z \t\n~.\u{a0}½]{0,6}"), 1..6)
    ) {
        for source in [DEMO, SHOP] {
            let mut text: Vec<char> = source.chars().collect();
            for (at, length, insert) in &cuts {
                let start = at.index(text.len());
                let end = (start + length).min(text.len());
                text.splice(start..end, insert.chars());
            }
            let text: String = text.into_iter().collect();
            for errors in [read_design_str(&text, "x.yaml").err(), read_shop_str(&text, "x.yaml").err()].into_iter().flatten() {
                for message in errors.sorted() {
                    prop_assert!(!message.to_string().contains('\n'));
                    prop_assert!(message.place.line as usize <= text.lines().count() + 1);
                }
            }
        }
    }
}
