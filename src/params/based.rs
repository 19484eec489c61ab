//! The files that a design is based on, one after the other.

use std::ops::Range;
use std::path::{Path, PathBuf};

use super::load::{self, MOST_BYTES};
use super::quote::yaml_quoted;
use super::reader::{Reader, shortened};
use super::syntax;
use super::tree::{self, Node};
use super::value::FileName;
use super::written::Design;
use crate::diagnostic::{Diagnostic, Diagnostics, Place};
use crate::params::limits::Limits;
use crate::params::record::Value;

/// Files in a chain of bases at most, the design itself counted (habit; deeper ones are hard to
/// follow).
pub(super) const MOST_FILES: usize = 8;

/// The key.
const KEY: &str = "based_on";

/// A file of the chain.
pub(super) struct File {
    /// Its path as messages name it.
    pub name: String,
    pub source: String,
    pub root: Node,
}

impl File {
    /// Reads the tree of a text and looks at what it is.
    fn of(source: String, name: String) -> Result<Self, Diagnostics> {
        load::within_size(&source, &name)?;
        let root = tree::read(&source).map_err(|error| syntax::explain(&error, &source, &name))?;
        let place = Reader::new(&name).root();
        if let Some(refusal) = super::read::not_a_record::<Design>(&root, &source, &place) {
            return Err(refusal.into());
        }
        Ok(File { name, source, root })
    }

    /// The root's place.
    pub fn place(&self) -> Place {
        Place::of_file(&self.name).at(self.root.line, self.root.column)
    }

    /// The value of a key, the first one when it is repeated.
    fn key(&self, wanted: &str) -> Option<&Node> {
        self.root.key(wanted)
    }

    /// The path of its base with the place of that; nothing for a file that stands by itself.
    fn base(&self) -> Result<Option<(String, Place)>, Diagnostics> {
        let Some(node) = self.key(KEY) else {
            return Ok(None);
        };
        let place = node.place(&self.place().key(KEY));
        let mut reader = Reader::new(&self.name);
        let Some(path) = FileName::read(node, &place, Limits::ANY, &mut reader) else {
            return Err(reader.found);
        };
        Ok(Some((path.0, place)))
    }
}

/// The design and the files it is based on, each followed by its base.
///
/// # Errors
/// A file of the chain that is missing, too large, no design or no YAML; a circle; a chain too long.
pub(super) fn chain(source: String, name: &str) -> Result<Vec<File>, Diagnostics> {
    followed(source, name, &mut |_| {})
}

/// The same; `named` is told of every base that is looked for, found or not.
fn followed(
    source: String,
    name: &str,
    named: &mut dyn FnMut(&Path),
) -> Result<Vec<File>, Diagnostics> {
    let mut files = vec![File::of(source, name.to_owned())?];
    let mut seen = vec![identity(Path::new(name))];
    let mut bytes = files[0].source.len() as u64;
    while let Some((written, place)) = files[files.len() - 1].base()? {
        let path = beside(Path::new(&files[files.len() - 1].name), &written);
        let identity = identity(&path);
        if let Some(at) = seen.iter().position(|s| *s == identity) {
            return Err(circle(place, &files[at..], &path).into());
        }
        if files.len() == MOST_FILES {
            return Err(too_many(place).into());
        }
        named(&path);
        let source = text(&path, &written, &place)?;
        bytes += source.len() as u64;
        if bytes > MOST_BYTES {
            let found = format!("{bytes} bytes in this design and its bases");
            return Err(Diagnostic::error(place, found)
                .allowed(format!("at most {MOST_BYTES} bytes (4 MB) together"))
                .way_out("base it on a smaller file")
                .into());
        }
        let file = File::of(source, path.display().to_string())?;
        if file.key("limberwood").is_none() {
            let place = file.place();
            return Err(Diagnostic::error(place, "no `limberwood`")
                .allowed("a design file to be based on")
                .way_out("begin it with `limberwood: 1`")
                .into());
        }
        seen.push(identity);
        files.push(file);
    }
    if files.len() > 1 && files[0].key("limberwood").is_none() {
        return Err(Diagnostic::error(files[0].place(), "no `limberwood`")
            .allowed("`limberwood: 1`, in a file that is based on another too")
            .way_out("add `limberwood: 1`")
            .into());
    }
    Ok(files)
}

/// The path of a base: from the folder of the file that names it.
fn beside(file: &Path, written: &str) -> PathBuf {
    let folder = file.parent().unwrap_or(Path::new(""));
    folder.join(written)
}

/// A path that is equal for the same file, however it is named.
fn identity(path: &Path) -> PathBuf {
    path.canonicalize().unwrap_or_else(|_| path.to_path_buf())
}

/// The text of a base; a base that cannot be opened is a fault where it is named.
fn text(path: &Path, written: &str, place: &Place) -> Result<String, Diagnostics> {
    let refused = |found: String, way_out: &str| {
        Diagnostic::error(place.clone(), found)
            .allowed("a design file that can be read")
            .way_out(way_out)
    };
    let shown = shortened(written);
    match std::fs::metadata(path) {
        Ok(data) if data.is_file() => {}
        Ok(_) => {
            let found = format!("`{shown}`, which is no file");
            return Err(refused(found, "name a design file").into());
        }
        Err(error) => {
            let found = match error.kind() {
                std::io::ErrorKind::NotFound => format!("the base `{shown}`, no such file"),
                _ => format!("the base `{shown}`, a file that can't be read ({error})"),
            };
            let way_out = format!(
                "check the path {}: it goes from the folder of this file",
                path.display()
            );
            return Err(refused(found, &way_out).into());
        }
    }
    load::read_text(path)
}

fn circle(place: Place, files: &[File], again: &Path) -> Diagnostic {
    let found = if files.len() == 1 {
        format!("`{}`, the file itself", again.display())
    } else {
        let mut names: Vec<&str> = files.iter().map(|f| f.name.as_str()).collect();
        names.push(&files[0].name);
        format!("a circle: {}", names.join(" based on "))
    };
    Diagnostic::error(place, found)
        .allowed("a chain of bases that comes to an end")
        .way_out("let one of them stand by itself")
}

fn too_many(place: Place) -> Diagnostic {
    Diagnostic::error(
        place,
        format!("more than {MOST_FILES} files in a chain of bases"),
    )
    .allowed(format!("at most {MOST_FILES}, this design counted"))
    .way_out("base it on a file nearer to the end of the chain")
}

/// A file of a design: its path and its text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DesignFile {
    /// Path as messages name it.
    pub path: PathBuf,
    /// Text.
    pub text: String,
    /// Where in the text the value of `based_on` stands, quotes included; nothing in the last file.
    value: Option<Range<usize>>,
}

impl DesignFile {
    /// The text with another base; the same text for a file that has none.
    #[must_use]
    pub fn based_on_at(&self, base: &str) -> String {
        let mut text = self.text.clone();
        if let Some(value) = &self.value {
            text.replace_range(value.clone(), &yaml_quoted(base));
        }
        text
    }
}

/// The bases of a design as far as they are named, the one that is missing or broken too.
pub fn bases(path: &Path) -> Vec<PathBuf> {
    let mut all = Vec::new();
    if let Ok(text) = load::read_text(path) {
        // What is wrong with them is told when they are read.
        let _ = followed(text, &path.display().to_string(), &mut |base| {
            all.push(base.to_path_buf());
        });
    }
    all
}

/// The files that a design is made of: itself, its base, the base of that.
///
/// # Errors
/// As reading it.
pub fn design_files(path: &Path) -> Result<Vec<DesignFile>, Diagnostics> {
    let files = chain(load::read_text(path)?, &path.display().to_string())?;
    let each = files.into_iter().map(|file| DesignFile {
        value: file
            .key(KEY)
            .map(|node| node.span.0..node.span.0.saturating_add(node.span.1)),
        path: PathBuf::from(&file.name),
        text: file.source,
    });
    Ok(each.collect())
}
