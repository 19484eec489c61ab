//! What is done already is not redone; what is changed is.

use super::bench::{chain, file, single};
use super::{redone, room, tree};

#[test]
fn comments_and_the_order_of_keys_change_nothing_but_lines_that_are_named() {
    let room = room();
    assert_eq!(redone(room.path(), "out", &[]), 6);
    let first = tree(&room.path().join("out"));
    assert_eq!(redone(room.path(), "out", &[]), 0);
    let moved = |text: &str| {
        let (units, rest) = text.split_once("units: mm\n").unwrap();
        let (version, name) = units.split_once('\n').unwrap();
        format!("{version}\n# new\n\nunits: mm\n{name}{rest}")
    };
    file(room.path(), "block.yaml", &moved(&single("Block", 40.0)));
    assert_eq!(redone(room.path(), "out", &[]), 0);
    assert!(tree(&room.path().join("out")) == first);
    // Warnings of this design name lines, which are others now.
    let text = chain("Chain", 2, 0.5);
    file(room.path(), "chain.yaml", &moved(&text));
    assert_eq!(redone(room.path(), "out", &[]), 2);
    assert!(tree(&room.path().join("out")) != first);
    redone(room.path(), "anew", &[]);
    assert!(tree(&room.path().join("out")) == tree(&room.path().join("anew")));
    file(room.path(), "chain.yaml", &text);
    assert_eq!(redone(room.path(), "out", &["--fresh"]), 6);
    assert!(tree(&room.path().join("out")) == first);
}

#[test]
fn a_changed_design_is_redone_and_no_other() {
    let room = room();
    assert_eq!(redone(room.path(), "out", &[]), 6);
    // Both sizes of it, set and page each.
    file(room.path(), "block.yaml", &single("Block", 41.0));
    assert_eq!(redone(room.path(), "out", &[]), 4);
    redone(room.path(), "anew", &[]);
    assert!(tree(&room.path().join("out")) == tree(&room.path().join("anew")));
    // Another time stamp is in every STEP file.
    let mut command = super::program(room.path());
    command.args(["batch", "plan.yaml", "-o", "out", "--json"]);
    command.env("SOURCE_DATE_EPOCH", "1000000000");
    let run = super::bench::ended(command);
    assert!(run.out.contains("\"redone\": 6"), "{}", run.said());
}

#[test]
fn a_damaged_record_or_file_is_only_redone() {
    let room = room();
    redone(room.path(), "out", &[]);
    let first = tree(&room.path().join("out"));
    let record = "block-100%/.limberwood.entry";
    let bytes = &first[record];
    let mut flipped = bytes.clone();
    *flipped.last_mut().unwrap() ^= 1;
    // All of the entry is redone; of a file, the product that it belongs to.
    for (name, damaged, wanted) in [
        (record, flipped, 2),
        (record, bytes[..bytes.len() / 2].to_vec(), 2),
        (record, Vec::new(), 2),
        (record, vec![0xff; 3000], 2),
        ("block-100%/set/creature.step", b"x".to_vec(), 1),
    ] {
        std::fs::write(room.path().join("out").join(name), damaged).unwrap();
        assert_eq!(redone(room.path(), "out", &[]), wanted, "{name}");
        assert!(tree(&room.path().join("out")) == first, "{name}");
    }
    std::fs::remove_file(room.path().join("out/chain/page.html")).unwrap();
    assert_eq!(redone(room.path(), "out", &[]), 1);
    assert!(tree(&room.path().join("out")) == first);
}
