//! Answers as bytes.

use super::request::Refused;

/// On every answer: nothing is guessed, kept, framed, or read by other sites (headers of the Fetch and
/// HTML standards; `Content-Security-Policy` level 3).
const ALWAYS: &str = "Cache-Control: no-store\r\n\
    X-Content-Type-Options: nosniff\r\n\
    X-Frame-Options: DENY\r\n\
    Cross-Origin-Resource-Policy: same-origin\r\n\
    Cross-Origin-Opener-Policy: same-origin\r\n\
    Referrer-Policy: no-referrer\r\n\
    Connection: close\r\n";

/// Neither news nor a refusal load or show anything.
const NOTHING: &str = "default-src 'none'; frame-ancestors 'none'";

/// An answer with header lines of its own, each with its end.
fn answer(status: &str, kind: &str, policy: &str, own: &str, body: &str) -> Vec<u8> {
    format!(
        "HTTP/1.1 {status}\r\nContent-Type: {kind}; charset=utf-8\r\nContent-Length: {}\r\n\
         Content-Security-Policy: {policy}\r\n{own}{ALWAYS}\r\n{body}",
        body.len()
    )
    .into_bytes()
}

/// The page, which states its own policy; only frames must be forbidden from outside.
pub fn page(html: &str) -> Vec<u8> {
    answer("200 OK", "text/html", "frame-ancestors 'none'", "", html)
}

/// What is new.
pub fn news(json: &str) -> Vec<u8> {
    answer("200 OK", "application/json", NOTHING, "", json)
}

/// Nothing is new.
pub fn nothing() -> Vec<u8> {
    format!("HTTP/1.1 204 No Content\r\n{ALWAYS}\r\n").into_bytes()
}

/// A refusal; one of the method says which is allowed (RFC 9110, section 15.5.6).
pub fn refused(why: Refused) -> Vec<u8> {
    let status = why.status();
    let allow = match why {
        Refused::Method => "Allow: GET\r\n",
        _ => "",
    };
    let body = format!("{status}\n");
    answer(status, "text/plain", NOTHING, allow, &body)
}
