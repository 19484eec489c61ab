//! What the tests share: a running `limberwood watch`, and a browser of a few lines.

use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use serde_json::Value;

/// How long anything may take on a busy machine.
pub const PATIENCE: Duration = Duration::from_secs(120);

/// Two sections with a joint; the sections' lengths tell one edit from another.
pub fn design(head: f64, tail: f64) -> String {
    format!(
        "limberwood: 1\nname: Short fellow\nunits: mm\n\
         joint: {{ball: 20, neck: 8.5, swing: 25 deg, land: 3.3}}\ndefaults: {{rim: 4.5}}\nsections:\n\
         \x20 - name: head\n    length: {head}\n    tip_width: 12\n    outline:\n\
         \x20     - {{at: 0%, half_width: 6, height: 6}}\n\
         \x20     - {{at: 40%, half_width: 16, height: 15}}\n\
         \x20     - {{at: 100%, half_width: 12, height: 12, squareness: 2}}\n\
         \x20 - name: tail\n    length: {tail}\n    tip_width: 10\n    outline:\n\
         \x20     - {{at: 0%, half_width: 12, height: 12, squareness: 2}}\n\
         \x20     - {{at: 40%, half_width: 16, height: 15}}\n\
         \x20     - {{at: 100%, half_width: 5, height: 5}}\n"
    )
}

/// A `limberwood watch` at work, ended with the test.
pub struct Watch {
    pub child: Child,
    pub port: u16,
    pub file: PathBuf,
    /// What was last heard of.
    pub version: String,
}

/// An answer.
pub struct Answer {
    pub status: u16,
    pub head: String,
    pub body: String,
}

pub fn command(file: &Path, more: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_limberwood"));
    command.arg("watch").arg(file).args(more);
    command.stdin(Stdio::null());
    command
}

impl Watch {
    /// Started on a file that is written first, on a port that the system picks.
    pub fn start(file: PathBuf, text: &str) -> Watch {
        fs::write(&file, text).unwrap();
        Watch::with(file, &["--port", "0"])
    }

    pub fn with(file: PathBuf, more: &[&str]) -> Watch {
        let mut command = command(&file, more);
        command.stdout(Stdio::piped()).stderr(Stdio::null());
        let mut child = command.spawn().unwrap();
        let mut line = String::new();
        let mut out = BufReader::new(child.stdout.take().unwrap());
        out.read_line(&mut line).unwrap();
        let port = line.trim().strip_prefix("http://127.0.0.1:");
        let port = port.and_then(|rest| rest.strip_suffix('/')?.parse().ok());
        Watch {
            port: port.unwrap_or_else(|| panic!("no address: {line:?}")),
            child,
            file,
            version: String::new(),
        }
    }

    /// Saves another text.
    pub fn save(&self, text: &str) {
        fs::write(&self.file, text).unwrap();
    }

    /// Sends bytes, and hears what comes back.
    pub fn send(&self, request: &[u8]) -> Answer {
        let mut stream = TcpStream::connect(("127.0.0.1", self.port)).unwrap();
        stream.set_read_timeout(Some(PATIENCE)).unwrap();
        // A refusal may come before all is sent.
        let _ = stream.write_all(request);
        let mut bytes = Vec::new();
        let _ = stream.read_to_end(&mut bytes);
        let text = String::from_utf8(bytes).unwrap();
        let (head, body) = text.split_once("\r\n\r\n").unwrap_or((&text, ""));
        let status = head.split(' ').nth(1).and_then(|s| s.parse().ok());
        Answer {
            status: status.unwrap_or(0),
            head: head.to_owned(),
            body: body.to_owned(),
        }
    }

    pub fn get(&self, target: &str, more: &str) -> Answer {
        let port = self.port;
        let text = format!("GET {target} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\n{more}\r\n");
        self.send(text.as_bytes())
    }

    /// The next news of which `wanted` is true; others are passed over.
    pub fn news(&mut self, wanted: impl Fn(&Value) -> bool) -> Value {
        let begin = Instant::now();
        while begin.elapsed() < PATIENCE {
            let answer = self.get(&format!("/next?after={}", self.version), "");
            if answer.status == 204 {
                continue;
            }
            assert_eq!(answer.status, 200, "{}", answer.head);
            let news: Value = serde_json::from_str(&answer.body).unwrap();
            let version = news["version"].as_str().unwrap().to_owned();
            assert_ne!(version, self.version, "news without a new version");
            self.version = version;
            if wanted(&news) {
                return news;
            }
        }
        panic!("no such news within {PATIENCE:?}");
    }
}

impl Drop for Watch {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// Whether news bring a page.
pub fn page(news: &Value) -> bool {
    news["page"].is_object()
}

/// Whether they bring a page with its checks done.
pub fn checked(news: &Value) -> bool {
    news["page"]["checked"] == true
}

/// Length of the straight creature on the page, mm: the far end of its last part.
pub fn length(news: &Value) -> f64 {
    let record = &news["page"]["record"];
    let ends = record["parts"].as_array().unwrap().iter().map(|part| {
        let mesh = &record["meshes"][part["mesh"].as_u64().unwrap() as usize];
        let number = |v: &Value| v.as_f64().unwrap();
        number(&part["pose"][0][3]) + number(&mesh["low"][0]) + 65535.0 * number(&mesh["step"][0])
    });
    ends.fold(0.0, f64::max)
}
