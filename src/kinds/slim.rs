//! Slim sections in which the groove that takes up glue finds no room: accepted, with the reason.

use crate::chain::resolve;
use crate::params::read_design_str;
use crate::params::written::Shop;

/// What is accepted of a slim section.
const GROOVES: [&str; 2] = ["no-front-groove", "no-rear-groove"];
/// Why.
pub const REASON: &str = "the section is slim; spread the glue thinly there";

/// A warning that a design accepts: its check and its section.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Slim {
    /// The check.
    pub check: String,
    /// The section.
    pub section: String,
}

/// The grooves that find no room in a design; none when it cannot be resolved, which others say.
pub fn slim(design: &str, shop: &Shop) -> Vec<Slim> {
    let Ok((design, _)) = read_design_str(design, "design.yaml") else {
        return Vec::new();
    };
    let Ok(resolved) = resolve(&design, shop) else {
        return Vec::new();
    };
    let entries = &design.sections.value;
    let mut all = Vec::new();
    for warning in resolved.warnings.sorted() {
        let mut own = (0..entries.len()).map(|k| (k, format!("sections[{k}]")));
        let entry = own.find(|(_, path)| warning.place.path == *path);
        let name = entry.and_then(|(k, _)| entries[k].value.name.as_ref());
        let Some(name) = name.filter(|_| GROOVES.contains(&&*warning.rule)) else {
            continue;
        };
        let slim = Slim {
            check: warning.rule,
            section: name.value.0.clone(),
        };
        if !all.contains(&slim) {
            all.push(slim);
        }
    }
    all
}
