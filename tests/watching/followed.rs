//! Which files are followed, and when they count as saved.

use std::fs;
use std::path::Path;
use std::time::{Duration, Instant};

use limberwood::live::Files;
use tempfile::tempdir;

use super::bench::PATIENCE;

/// Longer than a file must rest, shorter than the grace of one that became empty.
const MOMENT: Duration = Duration::from_millis(150);
/// A pause this long tells nothing of the grace: the machine was busy.
const TOO_LATE: Duration = Duration::from_millis(300);

fn changes(files: &mut Files, most: Duration) -> bool {
    let begin = Instant::now();
    while begin.elapsed() < most {
        if files.changed().is_some() {
            return true;
        }
        std::thread::sleep(Duration::from_millis(5));
    }
    false
}

#[test]
fn a_base_that_was_missing_or_broken_is_followed() {
    let room = tempdir().unwrap();
    let [a, b, c] = ["a", "b", "c"].map(|name| room.path().join(format!("{name}.yaml")));
    fs::write(&a, "limberwood: 1\nbased_on: b.yaml\n").unwrap();
    let mut files = Files::new(&a, None);
    let change = |files: &mut Files, path: &Path, text: &str| {
        assert!(!changes(files, MOMENT), "a change that nobody made");
        fs::write(path, text).unwrap();
        assert!(changes(files, PATIENCE), "{} {text}", path.display());
    };
    assert!(changes(&mut files, PATIENCE));
    change(&mut files, &b, "limberwood: 1\nbased_on: c.yaml\n");
    change(&mut files, &c, "limberwood: [\n");
    change(&mut files, &c, "- no design\n");
    change(&mut files, &c, "limberwood: 1\nname: One\n");
}

/// Cuts a file off and writes it after a moment; nothing is read between. False when the machine was
/// too busy to tell.
fn saved_in_two_steps(files: &mut Files, path: &Path, text: &str) -> bool {
    fs::write(path, "").unwrap();
    let begin = Instant::now();
    let changed = changes(files, MOMENT);
    if begin.elapsed() > TOO_LATE {
        fs::write(path, text).unwrap();
        return false;
    }
    assert!(!changed, "{} was read empty", path.display());
    fs::write(path, text).unwrap();
    assert!(changes(files, PATIENCE));
    true
}

#[test]
fn a_shop_or_a_base_that_is_cut_off_is_given_time() {
    let room = tempdir().unwrap();
    let [a, b, shop] = ["a.yaml", "b.yaml", "shop.yaml"].map(|name| room.path().join(name));
    fs::write(&a, "limberwood: 1\nbased_on: b.yaml\n").unwrap();
    fs::write(&b, "limberwood: 1\nname: One\n").unwrap();
    fs::write(&shop, "limberwood_shop: 1\n").unwrap();
    let mut files = Files::new(&a, None);
    assert!(changes(&mut files, PATIENCE));
    for path in [&a, &b, &shop] {
        let old = fs::read_to_string(path).unwrap();
        let told = (0..20).any(|k| {
            let text = format!("{old}# {k}\n");
            saved_in_two_steps(&mut files, path, &text)
        });
        assert!(told, "the machine was too busy to tell");
        // Empty for good, it is read at last.
        fs::write(path, "").unwrap();
        assert!(changes(&mut files, PATIENCE));
        fs::write(path, old).unwrap();
        assert!(changes(&mut files, PATIENCE));
    }
}
