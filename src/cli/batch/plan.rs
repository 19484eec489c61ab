//! From a plan, or from design files, to the entries of a batch.

use std::path::{Path, PathBuf};

use super::ProductArg;
use crate::cli::finish::Finish;
use crate::diagnostic::{Diagnostic, Diagnostics, Place};
use crate::export::names::{safe_stem, unique};
use crate::params::value::{Factor, Product};
use crate::params::written::PlanEntry;
use crate::params::{self, Located};

/// Entries at most: designs, shops and sizes multiply quickly (habit).
const MOST: usize = 100_000;

/// One creature of a batch.
#[derive(Debug, Clone)]
pub struct Entry {
    /// Number in the plan, from 1.
    pub number: usize,
    /// Name of its folder.
    pub name: String,
    pub design: PathBuf,
    pub shop: Option<PathBuf>,
    /// Factor on its size, when one is written.
    pub scale: Option<Located<Factor>>,
    /// How many of it.
    pub count: u32,
}

/// What a batch makes.
#[derive(Debug)]
pub struct Plan {
    /// Name of the folder under `out`.
    pub stem: String,
    pub entries: Vec<Entry>,
    /// In the order of [`Product`], each once.
    pub write: Vec<Product>,
}

/// Why there is no plan.
#[derive(Debug)]
pub struct Refused {
    pub messages: Diagnostics,
    pub finish: Finish,
}

impl Plan {
    /// Reads a plan, or takes the files as designs, each for each shop.
    pub fn of(files: &[PathBuf], shops: &[PathBuf], write: &[ProductArg]) -> Result<Self, Refused> {
        let asked: Vec<Product> = write.iter().map(|&w| w.into()).collect();
        if let Some(plan) = files.iter().find(|f| params::is_plan(f)) {
            if files.len() > 1 || !shops.is_empty() {
                let words = "a plan beside other files or --shop";
                let found = Diagnostic::error(Place::of_file(&plan.display().to_string()), words)
                    .allowed("one plan alone, or designs")
                    .way_out("name designs and shops in the plan");
                return Err(could_not_run(found));
            }
            return read(plan, asked);
        }
        let sets = [Set {
            designs: files.to_vec(),
            shops: shops.to_vec(),
            sizes: vec![(None, 1)],
        }];
        Plan::crossed("batch".to_owned(), &sets, asked, &Place::default())
    }

    /// The entries of all sets, unless they are too many: they are counted before there are any.
    fn crossed(
        stem: String,
        sets: &[Set],
        mut write: Vec<Product>,
        place: &Place,
    ) -> Result<Self, Refused> {
        let count = sets.iter().map(Set::count).fold(0, usize::saturating_add);
        if count > MOST {
            let found = Diagnostic::error(place.clone(), format!("{count} creatures"))
                .allowed(format!("at most {MOST}"))
                .way_out("make several plans of it");
            return Err(refused(found));
        }
        let mut entries = Vec::with_capacity(count);
        sets.iter().for_each(|set| set.cross(&mut entries));
        let names: Vec<&str> = entries.iter().map(|e| e.name.as_str()).collect();
        let stems = unique(&names).map_err(|clash| {
            let way_out = "leave the second out, or give one file another name";
            refused(Diagnostic::error(place.clone(), clash.to_string()).way_out(way_out))
        })?;
        for (k, (entry, stem)) in entries.iter_mut().zip(stems).enumerate() {
            (entry.number, entry.name) = (k + 1, stem);
        }
        if write.is_empty() {
            write.push(Product::Set);
        }
        if write.contains(&Product::Pack) {
            // The archive is put together from the set.
            write.push(Product::Set);
        }
        write.sort();
        write.dedup();
        Ok(Plan {
            stem,
            entries,
            write,
        })
    }
}

fn read(path: &Path, asked: Vec<Product>) -> Result<Plan, Refused> {
    let (plan, _) = params::read_plan(path).map_err(|messages| Refused {
        messages,
        finish: Finish::Fails,
    })?;
    let beside = |name: &str| path.with_file_name("").join(name);
    let mut sets = Vec::new();
    for entry in &plan.entries.value {
        let PlanEntry {
            designs,
            shops,
            sizes,
            ..
        } = &entry.value;
        let paths = |names: &[Located<params::value::Name>]| -> Vec<PathBuf> {
            names.iter().map(|n| beside(&n.value.0)).collect()
        };
        let sizes = match sizes {
            None => vec![(None, 1)],
            Some(list) => {
                let sizes = list.value.iter().map(|s| &s.value);
                let count = |c: &Option<Located<u32>>| c.as_ref().map_or(1, |c| c.value);
                sizes.map(|s| (s.scale.clone(), count(&s.count))).collect()
            }
        };
        sets.push(Set {
            designs: paths(&designs.value),
            shops: shops.as_ref().map_or(Vec::new(), |s| paths(&s.value)),
            sizes,
        });
    }
    let written = plan.write.iter().flat_map(|w| &w.value).map(|w| w.value);
    let write = if asked.is_empty() {
        written.collect()
    } else {
        asked
    };
    let stem = path.file_stem().map(|s| s.to_string_lossy());
    let stem = safe_stem(&stem.unwrap_or_default());
    Plan::crossed(stem, &sets, write, &plan.entries.place)
}

/// Designs, shops and sizes, of which each goes with each.
struct Set {
    designs: Vec<PathBuf>,
    /// None stand for the one beside each design.
    shops: Vec<PathBuf>,
    /// Factor, and how many.
    sizes: Vec<(Option<Located<Factor>>, u32)>,
}

impl Set {
    fn count(&self) -> usize {
        let shops = self.shops.len().max(1);
        let each = self.designs.len().saturating_mul(shops);
        each.saturating_mul(self.sizes.len())
    }

    /// Each design for each shop in each size.
    fn cross(&self, entries: &mut Vec<Entry>) {
        let shops: Vec<Option<&PathBuf>> = match self.shops.as_slice() {
            [] => vec![None],
            shops => shops.iter().map(Some).collect(),
        };
        for design in &self.designs {
            for &shop in &shops {
                for (scale, count) in &self.sizes {
                    entries.push(Entry {
                        number: 0,
                        name: name(design, shop, scale.as_ref(), *count),
                        design: design.clone(),
                        shop: shop.cloned(),
                        scale: scale.clone(),
                        count: *count,
                    });
                }
            }
        }
    }
}

/// Design, shop, size and count, as a folder is named.
fn name(
    design: &Path,
    shop: Option<&PathBuf>,
    scale: Option<&Located<Factor>>,
    count: u32,
) -> String {
    let stem = |path: &Path| path.file_stem().map(|s| s.to_string_lossy().into_owned());
    let mut name = stem(design).unwrap_or_default();
    if let Some(shop) = shop.and_then(|s| stem(s)) {
        name.push_str(&format!("-{shop}"));
    }
    if let Some(scale) = scale {
        // To a hundredth of a percent; nearer ones clash and are refused.
        let percent = (scale.value.0 * 10_000.0).round() / 100.0;
        name.push_str(&format!("-{percent}%"));
    }
    if count > 1 {
        name.push_str(&format!("-x{count}"));
    }
    name
}

fn refused(message: Diagnostic) -> Refused {
    Refused {
        messages: message.into(),
        finish: Finish::Fails,
    }
}

fn could_not_run(message: Diagnostic) -> Refused {
    Refused {
        messages: message.into(),
        finish: Finish::CouldNotRun,
    }
}
