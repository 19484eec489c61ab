//! The document round the body: policy, style, record and script.

use sha2::{Digest, Sha256};

use super::MAKER;
use super::packed::base64;
use crate::export::xml::escape;

const STYLE: &str = concat!(
    include_str!("style/paper.css"),
    include_str!("style/figure.css"),
    include_str!("style/tables.css"),
);

/// The one script, in the order of its pieces.
const SCRIPT: &str = concat!(
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
    "})();\n",
);

/// The whole document. Only the script of this program runs: the policy names its hash (Content
/// Security Policy level 3, hash sources). The record is data that no browser runs.
pub(super) fn document(title: &str, body: &str, record: &str) -> String {
    let hash = base64(&Sha256::digest(SCRIPT));
    let title = escape(title);
    // Nothing in the record can end its element or open a comment.
    let record = record.replace('<', "\\u003c");
    format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n{MAKER}\n\
         <meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; \
         img-src data:; style-src 'unsafe-inline'; script-src 'sha256-{hash}'; base-uri 'none'; \
         form-action 'none'\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <meta name=\"color-scheme\" content=\"light dark\">\n\
         <title>{title}</title>\n<style>\n{STYLE}</style>\n</head>\n<body>\n{body}\
         <script type=\"application/json\" id=\"record\">{record}</script>\n\
         <script>{SCRIPT}</script>\n</body>\n</html>\n"
    )
}
