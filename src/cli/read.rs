//! From the paths of a design and a shop to the resolved creature.

use std::path::Path;

use super::finish::Finish;
use super::outcome::Outcome;
use crate::chain::{Resolved, resolve};
use crate::params::value::Factor;
use crate::params::{self, Located};
use crate::units::Unit;

/// Reads and resolves a design; its unit too. Messages and a failure go to `outcome`. Without a shop
/// the one beside the design is taken, else the built-in one.
pub fn read(file: &Path, shop: Option<&Path>, outcome: &mut Outcome) -> Option<(Resolved, Unit)> {
    read_scaled(file, shop, None, outcome)
}

/// As [`read`], in another size.
pub fn read_scaled(
    file: &Path,
    shop: Option<&Path>,
    size: Option<&Located<Factor>>,
    outcome: &mut Outcome,
) -> Option<(Resolved, Unit)> {
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
        outcome.messages.push(wrong);
        outcome.ends(Finish::Fails);
        return None;
    }
    match resolve(&design, &shop) {
        Ok(resolved) => {
            messages.extend(resolved.warnings.clone().sorted());
            outcome.messages = messages;
            Some((resolved, design.units.value.0))
        }
        Err(errors) => {
            messages.extend(errors.sorted());
            outcome.messages = messages;
            outcome.ends(Finish::Fails);
            None
        }
    }
}
