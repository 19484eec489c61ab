//! From the paths of a design and a shop to the resolved creature.

use std::path::Path;

use super::finish::Finish;
use super::outcome::Outcome;
use crate::chain::Resolved;
use crate::diagnostic::Diagnostic;
use crate::params::value::Factor;
use crate::params::written::{Design, Shop};
use crate::params::{self, Located};
use crate::solve::{Filled, note, resolved};
use crate::units::Unit;

/// A design that was read and resolved.
pub struct Ready {
    pub resolved: Resolved,
    pub unit: Unit,
    /// The design with values for every `auto` of its joints.
    pub filled: Filled,
    pub shop: Shop,
}

/// Reads and resolves a design; its unit too. See [`ready`].
pub fn read(file: &Path, shop: Option<&Path>, outcome: &mut Outcome) -> Option<(Resolved, Unit)> {
    ready(file, shop, None, outcome).map(|ready| (ready.resolved, ready.unit))
}

/// As [`read`], in another size.
pub fn read_scaled(
    file: &Path,
    shop: Option<&Path>,
    size: Option<&Located<Factor>>,
    outcome: &mut Outcome,
) -> Option<(Resolved, Unit)> {
    ready(file, shop, size, outcome).map(|ready| (ready.resolved, ready.unit))
}

/// The same as [`read`], with the shop.
pub fn read_with_shop(
    file: &Path,
    shop: Option<&Path>,
    outcome: &mut Outcome,
) -> Option<(Resolved, Unit, Shop)> {
    ready(file, shop, None, outcome).map(|ready| (ready.resolved, ready.unit, ready.shop))
}

/// Reads a design, finds the joints that say `auto`, and resolves it. Messages and a failure go to
/// `outcome`. Without a shop the one beside the design is taken, else the built-in one; `size`
/// multiplies the scale of every section.
pub fn ready(
    file: &Path,
    shop: Option<&Path>,
    size: Option<&Located<Factor>>,
    outcome: &mut Outcome,
) -> Option<Ready> {
    let shop = shop.map(Path::to_path_buf);
    let shop = shop.or_else(|| params::shop_beside(file));
    outcome.built_in_shop = shop.is_none();
    let (mut design, shop, mut messages) = match params::read_files(file, shop.as_deref()) {
        Ok(read) => read,
        Err(errors) => {
            let mut files = [Some(file), shop.as_deref()].into_iter().flatten();
            let unreadable = files.any(|f| f.is_dir() || std::fs::File::open(f).is_err());
            outcome.messages = errors.sorted();
            outcome.ends(if unreadable {
                Finish::CouldNotRun
            } else {
                Finish::Fails
            });
            return None;
        }
    };
    if let Some(Err(wrong)) = size.map(|by| params::scale_design(&mut design, by)) {
        outcome.messages.extend(wrong.sorted());
        outcome.ends(Finish::Fails);
        return None;
    }
    let found = solved(&design, &shop, &mut messages);
    outcome.messages = messages;
    let Some((filled, resolved)) = found else {
        outcome.ends(Finish::Fails);
        return None;
    };
    Some(Ready {
        resolved,
        unit: design.units.value.0,
        filled,
        shop,
    })
}

/// Finds the joints that say `auto` and resolves; all messages go to those of reading. Nothing when the
/// design is refused.
pub fn solved(
    design: &Design,
    shop: &Shop,
    messages: &mut Vec<Diagnostic>,
) -> Option<(Filled, Resolved)> {
    match resolved(design, shop) {
        Ok((filled, resolved)) => {
            messages.extend(filled.solved.iter().map(|s| note(s, design)));
            messages.extend(resolved.warnings.clone().sorted());
            Some((filled, resolved))
        }
        Err(errors) => {
            messages.extend(errors.sorted());
            None
        }
    }
}
