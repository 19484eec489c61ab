//! `limberwood pack`.

use std::fs::File;
use std::io::{self, Seek, Write};
use std::path::{Path, PathBuf};

use super::args::Pack;
use super::finish::Finish;
use super::make::make_one;
use super::outcome::{Outcome, worst};
use super::picture::place;
use super::print;
use super::progress::stop_on_ctrl_c;
use super::read::read;
use crate::chain::{Resolved, Terms};
use crate::diagnostic::{Diagnostic, Place};
use crate::export::archive::{Archive, is_ours};
use crate::export::folder::{Folder, Parents, write_lone};
use crate::export::leaflet::Leaflet;
use crate::export::manifest;
use crate::export::names::safe_stem;
use crate::export::step::Stamp;
use crate::make::{Settings, look};
use crate::params::{self, DesignFile};
use crate::picture::{Size, View};
use crate::units::{inch_text, mm_text};

/// Names of the fixed files of an archive.
const README: &str = "README.txt";
const PICTURE: &str = "picture.png";

/// Runs the command.
pub fn run(args: &Pack) -> Finish {
    let mut outcome = Outcome::new(&args.design.display().to_string());
    let path = pack(args, &mut outcome);
    if let Err(cause) = &path {
        outcome.could_not_run(cause.clone());
    }
    outcome.tell_made(args.quiet);
    if let (Ok(Some(path)), false) = (&path, args.quiet) {
        print::out(&format!("{}\n", path.display()));
    }
    worst(&[outcome])
}

/// Makes the set and archives it, if nothing stands against cutting it; says why it could not.
fn pack(args: &Pack, outcome: &mut Outcome) -> Result<Option<PathBuf>, String> {
    let Some((resolved, unit)) = read(&args.design, args.shop.as_deref(), outcome) else {
        return Ok(None);
    };
    if let Some(missing) = missing_terms(&resolved.terms, &args.design) {
        outcome.messages.push(missing);
        outcome.ends(Finish::Fails);
        return Ok(None);
    }
    let settings = Settings {
        stamp: Stamp::from_environment().map_err(|e| e.to_string())?,
        ..Settings::of(&resolved, unit)
    };
    let path = PathBuf::from("out").join(safe_stem(&resolved.creature.name));
    let folder = Folder::open(&path, Parents::Make).map_err(|e| e.to_string())?;
    outcome.folder = Some(path.display().to_string());
    let stop = stop_on_ctrl_c();
    let into = (&folder, None);
    make_one(&resolved, &settings, into, (stop, args.quiet), outcome);
    if !outcome.is_sound() {
        return Ok(None);
    }
    let leaflet = leaflet(&resolved, &safe_name(&args.design), outcome.tallest());
    let place = place(args.output.as_ref(), &resolved.creature.name, "zip");
    archive(&args.design, place, &resolved, &settings, &leaflet, &path).map(Some)
}

/// What is missing of author and licence, if anything.
pub(super) fn missing_terms(terms: &Terms, file: &Path) -> Option<Diagnostic> {
    let missing: Vec<&str> = [("author", &terms.author), ("licence", &terms.licence)]
        .into_iter()
        .filter_map(|(key, written)| written.is_none().then_some(key))
        .collect();
    if missing.is_empty() {
        return None;
    }
    let place = Place::of_file(&file.display().to_string());
    let message = Diagnostic::error(
        place,
        format!("a pack without {}", missing.join(" and without ")),
    )
    .allowed("a design to give away names who made it and on which terms others may use it")
    .way_out("add lines such as `author: your name` and `licence: CC-BY-4.0`");
    Some(message)
}

/// The design file's own name, as it stands in the archive.
pub(super) fn safe_name(design: &Path) -> String {
    let name = design.file_name().map(|n| n.to_string_lossy());
    safe_stem(&name.unwrap_or_default())
}

/// Writes the archive of a set; says why it could not.
pub(super) fn archive(
    design: &Path,
    (path, parents): (PathBuf, Parents),
    resolved: &Resolved,
    settings: &Settings,
    leaflet: &Leaflet,
    folder: &Path,
) -> Result<PathBuf, String> {
    let name = &resolved.creature.name;
    let designs = params::design_files(design).map_err(|e| e.to_string())?;
    let picture = look(resolved, settings, &View::FRONT_LEFT, Size::default());
    let picture = picture.map_err(|refused| refused.to_string())?;
    let picture = picture.png().map_err(|e| e.to_string())?;
    let written = write_lone(&path, parents, is_ours, stop_on_ctrl_c(), |out| {
        let mut archive = Archive::begin(out, &safe_stem(name))?;
        archive.add(README, leaflet.text().as_bytes())?;
        for (name, text) in together(&designs, &leaflet.design) {
            archive.add(&name, text.as_bytes())?;
        }
        archive.add(PICTURE, picture.as_slice())?;
        add_set(&mut archive, folder)?;
        archive.end()?;
        Ok(())
    });
    written.map_err(|e| e.to_string())?;
    Ok(path)
}

/// The design and the files that it is based on, as they lie side by side in the archive: each names
/// the next one there, and nothing else of its text changes.
fn together(designs: &[DesignFile], first: &str) -> Vec<(String, String)> {
    let name = |k: usize| match k {
        0 => first.to_owned(),
        _ => format!("based-on-{k}-{}", safe_name(&designs[k].path)),
    };
    let each = designs.iter().enumerate().map(|(k, file)| {
        let text = match designs.get(k + 1) {
            Some(_) => file.based_on_at(&name(k + 1)),
            None => file.text.clone(),
        };
        (name(k), text)
    });
    each.collect()
}

/// All files that the manifest lists, and the manifest.
fn add_set<W: Write + Seek>(archive: &mut Archive<W>, folder: &Path) -> io::Result<()> {
    let bytes = std::fs::read(folder.join(manifest::FILE))?;
    let listed = manifest::listed(&bytes).map_err(|e| io::Error::other(e.to_string()))?;
    archive.add(&format!("parts/{}", manifest::FILE), bytes.as_slice())?;
    for file in listed {
        let bytes = File::open(folder.join(&file.name))?;
        archive.add(&format!("parts/{}", file.name), bytes)?;
    }
    Ok(())
}

/// Every length in both units: those who get it may have either.
pub(super) fn leaflet(resolved: &Resolved, design: &str, tallest: f64) -> Leaflet {
    let both = |mm: f64| format!("{} = {}", mm_text(mm), inch_text(mm));
    let Terms {
        author,
        licence,
        credit,
    } = resolved.terms.clone();
    Leaflet {
        creature: resolved.creature.name.clone(),
        author: author.unwrap_or_default(),
        licence: licence.unwrap_or_default(),
        credit,
        species: resolved.creature.species.clone(),
        boards: resolved.boards.iter().map(|&b| both(b)).collect(),
        tallest: both(tallest),
        design: design.to_owned(),
        bench_only: resolved.creature.bench_only,
    }
}
