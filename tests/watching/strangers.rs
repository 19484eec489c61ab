//! Requests that are none of the page's, and clients that take their time.

#[cfg(target_os = "linux")]
use std::io::ErrorKind;
use std::io::{Read, Write};
use std::net::TcpStream;
use std::time::{Duration, Instant};

use super::bench::{Watch, design, page};
use tempfile::tempdir;

#[test]
fn only_its_own_page_is_answered() {
    let room = tempdir().unwrap();
    let mut watch = Watch::start(room.path().join("a.yaml"), &design(48.0, 56.0));
    watch.news(page);
    let port = watch.port;
    let own = watch.get("/", "");
    assert_eq!(own.status, 200);
    for line in [
        "X-Content-Type-Options: nosniff",
        "Content-Security-Policy: frame-ancestors 'none'",
        "Cross-Origin-Resource-Policy: same-origin",
        "Cache-Control: no-store",
    ] {
        assert!(own.head.contains(line), "{line} not in {}", own.head);
    }
    assert!(!own.head.to_lowercase().contains("access-control"));
    let with = |first: &str, more: &str| {
        let answer = watch.send(format!("{first} HTTP/1.1\r\n{more}\r\n").as_bytes());
        assert!(!answer.body.contains("Short fellow"), "{first} {more}");
        assert!(answer.head.contains("nosniff"), "{}", answer.head);
        let allow = answer.head.contains("\r\nAllow: GET");
        assert_eq!(allow, answer.status == 405, "{}", answer.head);
        answer.status
    };
    let host = format!("Host: 127.0.0.1:{port}\r\n");
    let next = "GET /next?after=x";
    for (first, more, status) in [
        ("GET /", format!("Host: evil.example:{port}\r\n"), 403),
        (next, format!("Host: evil.example:{port}\r\n"), 403),
        (
            "GET /",
            format!("{host}Origin: http://evil.example\r\n"),
            403,
        ),
        (next, format!("{host}Origin: null\r\n"), 403),
        (next, format!("{host}Sec-Fetch-Site: cross-site\r\n"), 403),
        ("GET /", String::new(), 400),
        ("GET /a.yaml", host.clone(), 404),
        ("GET /../a.yaml", host.clone(), 404),
        ("GET /next", host.clone(), 404),
        ("POST /", format!("{host}Content-Length: 1\r\n"), 405),
        ("OPTIONS /", host.clone(), 405),
        ("HEAD /", host.clone(), 405),
        ("GET /", format!("{host}Content-Length: 10\r\n"), 413),
        ("GET /", format!("{host}X: {}\r\n", "x".repeat(20_000)), 431),
        ("nonsense", host.clone(), 400),
    ] {
        assert_eq!(with(first, &more), status, "{first} {more:.60}");
    }
    assert_eq!(watch.send(b"\0\xff\r\n\r\n").status, 400);
    assert!(!own.head.contains("Allow:"));
}

// Linux answers on every address that begins with 127 where a server listens on all addresses.
#[cfg(target_os = "linux")]
#[test]
fn it_listens_on_one_address_alone() {
    let room = tempdir().unwrap();
    let watch = Watch::start(room.path().join("a.yaml"), &design(48.0, 56.0));
    TcpStream::connect(("127.0.0.1", watch.port)).unwrap();
    let other = TcpStream::connect(("127.0.0.2", watch.port));
    assert_eq!(other.unwrap_err().kind(), ErrorKind::ConnectionRefused);
}

#[test]
fn slow_and_silent_clients_hold_up_nobody() {
    let room = tempdir().unwrap();
    let mut watch = Watch::start(room.path().join("a.yaml"), &design(48.0, 56.0));
    watch.news(page);
    let connect = || TcpStream::connect(("127.0.0.1", watch.port)).unwrap();
    let mut silent: Vec<TcpStream> = (0..20).map(|_| connect()).collect();
    for stream in &mut silent {
        stream.write_all(b"GET / HT").unwrap();
    }
    assert_eq!(watch.get("/", "").status, 200);
    // More than are ever answered at once: the rest is turned away, and room comes again.
    silent.extend((0..60).map(|_| connect()));
    assert!(heard(silent.last_mut().unwrap()).starts_with("HTTP/1.1 503"));
    let begin = Instant::now();
    while watch.get("/", "").status != 200 {
        assert!(begin.elapsed() < Duration::from_secs(60));
        std::thread::sleep(Duration::from_millis(100));
    }
    // The silent ones have been told that they are late.
    assert!(heard(&mut silent[0]).starts_with("HTTP/1.1 408"));
}

/// All that a client is told until it is left.
fn heard(stream: &mut TcpStream) -> String {
    let patience = Some(Duration::from_secs(60));
    stream.set_read_timeout(patience).unwrap();
    let mut words = String::new();
    stream.read_to_string(&mut words).unwrap();
    words
}
