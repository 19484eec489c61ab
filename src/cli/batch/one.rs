//! One entry of a batch: what of it is done already, and the rest.

use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};

use super::kept::{Kept, Written, on_disk};
use super::plan::Entry;
use super::results::{Row, result};
use crate::chain::Resolved;
use crate::cli::finish::Finish;
use crate::cli::make::make_one;
use crate::cli::outcome::Outcome;
use crate::cli::pack::{archive, leaflet, missing_terms, safe_name};
use crate::cli::read::read_scaled;
use crate::export::folder::{Folder, FolderError, Parents, write_lone};
use crate::export::manifest::{FILE as MANIFEST, Manifest, sha256};
use crate::export::step::Stamp;
use crate::make::{self, Made, MakeError, PageError, Settings, check_again, content_key};
use crate::params;
use crate::params::value::Product;
use crate::report::is_page;

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
    /// Faults of its files, with their places.
    pub told: Vec<String>,
}

/// An entry at work.
struct Work<'a> {
    entry: &'a Entry,
    shared: &'a Shared<'a>,
    root: PathBuf,
    resolved: Resolved,
    settings: Settings,
}

/// Looks after an entry, if no other run holds it.
pub fn attempt(entry: &Entry, shared: &Shared<'_>) -> Attempt {
    if shared.stop.load(Ordering::Relaxed) {
        return Attempt::Open;
    }
    let mut outcome = Outcome::new(&entry.design.display().to_string());
    let scale = entry.scale.as_ref();
    let read = read_scaled(&entry.design, entry.shop.as_deref(), scale, &mut outcome);
    let Some((resolved, unit)) = read else {
        let told = outcome.messages.iter().map(ToString::to_string).collect();
        return done(entry, &outcome, None, told, Parts::default());
    };
    let root = shared.folder.join(&entry.name);
    // Its lock is that of the entry; what a killed run left beside the products goes away.
    let _held = match Folder::open(&root, Parents::Make) {
        Ok(folder) => folder,
        Err(FolderError::Busy(_)) => return Attempt::Open,
        Err(e) => {
            outcome.could_not_run(e.to_string());
            return done(entry, &outcome, None, Vec::new(), Parts::default());
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
        Ok(row) => Some(row),
        Err(cause) => {
            outcome.could_not_run(cause);
            None
        }
    };
    done(entry, &outcome, row, Vec::new(), parts)
}

/// Products by what became of them.
#[derive(Default)]
struct Parts {
    redone: Vec<&'static str>,
    kept: Vec<&'static str>,
}

fn done(
    entry: &Entry,
    outcome: &Outcome,
    row: Option<String>,
    told: Vec<String>,
    parts: Parts,
) -> Attempt {
    let row = Row::new(entry, row.unwrap_or_else(|| result(outcome)));
    Attempt::Done(Box::new(Done {
        number: entry.number,
        finish: row.finish(),
        row,
        redone: parts.redone,
        kept: parts.kept,
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
            self.make_set(outcome)?;
        } else {
            let warnings = outcome.messages.clone();
            let stop = self.shared.stop;
            let found = check_again(&self.resolved, &self.settings, &warnings, None, stop);
            let found = found.ok_or_else(|| FolderError::Stopped(self.root.clone()).to_string())?;
            outcome.checked(found);
        }
        for (product, own) in missing {
            if self.write(product, outcome)? {
                let file = on_disk(&self.path(product)).map_err(|e| e.to_string())?;
                let written = Written { key: own, file };
                kept.products.insert(product.word().to_owned(), written);
                parts.redone.push(product.word());
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

    /// Where a product lies.
    fn path(&self, product: Product) -> PathBuf {
        self.root.join(match product {
            Product::Set => "set",
            Product::Blanks => "blanks",
            Product::Page => "page.html",
            Product::Pack => "pack.zip",
        })
    }

    fn open(&self, product: Product) -> Result<Folder, String> {
        Folder::open(&self.path(product), Parents::Make).map_err(|e| e.to_string())
    }

    fn make_set(&self, outcome: &mut Outcome) -> Result<(), String> {
        let folder = self.open(Product::Set)?;
        let quiet = (self.shared.stop, true);
        make_one(&self.resolved, &self.settings, &folder, quiet, outcome);
        outcome
            .cause()
            .map_or(Ok(()), |cause| Err(cause.to_owned()))
    }

    /// Writes a product of a checked creature; whether it did.
    fn write(&self, product: Product, outcome: &mut Outcome) -> Result<bool, String> {
        match product {
            Product::Set => Ok(outcome.was_made()),
            Product::Page => self.page(outcome),
            Product::Blanks if outcome.is_sound() => self.blanks(outcome),
            Product::Pack if outcome.is_sound() => self.pack(outcome),
            Product::Blanks | Product::Pack => Ok(false),
        }
    }

    fn blanks(&self, outcome: &mut Outcome) -> Result<bool, String> {
        let folder = self.open(Product::Blanks)?;
        let what = (self.entry.count as usize, outcome.verdict());
        let stop = self.shared.stop;
        match make::blanks(&self.resolved, &self.settings, what, &folder, stop) {
            Ok(_) => Ok(true),
            Err(MakeError::Design(found)) => {
                outcome.messages.extend(found.sorted());
                outcome.ends(Finish::Fails);
                Ok(false)
            }
            Err(MakeError::Folder(e)) => Err(e.to_string()),
            Err(MakeError::Manifest(e)) => Err(e.to_string()),
        }
    }

    fn page(&self, outcome: &Outcome) -> Result<bool, String> {
        let page = match make::page(&self.resolved, &self.settings, outcome.findings()) {
            Ok(page) => page.html().map_err(|e| e.to_string())?,
            // The checks have said so.
            Err(PageError::Design(_)) => return Ok(false),
            Err(PageError::Picture(e)) => return Err(e.to_string()),
        };
        let (path, stop) = (self.path(Product::Page), self.shared.stop);
        write_lone(&path, Parents::Make, is_page, stop, |file| {
            file.write_all(page.as_bytes())
        })
        .map_err(|e| e.to_string())?;
        Ok(true)
    }

    fn pack(&self, outcome: &mut Outcome) -> Result<bool, String> {
        let design = &self.entry.design;
        if let Some(missing) = missing_terms(&self.resolved.terms, design) {
            outcome.messages.push(missing);
            outcome.ends(Finish::Fails);
            return Ok(false);
        }
        let set = self.path(Product::Set);
        let manifest = std::fs::read(set.join(MANIFEST)).map_err(|e| e.to_string())?;
        let manifest: Manifest = serde_json::from_slice(&manifest).map_err(|e| e.to_string())?;
        let tallest = Made::of(&manifest, 0).totals.tallest_mm;
        let leaflet = leaflet(&self.resolved, &safe_name(design), tallest);
        let place = (self.path(Product::Pack), Parents::Make);
        archive(
            design,
            place,
            &self.resolved,
            &self.settings,
            &leaflet,
            &set,
        )?;
        Ok(true)
    }
}

impl Done {
    /// Tells what was found, as `quiet` allows.
    pub fn tell(&self, quiet: bool) {
        for line in self.told.iter().cloned().chain(self.row.lines(quiet)) {
            crate::cli::print::say(&line);
        }
    }
}
