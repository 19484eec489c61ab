//! The shop's cutters as tools.

use super::cutter::Profile;
use super::tool::{Holder, Tool};
use crate::chain::Cutter;
use crate::params::value::{CutterKind, Job};

/// Length of edges that the shop does not say, mm: longer than any board is thick, so depths are
/// not judged.
const UNKNOWN: f64 = 400.0;

/// A cutter of the shop as a tool.
#[derive(Debug, Clone, PartialEq)]
pub struct Named {
    /// Its name in the shop file.
    pub name: String,
    /// What it is used for.
    pub jobs: Vec<Job>,
    /// Its form.
    pub tool: Tool,
}

/// The cutters of a shop, in the order of the file.
#[derive(Debug, Clone, PartialEq)]
pub struct Kit {
    cutters: Vec<Named>,
    /// Names of cutters whose length is not known.
    pub without_length: Vec<String>,
}

impl Kit {
    /// From the shop. A shank that is not said counts as wider than anything, once the edges are
    /// too short.
    pub fn of(cutters: &[Cutter]) -> Kit {
        let unknown = cutters.iter().filter(|c| c.cutting_length.is_none());
        Kit {
            without_length: unknown.map(|c| c.name.clone()).collect(),
            cutters: cutters.iter().map(named).collect(),
        }
    }

    /// Those with a job.
    pub fn with(&self, job: Job) -> impl Iterator<Item = &Named> {
        self.cutters.iter().filter(move |c| c.jobs.contains(&job))
    }
}

fn named(cutter: &Cutter) -> Named {
    let long = cutter.cutting_length.unwrap_or(UNKNOWN);
    let (profile, flat_taper) = match cutter.kind {
        CutterKind::Flat => {
            let radius = cutter.radius;
            (Profile::Flat { radius }, cutter.taper)
        }
        CutterKind::Ball => {
            let (tip, taper) = (cutter.radius, cutter.taper);
            let reach = long;
            (Profile::Ball { tip, taper, reach }, 0.0)
        }
    };
    Named {
        name: cutter.name.clone(),
        jobs: cutter.jobs.clone(),
        tool: Tool {
            profile,
            flat_taper,
            cutting_length: long,
            shank_radius: cutter.shank_radius.unwrap_or(f64::INFINITY),
            holder: cutter
                .holder
                .map(|(radius, over_tip)| Holder { radius, over_tip }),
        },
    }
}
