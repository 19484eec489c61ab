//! The document round the body: policy, style, record and script.

use sha2::{Digest, Sha256};

use super::MAKER;
use super::packed::base64;
use crate::export::xml::escape;

const STYLE: &str = concat!(
    include_str!("style/paper.css"),
    include_str!("style/figure.css"),
    include_str!("style/tables.css"),
    include_str!("style/machine.css"),
    include_str!("style/live.css"),
    include_str!("style/print.css"),
);

/// The one script, in the order of its pieces; `$more` come last.
macro_rules! script {
    ($($more:literal),*) => {
        concat!(
            "'use strict';(() => {\n",
            include_str!("script/matrix.js"),
            include_str!("script/record.js"),
            include_str!("script/bend.js"),
            include_str!("script/shaders.js"),
            include_str!("script/draw.js"),
            include_str!("script/eye.js"),
            include_str!("script/colour.js"),
            include_str!("script/choose.js"),
            include_str!("script/start.js"),
            $(include_str!($more),)*
            "})();\n",
        )
    };
}

const SCRIPT: &str = script!();

/// The same for a page that follows its files.
const LIVE: &str = script!("script/follow.js", "script/live.js");

/// The script of a page that waits for the first good file.
const WAITING: &str = concat!(
    "'use strict';(() => {\n",
    include_str!("script/follow.js"),
    include_str!("script/wait.js"),
    "})();\n",
);

/// The whole document; with a version it follows its files. Only the script of this program runs: the
/// policy names its hash (Content Security Policy level 3, hash sources). The record is data that no
/// browser runs.
pub(super) fn document(title: &str, body: &str, record: &str, version: Option<&str>) -> String {
    // Nothing in the record can end its element or open a comment.
    let record = record.replace('<', "\\u003c");
    let record = format!("<script type=\"application/json\" id=\"record\">{record}</script>\n");
    let script = if version.is_some() { LIVE } else { SCRIPT };
    whole(title, body, &record, script, version)
}

/// A document without a creature.
pub(super) fn waiting(title: &str, body: &str, version: &str) -> String {
    whole(title, body, "", WAITING, Some(version))
}

fn whole(title: &str, body: &str, record: &str, script: &str, version: Option<&str>) -> String {
    let hash = base64(&Sha256::digest(script));
    let title = escape(title);
    // Only a page that follows its files may ask, and only where it came from. Its empty icon keeps
    // the browser from asking for one.
    let (live, asks, icon) = match version {
        Some(version) => (
            format!(" data-live=\"{}\"", escape(version)),
            " connect-src 'self';",
            "<link rel=\"icon\" href=\"data:,\">\n",
        ),
        None => (String::new(), "", ""),
    };
    format!(
        "<!DOCTYPE html>\n<html lang=\"en\"{live}>\n<head>\n<meta charset=\"utf-8\">\n{MAKER}\n\
         <meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; \
         img-src data:; style-src 'unsafe-inline'; script-src 'sha256-{hash}';{asks} base-uri 'none'; \
         form-action 'none'\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <meta name=\"color-scheme\" content=\"light dark\">\n\
         {icon}<title>{title}</title>\n<style>\n{STYLE}</style>\n</head>\n<body>\n{body}{record}\
         <script>{script}</script>\n</body>\n</html>\n"
    )
}
