//! The arguments.

use std::path::PathBuf;

use clap::{Args as ClapArgs, Parser, Subcommand, ValueEnum};
use clap_complete::Shell;

/// Jointed wooden creatures for a 3-axis router: from one parameter file to every half.
#[derive(Debug, Parser)]
#[command(version, about, max_term_width = 100)]
pub struct Args {
    /// What to do; without one, the next things to type are shown.
    #[command(subcommand)]
    pub command: Option<Command>,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Start a new creature: choices become a design that passes every check.
    New(super::new::New),
    /// Make every file of one or more creatures: STL, STEP, 3MF, DXF, SVG.
    Make(Make),
    /// Check a design before any wood is cut.
    Check(Check),
    /// Find the joints that say `auto`, and print them as lines to paste into the design.
    Solve(super::solve::SolveArgs),
    /// Lay out all halves on pieces of stock: solids of the pieces with windows, tabs and dowels.
    Blank(Blank),
    /// Make a coupon: one ball and four sockets of a design's joint, to try before cutting it.
    Coupon(super::coupon::CouponArgs),
    /// Take what a coupon showed into a shop file.
    Record(super::record::RecordArgs),
    /// Fit a design to other boards, another shop, length, scale, dowel or wood.
    Refit(super::refit::RefitArgs),
    /// Make whole batches: designs, shops and sizes; work that is done already is not redone.
    Batch(super::batch::Batch),
    /// Make one archive to give a design away.
    Pack(Pack),
    /// Make one HTML page that shows, bends and explains a creature.
    Page(PageArgs),
    /// Show a creature in a browser and follow its files while they are edited.
    Watch(super::watch::WatchArgs),
    /// Draw a creature as a PNG picture.
    Picture(super::picture::PictureArgs),
    /// Print the JSON Schema of a file form, for completion in editors.
    #[command(after_help = SCHEMA_HELP)]
    Schema {
        /// Which file.
        #[arg(value_enum)]
        of: SchemaOf,
    },
    /// Print the completion script of a shell.
    Completions {
        /// Which shell.
        #[arg(value_enum)]
        shell: Shell,
    },
}

/// How a schema gets into an editor.
const SCHEMA_HELP: &str = "\
Save it beside your files, and name it in their first line, which many editors know:

  limberwood schema design > limberwood.schema.json
  # yaml-language-server: $schema=limberwood.schema.json

  limberwood schema shop > limberwood-shop.schema.json
  # yaml-language-server: $schema=limberwood-shop.schema.json";

/// A file form.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub enum SchemaOf {
    /// The creature.
    Design,
    /// The shop.
    Shop,
    /// The plan of a batch.
    Plan,
}

/// A pose of the written halves.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub enum PoseArg {
    /// Split face down on z = 0, outer side up.
    OutsideUp,
    /// Split face up on z = 0, outer side down.
    InsideUp,
    /// Every part at its place in the straight creature.
    Creature,
}

/// Arguments of `make`.
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Examples:
  limberwood make params/caterpillar.yaml
  limberwood make newt.yaml pike.yaml --shop my-shop.yaml
  limberwood make newt.yaml --only tail --deviation 0.01 -o try
  limberwood make newt.yaml --from tail-mid
  limberwood make newt.yaml --pose creature --json

Exit status: 0 made and sound, 1 the design is refused or a check fails, 2 could not run.")]
pub struct Make {
    /// Design files.
    #[arg(required = true, value_name = "FILE")]
    pub designs: Vec<PathBuf>,
    /// Shop file; without it `shop.yaml` beside the design, else the built-in shop.
    #[arg(long, value_name = "FILE")]
    pub shop: Option<PathBuf>,
    /// Folder to write to, instead of out/NAME; with several designs, the folder that holds theirs.
    #[arg(short, long, value_name = "DIR")]
    pub output: Option<PathBuf>,
    /// How far the mesh may lie off the true surface, in mm, 0.001 to 0.2; 0.02 when left out, or a
    /// tenth of the least clearance if that is less.
    #[arg(long, value_name = "MM")]
    pub deviation: Option<f64>,
    /// Only the section of this name; written to a folder of its own.
    #[arg(long, value_name = "NAME")]
    pub only: Option<String>,
    /// Only the section of this name and those behind it to the tail, for a remake when a joint broke;
    /// written to a folder of its own.
    #[arg(long, value_name = "NAME", conflicts_with = "only")]
    pub from: Option<String>,
    /// Pose of the written halves.
    #[arg(long, value_enum, default_value = "outside-up")]
    pub pose: PoseArg,
    /// Print one JSON document instead of text.
    #[arg(long)]
    pub json: bool,
    /// Say nothing but errors.
    #[arg(short, long)]
    pub quiet: bool,
    /// Threads to use; all cores without it. The files do not depend on it.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=256))]
    pub threads: Option<u16>,
}

/// Arguments of `pack`.
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
The design must say who made it and on which terms: author and licence.
The archive holds README.txt, the design, a picture and the set that `make` writes.

Examples:
  limberwood pack newt.yaml
  limberwood pack newt.yaml --shop my-shop.yaml -o give/newt.zip

Exit status: 0 made and sound, 1 the design is refused, 2 could not run.")]
pub struct Pack {
    /// Design file.
    #[arg(value_name = "FILE")]
    pub design: PathBuf,
    /// Shop file for whose stock the solids are made; without it `shop.yaml` beside the design,
    /// else the built-in shop. It is not put into the archive.
    #[arg(long, value_name = "FILE")]
    pub shop: Option<PathBuf>,
    /// Archive to write, instead of out/NAME.zip.
    #[arg(short, long, value_name = "FILE.zip")]
    pub output: Option<PathBuf>,
    /// Say nothing but errors.
    #[arg(short, long)]
    pub quiet: bool,
}

/// Arguments of `check`.
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Three words come first: cut, cut a coupon first, or fix first. Then findings, gravest first, \
each with the name of its check in brackets. A warning is accepted in the design:
  accept: [{check: wide-swing, reason: the tail may bend further}]

Examples:
  limberwood check newt.yaml
  limberwood check newt.yaml --all --shop my-shop.yaml
  limberwood check --explain collision
  limberwood check --explain list

Exit status: 0 no error, 1 an error, 2 could not run.")]
pub struct Check {
    /// Design files.
    #[arg(required_unless_present = "explain", value_name = "FILE")]
    pub designs: Vec<PathBuf>,
    /// Shop file; without it `shop.yaml` beside the design, else the built-in shop.
    #[arg(long, value_name = "FILE")]
    pub shop: Option<PathBuf>,
    /// Say of a check what its rule is, where it comes from and what it does not see; `list` for all.
    #[arg(long, value_name = "CHECK")]
    pub explain: Option<String>,
    /// Print notes too, not only errors and warnings.
    #[arg(long)]
    pub all: bool,
    /// Print one JSON document instead of text.
    #[arg(long)]
    pub json: bool,
    /// Say nothing but the three words and errors.
    #[arg(short, long)]
    pub quiet: bool,
}

/// Arguments of `blank`.
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Both halves of a section lie on one piece, the lower one turned half round. \
Dowels on the middle line register the flip. Sizes of stock, clamps, dowels and windows come from \
the shop file.

Examples:
  limberwood blank newt.yaml
  limberwood blank newt.yaml --from tail-mid
  limberwood blank newt.yaml --count 12 --shop my-shop.yaml -o newt-blanks

Exit status: 0 laid out, 1 the design is refused or finds no place, 2 could not run.")]
pub struct Blank {
    /// Design file.
    #[arg(value_name = "FILE")]
    pub design: PathBuf,
    /// Shop file; without it `shop.yaml` beside the design, else the built-in shop.
    #[arg(long, value_name = "FILE")]
    pub shop: Option<PathBuf>,
    /// Folder to write to, instead of out/NAME-blanks.
    #[arg(short, long, value_name = "DIR")]
    pub output: Option<PathBuf>,
    /// Number of creatures.
    #[arg(short, long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u16).range(1..=1000))]
    pub count: u16,
    /// Only the section of this name and those behind it to the tail, for a remake when a joint broke;
    /// written to a folder of its own.
    #[arg(long, value_name = "NAME")]
    pub from: Option<String>,
    /// Print one JSON document instead of text.
    #[arg(long)]
    pub json: bool,
    /// Say nothing but errors.
    #[arg(short, long)]
    pub quiet: bool,
}

/// Arguments of `page`.
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
The page needs no network and no other file: it opens from disk on a computer, phone or tablet.

Examples:
  limberwood page newt.yaml
  limberwood page newt.yaml --shop my-shop.yaml -o newt.html

Exit status: 0 written and sound, 1 the design is refused or a check fails, 2 could not run.")]
pub struct PageArgs {
    /// Design file.
    #[arg(value_name = "FILE")]
    pub design: PathBuf,
    /// Shop file; without it `shop.yaml` beside the design, else the built-in shop.
    #[arg(long, value_name = "FILE")]
    pub shop: Option<PathBuf>,
    /// HTML file to write, instead of out/NAME.html.
    #[arg(short, long, value_name = "FILE.html")]
    pub output: Option<PathBuf>,
    /// Say nothing but errors.
    #[arg(short, long)]
    pub quiet: bool,
}
