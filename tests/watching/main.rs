//! `limberwood watch` as a process: pages over a socket, edits, faults, strangers, its end.

// Helpers of the tests stand outside of test functions.
#![allow(clippy::unwrap_used)]

mod bench;
mod followed;
mod strangers;

use std::fs;
use std::net::TcpListener;
use std::process::Command;

use bench::{Watch, checked, command, design, length, page};
use limberwood::report::is_page;
use tempfile::tempdir;

#[test]
fn an_edit_is_served_and_what_it_leaves_alone_is_not_built_again() {
    let room = tempdir().unwrap();
    let mut watch = Watch::start(room.path().join("a.yaml"), &design(48.0, 56.0));
    let first = watch.news(page);
    let long = length(&first);
    let done = watch.news(checked);
    assert!(
        done["page"]["rest"]
            .as_str()
            .unwrap()
            .contains("id=\"machine\"")
    );
    let built = done["page"]["built"].as_u64().unwrap();
    let html = watch.get("/", "").body;
    assert!(is_page(html.as_bytes()));
    assert!(html.contains(&format!("data-live=\"{}\"", watch.version)));
    assert!(html.contains("connect-src 'self'"));

    watch.save(&design(48.0, 60.0));
    let edited = watch.news(page);
    // The tail's own tip and the way to the joint are fixed, so the creature grows by the edit.
    assert!(
        (length(&edited) - long - 4.0).abs() < 1e-3,
        "{}",
        length(&edited)
    );
    assert_eq!(edited["page"]["checked"], false);
    let more = edited["page"]["built"].as_u64().unwrap() - built;
    let meshes = edited["page"]["record"]["meshes"].as_array().unwrap().len() as u64;
    assert!(
        (1..meshes).contains(&more),
        "{more} of {meshes} built again"
    );
    let old = first["page"]["record"]["meshes"].as_array().unwrap();
    let new = edited["page"]["record"]["meshes"].as_array().unwrap();
    assert!(
        new.iter()
            .any(|m| old.iter().any(|o| o["places"] == m["places"]))
    );
    let done = watch.news(checked);
    assert!(done["page"]["rest"].as_str().unwrap().contains("verdict"));

    // Back again: all is in memory.
    let built = done["page"]["built"].as_u64().unwrap();
    watch.save(&design(48.0, 56.0));
    let back = watch.news(page);
    assert_eq!(back["page"]["built"], built);
    assert!((length(&back) - long).abs() < 1e-6);
}

#[test]
fn a_broken_file_is_told_with_its_line_and_the_last_good_page_stays() {
    let room = tempdir().unwrap();
    let mut watch = Watch::start(room.path().join("a.yaml"), &design(48.0, 56.0));
    watch.news(page);
    watch.save(&design(48.0, 56.0).replace("length: 56", "length: fifty"));
    let broken = watch.news(|news| !news["faults"].as_array().unwrap().is_empty());
    let fault = &broken["faults"][0];
    // The tail's length stands in line 15, its value from column 13 on.
    assert_eq!((&fault["line"], &fault["column"]), (&15.into(), &13.into()));
    let at = fault["at"].as_str().unwrap();
    assert!(at.ends_with("a.yaml, line 15, column 13"), "{at}");
    assert!(fault["words"].as_str().unwrap().contains("`fifty`"));
    assert!(broken["page"].is_null());
    // Who comes now gets the last good page, and the faults at once.
    let html = watch.get("/", "").body;
    assert!(html.contains("<h1>Short fellow</h1>"));
    let version = html.split("data-live=\"").nth(1).unwrap();
    watch.version = version.split('"').next().unwrap().to_owned();
    let told = watch.news(|_| true);
    assert_eq!(told["faults"], broken["faults"]);
    // A part that cannot be built is a fault of the file too: an eye on skin that falls too steeply.
    let eye = "    eyes: [{at: 40%, across: 15.5, diameter: 5, depth: 2}]\n    tip_width: 12\n";
    watch.save(&design(48.0, 56.0).replace("    tip_width: 12\n", eye));
    let thin = watch.news(|news| news["faults"] != told["faults"]);
    assert!(thin["faults"][0]["line"].as_u64().unwrap() > 0, "{thin}");
    watch.save(&design(48.0, 57.0));
    let good = watch.news(page);
    assert!(good["faults"].as_array().unwrap().is_empty());
}

#[test]
fn a_file_that_is_deleted_and_comes_back_is_shown_again() {
    let room = tempdir().unwrap();
    let mut watch = Watch::start(room.path().join("a.yaml"), &design(48.0, 56.0));
    let long = length(&watch.news(page));
    fs::remove_file(&watch.file).unwrap();
    let gone = watch.news(|news| !news["faults"].as_array().unwrap().is_empty());
    assert!(
        gone["faults"][0]["words"]
            .as_str()
            .unwrap()
            .contains("no such file")
    );
    watch.save(&design(48.0, 56.0));
    let back = watch.news(page);
    assert_eq!(length(&back), long);
}

#[test]
fn a_creature_that_was_never_good_gets_a_page_that_waits() {
    let room = tempdir().unwrap();
    let mut watch = Watch::start(room.path().join("a.yaml"), "limberwood: 1\n");
    watch.news(|news| !news["faults"].as_array().unwrap().is_empty());
    let html = watch.get("/", "").body;
    assert!(is_page(html.as_bytes()) && html.contains("Nothing to show yet"));
    watch.save(&design(48.0, 56.0));
    watch.news(page);
    assert!(watch.get("/", "").body.contains("<h1>Short fellow</h1>"));
}

#[test]
fn quick_edits_end_with_the_last_and_no_torn_file_is_told() {
    let room = tempdir().unwrap();
    let mut watch = Watch::start(room.path().join("a.yaml"), &design(48.0, 56.0));
    let long = length(&watch.news(page));
    for k in 0..30 {
        // In two steps, as some editors write: between them the file is cut off.
        let text = design(48.0, 56.0 + 0.1 * f64::from(k + 1));
        fs::write(&watch.file, &text[..text.len() / 2]).unwrap();
        watch.save(&text);
    }
    watch.news(|news| {
        let faults = news["faults"].as_array().unwrap();
        assert!(faults.is_empty(), "{faults:?}");
        page(news) && (length(news) - long - 3.0).abs() < 1e-3
    });
}

#[test]
fn a_shop_that_changes_is_followed_too() {
    let room = tempdir().unwrap();
    let mut watch = Watch::start(room.path().join("a.yaml"), &design(48.0, 56.0));
    watch.news(page);
    let shop = room.path().join("shop.yaml");
    fs::write(
        &shop,
        "limberwood_shop: 1\nname: x\nunits: mm\nfits: {window: -1}\n",
    )
    .unwrap();
    let bad = watch.news(|news| !news["faults"].as_array().unwrap().is_empty());
    let at = bad["faults"][0]["at"].as_str().unwrap();
    assert!(at.contains("shop.yaml, line "), "{at}");
    fs::remove_file(&shop).unwrap();
    let good = watch.news(page);
    assert!(good["faults"].as_array().unwrap().is_empty());
}

#[test]
fn a_port_in_use_is_an_error_when_named_and_passed_over_when_not() {
    let room = tempdir().unwrap();
    let file = room.path().join("a.yaml");
    fs::write(&file, design(48.0, 56.0)).unwrap();
    let taken = TcpListener::bind("127.0.0.1:0").unwrap();
    let port = taken.local_addr().unwrap().port().to_string();
    let run = command(&file, &["--port", &port]).output().unwrap();
    assert_eq!(run.status.code(), Some(2));
    let said = String::from_utf8_lossy(&run.stderr);
    assert!(
        said.contains(&format!("port {port}")) && said.contains("in use"),
        "{said}"
    );
    let [a, b] = [0, 1].map(|_| Watch::with(file.clone(), &[]));
    assert_ne!(a.port, b.port);
    for watch in [a, b] {
        assert_eq!(watch.get("/", "").status, 200);
    }
}

#[test]
fn a_file_that_is_not_there_is_refused() {
    let room = tempdir().unwrap();
    let run = command(&room.path().join("none.yaml"), &[])
        .output()
        .unwrap();
    assert_eq!(run.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&run.stderr).contains("no such file"));
}

#[cfg(unix)]
#[test]
fn an_interrupt_ends_it_well() {
    let room = tempdir().unwrap();
    let mut watch = Watch::start(room.path().join("a.yaml"), &design(48.0, 56.0));
    watch.news(page);
    let pid = watch.child.id().to_string();
    // The checks are at work now.
    assert!(
        Command::new("kill")
            .args(["-INT", &pid])
            .status()
            .unwrap()
            .success()
    );
    assert_eq!(watch.child.wait().unwrap().code(), Some(0));
}
