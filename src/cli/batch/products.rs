//! The products of an entry: how each is written, where it lies, and when an old one goes.

use std::io::Write as _;
use std::path::{Path, PathBuf};

use super::one::Work;
use crate::cli::finish::Finish;
use crate::cli::make::make_one;
use crate::cli::outcome::Outcome;
use crate::cli::pack::{archive, leaflet, missing_terms, safe_name};
use crate::export::archive::is_ours;
use crate::export::folder::{Folder, Parents, remove_lone, write_lone};
use crate::export::manifest::{FILE as MANIFEST, Manifest};
use crate::make::{self, Made, MakeError, PageError, Redone, Store};
use crate::params::value::Product;
use crate::report::is_page;

/// Where a product of an entry lies.
pub fn path(root: &Path, product: Product) -> PathBuf {
    root.join(match product {
        Product::Set => "set",
        Product::Blanks => "blanks",
        Product::Page => "page.html",
        Product::Pack => "pack.zip",
    })
}

impl Work<'_> {
    pub fn path(&self, product: Product) -> PathBuf {
        path(&self.root, product)
    }

    fn open(&self, product: Product) -> Result<Folder, String> {
        Folder::open(&self.path(product), Parents::Make).map_err(|e| e.to_string())
    }

    /// The records of its parts and joints.
    pub fn store(&self) -> Store<'_> {
        Store::open(&self.root, !self.shared.fresh, self.shared.stop)
    }

    /// Makes the set; how much of it was redone.
    pub fn make_set(&self, outcome: &mut Outcome) -> Result<Redone, String> {
        let store = self.store();
        let folder = self.open(Product::Set)?;
        let quiet = (self.shared.stop, true);
        let place = (&folder, Some(&store));
        make_one(&self.resolved, &self.settings, place, quiet, outcome);
        outcome
            .cause()
            .map_or(Ok(store.redone()), |cause| Err(cause.to_owned()))
    }

    /// Writes a product of a checked creature; whether it did.
    pub fn write(&self, product: Product, outcome: &mut Outcome) -> Result<bool, String> {
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

    /// Removes what an earlier run wrote and this one did not, so that nobody takes it for what the
    /// design is now; what is not ours stays. A set stays whenever a new one is refused, as `make` has it.
    pub fn remove(&self, product: Product) -> Result<(), String> {
        let path = self.path(product);
        let removed = match product {
            Product::Set => Ok(()),
            Product::Page => remove_lone(&path, is_page),
            Product::Pack => remove_lone(&path, is_ours),
            Product::Blanks if !path.join(MANIFEST).exists() => Ok(()),
            Product::Blanks => self.open(product)?.clear(),
        };
        removed.map_err(|e| e.to_string())
    }
}
