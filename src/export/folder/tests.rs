//! Sets that become whole, sets that fail, and files of others.

use super::*;
use crate::export::manifest::{FileEntry, Manifest, Settings};
use std::io::{self, Write};
use tempfile::TempDir;

static GO: AtomicBool = AtomicBool::new(false);

type Files<'a> = &'a [(&'a str, &'a str)];

fn names(files: Files) -> Vec<String> {
    files.iter().map(|f| f.0.to_string()).collect()
}

fn manifest_of(files: Files) -> Vec<u8> {
    let settings = Settings { deviation_mm: 0.02 };
    let mut manifest = Manifest::new("pike", false, settings);
    manifest.files = files
        .iter()
        .map(|(name, text)| FileEntry::of(name, text.as_bytes()))
        .collect();
    manifest.to_bytes().unwrap()
}

fn publish_with(
    path: &Path,
    files: Files,
    stop: &AtomicBool,
    write_all: Option<set::WriteAll>,
) -> Result<Report, FolderError> {
    let folder = Folder::open(path, Parents::MustExist)?;
    let mut set = folder.claim(&names(files), stop)?;
    if let Some(write_all) = write_all {
        set.write_all = write_all;
    }
    for (name, text) in files {
        set.put(name, text.as_bytes())?;
    }
    set.commit(&manifest_of(files))
}

fn publish(path: &Path, files: Files) -> Result<Report, FolderError> {
    publish_with(path, files, &GO, None)
}

/// Everything in the folder but the lock: name and text.
fn contents(path: &Path) -> BTreeMap<String, String> {
    fs::read_dir(path)
        .unwrap()
        .map(|e| e.unwrap())
        .filter(|e| e.file_name() != LOCK)
        .map(|e| {
            let text = fs::read_to_string(e.path()).unwrap_or_default();
            (e.file_name().into_string().unwrap(), text)
        })
        .collect()
}

fn new_dir() -> (TempDir, PathBuf) {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("mein Käfer");
    (dir, path)
}

fn list(names: &[&str]) -> Vec<String> {
    names.iter().map(|n| n.to_string()).collect()
}

const OLD: Files = &[("a.stl", "old a"), ("b.stl", "old b"), ("c.stl", "same")];
const NEW: Files = &[("a.stl", "new a"), ("b.stl", "new b"), ("c.stl", "same")];

#[test]
fn a_set_replaces_a_set() {
    let (_dir, path) = new_dir();
    let first = publish(&path, OLD).unwrap();
    assert_eq!(first.written, list(&["a.stl", "b.stl", "c.stl"]));
    let second = publish(&path, NEW).unwrap();
    assert_eq!(second.written, list(&["a.stl", "b.stl"]));
    assert_eq!(second.unchanged, list(&["c.stl"]));
    let found = contents(&path);
    assert_eq!(found.len(), 4);
    assert_eq!(found["a.stl"], "new a");
    assert_eq!(found[manifest::FILE].as_bytes(), manifest_of(NEW));
}

#[test]
fn the_same_set_is_left_alone() {
    let (_dir, path) = new_dir();
    publish(&path, OLD).unwrap();
    let time = |name: &str| fs::metadata(path.join(name)).unwrap().modified().unwrap();
    let before = (time("a.stl"), time(manifest::FILE));
    std::thread::sleep(std::time::Duration::from_millis(20));
    let report = publish(&path, OLD).unwrap();
    assert_eq!(report.unchanged.len(), 3);
    assert_eq!((time("a.stl"), time(manifest::FILE)), before);
}

#[test]
fn stale_files_go_unless_someone_changed_them() {
    let (_dir, path) = new_dir();
    publish(&path, OLD).unwrap();
    fs::write(path.join("notes.txt"), "mine").unwrap();
    fs::write(path.join("b.stl"), "edited by hand").unwrap();
    let report = publish(&path, &[("c.stl", "same")]).unwrap();
    assert_eq!(report.removed, list(&["a.stl"]));
    assert_eq!(report.kept, list(&["b.stl"]));
    let found = contents(&path);
    assert_eq!(found["b.stl"], "edited by hand");
    assert_eq!(found["notes.txt"], "mine");
    assert!(!found.contains_key("a.stl"));
}

#[test]
fn a_stale_link_stays() {
    if !cfg!(unix) {
        return;
    }
    #[cfg(unix)]
    {
        let (dir, path) = new_dir();
        publish(&path, OLD).unwrap();
        let outside = dir.path().join("outside");
        fs::write(&outside, "old a").unwrap();
        fs::remove_file(path.join("a.stl")).unwrap();
        std::os::unix::fs::symlink(&outside, path.join("a.stl")).unwrap();
        let report = publish(&path, &[("c.stl", "same")]).unwrap();
        assert_eq!(report.kept, list(&["a.stl"]));
        assert_eq!(fs::read_to_string(outside).unwrap(), "old a");
    }
}

#[test]
fn foreign_files_are_refused_before_the_work() {
    let (_dir, path) = new_dir();
    publish(&path, OLD).unwrap();
    fs::write(path.join("d.stl"), "someone else's").unwrap();
    let folder = Folder::open(&path, Parents::MustExist).unwrap();
    let error = folder.claim(&list(&["d.stl"]), &GO).unwrap_err();
    assert!(matches!(error, FolderError::ForeignFile { .. }));
    assert!(error.to_string().contains("d.stl") && error.to_string().contains("Käfer"));
    assert_eq!(contents(&path)["d.stl"], "someone else's");
}

#[test]
fn foreign_manifests_refuse_the_folder() {
    for text in ["{\"name\":\"a web page\"}", "", "[1]"] {
        let (_dir, path) = new_dir();
        fs::create_dir(&path).unwrap();
        fs::write(path.join(manifest::FILE), text).unwrap();
        let error = publish(&path, OLD).unwrap_err();
        assert!(matches!(error, FolderError::ForeignManifest { .. }));
        assert_eq!(contents(&path).len(), 1);
    }
}

#[test]
fn a_manifest_cannot_lead_out_of_the_folder() {
    for full in [false, true] {
        let (dir, path) = new_dir();
        fs::create_dir(&path).unwrap();
        let outside = dir.path().join("outside.stl");
        fs::write(&outside, "mine").unwrap();
        let name = if full {
            outside.to_str().unwrap()
        } else {
            "../outside.stl"
        };
        fs::write(path.join(manifest::FILE), manifest_of(&[(name, "mine")])).unwrap();
        publish(&path, OLD).unwrap();
        assert_eq!(fs::read_to_string(&outside).unwrap(), "mine");
    }
}

/// Writes half and then has no room, for a file that says FULL.
fn small_disk(file: &mut File, bytes: &[u8]) -> io::Result<()> {
    if bytes.windows(4).any(|w| w == b"FULL") {
        file.write_all(&bytes[..bytes.len() / 2])?;
        return Err(io::Error::from(io::ErrorKind::StorageFull));
    }
    file.write_all(bytes)
}

#[test]
fn a_full_disk_leaves_the_old_set() {
    let (_dir, path) = new_dir();
    publish(&path, OLD).unwrap();
    let before = contents(&path);
    let set: Files = &[("a.stl", "new a"), ("b.stl", "FULL"), ("d.stl", "new")];
    let error = publish_with(&path, set, &GO, Some(small_disk)).unwrap_err();
    assert!(error.to_string().contains("disk is full"), "{error}");
    assert_eq!(contents(&path), before);
}

#[test]
fn a_disk_full_at_the_manifest_leaves_the_old_set() {
    let (_dir, path) = new_dir();
    publish(&path, OLD).unwrap();
    let before = contents(&path);
    // The manifest names this file, so it is the first write that says FULL.
    let set: Files = &[("a.stl", "new a"), ("FULL.stl", "b")];
    let error = publish_with(&path, set, &GO, Some(small_disk)).unwrap_err();
    assert!(error.to_string().contains(manifest::FILE), "{error}");
    assert_eq!(contents(&path), before);
}

#[test]
fn a_torn_file_cannot_be_committed() {
    let (_dir, path) = new_dir();
    let set: Files = &[("a.stl", "FULL")];
    let folder = Folder::open(&path, Parents::MustExist).unwrap();
    let mut files = folder.claim(&names(set), &GO).unwrap();
    files.write_all = small_disk;
    assert!(files.put("a.stl", b"FULL").is_err());
    let error = files.commit(&manifest_of(set)).unwrap_err();
    assert!(matches!(error, FolderError::Unlisted(name) if name == "a.stl"));
    assert_eq!(contents(&path).len(), 0);
}

#[test]
fn a_stop_leaves_the_old_set() {
    let (_dir, path) = new_dir();
    publish(&path, OLD).unwrap();
    let before = contents(&path);
    let stop = AtomicBool::new(false);
    let folder = Folder::open(&path, Parents::MustExist).unwrap();
    let set = folder.claim(&names(NEW), &stop).unwrap();
    for (name, text) in NEW {
        set.put(name, text.as_bytes()).unwrap();
    }
    stop.store(true, std::sync::atomic::Ordering::Relaxed);
    let error = set.commit(&manifest_of(NEW)).unwrap_err();
    assert!(matches!(error, FolderError::Stopped(_)));
    drop(folder);
    assert_eq!(contents(&path), before);
    assert!(matches!(
        publish_with(&path, NEW, &stop, None),
        Err(FolderError::Stopped(_))
    ));
    assert_eq!(contents(&path), before);
}

#[test]
fn bad_folders_are_refused_in_words() {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("file");
    fs::write(&file, "text").unwrap();
    for (path, words) in [
        (file.clone(), "is not a folder"),
        (file.join("under"), "is a file, not a folder"),
        (dir.path().join("no/parent"), "above"),
    ] {
        let error = Folder::open(&path, Parents::MustExist)
            .unwrap_err()
            .to_string();
        assert!(error.contains(words), "{error}");
        assert!(error.contains(&format!("{path:?}")), "{error}");
    }
    let error = Folder::open(&file.join("a/b"), Parents::Make).unwrap_err();
    assert!(error.to_string().contains("not a folder"), "{error}");
    assert_eq!(fs::read_to_string(&file).unwrap(), "text");
    assert!(Folder::open(&dir.path().join("no/parent"), Parents::Make).is_ok());
}

#[test]
fn a_second_run_is_kept_out() {
    let (_dir, path) = new_dir();
    let folder = Folder::open(&path, Parents::MustExist).unwrap();
    let other = path.clone();
    let second = std::thread::spawn(move || publish(&other, OLD))
        .join()
        .unwrap();
    assert!(matches!(second, Err(FolderError::Busy(_))));
    assert_eq!(contents(&path).len(), 0);
    drop(folder);
    assert!(publish(&path, OLD).is_ok());
}

#[test]
fn names_never_leave_the_folder() {
    let (_dir, path) = new_dir();
    let folder = Folder::open(&path, Parents::MustExist).unwrap();
    let unfinished = format!("x{UNFINISHED}");
    for name in [
        "",
        ".",
        "..",
        "a/b",
        "/a",
        "a\\b",
        "C:x",
        "Manifest.json",
        LOCK,
        &unfinished,
    ] {
        let error = folder.claim(&list(&[name]), &GO).unwrap_err();
        assert!(matches!(error, FolderError::BadName(_)), "{name:?}");
    }
    let error = folder
        .claim(&list(&["Tail.stl", "tail.stl"]), &GO)
        .unwrap_err();
    assert!(matches!(error, FolderError::SameName(..)));
    let set = folder.claim(&list(&["a.stl"]), &GO).unwrap();
    assert!(matches!(
        set.put("b.stl", b""),
        Err(FolderError::BadName(_))
    ));
    set.put("a.stl", b"").unwrap();
    assert!(matches!(
        set.put("a.stl", b""),
        Err(FolderError::SameName(..))
    ));
}

#[test]
fn a_manifest_that_lies_is_refused() {
    for lie in [
        &[("a.stl", "new a")][..],
        &[("a.stl", "new a"), ("b.stl", "other")],
        &[("a.stl", "new a"), ("b.stl", "b"), ("c.stl", "c")],
    ] {
        let (_dir, path) = new_dir();
        let folder = Folder::open(&path, Parents::MustExist).unwrap();
        let set = folder.claim(&list(&["a.stl", "b.stl"]), &GO).unwrap();
        set.put("b.stl", b"b").unwrap();
        set.put("a.stl", b"new a").unwrap();
        let error = set.commit(&manifest_of(lie)).unwrap_err();
        assert!(matches!(error, FolderError::Unlisted(_)));
        assert_eq!(contents(&path).len(), 0);
    }
}

/// Stands in for a kill after some renames: what is on disk then, made by hand.
fn killed_between_renames(path: &Path) {
    publish(path, OLD).unwrap();
    let set: Files = &[("a.stl", "new a"), ("c.stl", "same"), ("d.stl", "new d")];
    let journal = format!("{}.0{UNFINISHED}", manifest::FILE);
    fs::write(path.join(journal), manifest_of(set)).unwrap();
    fs::write(path.join("a.stl"), "new a").unwrap();
    fs::write(path.join("d.stl"), "new d").unwrap();
    fs::write(path.join(format!("e.stl{UNFINISHED}")), "half").unwrap();
}

#[test]
fn the_next_run_repairs_what_a_kill_left() {
    let (_dir, path) = new_dir();
    killed_between_renames(&path);
    publish(&path, &[("a.stl", "third"), ("d.stl", "third")]).unwrap();
    let mut found = contents(&path);
    found.remove(manifest::FILE).unwrap();
    let wanted = ["a.stl", "d.stl"].map(|n| (n.to_string(), "third".to_string()));
    assert_eq!(found, BTreeMap::from(wanted));
}

#[test]
fn files_of_a_killed_run_are_ours_even_over_another_failure() {
    let (_dir, path) = new_dir();
    killed_between_renames(&path);
    let set: Files = &[("a.stl", "FULL"), ("d.stl", "x")];
    publish_with(&path, set, &GO, Some(small_disk)).unwrap_err();
    let report = publish(&path, &[("c.stl", "same")]).unwrap();
    assert_eq!(report.removed, list(&["a.stl", "b.stl", "d.stl"]));
    assert_eq!(contents(&path).len(), 2);
}

/// Stands in for a kill between the new manifest and the last stale file.
#[test]
fn stale_files_of_a_killed_run_are_remembered() {
    let (_dir, path) = new_dir();
    publish(&path, OLD).unwrap();
    let old = fs::read(path.join(manifest::FILE)).unwrap();
    let new: Files = &[("c.stl", "same")];
    publish(&path, new).unwrap();
    fs::write(path.join("a.stl"), "old a").unwrap();
    fs::write(path.join("b.stl"), "someone's").unwrap();
    fs::write(path.join(format!("{}.1{UNFINISHED}", manifest::FILE)), old).unwrap();
    let report = publish(&path, new).unwrap();
    assert_eq!(report.removed, list(&["a.stl"]));
    assert_eq!(report.kept, list(&["b.stl"]));
    assert_eq!(contents(&path).len(), 3);
}

#[test]
fn a_rename_that_fails_says_that_sets_are_mixed() {
    let (_dir, path) = new_dir();
    publish(&path, OLD).unwrap();
    let folder = Folder::open(&path, Parents::MustExist).unwrap();
    let set = folder.claim(&names(NEW), &GO).unwrap();
    for (name, text) in NEW {
        set.put(name, text.as_bytes()).unwrap();
    }
    // A folder where the manifest stands: the last rename fails.
    fs::remove_file(path.join(manifest::FILE)).unwrap();
    fs::create_dir(path.join(manifest::FILE)).unwrap();
    let error = set.commit(&manifest_of(NEW)).unwrap_err();
    assert!(matches!(error, FolderError::Mixed { .. }));
    drop(folder);
    fs::remove_dir(path.join(manifest::FILE)).unwrap();
    let report = publish(&path, NEW).unwrap();
    assert_eq!(report.unchanged.len(), 3);
    assert_eq!(contents(&path).len(), 4);
}
