//! The solids of pieces of stock in their states, and their files.

use rayon::prelude::*;

use super::blank_files::{Run, drawing_files, fault, word};
use super::states::InState;
use super::{MakeError, Settings};
use crate::blank::{Kind, Layout};
use crate::brep::pose::{Pose, posed};
use crate::brep::set_up::SetUp;
use crate::brep::shape::Half;
use crate::brep::states::State;
use crate::export::blanks::InState as Recorded;
use crate::export::manifest::FileEntry;
use crate::export::step::{Colour, write_part};
use crate::export::stl;
use crate::mesh::tessellate;

use super::blanks::Laid;

/// A kind of piece in its states.
pub(super) struct Piece<'a> {
    pub layout: &'a Layout,
    pub kind: &'a Kind,
    pub name: &'a str,
    /// In the order of [`State::ALL`].
    states: Vec<InState>,
}

impl<'a> Piece<'a> {
    /// All kinds of pieces.
    pub fn all(
        laid: &'a Laid,
        kinds: &[(&'a Layout, &'a Kind)],
        names: &'a [String],
    ) -> Result<Vec<Self>, MakeError> {
        let one = |(&(layout, kind), name): (&(&'a Layout, &'a Kind), &'a String)| {
            let states = State::ALL.map(|state| laid.state(layout, kind, state));
            let states = states.into_iter().collect::<Result<_, _>>();
            Ok(Piece {
                layout,
                kind,
                name,
                states: states.map_err(|e| fault(&e.0))?,
            })
        };
        kinds.par_iter().zip(names).map(one).collect()
    }

    fn drawn(&self) -> impl Iterator<Item = (State, &Half)> {
        let states = State::ALL.into_iter().zip(&self.states);
        states.filter_map(|(state, made)| Some((state, made.as_ref().ok()?)))
    }

    /// Names of its solids and drawings.
    pub fn names(&self) -> impl Iterator<Item = String> {
        let drawings = |setup| drawing_files(self.name, setup);
        let solids = self.drawn().flat_map(|(state, _)| names(self.name, state));
        solids.chain(SetUp::BOTH.into_iter().flat_map(drawings))
    }

    /// States without a solid, and why, in words.
    pub fn left_out(&self) -> impl Iterator<Item = String> {
        let states = State::ALL.into_iter().zip(&self.states);
        let why = states.filter_map(|(state, made)| Some((state, made.as_ref().err()?)));
        why.map(|(state, why)| format!("no solid of {}, {}: {why}", self.name, state.word()))
    }

    /// What the record says of its states.
    pub fn recorded(&self, laid: &Laid) -> Vec<Recorded> {
        let states = State::ALL.into_iter().zip(&self.states);
        let one = |(state, made): (State, &InState)| match made {
            Ok(solid) => Recorded {
                state: state.word(),
                volume_mm3: Some(laid.volume((self.layout, self.kind), state, solid)),
                files: names(self.name, state),
                left_out: None,
            },
            Err(why) => Recorded {
                state: state.word(),
                volume_mm3: None,
                files: Vec::new(),
                left_out: Some(why.clone()),
            },
        };
        states.map(one).collect()
    }
}

/// Names of the files of a piece in a state.
fn names(piece: &str, state: State) -> Vec<String> {
    let of = |setup| file_names(&title(piece, state, setup));
    SetUp::BOTH.into_iter().flat_map(of).collect()
}

fn title(piece: &str, state: State, setup: SetUp) -> String {
    let state = state.word().replace(' ', "-");
    format!("{piece}-{state}-{}", word(setup))
}

fn file_names(title: &str) -> [String; 2] {
    ["stl", "step"].map(|end| format!("{title}.{end}"))
}

/// From the frame of a piece to that of a set-up: the origin is where the axis of the front dowel meets
/// the face of the stock with the split faces, which is on the flip line.
pub(super) fn pose(layout: &Layout, setup: SetUp) -> Pose {
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

impl Run<'_> {
    /// The solids of all pieces, in the order of pieces and states.
    pub(super) fn solids(&self, pieces: &[Piece<'_>]) -> Result<Vec<FileEntry>, MakeError> {
        let tasks: Vec<_> = pieces
            .iter()
            .flat_map(|p| p.drawn().map(move |(state, solid)| (p, state, solid)))
            .collect();
        let written: Vec<Vec<FileEntry>> = tasks
            .par_iter()
            .map(|(piece, state, solid)| self.solid(piece, *state, solid))
            .collect::<Result<_, _>>()?;
        Ok(written.into_iter().flatten().collect())
    }

    /// A piece in a state, in the poses of both set-ups.
    fn solid(
        &self,
        piece: &Piece<'_>,
        state: State,
        solid: &Half,
    ) -> Result<Vec<FileEntry>, MakeError> {
        let bench = self.resolved.creature.bench_only;
        let Settings {
            deviation, stamp, ..
        } = self.settings;
        let deviation = deviation.min(self.laid.finest(piece.kind));
        let mesh = tessellate(solid, deviation).map_err(|e| fault(&e.0))?;
        let mut files = Vec::new();
        for setup in SetUp::BOTH {
            let pose = pose(piece.layout, setup);
            let title = title(piece.name, state, setup);
            let [stl_name, step_name] = file_names(&title);
            let corners = mesh.positions.iter();
            let corners: Vec<[f32; 3]> =
                corners.map(|&p| pose.apply(p).map(|c| c as f32)).collect();
            let bytes = stl::write(&title, bench, &corners, &mesh.triangles)
                .map_err(|e| fault(&e.to_string()))?;
            files.push(self.set.put(&stl_name, &bytes)?);
            let bytes = write_part(&title, &posed(solid, pose), Colour::WOOD, stamp, bench);
            files.push(self.set.put(&step_name, &bytes)?);
        }
        Ok(files)
    }
}
