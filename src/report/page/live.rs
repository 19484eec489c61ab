//! The page while its files are watched: the same page with a few lines more of script, and what that
//! script is told when something is new.

use serde::Serialize;

use super::packed::base64;
use super::{CreaturePage, script};
use crate::report::html::words;

/// A fault of the files, or of the work on them.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct LiveFault {
    /// File, line and column in words.
    pub at: String,
    /// Line from 1; 0 when not known.
    pub line: u32,
    /// Column from 1; 0 when not known.
    pub column: u32,
    /// What is wrong, what is allowed, the way out.
    pub words: String,
    /// It stands in the way of the checks alone: the page shows the files as they are.
    pub shown: bool,
}

/// A page that takes the place of the one before.
#[derive(Serialize)]
struct News<'a> {
    /// Whether the checks are done.
    checked: bool,
    /// Parts that were built so far.
    built: u64,
    /// The head of the page and all under the picture, as HTML.
    front: String,
    rest: String,
    /// PNG as base64; empty before the checks are done.
    picture: String,
    record: super::Record<'a>,
}

impl CreaturePage {
    /// The page for a browser that follows the files; `version` is what it is told to have seen.
    ///
    /// # Errors
    /// A number that JSON cannot hold.
    pub fn live_html(&self, version: &str) -> Result<String, serde_json::Error> {
        let record = serde_json::to_string(&self.record())?;
        let (title, body) = (&self.creature, self.body());
        Ok(script::document(title, &body, &record, Some(version)))
    }

    /// The same as JSON, for a page that is open already; `built` counts the parts built so far.
    ///
    /// # Errors
    /// A number that JSON cannot hold.
    pub fn news(&self, built: u64) -> Result<String, serde_json::Error> {
        serde_json::to_string(&News {
            checked: self.checked,
            built,
            front: self.front(),
            rest: self.rest(),
            picture: base64(&self.picture),
            record: self.record(),
        })
    }
}

/// What is shown as long as nothing was good.
pub fn live_waiting(title: &str, version: &str) -> String {
    let body = format!(
        "<header id=\"front\">\n{}</header>\n<main>\n{}</main>\n",
        words("h1", title),
        words("p", "Nothing to show yet.")
    );
    script::waiting(title, &body, version)
}
