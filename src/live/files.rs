//! The files of a design as they lie on disk, looked at over and over.
//!
//! Time of change, size and content are compared by polling: events of file systems do not come over
//! networks, from shared folders or from every container, editors replace files in many ways, and two
//! small files cost nothing to look at. A change counts when two looks in a row find the same files, and
//! is read whole: if they change during the reading, it is read again.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant, SystemTime};

use sha2::{Digest, Sha256};

use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::params::{self, written};

/// From one look to the next (habit: well under what an eye notices).
pub const POLL: Duration = Duration::from_millis(25);
/// How long files must stay as they are before they count as saved (habit: editors that write in
/// several steps do so within a few milliseconds).
const SETTLED: Duration = Duration::from_millis(50);
/// How long a file that has become empty, or has gone, is taken for one that is being saved (habit):
/// editors cut a file off or take it away before they write it anew.
const BEING_SAVED: Duration = Duration::from_millis(400);
/// A file changed so shortly before it was read may change again without a trace in its time: clocks of
/// file systems step by up to two seconds (the FAT file systems, from memory).
const YOUNG: Duration = Duration::from_secs(2);

/// The files of a design, named and looked at.
#[derive(Debug)]
pub struct Files {
    design: PathBuf,
    /// Shop asked for; else the one beside the design, if there is one.
    shop: Option<PathBuf>,
    /// What the design is based on, as it was read last, found or not.
    bases: Vec<PathBuf>,
    seen: Option<Seen>,
    restless: Option<(Seen, Instant)>,
    read: Option<[u8; 32]>,
    young: bool,
}

/// Time of change and size of each file that is there.
type Seen = BTreeMap<PathBuf, (SystemTime, u64)>;

/// Both files as they were at one time.
#[derive(Debug)]
pub struct Snapshot {
    design: (PathBuf, Result<Vec<u8>, Diagnostics>),
    shop: Option<(PathBuf, Result<Vec<u8>, Diagnostics>)>,
    /// To know them again; they are read by their names.
    bases: Vec<(PathBuf, Result<Vec<u8>, Diagnostics>)>,
}

impl Files {
    /// A design, and a shop if one was asked for.
    pub fn new(design: &Path, shop: Option<&Path>) -> Files {
        Files {
            design: design.to_path_buf(),
            shop: shop.map(Path::to_path_buf),
            bases: Vec::new(),
            seen: None,
            restless: None,
            read: None,
            young: false,
        }
    }

    /// The files, if what is in them is not what was read last; to be asked every [`POLL`].
    pub fn changed(&mut self) -> Option<Snapshot> {
        let seen = self.look();
        if self.seen.as_ref() == Some(&seen) && !self.young {
            self.restless = None;
            return None;
        }
        let since = match &self.restless {
            Some((before, since)) if *before == seen => *since,
            _ => {
                self.restless = Some((seen, Instant::now()));
                return None;
            }
        };
        let torn = self.seen.as_ref().map_or_else(
            || seen.values().any(|(_, size)| *size == 0),
            |before| being_saved(before, &seen),
        );
        let patience = if torn { BEING_SAVED } else { SETTLED };
        if since.elapsed() < patience {
            return None;
        }
        let snapshot = self.read();
        if self.look() != seen {
            self.restless = None;
            return None;
        }
        let times = seen.values().map(|(time, _)| time);
        self.young = times
            .map(|time| time.elapsed().unwrap_or_default())
            .any(|age| age < YOUNG);
        (self.seen, self.restless) = (Some(seen), None);
        let hash = snapshot.hash();
        let fresh = self.read != Some(hash);
        self.read = Some(hash);
        fresh.then_some(snapshot)
    }

    fn shop(&self) -> Option<PathBuf> {
        let beside = || params::shop_beside(&self.design);
        self.shop.clone().or_else(beside)
    }

    fn look(&self) -> Seen {
        let of = |path: PathBuf| {
            let found = fs::metadata(&path).ok()?;
            Some((path, (found.modified().ok()?, found.len())))
        };
        let own = std::iter::once(self.design.clone()).chain(self.shop());
        own.chain(self.bases.iter().cloned())
            .filter_map(of)
            .collect()
    }

    fn read(&mut self) -> Snapshot {
        self.bases = params::bases(&self.design);
        let of = |path: PathBuf| {
            let bytes = params::read_raw(&path);
            (path, bytes)
        };
        Snapshot {
            design: of(self.design.clone()),
            shop: self.shop().map(of),
            bases: self.bases.iter().cloned().map(of).collect(),
        }
    }
}

/// Whether a file has become empty or has gone since.
fn being_saved(before: &Seen, now: &Seen) -> bool {
    let size = |of: &Seen, path: &Path| of.get(path).map(|(_, size)| *size);
    let emptied = now
        .iter()
        .any(|(p, (_, s))| *s == 0 && size(before, p) != Some(0));
    // A file that the design is no longer based on is not looked at, but it is there.
    let gone = |path: &PathBuf| !now.contains_key(path) && !path.exists();
    emptied || before.keys().any(gone)
}

impl Snapshot {
    /// Both files read, and their warnings.
    ///
    /// # Errors
    /// All their faults.
    pub fn parsed(self) -> Result<(written::Design, written::Shop, Vec<Diagnostic>), Diagnostics> {
        params::read_snapshot(self.design, self.shop)
    }

    fn hash(&self) -> [u8; 32] {
        let mut hash = Sha256::new();
        let two = std::iter::once(&self.design).chain(&self.shop);
        for (path, bytes) in two.chain(&self.bases) {
            hash.update(path.display().to_string());
            match bytes {
                Ok(bytes) => {
                    hash.update([1]);
                    hash.update((bytes.len() as u64).to_le_bytes());
                    hash.update(bytes);
                }
                Err(faults) => hash.update(faults.to_string()),
            }
        }
        hash.finalize().into()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn until_changed(files: &mut Files, most: Duration) -> Option<Snapshot> {
        let begin = Instant::now();
        while begin.elapsed() < most {
            if let Some(found) = files.changed() {
                return Some(found);
            }
            std::thread::sleep(Duration::from_millis(5));
        }
        None
    }

    #[test]
    fn a_base_is_followed() {
        let room = tempfile::tempdir().unwrap();
        let (path, base) = (room.path().join("a.yaml"), room.path().join("b.yaml"));
        fs::write(&path, "limberwood: 1\nbased_on: b.yaml\n").unwrap();
        fs::write(&base, "limberwood: 1\nname: One\n").unwrap();
        let mut files = Files::new(&path, None);
        assert!(until_changed(&mut files, Duration::from_secs(5)).is_some());
        fs::write(&base, "limberwood: 1\nname: Other\n").unwrap();
        assert!(until_changed(&mut files, Duration::from_secs(5)).is_some());
        assert!(until_changed(&mut files, Duration::from_millis(300)).is_none());
    }

    #[test]
    fn a_change_without_a_trace_in_time_and_size_is_seen() {
        let room = tempfile::tempdir().unwrap();
        let path = room.path().join("a.yaml");
        fs::write(&path, "limberwood: 1").unwrap();
        let mut files = Files::new(&path, None);
        assert!(until_changed(&mut files, Duration::from_secs(5)).is_some());
        let time = fs::metadata(&path).unwrap().modified().unwrap();
        fs::write(&path, "limberwood: 2").unwrap();
        let file = fs::File::options().write(true).open(&path).unwrap();
        file.set_modified(time).unwrap();
        let found = until_changed(&mut files, Duration::from_secs(5)).unwrap();
        assert_eq!(found.design.1.unwrap(), b"limberwood: 2");
        assert!(until_changed(&mut files, Duration::from_millis(200)).is_none());
    }

    #[test]
    fn a_shop_that_appears_beside_the_design_is_a_change() {
        let room = tempfile::tempdir().unwrap();
        let path = room.path().join("a.yaml");
        fs::write(&path, "limberwood: 1").unwrap();
        let mut files = Files::new(&path, None);
        assert!(until_changed(&mut files, Duration::from_secs(5)).is_some());
        fs::write(room.path().join("shop.yaml"), "limberwood_shop: 1").unwrap();
        let found = until_changed(&mut files, Duration::from_secs(5)).unwrap();
        assert!(found.shop.is_some());
        fs::remove_file(&path).unwrap();
        let found = until_changed(&mut files, Duration::from_secs(5)).unwrap();
        assert!(found.design.1.is_err());
    }
}
