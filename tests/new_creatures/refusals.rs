//! Choices that do not go together are refused with what is allowed, and nothing is written.

use super::bench::run;
use std::fs;

/// A run that is refused with this exit status and these words, and writes nothing.
fn refused(arguments: &[&str], code: i32, words: &[&str]) {
    let room = tempfile::tempdir().expect("a folder");
    let said = run(room.path(), &[&["new"], arguments].concat());
    assert_eq!(said.code, code, "{arguments:?}: {}{}", said.out, said.err);
    for word in words {
        assert!(
            said.err.contains(word),
            "{arguments:?}: no {word} in {}",
            said.err
        );
    }
    let left = fs::read_dir(room.path()).expect("a folder").count();
    assert_eq!(left, 0, "{arguments:?} left files");
}

#[test]
fn sizes_out_of_range_name_choice_and_both_numbers() {
    refused(
        &["X", "--stock", "9"],
        2,
        &["--stock", "9 mm", "allowed ", "27 mm"],
    );
    refused(&["X", "--stock", "2 in"], 2, &["--stock", "50.8 mm"]);
    refused(
        &["X", "--stock", "2 in", "--unit", "in"],
        2,
        &["2 in", "1-1/16 in"],
    );
    refused(
        &["Newt", "--sections", "5"],
        2,
        &["--sections: 5", "6 to 16"],
    );
    refused(
        &["Newt", "--sections", "17"],
        2,
        &["--sections: 17", "6 to 16"],
    );
    refused(
        &["Newt", "--length", "100"],
        2,
        &["--length: 100 mm", "8 sections", "allowed "],
    );
    refused(&["Newt", "--length", "3000 mm"], 2, &["--length: 3000 mm"]);
    // Pine needs thicker necks and walls than maple.
    refused(
        &["X", "--stock", "12", "--species", "ponderosa pine"],
        2,
        &["--stock: 12 mm of ponderosa pine"],
    );
}

#[test]
fn words_that_mean_nothing_could_not_run() {
    refused(&["X", "--kind", "newd"], 2, &["--kind", "newd", "newt"]);
    refused(
        &["X", "--species", "maple syrup"],
        2,
        &["--species", "hard maple"],
    );
    refused(&["X", "--unit", "furlong"], 2, &["--unit", "mm"]);
    refused(&["X", "--cutters", "diamond"], 2, &["--cutters", "inch"]);
    refused(&["X", "--stock", "thick"], 2, &["--stock", "thick"]);
    refused(
        &["X", "--sections", "many"],
        2,
        &["--sections", "whole number"],
    );
    refused(&["Shop"], 2, &["shop file"]);
    refused(&["X", "--kind", "caterpillar", "--sections", "-4"], 2, &[]);
}

#[test]
fn a_name_that_the_reader_refuses_is_refused() {
    refused(&[""], 2, &["NAME"]);
    refused(&["a\nb"], 1, &["name"]);
}
