//! A server on the loopback address, a thread for each request.

use std::io::{self, ErrorKind, Read, Write};
use std::net::{Ipv4Addr, Shutdown, TcpListener, TcpStream};
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;
use std::time::{Duration, Instant};

use super::board::Board;
use super::reply;
use super::request::{Asked, MOST_BYTES, Refused, judge};

/// Port that is tried first when none was asked for: of the dynamic ones, which belong to nobody
/// (RFC 6335, section 6); the number itself is a habit.
const FIRST: u16 = 49_374;
/// Ports that are tried from there on.
const TRIED: u16 = 32;
/// How long a request may take to come in, and an answer to be taken (habit).
const PATIENCE: Duration = Duration::from_secs(5);
/// How long a browser waits for news before it asks again (habit; under the half minute after which
/// some programs in between drop silent connections, common practice, no source).
const NEWS: Duration = Duration::from_secs(20);
/// How long a client that is turned away may take to hear it: nobody else is greeted meanwhile (habit).
const TURNED_AWAY: Duration = Duration::from_millis(50);
/// Rest after a client that could not be greeted (habit): out of descriptors, the system refuses at
/// once and again, which would keep a core busy.
const UNGREETED: Duration = Duration::from_millis(50);
/// Requests answered at the same time at most (habit: a browser holds six to a host).
const MOST: usize = 48;

/// A server that has its port.
#[derive(Debug)]
pub struct Server {
    listener: TcpListener,
    port: u16,
}

/// Why there is no server.
#[derive(Debug)]
pub enum BindError {
    /// The port that was asked for is in use.
    InUse(u16),
    /// So are all that were tried, from the first to the last.
    AllInUse(u16, u16),
    /// The system's refusal.
    Io(u16, io::Error),
}

impl std::fmt::Display for BindError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            BindError::InUse(port) => write!(
                f,
                "port {port} of 127.0.0.1 is in use; give another one, or leave --port out: the next free \
                 one is taken"
            ),
            BindError::AllInUse(first, last) => write!(
                f,
                "ports {first} to {last} of 127.0.0.1 are in use; name a free one with --port"
            ),
            BindError::Io(port, e) => write!(f, "can't listen on 127.0.0.1:{port}: {e}"),
        }
    }
}

impl Server {
    /// On the port asked for (0 for one that the system picks), or on the first free one.
    ///
    /// # Errors
    /// See [`BindError`].
    pub fn bind(asked: Option<u16>) -> Result<Server, BindError> {
        let on = |port: u16| {
            let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port))?;
            let port = listener.local_addr()?.port();
            Ok(Server { listener, port })
        };
        if let Some(port) = asked {
            return on(port).map_err(|e: io::Error| match e.kind() {
                ErrorKind::AddrInUse => BindError::InUse(port),
                _ => BindError::Io(port, e),
            });
        }
        for port in FIRST..FIRST + TRIED {
            match on(port) {
                Ok(server) => return Ok(server),
                Err(e) if e.kind() == ErrorKind::AddrInUse => {}
                Err(e) => return Err(BindError::Io(port, e)),
            }
        }
        Err(BindError::AllInUse(FIRST, FIRST + TRIED - 1))
    }

    /// Where a browser finds it.
    pub fn address(&self) -> String {
        format!("http://127.0.0.1:{}/", self.port)
    }

    /// Answers from now on, until the process ends.
    ///
    /// # Errors
    /// No thread could be started.
    pub fn serve(self, board: Arc<Board>) -> io::Result<()> {
        let busy = Arc::new(AtomicUsize::new(0));
        let accept = move || {
            for stream in self.listener.incoming() {
                // A client that went away before it was greeted is no fault.
                let Ok(stream) = stream else {
                    thread::sleep(UNGREETED);
                    continue;
                };
                if busy.fetch_add(1, Ordering::Relaxed) >= MOST {
                    busy.fetch_sub(1, Ordering::Relaxed);
                    turn_away(stream);
                    continue;
                }
                let (board, done, port) = (Arc::clone(&board), Busy(Arc::clone(&busy)), self.port);
                let work = move || {
                    let _done = done;
                    // Whoever asked has gone when this fails.
                    let _ = attend(stream, port, &board);
                };
                let _ = thread::Builder::new()
                    .name("request".to_owned())
                    .spawn(work);
            }
        };
        thread::Builder::new()
            .name("server".to_owned())
            .spawn(accept)
            .map(|_| ())
    }
}

/// One request that is being answered.
struct Busy(Arc<AtomicUsize>);

impl Drop for Busy {
    fn drop(&mut self) {
        self.0.fetch_sub(1, Ordering::Relaxed);
    }
}

/// Refuses without waiting for anything.
fn turn_away(mut stream: TcpStream) {
    let _ = stream.set_write_timeout(Some(TURNED_AWAY));
    let _ = stream.write_all(&reply::refused(Refused::Busy));
}

fn attend(mut stream: TcpStream, port: u16, board: &Board) -> io::Result<()> {
    let asked = head(&mut stream)?.and_then(|head| judge(&head, port));
    let bytes = match asked {
        Ok(Asked::Page) => match board.document() {
            Ok(html) => reply::page(&html),
            Err(_) => reply::refused(Refused::Fault),
        },
        Ok(Asked::Next(after)) => match board.next(&after, NEWS) {
            Some(json) => reply::news(&json),
            None => reply::nothing(),
        },
        Err(why) => reply::refused(why),
    };
    put(&mut stream, &bytes)?;
    stream.shutdown(Shutdown::Write)
}

/// Writes all within [`PATIENCE`], however slowly it is taken.
fn put(stream: &mut TcpStream, mut bytes: &[u8]) -> io::Result<()> {
    let until = Instant::now() + PATIENCE;
    while !bytes.is_empty() {
        let rest = until.saturating_duration_since(Instant::now());
        if rest.is_zero() {
            return Err(ErrorKind::TimedOut.into());
        }
        stream.set_write_timeout(Some(rest))?;
        let written = stream.write(bytes)?;
        if written == 0 {
            return Err(ErrorKind::WriteZero.into());
        }
        bytes = &bytes[written..];
    }
    Ok(())
}

/// The head of a request without its empty line, within [`PATIENCE`] and [`MOST_BYTES`].
fn head(stream: &mut TcpStream) -> io::Result<Result<Vec<u8>, Refused>> {
    let until = Instant::now() + PATIENCE;
    let mut bytes = Vec::new();
    let mut some = [0; 2048];
    loop {
        let rest = until.saturating_duration_since(Instant::now());
        if rest.is_zero() {
            return Ok(Err(Refused::Late));
        }
        stream.set_read_timeout(Some(rest))?;
        let read = match stream.read(&mut some) {
            Ok(0) => return Err(ErrorKind::UnexpectedEof.into()),
            Ok(read) => read,
            Err(e) if matches!(e.kind(), ErrorKind::WouldBlock | ErrorKind::TimedOut) => {
                return Ok(Err(Refused::Late));
            }
            Err(e) => return Err(e),
        };
        bytes.extend_from_slice(&some[..read]);
        if let Some(end) = bytes.windows(4).position(|w| w == b"\r\n\r\n") {
            bytes.truncate(end);
            return Ok(Ok(bytes));
        }
        if bytes.len() > MOST_BYTES {
            return Ok(Err(Refused::Long));
        }
    }
}
