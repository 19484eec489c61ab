//! One entry of a batch: what of it is done already, and the rest.

use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};

use super::kept::{Kept, Written, is_there, on_disk};
use super::plan::Entry;
use super::products::path;
use super::results::{Row, result};
use crate::chain::Resolved;
use crate::cli::finish::Finish;
use crate::cli::outcome::{Outcome, least, shown};
use crate::cli::pack::safe_name;
use crate::cli::print::say;
use crate::cli::read::read_scaled;
use crate::diagnostic::Diagnostic;
use crate::export::folder::{Folder, FolderError, Parents};
use crate::export::manifest::sha256;
use crate::export::step::Stamp;
use crate::make::{Redone, Settings, check_again, content_key};
use crate::params;
use crate::params::value::Product;

/// What the entries of a run share.
pub struct Shared<'a> {
    /// The folder of all entries.
    pub folder: &'a Path,
    pub write: &'a [Product],
    pub stamp: Stamp,
    /// Nothing that is done counts.
    pub fresh: bool,
    pub stop: &'a AtomicBool,
}

/// What came of an entry.
pub enum Attempt {
    Done(Box<Done>),
    /// Left open: another run holds it, or this one is to stop.
    Open,
}

/// An entry that was looked after.
pub struct Done {
    pub number: usize,
    pub row: Row,
    pub finish: Finish,
    /// Words of the products made in this run, and of those taken over.
    pub redone: Vec<&'static str>,
    pub kept: Vec<&'static str>,
    /// How many parts of the set were built for it.
    pub solids: Redone,
    /// Not of this run, wished for or not, and there still from an earlier one.
    pub old: Vec<&'static str>,
    /// Faults of its files, with their places.
    told: Vec<Diagnostic>,
}

/// An entry at work.
pub struct Work<'a> {
    pub entry: &'a Entry,
    pub shared: &'a Shared<'a>,
    pub root: PathBuf,
    pub resolved: Resolved,
    pub settings: Settings,
}

/// Looks after an entry, if no other run holds it.
pub fn attempt(entry: &Entry, shared: &Shared<'_>) -> Attempt {
    if shared.stop.load(Ordering::Relaxed) {
        return Attempt::Open;
    }
    let mut outcome = Outcome::new(&entry.design.display().to_string());
    let root = shared.folder.join(&entry.name);
    let scale = entry.scale.as_ref();
    let read = read_scaled(&entry.design, entry.shop.as_deref(), scale, &mut outcome);
    let Some((resolved, unit)) = read else {
        let row = result(&outcome);
        return done(entry, shared, row, outcome.messages, Parts::default());
    };
    // Its lock is that of the entry; what a killed run left beside the products goes away.
    let _held = match Folder::open(&root, Parents::Make) {
        Ok(folder) => folder,
        Err(FolderError::Busy(_)) => return Attempt::Open,
        Err(e) => {
            outcome.could_not_run(e.to_string());
            return done(
                entry,
                shared,
                result(&outcome),
                Vec::new(),
                Parts::default(),
            );
        }
    };
    let settings = Settings {
        stamp: shared.stamp.clone(),
        ..Settings::of(&resolved, unit)
    };
    let work = Work {
        entry,
        shared,
        root,
        resolved,
        settings,
    };
    let mut parts = Parts::default();
    let row = match work.bring_up_to_date(&mut outcome, &mut parts) {
        Ok(row) => row,
        Err(cause) => {
            outcome.could_not_run(cause);
            result(&outcome)
        }
    };
    done(entry, shared, row, Vec::new(), parts)
}

/// Products by what became of them.
#[derive(Default)]
struct Parts {
    redone: Vec<&'static str>,
    kept: Vec<&'static str>,
    solids: Redone,
}

fn done(
    entry: &Entry,
    shared: &Shared<'_>,
    row: String,
    told: Vec<Diagnostic>,
    parts: Parts,
) -> Attempt {
    let root = shared.folder.join(&entry.name);
    let not_new = Product::WORDS
        .iter()
        .filter(|(word, _)| !parts.redone.contains(word) && !parts.kept.contains(word));
    let old = not_new.filter(|&&(_, product)| is_there(&path(&root, product)));
    let old: Vec<&'static str> = old.map(|&(word, _)| word).collect();
    let row = Row::new(entry, &old, row);
    Attempt::Done(Box::new(Done {
        number: entry.number,
        finish: row.finish(),
        row,
        redone: parts.redone,
        kept: parts.kept,
        solids: parts.solids,
        old,
        told,
    }))
}

impl Work<'_> {
    /// Makes what is missing and records it; the result as text. Says why it could not.
    fn bring_up_to_date(&self, outcome: &mut Outcome, parts: &mut Parts) -> Result<String, String> {
        let key = content_key(&self.resolved, &self.settings, &outcome.messages);
        let wishes: Vec<&str> = self.shared.write.iter().map(|p| p.word()).collect();
        let key = sha256(format!("{key} {} {wishes:?}", self.entry.count).as_bytes());
        let old = Kept::read(&self.root).filter(|_| !self.shared.fresh);
        let old = old.filter(|old| old.key == key);
        let mut kept = Kept {
            key: key.clone(),
            ..Kept::default()
        };
        let mut missing = Vec::new();
        for &product in self.shared.write {
            let word = product.word();
            let own = self.key_of(product, &key)?;
            match &old {
                // Not there because the checks forbade it, as they would again.
                Some(old) if !old.products.contains_key(word) => {}
                Some(old) if old.holds(word, &own, &self.path(product)) => {
                    if let Some(written) = old.products.get(word) {
                        kept.products.insert(word.to_owned(), written.clone());
                    }
                    parts.kept.push(word);
                }
                _ => missing.push((product, own)),
            }
        }
        if let (Some(old), true) = (&old, missing.is_empty()) {
            return Ok(old.row.clone());
        }
        let has = |product| missing.iter().any(|(p, _)| *p == product);
        if has(Product::Set) {
            parts.solids = self.make_set(outcome)?;
        } else {
            let warnings = outcome.messages.clone();
            let (store, stop) = (self.store(), self.shared.stop);
            let earlier = (None, Some(&store));
            let found = check_again(&self.resolved, &self.settings, &warnings, earlier, stop);
            let found = found.ok_or_else(|| FolderError::Stopped(self.root.clone()).to_string())?;
            outcome.checked(found);
        }
        for (product, own) in missing {
            if self.write(product, outcome)? {
                let file = on_disk(&self.path(product)).map_err(|e| e.to_string())?;
                let written = Written { key: own, file };
                kept.products.insert(product.word().to_owned(), written);
                parts.redone.push(product.word());
            } else {
                self.remove(product)?;
            }
        }
        kept.row = match old {
            Some(old) => old.row,
            None => result(outcome),
        };
        let recorded = kept.write(&self.root, self.shared.stop);
        recorded.map_err(|e| e.to_string())?;
        Ok(kept.row)
    }

    /// Key of what a product is made from. The archive holds the design file as it is,
    /// and those that it is based on.
    fn key_of(&self, product: Product, key: &str) -> Result<String, String> {
        if product != Product::Pack {
            return Ok(key.to_owned());
        }
        let files = params::design_files(&self.entry.design).map_err(|e| e.to_string())?;
        let name = safe_name(&self.entry.design);
        let texts = files.iter().map(|f| sha256(f.text.as_bytes()));
        let texts: Vec<String> = texts.collect();
        Ok(sha256(
            format!("{key} {} {name}", texts.join(" ")).as_bytes(),
        ))
    }
}

impl Done {
    /// Tells what was found, as `quiet` allows: faults of its files with their places, else what the
    /// record says.
    pub fn tell(&self, quiet: bool) {
        if self.told.is_empty() {
            self.row.lines(quiet).iter().for_each(|line| say(line));
        }
        for message in self.told.iter().filter(|m| shown(m, least(quiet))) {
            say(&message.to_string());
        }
    }
}
