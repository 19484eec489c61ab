//! What was built and found for the parts and joints of a creature, on disk: after a change only what
//! it touches is redone.
//!
//! Each distinct part has a record of its own, whose name is the hash of all that it depends on, the
//! build of the program among it; joints and sections share one. A record begins with its own hash, and what it
//! says of files holds only while they have the hashes that it states. So whatever is damaged, or comes
//! from elsewhere, is a miss, and a miss is only built again.

mod bytes;
mod types;

use std::collections::BTreeSet;
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Mutex, MutexGuard, PoisonError};

use super::content::BUILD;
use super::parts::PartPlan;
use super::work::Work;
use crate::chain::ChainJoint;
use crate::check::finding::Finding;
use crate::check::joint::Collided;
use crate::check::small::Laid;
use crate::export::folder::{FolderError, Parents, remove_lone, write_lone};
use crate::export::manifest::sha256;
use bytes::Stored;
use types::Chain;
pub(super) use types::{Found, Solid, Touch};

/// Begin of the name of a part's record, and the name of that of joints and sections. Like the lock they
/// belong to this program: whatever lies under them is replaced.
const PART: &str = ".limberwood.part-";
const CHAIN: &str = ".limberwood.chain";
/// First line of a record, with the version of its form.
const HEAD: &str = "limberwood-record-1";

/// The records of one creature.
#[derive(Debug)]
pub struct Store<'a> {
    folder: PathBuf,
    /// Whether what lies there counts.
    believed: bool,
    stop: &'a AtomicBool,
    /// Names of the records of parts that this run asked for.
    asked: Mutex<BTreeSet<String>>,
    old: Chain,
    chain: Mutex<Chain>,
    built: AtomicUsize,
    taken: AtomicUsize,
    bent: AtomicUsize,
}

/// How much of a creature was redone.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Redone {
    /// Parts that were built.
    pub built: usize,
    /// Parts taken over from the former set.
    pub taken: usize,
    /// Distinct joints that were bent to see where they touch.
    pub bent: usize,
}

impl<'a> Store<'a> {
    /// The records in a folder that this run holds; unless they are `believed`, all are written anew.
    pub fn open(folder: &Path, believed: bool, stop: &'a AtomicBool) -> Self {
        let mut store = Store {
            folder: folder.to_path_buf(),
            believed,
            stop,
            asked: Mutex::default(),
            old: Chain::default(),
            chain: Mutex::default(),
            built: AtomicUsize::new(0),
            taken: AtomicUsize::new(0),
            bent: AtomicUsize::new(0),
        };
        store.old = store.read(CHAIN).unwrap_or_default();
        store
    }

    /// What this run did so far.
    pub fn redone(&self) -> Redone {
        Redone {
            built: self.built.load(Ordering::Relaxed),
            taken: self.taken.load(Ordering::Relaxed),
            bent: self.bent.load(Ordering::Relaxed),
        }
    }

    /// Parts were built, or taken over.
    pub(super) fn count(&self, parts: usize, built: bool) {
        let of = if built { &self.built } else { &self.taken };
        of.fetch_add(parts, Ordering::Relaxed);
    }

    /// The record of a part.
    pub(super) fn part(&self, key: &str) -> Option<Solid> {
        let name = format!("{PART}{key}");
        let mut asked = self.asked.lock().unwrap_or_else(PoisonError::into_inner);
        asked.insert(name.clone());
        drop(asked);
        self.read(&name)
    }

    /// Keeps the record of a part. One that cannot be written is absent, which costs time later and
    /// nothing else.
    pub(super) fn keep_part(&self, key: &str, own: &Solid) {
        let _ = self.write(&format!("{PART}{key}"), own);
    }

    /// The collision of a joint, or what `touch` finds, which is kept.
    pub(super) fn collided(
        &self,
        key: String,
        link: &ChainJoint,
        touch: impl FnOnce() -> Option<Collided>,
    ) -> Option<Collided> {
        let own = match self.old.joints.get(&key) {
            Some(old) => old.clone(),
            None => {
                self.bent.fetch_add(1, Ordering::Relaxed);
                Touch::of(&touch()?)
            }
        };
        let collided = own.of_joint(link);
        self.chain().joints.insert(key, own);
        Some(collided)
    }

    /// The pieces of a section in the small-parts cylinder, or what `lay` finds, which is kept.
    pub(super) fn laid(&self, key: &str, lay: impl FnOnce() -> Vec<Laid>) -> Vec<Laid> {
        let key = hash_of_text(key);
        let own = match self.old.laid.get(&key) {
            Some(old) => old.clone(),
            None => lay(),
        };
        self.chain().laid.insert(key, own.clone());
        own
    }

    fn chain(&self) -> MutexGuard<'_, Chain> {
        self.chain.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Writes the record of joints and sections, and removes those of parts that are no more.
    ///
    /// # Errors
    /// Those of the folder.
    pub(super) fn end(&self) -> Result<(), FolderError> {
        self.write(CHAIN, &*self.chain())?;
        let asked = self.asked.lock().unwrap_or_else(PoisonError::into_inner);
        for entry in fs::read_dir(&self.folder).into_iter().flatten().flatten() {
            let name = entry.file_name().to_string_lossy().into_owned();
            if name.starts_with(PART) && !asked.contains(&name) {
                remove_lone(&entry.path(), |_| true)?;
            }
        }
        Ok(())
    }

    fn read<T: Stored>(&self, name: &str) -> Option<T> {
        if !self.believed {
            return None;
        }
        let bytes = fs::read(self.folder.join(name)).ok()?;
        let rest = bytes.strip_prefix(HEAD.as_bytes())?.strip_prefix(b"\n")?;
        let (hash, rest) = rest.split_at_checked(sha256(b"").len())?;
        let mut body = rest.strip_prefix(b"\n")?;
        if hash != hash_of(name, body).as_bytes() {
            return None;
        }
        let own = T::take(&mut body)?;
        body.is_empty().then_some(own)
    }

    fn write(&self, name: &str, own: &impl Stored) -> Result<(), FolderError> {
        let mut body = Vec::new();
        own.put(&mut body);
        let head = format!("{HEAD}\n{}\n", hash_of(name, &body));
        let path = self.folder.join(name);
        write_lone(
            &path,
            Parents::Make,
            |_| true,
            self.stop,
            |file| {
                file.write_all(head.as_bytes())?;
                file.write_all(&body)
            },
        )
    }
}

/// Name for what depends on a text and on the build.
fn hash_of_text(text: &str) -> String {
    sha256(format!("{BUILD}\n{text}").as_bytes())
}

/// Hash of a record with its name, so that none stands for another.
fn hash_of(name: &str, body: &[u8]) -> String {
    sha256(format!("{name} {}", sha256(body)).as_bytes())
}

impl Touch {
    fn of(collided: &Collided) -> Self {
        let Collided {
            concentric,
            aside,
            short,
            // The joint's own, which the key holds.
            limits: _,
        } = *collided;
        Touch {
            concentric,
            aside,
            short,
        }
    }

    fn of_joint(&self, link: &ChainJoint) -> Collided {
        Collided {
            concentric: self.concentric,
            aside: self.aside,
            short: self.short,
            limits: link.cut_limits,
        }
    }
}

impl Work<'_> {
    /// Key of all that the files, numbers and findings of equal parts depend on, but their place in the
    /// design's file.
    pub(super) fn part_key(&self, group: &[&PartPlan]) -> String {
        let mut text = format!(
            "{BUILD}\n{}\n{:?}\n",
            self.found_key(group),
            self.settings.stamp
        );
        for plan in group {
            let PartPlan {
                name,
                stem,
                number,
                written,
                ..
            } = plan;
            text.push_str(&format!("{name:?} {stem:?} {number} {written:?}\n"));
        }
        sha256(text.as_bytes())
    }

    /// The same for the collision of a joint.
    pub(super) fn joint_key(&self, k: usize) -> String {
        hash_of_text(&self.collided_key(k))
    }

    /// Findings of a part as they are kept; nothing when one stands at another place than its section's.
    pub(super) fn without_place(
        &self,
        plan: &PartPlan,
        findings: &[Finding],
    ) -> Option<Vec<Found>> {
        let place = self.subject(plan).place;
        findings.iter().map(|f| Found::of(f, place)).collect()
    }
}
