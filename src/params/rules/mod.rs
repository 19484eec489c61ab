//! Rules between keys that need no more than the written form.

mod flats;
mod joints;
mod likes;
mod names;
mod outline;
mod pins;
mod repeats;
mod shop;

use super::near::did_you_mean;
use super::reader::Reader;
use super::species::{SPECIES, species};
use super::value::Name;
use super::written::{Design, Located, Shop};
use crate::diagnostic::Diagnostic;

/// Checks a design.
pub(super) fn check_design(design: &Design, reader: &mut Reader) {
    check_species(design.species.as_ref(), reader);
    names::check(design, reader);
    repeats::check(design, reader);
    likes::check(design, reader);
    outline::check(design, reader);
    pins::check(design, reader);
    flats::check(design, reader);
    joints::check(design, reader);
}

/// Checks a shop.
pub(super) fn check_shop(shop: &Shop, reader: &mut Reader) {
    shop::check(shop, reader);
}

/// A species must be in the table; one that splinters on a ball draws a warning.
fn check_species(name: Option<&Located<Name>>, reader: &mut Reader) {
    let Some(name) = name else { return };
    match species(&name.value.0) {
        None => {
            let known = SPECIES.iter().map(|wood| wood.name);
            let way_out = did_you_mean(&name.value.0, known.clone(), "write one of these");
            let found = format!("the unknown species `{}`", name.value.0);
            reader.error(
                &name.place,
                found,
                known.collect::<Vec<_>>().join(", "),
                way_out,
            );
        }
        Some(wood) if wood.ring_porous => reader.found.push(
            Diagnostic::warning(
                name.place.clone(),
                format!(
                    "`{}`, a ring-porous wood that splinters on a ball",
                    wood.name
                ),
            )
            .rule("ring porous")
            .way_out("hard maple, beech or birch turn a cleaner ball (habit)"),
        ),
        Some(_) => {}
    }
}
