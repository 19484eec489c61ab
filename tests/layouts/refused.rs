//! Wrong input: one message that says what and where, and nothing is written.

use std::path::Path;
use std::sync::atomic::AtomicBool;

use limberwood::check::finding::Verdict;
use limberwood::diagnostic::Severity;
use limberwood::export::folder::{Folder, LOCK, Parents};
use limberwood::make::{MakeError, blanks};

use super::designs::{PAIR, Shop, resolved, settings};

/// All errors of a layout that is written into an empty folder, which stays so.
fn refused(shop: &Shop<'_>) -> Vec<String> {
    let room = tempfile::tempdir().unwrap();
    let path = room.path().join("out");
    let resolved = resolved(PAIR, &shop.text()).unwrap();
    let folder = Folder::open(&path, Parents::Make).unwrap();
    let stop = AtomicBool::new(false);
    let done = blanks(
        &resolved,
        &settings(&resolved),
        (1, Verdict::Cut),
        &folder,
        &stop,
    );
    drop(folder);
    let left = all_in(&path);
    assert!(left.is_empty(), "written: {left:?}");
    match done {
        Err(MakeError::Design(found)) => {
            let errors = found.sorted().into_iter();
            let errors = errors.filter(|m| m.severity == Severity::Error);
            errors.map(|m| m.to_string()).collect()
        }
        Err(_) => panic!("it could not run"),
        Ok(_) => panic!("it is laid out"),
    }
}

fn all_in(path: &Path) -> Vec<String> {
    let files = std::fs::read_dir(path).into_iter().flatten();
    let names = files.map(|f| f.unwrap().file_name().to_string_lossy().into_owned());
    // The lock of an opened folder stays in it.
    names.filter(|name| name != LOCK).collect()
}

#[test]
fn each_wrong_input_has_one_message_and_nothing_is_written() {
    let usual = Shop::default;
    let stations = |first: &str, second: &str| {
        format!(
            "travel: {{x: 420, y: 400}}\nstations:\n  \
             - {{name: A, set_up: inside-up, x: 20, y: {first}, offset: G54}}\n  \
             - {{name: B, set_up: outside-up, x: 20, y: {second}, offset: G55}}\n"
        )
    };
    let (off, over) = (stations("100", "320"), stations("100", "200"));
    let cases: [(Shop<'_>, &[&str]); 7] = [
        // The blank is too small: a message for each of the two sections.
        (
            Shop {
                stock: "thickness: 20, length: 100, width: 180",
                ..usual()
            },
            &[
                "head-upper: its window takes",
                "tail-upper: its window takes",
            ],
        ),
        // Too thin.
        (
            Shop {
                stock: "thickness: 12, length: 400, width: 180",
                ..usual()
            },
            &["head-upper: needs stock", "tail-upper: needs stock"],
        ),
        // A station off the table.
        (
            Shop {
                more: &off,
                ..usual()
            },
            &["a piece at station `B` reaches from"],
        ),
        // Two stations in each other's way.
        (
            Shop {
                more: &over,
                ..usual()
            },
            &["a piece at station `B` lies"],
        ),
        // The ends are too short for a dowel, which would stand in a window or in a part.
        (
            Shop {
                blank: "ends: 18",
                ..usual()
            },
            &["ends of 18 mm for the dowels of the flip"],
        ),
        (
            Shop {
                blank: "ends: 25, front_dowel: 12, rear_dowel: 10",
                ..usual()
            },
            &["ends of 25 mm for the dowels of the flip"],
        ),
        // Both dowels alike.
        (
            Shop {
                blank: "ends: 25, front_dowel: 8, rear_dowel: 8",
                ..usual()
            },
            &["both dowels of the flip 8 mm thick"],
        ),
    ];
    for (shop, words) in cases {
        let found = refused(&shop);
        assert_eq!(found.len(), words.len(), "{found:?}");
        for (text, word) in found.iter().zip(words) {
            assert!(text.contains(word), "{text} lacks {word}");
            assert_eq!(text.lines().count(), 1, "{text}");
        }
    }
}

#[test]
fn clamps_in_the_way_have_one_message_an_area_and_nothing_is_written() {
    // Narrow stock, so that windows lie beside the strips along the sides; long enough at the ends.
    let shop = Shop {
        cutters: [", holder: 30, stick_out: 34", "", ""],
        stock: "thickness: 20, length: 400, width: 160",
        blank: "ends: 60, sides: 15, clamp_height: 16",
        ..Shop::default()
    };
    let found = refused(&shop);
    assert!((1..=4).contains(&found.len()), "{found:?}");
    for text in &found {
        assert_eq!(text.lines().count(), 1, "{text}");
        assert!(text.contains("its holder runs into clamps at"), "{text}");
    }
    let mut once = found.clone();
    once.dedup();
    assert_eq!(once, found);
}
