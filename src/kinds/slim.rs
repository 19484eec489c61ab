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
    let mut all = Vec::new();
    let grooves = resolved.warnings.sorted().into_iter();
    for warning in grooves.filter(|w| GROOVES.contains(&&*w.rule)) {
        let mut entries = design.sections.value.iter();
        let own = entries.find(|entry| entry.place == warning.place);
        let Some(name) = own.and_then(|entry| entry.value.name.as_ref()) else {
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
