//! The files of pieces of stock with a creature laid out.

use std::sync::atomic::AtomicBool;

use rayon::prelude::*;

use super::blanks::{Laid, lay_out};
use super::planes::planes;
use super::sheet::sheet;
use super::{MakeError, Settings, laid_out, refused, registered};
use crate::blank::{Kind, Layout};
use crate::brep::pose::{Pose, posed};
use crate::brep::set_up::SetUp;
use crate::chain::Resolved;
use crate::check::finding::{Finding, Verdict};
use crate::diagnostic::Place;
use crate::export::blanks;
use crate::export::drawing::{Drawing, Title};
use crate::export::folder::{FileSet, Folder, Report};
use crate::export::manifest::{FileEntry, Manifest, Settings as Recorded};
use crate::export::step::{Colour, write_part};
use crate::export::stl;
use crate::mesh::tessellate;

/// What was written for the pieces of a creature.
#[derive(Debug)]
pub struct BlankSet {
    /// Where everything lies.
    pub laid: Laid,
    /// Names of the kinds of pieces, in the order of layouts and kinds.
    pub names: Vec<String>,
    /// What the layout does to fits and cutters.
    pub findings: Vec<Finding>,
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
    let kinds: Vec<(&Layout, &Kind)> = laid
        .blanks
        .layouts
        .iter()
        .flat_map(|l| l.kinds.iter().map(move |k| (l, k)))
        .collect();
    let names = blank_names(&laid);
    let findings = laid_out::findings(resolved, settings, &laid)?;
    let mut files: Vec<String> = names.iter().flat_map(|n| files_of(n)).collect();
    files.extend((1..=laid.blanks.layouts.len()).flat_map(template_files));
    files.extend([blanks::FILE.to_owned(), SHEET.to_owned()]);
    let set = folder.claim(&files, stop)?;
    let run = Run {
        laid: &laid,
        resolved,
        settings,
        set: &set,
    };
    let written: Vec<Vec<FileEntry>> = kinds
        .par_iter()
        .zip(&names)
        .map(|((layout, kind), name)| run.kind(layout, kind, name))
        .collect::<Result<_, _>>()?;
    let creature = &resolved.creature;
    let pieces: Vec<blanks::Piece> = kinds
        .iter()
        .zip(&names)
        .map(|(&piece, name)| blanks::Piece {
            name: name.clone(),
            set_ups: planes(resolved, &laid, piece),
            balls: registered::rows(resolved, &laid, piece),
        })
        .collect();
    let layouts = laid.blanks.layouts.iter();
    let clamps: Vec<_> = layouts.map(|l| laid_out::clamps(resolved, l)).collect();
    let record = blanks::to_bytes(
        &creature.name,
        &laid.blanks,
        &laid.parts,
        (&pieces, &clamps),
    )
    .map_err(|e| fault(&e.to_string()))?;
    let mut manifest = Manifest::new(
        &creature.name,
        creature.bench_only,
        Recorded {
            deviation_mm: settings.deviation,
        },
    );
    manifest.files = written.into_iter().flatten().collect();
    for (k, layout) in laid.blanks.layouts.iter().enumerate() {
        manifest.files.extend(run.template(k + 1, layout)?);
    }
    manifest.files.push(set.put(blanks::FILE, &record)?);
    let verdict = verdict.max(Verdict::of(&findings));
    let page = sheet(resolved, &laid, &names, verdict.word()).html();
    manifest.files.push(set.put(SHEET, page.as_bytes())?);
    let report = set.commit(&manifest.to_bytes().map_err(MakeError::Manifest)?)?;
    Ok(BlankSet {
        laid,
        names,
        findings,
        report,
    })
}

/// Names of the kinds of pieces, in the order of layouts and kinds.
pub(super) fn blank_names(laid: &Laid) -> Vec<String> {
    let kinds: usize = laid.blanks.layouts.iter().map(|l| l.kinds.len()).sum();
    let digits = kinds.to_string().len().max(2);
    let names = 1..=kinds;
    names.map(|n| format!("blank-{n:0digits$}")).collect()
}

fn fault(words: &str) -> MakeError {
    MakeError::Design(refused::fault(Place::default(), words).into())
}

fn word(setup: SetUp) -> String {
    setup.word(false).replace(' ', "-")
}

fn solid_files(name: &str, setup: SetUp) -> [String; 2] {
    ["stl", "step"].map(|end| format!("{name}-finished-{}.{end}", word(setup)))
}

fn drawing_files(name: &str, setup: SetUp) -> [String; 2] {
    ["dxf", "svg"].map(|end| format!("{name}-{}.{end}", word(setup)))
}

/// The template for the dowels in the base, of a stock by its number from 1.
fn template_files(stock: usize) -> [String; 2] {
    ["dxf", "svg"].map(|end| format!("dowel-template-{stock:02}.{end}"))
}

fn files_of(name: &str) -> Vec<String> {
    let each =
        SetUp::BOTH.map(|setup| [solid_files(name, setup), drawing_files(name, setup)].concat());
    each.concat()
}

/// From the frame of a piece to that of a set-up: the origin is where the axis of the front dowel meets
/// the face of the stock with the split faces, which is on the flip line.
fn pose(layout: &Layout, setup: SetUp) -> Pose {
    let [x, y] = layout.dowels[0].at;
    match setup {
        SetUp::OutsideUp => Pose {
            shift: [-x, -y, 0.0],
            ..Pose::NONE
        },
        SetUp::InsideUp => Pose {
            quarters: 2,
            shift: [-x, y, 0.0],
            ..Pose::NONE
        },
    }
}

/// What the tasks of a run share.
struct Run<'a> {
    laid: &'a Laid,
    resolved: &'a Resolved,
    settings: &'a Settings,
    set: &'a FileSet<'a>,
}

impl Run<'_> {
    fn kind(&self, layout: &Layout, kind: &Kind, name: &str) -> Result<Vec<FileEntry>, MakeError> {
        let bench = self.resolved.creature.bench_only;
        let solid = self.laid.finished(layout, kind).map_err(|e| fault(&e.0))?;
        let deviation = self.settings.deviation.min(self.laid.finest(kind));
        let mesh = tessellate(&solid, deviation).map_err(|e| fault(&e.0))?;
        let mut files = Vec::new();
        for setup in SetUp::BOTH {
            let pose = pose(layout, setup);
            let title = format!("{name}-finished-{}", word(setup));
            let [stl_name, step_name] = solid_files(name, setup);
            let corners = mesh.positions.iter();
            let corners: Vec<[f32; 3]> =
                corners.map(|&p| pose.apply(p).map(|c| c as f32)).collect();
            let bytes = stl::write(&title, bench, &corners, &mesh.triangles)
                .map_err(|e| fault(&e.to_string()))?;
            files.push(self.set.put(&stl_name, &bytes)?);
            let stamp = &self.settings.stamp;
            let bytes = write_part(&title, &posed(&solid, pose), Colour::WOOD, stamp, bench);
            files.push(self.set.put(&step_name, &bytes)?);
            files.extend(self.draw(layout, kind, name, setup)?);
        }
        Ok(files)
    }

    /// The drawings of a kind of piece in a set-up.
    fn draw(
        &self,
        layout: &Layout,
        kind: &Kind,
        name: &str,
        setup: SetUp,
    ) -> Result<[FileEntry; 2], MakeError> {
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
