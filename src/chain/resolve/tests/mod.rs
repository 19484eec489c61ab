//! Whole designs, from text to the resolved creature.

mod faults;
mod flats;
mod joints;
mod pins;
mod pockets;
mod random;
mod reference;
mod sections;
mod stands;

use super::{Resolved, resolve};
use crate::params::{built_in_shop, read_design_str};

/// Resolves a design for the built-in shop; all messages as text when it is refused.
fn resolved(text: &str) -> Result<Resolved, String> {
    let (design, _) = read_design_str(text, "newt.yaml").map_err(|e| format!("unread: {e}"))?;
    resolve(&design, &built_in_shop()).map_err(|e| e.to_string())
}

fn sound(text: &str) -> Resolved {
    resolved(text).unwrap_or_else(|e| panic!("{e}\n{text}"))
}

/// The messages of a design that is refused, one a line.
fn refused(text: &str) -> String {
    match resolved(text) {
        Ok(_) => panic!("not refused:\n{text}"),
        Err(messages) => messages,
    }
}

const HEAD: &str = "limberwood: 1\nname: Newt\nunits: mm\n";

/// Round in front for the dome, oval behind.
const DEFAULTS: &str = "defaults:
  length: 46
  outline:
    - {at: 0%, half_width: 12, height: 12}
    - {at: 35%, half_width: 17, above: 16, below: 15}
    - {at: 70%, half_width: 16.5, above: 15.5, below: 15}
    - {at: 100%, half_width: 13, height: 12}
";

/// A design with the usual defaults and these further lines.
fn newt(rest: &str) -> String {
    format!("{HEAD}{DEFAULTS}{rest}")
}

const THREE: &str = "sections: [{name: head}, {name: body}, {name: tail}]\n";
