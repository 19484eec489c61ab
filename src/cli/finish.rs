//! How a run ends.

use std::process::ExitCode;

/// Exit status of the program.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Finish {
    /// Made and sound.
    Sound,
    /// Made or checked, but a check fails: the design is refused.
    Fails,
    /// Could not run: no file, no folder, bad arguments, a fault.
    CouldNotRun,
}

impl Finish {
    /// 0, 1 or 2.
    pub fn code(self) -> u8 {
        match self {
            Finish::Sound => 0,
            Finish::Fails => 1,
            Finish::CouldNotRun => 2,
        }
    }
}

impl From<Finish> for ExitCode {
    fn from(finish: Finish) -> Self {
        ExitCode::from(finish.code())
    }
}
