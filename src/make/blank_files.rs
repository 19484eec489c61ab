//! The files of pieces of stock with a creature laid out.

use std::sync::atomic::AtomicBool;

use rayon::prelude::*;

use super::blanks::{Laid, lay_out};
use super::planes::planes;
use super::sheet::sheet;
use super::state_files::Piece;
use super::{MakeError, Settings, laid_out, refused, registered};
use crate::blank::{Kind, Layout};
use crate::brep::set_up::SetUp;
use crate::chain::Resolved;
use crate::check::finding::{Finding, Verdict};
use crate::diagnostic::Place;
use crate::export::blanks::{self, OfKind};
use crate::export::drawing::{Drawing, Title};
use crate::export::folder::{FileSet, Folder, Report};
use crate::export::manifest::{FileEntry, Manifest, Settings as Recorded};

/// What was written for the pieces of a creature.
#[derive(Debug)]
pub struct BlankSet {
    /// Where everything lies.
    pub laid: Laid,
    /// Names of the kinds of pieces, in the order of layouts and kinds.
    pub names: Vec<String>,
    /// What the layout does to fits and cutters.
    pub findings: Vec<Finding>,
    /// Pieces and states without solids, and why.
    pub left_out: Vec<String>,
    /// What became of the files.
    pub report: Report,
}

/// Name of the shop sheet.
pub const SHEET: &str = "shop-sheet.html";

/// Lays out a number of creatures and writes all files into an opened folder; `verdict` is what the
/// checks say of the design.
///
/// # Errors
/// See [`MakeError`]; nothing of an older set is touched then.
pub fn blanks(
    resolved: &Resolved,
    settings: &Settings,
    (creatures, verdict): (usize, Verdict),
    folder: &Folder,
    stop: &AtomicBool,
) -> Result<BlankSet, MakeError> {
    let laid = lay_out(resolved, settings, creatures).map_err(MakeError::Design)?;
    let kinds: Vec<(&Layout, &Kind)> = laid.blanks.kinds().collect();
    let names = blank_names(&laid);
    let findings = laid_out::findings(resolved, settings, &laid)?;
    let pieces = Piece::all(&laid, &kinds, &names)?;
    let mut files: Vec<String> = pieces.iter().flat_map(Piece::names).collect();
    files.extend((1..=laid.blanks.layouts.len()).flat_map(template_files));
    files.extend([blanks::FILE.to_owned(), SHEET.to_owned()]);
    let set = folder.claim(&files, stop)?;
    let run = Run {
        laid: &laid,
        resolved,
        settings,
        set: &set,
    };
    let solids = run.solids(&pieces)?;
    let drawings: Vec<Vec<FileEntry>> = pieces
        .par_iter()
        .map(|piece| run.drawings(piece))
        .collect::<Result<_, _>>()?;
    let creature = &resolved.creature;
    let own = recorded(resolved, &laid, &pieces);
    let layouts = laid.blanks.layouts.iter();
    let clamps: Vec<_> = layouts.map(|l| laid_out::clamps(resolved, l)).collect();
    let record = blanks::to_bytes(&creature.name, &laid.blanks, &laid.parts, (&own, &clamps))
        .map_err(|e| fault(&e.to_string()))?;
    let mut manifest = Manifest::new(
        &creature.name,
        creature.bench_only,
        Recorded {
            deviation_mm: settings.deviation,
        },
    );
    manifest.files = solids;
    manifest.files.extend(drawings.into_iter().flatten());
    for (k, layout) in laid.blanks.layouts.iter().enumerate() {
        manifest.files.extend(run.template(k + 1, layout)?);
    }
    manifest.files.push(set.put(blanks::FILE, &record)?);
    let verdict = verdict.max(Verdict::of(&findings));
    let page = sheet(resolved, &laid, &names, verdict.word()).html();
    manifest.files.push(set.put(SHEET, page.as_bytes())?);
    let report = set.commit(&manifest.to_bytes().map_err(MakeError::Manifest)?)?;
    let left_out = pieces.iter().flat_map(Piece::left_out).collect();
    Ok(BlankSet {
        laid,
        names,
        findings,
        left_out,
        report,
    })
}

/// What the record says of each kind of piece beside its layout.
fn recorded(resolved: &Resolved, laid: &Laid, pieces: &[Piece<'_>]) -> Vec<OfKind> {
    let of = |piece: &Piece<'_>| OfKind {
        name: piece.name.to_owned(),
        set_ups: planes(resolved, laid, (piece.layout, piece.kind)),
        states: piece.recorded(laid),
        balls: registered::rows(resolved, laid, (piece.layout, piece.kind)),
    };
    pieces.par_iter().map(of).collect()
}

/// Names of the kinds of pieces, in the order of layouts and kinds.
pub(super) fn blank_names(laid: &Laid) -> Vec<String> {
    let kinds = laid.blanks.kinds().count();
    let digits = kinds.to_string().len().max(2);
    let names = 1..=kinds;
    names.map(|n| format!("blank-{n:0digits$}")).collect()
}

pub(super) fn fault(words: &str) -> MakeError {
    MakeError::Design(refused::fault(Place::default(), words).into())
}

pub(super) fn word(setup: SetUp) -> String {
    setup.word(false).replace(' ', "-")
}

pub(super) fn drawing_files(name: &str, setup: SetUp) -> [String; 2] {
    ["dxf", "svg"].map(|end| format!("{name}-{}.{end}", word(setup)))
}

/// The template for the dowels in the base, of a stock by its number from 1.
fn template_files(stock: usize) -> [String; 2] {
    ["dxf", "svg"].map(|end| format!("dowel-template-{stock:02}.{end}"))
}

/// What the tasks of a run share.
pub(super) struct Run<'a> {
    pub laid: &'a Laid,
    pub resolved: &'a Resolved,
    pub settings: &'a Settings,
    pub set: &'a FileSet<'a>,
}

impl Run<'_> {
    /// The drawings of a piece in both set-ups.
    fn drawings(&self, piece: &Piece<'_>) -> Result<Vec<FileEntry>, MakeError> {
        let mut files = Vec::new();
        for setup in SetUp::BOTH {
            files.extend(self.draw(piece, setup)?);
        }
        Ok(files)
    }

    /// The drawings of a kind of piece in a set-up.
    fn draw(&self, piece: &Piece<'_>, setup: SetUp) -> Result<[FileEntry; 2], MakeError> {
        let Piece {
            layout, kind, name, ..
        } = piece;
        let rules = &self.resolved.blank;
        let clamps = [rules.ends, rules.sides];
        let drawing = Drawing::of_piece(layout, clamps, &self.laid.lying(kind), setup);
        let title = self.title(format!("{} {name}", self.resolved.creature.name));
        self.drawn(&drawing, &title, drawing_files(name, setup))
    }

    fn template(&self, stock: usize, layout: &Layout) -> Result<[FileEntry; 2], MakeError> {
        let drawing = Drawing::of_template(layout);
        let title = self.title("dowels in the base; bars 100 mm, 4 in".to_owned());
        self.drawn(&drawing, &title, template_files(stock))
    }

    fn title(&self, part: String) -> Title {
        Title {
            part,
            bench_only: self.resolved.creature.bench_only,
        }
    }

    fn drawn(
        &self,
        drawing: &Drawing,
        title: &Title,
        [dxf, svg]: [String; 2],
    ) -> Result<[FileEntry; 2], MakeError> {
        Ok([
            self.set.put(&dxf, &drawing.dxf(title))?,
            self.set.put(&svg, &drawing.svg(title))?,
        ])
    }
}
