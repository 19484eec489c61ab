//! The shop's cutters as plain numbers.

use crate::params::value::{CutterKind, Job};
use crate::params::written;

/// A cutter of the shop, mm and radians.
#[derive(Debug, Clone, PartialEq)]
pub struct Cutter {
    /// Its name.
    pub name: String,
    /// What it is used for.
    pub jobs: Vec<Job>,
    /// Form of the tip.
    pub kind: CutterKind,
    /// Radius of the flat end or of the ball at the tip, as measured if it was.
    pub radius: f64,
    /// Taper per side.
    pub taper: f64,
    /// Length of the cutting edges, if the shop says it.
    pub cutting_length: Option<f64>,
    /// Radius of the shank, if the shop says it.
    pub shank_radius: Option<f64>,
    /// Radius of the holder and its height over the tip, if the shop says them.
    pub holder: Option<(f64, f64)>,
    /// Length along the cut in a minute, if the shop says it.
    pub feed: Option<f64>,
    /// Depth of a pass, if the shop says it.
    pub pass_depth: Option<f64>,
    /// Distance from a cut to the next one beside it, if the shop says it.
    pub stepover: Option<f64>,
}

impl Cutter {
    /// As it stands in the shop file.
    pub(super) fn of(cutter: &written::Cutter) -> Self {
        let sold = match cutter.kind.value {
            CutterKind::Ball => &cutter.tip_diameter,
            CutterKind::Flat => &cutter.diameter,
        };
        let known = cutter.measured.as_ref().or(sold.as_ref());
        Cutter {
            name: cutter.name.value.0.clone(),
            jobs: cutter.jobs.value.iter().map(|j| j.value).collect(),
            kind: cutter.kind.value,
            radius: 0.5 * known.map_or(0.0, |d| d.value.mm()),
            taper: cutter
                .taper
                .as_ref()
                .map_or(0.0, |t| t.value.per_side.radians()),
            cutting_length: cutter.cutting_length.as_ref().map(|l| l.value.mm()),
            shank_radius: cutter.shank.as_ref().map(|s| 0.5 * s.value.mm()),
            holder: cutter
                .holder
                .as_ref()
                .zip(cutter.stick_out.as_ref())
                .map(|(holder, stick_out)| (0.5 * holder.value.mm(), stick_out.value.mm())),
            feed: cutter.feed.as_ref().map(|f| f.value.mm()),
            pass_depth: cutter.pass_depth.as_ref().map(|p| p.value.mm()),
            stepover: cutter.stepover.as_ref().map(|s| s.value.mm()),
        }
    }

    /// Whether it does a job.
    #[must_use]
    pub fn does(&self, job: Job) -> bool {
        self.jobs.contains(&job)
    }
}
