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

fn answer(status: &str, kind: &str, policy: &str, body: &str) -> Vec<u8> {
    format!(
        "HTTP/1.1 {status}\r\nContent-Type: {kind}; charset=utf-8\r\nContent-Length: {}\r\n\
         Content-Security-Policy: {policy}\r\n{ALWAYS}\r\n{body}",
        body.len()
    )
    .into_bytes()
}

/// The page, which states its own policy; only frames must be forbidden from outside.
pub fn page(html: &str) -> Vec<u8> {
    answer("200 OK", "text/html", "frame-ancestors 'none'", html)
}

/// What is new.
pub fn news(json: &str) -> Vec<u8> {
    let policy = "default-src 'none'; frame-ancestors 'none'";
    answer("200 OK", "application/json", policy, json)
}

/// Nothing is new.
pub fn nothing() -> Vec<u8> {
    format!("HTTP/1.1 204 No Content\r\n{ALWAYS}\r\n").into_bytes()
}

/// A refusal.
pub fn refused(why: Refused) -> Vec<u8> {
    let status = why.status();
    let allow = match why {
        Refused::Method => "GET",
        _ => "",
    };
    let policy = "default-src 'none'; frame-ancestors 'none'";
    let bytes = answer(status, "text/plain", policy, &format!("{status}\n"));
    if allow.is_empty() {
        return bytes;
    }
    let text = String::from_utf8_lossy(&bytes);
    text.replacen(
        "Cache-Control",
        &format!("Allow: {allow}\r\nCache-Control"),
        1,
    )
    .into_bytes()
}
