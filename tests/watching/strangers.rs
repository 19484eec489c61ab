//! Requests that are none of the page's, and clients that take their time.

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
    // It is there on the loopback address alone.
    let all = watch.get("/", "");
    assert_eq!(all.status, 200);
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
    let begin = Instant::now();
    while watch.get("/", "").status != 200 {
        assert!(begin.elapsed() < Duration::from_secs(60));
        std::thread::sleep(Duration::from_millis(100));
    }
    // The silent ones have been told that they are late.
    let mut words = String::new();
    let first = &mut silent[0];
    first
        .set_read_timeout(Some(Duration::from_secs(60)))
        .unwrap();
    first.read_to_string(&mut words).unwrap();
    assert!(words.starts_with("HTTP/1.1 408"), "{words}");
}
