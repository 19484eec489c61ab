//! `limberwood pack`.

use std::fs::File;
use std::io::{self, Seek, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::AtomicBool;

use super::args::{Make, Pack};
use super::finish::Finish;
use super::make::{self, Outcome};
use super::picture::{default_path, plain_settings};
use super::print;
use crate::chain::{Resolved, Terms};
use crate::diagnostic::{Diagnostic, Place};
use crate::export::archive::{Archive, is_ours};
use crate::export::folder::{Parents, write_lone};
use crate::export::leaflet::Leaflet;
use crate::export::manifest;
use crate::export::names::safe_stem;
use crate::make::{MakeError, look};
use crate::params;
use crate::picture::{Size, View};
use crate::units::{Unit, inch_text, mm_text};

/// Names of the fixed files of an archive.
const README: &str = "README.txt";
const PICTURE: &str = "picture.png";

/// Runs the command.
pub fn run(args: &Pack) -> Finish {
    let plain = Make::plain(&args.design, args.shop.as_deref(), args.quiet);
    let design = args.design.display().to_string();
    if let Some(missing) = missing_terms(args) {
        let mut outcome = Outcome::new(&design);
        outcome.messages.push(missing);
        outcome.ends(Finish::Fails);
        return make::finish(&plain, &[outcome]);
    }
    let mut outcomes = make::outcomes(&plain);
    if let Some(outcome) = outcomes.first_mut() {
        pack(args, outcome);
    }
    make::finish(&plain, &outcomes)
}

/// A design can be given away when it says by whom and on which terms; other faults are told by
/// `make`.
fn missing_terms(args: &Pack) -> Option<Diagnostic> {
    let (design, _) = params::read_design(&args.design).ok()?;
    let missing: Vec<&str> = [
        ("author", design.author.is_none()),
        ("licence", design.licence.is_none()),
    ]
    .into_iter()
    .filter_map(|(key, missing)| missing.then_some(key))
    .collect();
    if missing.is_empty() {
        return None;
    }
    let place = Place::of_file(&args.design.display().to_string());
    let found = format!("no {}", missing.join(" and no "));
    let message = Diagnostic::error(place, found)
        .allowed("a design to give away names who made it and on which terms others may use it")
        .way_out("add lines such as `author: your name` and `licence: CC-BY-4.0`");
    Some(message)
}

fn pack(args: &Pack, outcome: &mut Outcome) {
    let (Some(resolved), Some(folder)) = (outcome.resolved.take(), outcome.folder.clone()) else {
        return;
    };
    match archive(args, &resolved, Path::new(&folder), outcome.tallest()) {
        Ok(path) => {
            if !args.quiet {
                print::out(&format!("{}\n", path.display()));
            }
        }
        Err(cause) => outcome.could_not_run(cause),
    }
}

/// Writes the archive; says why it could not.
fn archive(
    args: &Pack,
    resolved: &Resolved,
    folder: &Path,
    tallest: f64,
) -> Result<PathBuf, String> {
    let name = &resolved.creature.name;
    let (path, parents) = match &args.output {
        Some(path) => (path.clone(), Parents::MustExist),
        None => (default_path(name, "zip"), Parents::Make),
    };
    let design = std::fs::read(&args.design).map_err(|e| e.to_string())?;
    let file = args.design.file_name().map(|n| n.to_string_lossy());
    let file = safe_stem(&file.unwrap_or_default());
    let leaflet = leaflet(resolved, &file, tallest);
    let settings = plain_settings(Unit::Mm);
    let picture = match look(resolved, &settings, &View::FRONT_LEFT, Size::default()) {
        Ok(picture) => picture.png().map_err(|e| e.to_string())?,
        Err(MakeError::Design(_) | MakeError::Folder(_) | MakeError::Manifest(_)) => {
            return Err("the picture could not be drawn".to_owned());
        }
    };
    let stop = AtomicBool::new(false);
    let written = write_lone(&path, parents, is_ours, &stop, |out| {
        let mut archive = Archive::begin(out, &safe_stem(name))?;
        archive.add(README, leaflet.text().as_bytes())?;
        archive.add(&file, design.as_slice())?;
        archive.add(PICTURE, picture.as_slice())?;
        add_set(&mut archive, folder)?;
        archive.end()?;
        Ok(())
    });
    written.map_err(|e| e.to_string())?;
    Ok(path)
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
fn leaflet(resolved: &Resolved, design: &str, tallest: f64) -> Leaflet {
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
