//! A request, and whether it is answered.
//!
//! Syntax after RFC 9112 (HTTP/1.1), as much as a browser sends for a GET; everything else is refused.

/// Bytes of a request at most (habit: a browser on the same machine sends under 2,000).
pub const MOST_BYTES: usize = 8 * 1024;
/// Port that `http` has when none is written (RFC 9110, section 4.2.1).
const HTTP: u16 = 80;
/// Header lines at most (habit).
const MOST_LINES: usize = 64;

/// What is asked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Asked {
    /// The page.
    Page,
    /// What is new after this version.
    Next(String),
}

/// Status of a refusal.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Refused {
    /// Not a request that this server reads.
    Malformed,
    /// Another host or another origin.
    Foreign,
    /// No such address.
    Missing,
    /// Not a GET.
    Method,
    /// It did not come in time.
    Late,
    /// It has a body.
    Body,
    /// Too many bytes.
    Long,
    /// The page cannot be written.
    Fault,
    /// Too many clients.
    Busy,
}

impl Refused {
    /// Status line without its version (RFC 9110, section 15; 431 in RFC 6585).
    pub fn status(self) -> &'static str {
        match self {
            Refused::Malformed => "400 Bad Request",
            Refused::Foreign => "403 Forbidden",
            Refused::Missing => "404 Not Found",
            Refused::Method => "405 Method Not Allowed",
            Refused::Late => "408 Request Timeout",
            Refused::Body => "413 Content Too Large",
            Refused::Long => "431 Request Header Fields Too Large",
            Refused::Fault => "500 Internal Server Error",
            Refused::Busy => "503 Service Unavailable",
        }
    }
}

/// Judges the head of a request, without its empty last line, for the server on this port.
///
/// # Errors
/// Why it is refused.
pub fn judge(head: &[u8], port: u16) -> Result<Asked, Refused> {
    let text = std::str::from_utf8(head).map_err(|_| Refused::Malformed)?;
    let mut lines = text.split("\r\n");
    let mut first = lines.next().unwrap_or_default().split(' ');
    let (Some(method), Some(target), Some(version), None) =
        (first.next(), first.next(), first.next(), first.next())
    else {
        return Err(Refused::Malformed);
    };
    if !matches!(version, "HTTP/1.1" | "HTTP/1.0") {
        return Err(Refused::Malformed);
    }
    let fields: Vec<(String, &str)> = lines.map(field).collect::<Result<_, _>>()?;
    if fields.len() > MOST_LINES {
        return Err(Refused::Long);
    }
    ours(&fields, port)?;
    if method != "GET" {
        return Err(Refused::Method);
    }
    let has = |name: &str| {
        fields
            .iter()
            .any(|(own, value)| own == name && *value != "0")
    };
    if has("content-length") || has("transfer-encoding") {
        return Err(Refused::Body);
    }
    match target.split_once('?') {
        None if target == "/" => Ok(Asked::Page),
        Some(("/next", query)) => {
            let after = query.strip_prefix("after=").ok_or(Refused::Missing)?;
            Ok(Asked::Next(after.to_owned()))
        }
        _ => Err(Refused::Missing),
    }
}

/// A header line: a name of letters, digits and hyphens, a colon, a value.
fn field(line: &str) -> Result<(String, &str), Refused> {
    let (name, value) = line.split_once(':').ok_or(Refused::Malformed)?;
    let plain = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '_';
    if name.is_empty() || !name.chars().all(plain) || value.contains(['\r', '\n', '\0']) {
        return Err(Refused::Malformed);
    }
    Ok((name.to_ascii_lowercase(), value.trim_matches([' ', '\t'])))
}

/// The request names this server and comes from its page: another name leads here only through a
/// foreign name server, and another origin is another site. A browser says where it comes from in
/// `Origin`, and in `Sec-Fetch-Site` where no origin is sent (Fetch Metadata, W3C working draft). Both
/// leave out the port that is the scheme's own (RFC 9110, section 4.2.3; RFC 6454, section 6.2).
fn ours(fields: &[(String, &str)], port: u16) -> Result<(), Refused> {
    let with_port = |host: &str, name: &str| host.eq_ignore_ascii_case(&format!("{name}:{port}"));
    let is_own = |host: &str, name: &str| {
        with_port(host, name) || port == HTTP && host.eq_ignore_ascii_case(name)
    };
    let all = |name: &'static str| fields.iter().filter(move |(own, _)| own == name);
    let mut named = all("host").map(|(_, value)| *value);
    let (Some(host), None) = (named.next(), named.next()) else {
        return Err(Refused::Malformed);
    };
    if !["127.0.0.1", "localhost"]
        .iter()
        .any(|name| is_own(host, name))
    {
        return Err(Refused::Foreign);
    }
    let own = format!("http://{host}");
    if !all("origin").all(|(_, value)| value.eq_ignore_ascii_case(&own)) {
        return Err(Refused::Foreign);
    }
    let sites = ["same-origin", "none"];
    match all("sec-fetch-site").all(|(_, value)| sites.contains(value)) {
        true => Ok(()),
        false => Err(Refused::Foreign),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn judged(head: &str) -> Result<Asked, Refused> {
        judge(head.as_bytes(), 4321)
    }

    #[test]
    fn only_two_addresses_are_answered() {
        let get = |target: &str| judged(&format!("GET {target} HTTP/1.1\r\nHost: localhost:4321"));
        assert_eq!(get("/"), Ok(Asked::Page));
        assert_eq!(get("/next?after=a-1"), Ok(Asked::Next("a-1".to_owned())));
        for target in [
            "/x",
            "//",
            "/../etc/passwd",
            "/next",
            "/?x",
            "*",
            "http://localhost:4321/",
        ] {
            assert_eq!(get(target), Err(Refused::Missing), "{target}");
        }
    }

    #[test]
    fn other_hosts_and_origins_are_refused() {
        let with = |lines: &str| judged(&format!("GET / HTTP/1.1\r\n{lines}"));
        for lines in [
            "Host: evil.example:4321",
            "Host: localhost",
            "Host: localhost:4322",
            "Host: 127.0.0.1:4321\r\nOrigin: http://evil.example",
            "Host: 127.0.0.1:4321\r\nOrigin: null",
            "Host: 127.0.0.1:4321\r\nOrigin: http://localhost:4321",
            "Host: 127.0.0.1:4321\r\nSec-Fetch-Site: cross-site",
            "Host: 127.0.0.1:4321\r\nSec-Fetch-Site: same-site",
        ] {
            assert_eq!(with(lines), Err(Refused::Foreign), "{lines}");
        }
        for lines in [
            "Host: 127.0.0.1:4321\r\nOrigin: http://127.0.0.1:4321",
            "HOST: LocalHost:4321\r\nSec-Fetch-Site: same-origin",
        ] {
            assert_eq!(with(lines), Ok(Asked::Page), "{lines}");
        }
    }

    #[test]
    fn the_port_of_http_may_be_left_out() {
        let with = |lines: &str, port| judge(format!("GET / HTTP/1.1\r\n{lines}").as_bytes(), port);
        let plain = "Host: 127.0.0.1\r\nOrigin: http://127.0.0.1";
        assert_eq!(with(plain, 80), Ok(Asked::Page));
        assert_eq!(with("Host: localhost:80", 80), Ok(Asked::Page));
        assert_eq!(with(plain, 4321), Err(Refused::Foreign));
        assert_eq!(with("Host: evil.example", 80), Err(Refused::Foreign));
    }

    #[test]
    fn what_is_no_plain_get_is_refused() {
        for (head, why) in [
            ("", Refused::Malformed),
            ("GET /", Refused::Malformed),
            ("GET / HTTP/2\r\nHost: localhost:4321", Refused::Malformed),
            ("GET / HTTP/1.1", Refused::Malformed),
            (
                "GET / HTTP/1.1\r\nHost: localhost:4321\r\nHost: localhost:4321",
                Refused::Malformed,
            ),
            (
                "GET / HTTP/1.1\r\nHost: localhost:4321\r\n folded",
                Refused::Malformed,
            ),
            ("POST / HTTP/1.1\r\nHost: localhost:4321", Refused::Method),
            (
                "GET / HTTP/1.1\r\nHost: localhost:4321\r\nContent-Length: 7",
                Refused::Body,
            ),
        ] {
            assert_eq!(judged(head), Err(why), "{head:?}");
        }
    }
}
