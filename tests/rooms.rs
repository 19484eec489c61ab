//! Rooms only look backward: a file of one room names only its own and earlier rooms. And no
//! file grows beyond 500 lines.
//!
//! Looked at are `crate::` paths, braces and all, and `super::` paths that reach the crate's
//! root; comments and strings are left out.

use std::fs;
use std::path::{Path, PathBuf};

/// The rooms in the order of the data.
const ORDER: [&str; 19] = [
    "units",
    "diagnostic",
    "params",
    "chain",
    "skin",
    "clear",
    "brep",
    "mesh",
    "check",
    "blank",
    "picture",
    "export",
    "report",
    "make",
    "live",
    "kinds",
    "solve",
    "refit",
    "cli",
];

/// Most lines of a file.
const MOST_LINES: usize = 500;

/// Forward looks in the text of a file of `room`, `depth` modules below the crate's root: as
/// "file:line: words".
fn forward_looks(file: &str, room: &str, depth: usize, text: &str) -> Vec<String> {
    let here = ORDER.iter().position(|r| *r == room);
    let Some(here) = here else {
        return vec![format!("{file}:1: `{room}` is no room in the order")];
    };
    let text = blanked(text);
    let mut found = Vec::new();
    for (at, name) in named_from_the_root(&text, depth) {
        let line = text[..at].matches('\n').count() + 1;
        match ORDER.iter().position(|r| *r == name) {
            Some(there) if there <= here => (),
            Some(_) => found.push(format!("{file}:{line}: `{room}` uses the later `{name}`")),
            // What lib.rs holds besides the rooms stands above them all but the last.
            None if here + 1 == ORDER.len() => (),
            None => found.push(format!("{file}:{line}: `{room}` uses `{name}`, no room")),
        }
    }
    found
}

/// Names that stand right behind the crate's root in paths, with their places in the text.
fn named_from_the_root(text: &str, depth: usize) -> Vec<(usize, &str)> {
    let mut found = Vec::new();
    for (at, _) in text.match_indices("crate::") {
        // Neither `my_crate::` nor `$crate::`, which belongs to a macro's home.
        if !text[..at].ends_with(|c: char| c.is_alphanumeric() || c == '_' || c == '$') {
            members(text, at + "crate::".len(), &mut found);
        }
    }
    let ups = "super::".repeat(depth);
    for (at, _) in text.match_indices(&ups) {
        let whole = !text[..at].ends_with(|c: char| c.is_alphanumeric() || c == '_' || c == ':');
        let behind = at + ups.len();
        if !whole || text[behind..].starts_with("super::") {
            continue;
        }
        let mut reached = Vec::new();
        members(text, behind, &mut reached);
        // Inside an inline module one `super` less leaves the file, so only rooms count.
        found.extend(reached.into_iter().filter(|(_, n)| ORDER.contains(n)));
    }
    found.sort_unstable();
    found
}

/// The name at a place, or the first name of each member of a list in braces.
fn members<'a>(text: &'a str, at: usize, found: &mut Vec<(usize, &'a str)>) {
    let rest = &text[at..];
    let name = |at: usize| {
        let long = text[at..].find(|c: char| !(c.is_alphanumeric() || c == '_'));
        (at, &text[at..at + long.unwrap_or(text.len() - at)])
    };
    if !rest.starts_with('{') {
        found.push(name(at));
        return;
    }
    let mut deep = 0;
    let mut fresh = false;
    for (i, c) in rest.char_indices() {
        match c {
            '{' => (deep, fresh) = (deep + 1, deep == 0),
            '}' if deep == 1 => return,
            '}' => deep -= 1,
            ',' => fresh = deep == 1,
            c if fresh && !c.is_whitespace() => {
                found.push(name(at + i));
                fresh = false;
            }
            _ => (),
        }
    }
}

/// The text with comments and strings blanked out, lines kept.
fn blanked(text: &str) -> String {
    let mut out = String::new();
    let (mut rest, mut last) = (text, ' ');
    while let Some(c) = rest.chars().next() {
        let long = if rest.starts_with("//") {
            rest.find('\n').unwrap_or(rest.len())
        } else if rest.starts_with("/*") {
            rest.find("*/").map_or(rest.len(), |n| n + 2)
        } else if (c == 'r' || rest.starts_with("br")) && !last.is_alphanumeric() && last != '_' {
            raw_string(rest)
        } else if c == '"' {
            plain_string(rest)
        } else if let Some(n) = ["'\"'", "'\\\"'", "'\\''"]
            .iter()
            .find(|q| rest.starts_with(**q))
        {
            n.len()
        } else {
            0
        };
        if long == 0 {
            out.push(c);
            rest = &rest[c.len_utf8()..];
        } else {
            out.extend(
                rest[..long]
                    .chars()
                    .map(|c| if c == '\n' { c } else { ' ' }),
            );
            rest = &rest[long..];
        }
        last = c;
    }
    out
}

/// Length of a string in quotes with escapes.
fn plain_string(text: &str) -> usize {
    let mut escaped = false;
    for (i, c) in text.char_indices().skip(1) {
        match c {
            _ if escaped => escaped = false,
            '\\' => escaped = true,
            '"' => return i + 1,
            _ => (),
        }
    }
    text.len()
}

/// Length of a raw string, 0 where none begins.
fn raw_string(text: &str) -> usize {
    let body = text.trim_start_matches('b').trim_start_matches('r');
    let hashes = body.len() - body.trim_start_matches('#').len();
    if !body[hashes..].starts_with('"') {
        return 0;
    }
    let end = format!("\"{}", "#".repeat(hashes));
    let opened = text.len() - body.len() + hashes + 1;
    text[opened..]
        .find(&end)
        .map_or(text.len(), |n| opened + n + end.len())
}

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// All Rust files under a folder, sorted.
fn rust_files(folder: &Path) -> Vec<PathBuf> {
    let mut files = Vec::new();
    let mut folders = vec![folder.to_path_buf()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).expect("a folder") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|e| e == "rs") {
                files.push(path);
            }
        }
    }
    files.sort();
    files
}

/// Room and depth of a file below `src`: `units/mod.rs` is 1 module deep, `units/a.rs` 2.
fn home(inside: &Path) -> Option<(String, usize)> {
    let parts: Vec<_> = inside.iter().map(|p| p.to_string_lossy()).collect();
    let room = parts[0].trim_end_matches(".rs").to_string();
    if parts.len() == 1 && (room == "lib" || room == "main") {
        return None;
    }
    let depth = parts.len() - usize::from(parts.last().is_some_and(|p| p == "mod.rs"));
    Some((room, depth))
}

#[test]
fn rooms_only_look_backward() {
    let src = root().join("src");
    let mut found = Vec::new();
    let mut seen = 0;
    for path in rust_files(&src) {
        let inside = path.strip_prefix(&src).expect("below src");
        let Some((room, depth)) = home(inside) else {
            continue;
        };
        seen += 1;
        let text = fs::read_to_string(&path).expect("text");
        let file = format!("src/{}", inside.display());
        found.extend(forward_looks(&file, &room, depth, &text));
    }
    assert!(seen > 50, "only {seen} files looked at");
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
fn every_room_of_the_order_is_there() {
    for room in ORDER {
        let folder = root().join("src").join(room);
        assert!(
            folder.is_dir() || folder.with_extension("rs").is_file(),
            "{room}"
        );
    }
}

#[test]
fn no_file_is_too_long() {
    let mut seen = 0;
    for folder in ["src", "tests", "benches"] {
        for path in rust_files(&root().join(folder)) {
            let lines = fs::read_to_string(&path).expect("text").lines().count();
            assert!(
                lines <= MOST_LINES,
                "{} has {lines} lines, at most {MOST_LINES}",
                path.display()
            );
            seen += 1;
        }
    }
    assert!(seen > 50, "only {seen} files looked at");
}

#[test]
fn forward_looks_are_found() {
    let looks = |text: &str| forward_looks("src/chain/a.rs", "chain", 2, text);
    for (text, line, name) in [
        ("use crate::brep::shape::Half;", 1, "brep"),
        ("\n\nuse crate::{units::Length, mesh::Mesh};", 3, "mesh"),
        (
            "use crate::{\n    params::{a, b},\n    cli::run,\n};",
            1,
            "cli",
        ),
        (
            "fn f() -> u8 {\n    crate::export::names::stem()\n}",
            2,
            "export",
        ),
        ("use super::super::clear::faces;", 1, "clear"),
        ("// a \" in words\nuse crate::skin::Outer;", 2, "skin"),
        ("const A: char = '\"'; use crate::skin::Outer;", 1, "skin"),
        ("use crate::make;", 1, "make"),
    ] {
        let found = looks(text);
        assert_eq!(found.len(), 1, "{text}: {found:?}");
        assert!(found[0].contains(&format!("`{name}`")), "{}", found[0]);
        // A list counts from the line of its member.
        let shown: usize = found[0].split(':').nth(1).unwrap().parse().unwrap();
        assert!(shown >= line, "{}", found[0]);
    }
    assert_eq!(forward_looks("src/x.rs", "x", 1, "").len(), 1);
}

#[test]
fn backward_looks_pass() {
    let text = "use crate::chain::Form; use crate::{units::{mesh, Length}, params};\n\
                // crate::brep\n/* crate::mesh */ const A: &str = \"crate::cli \\\" crate::cli\";\n\
                const B: &str = r#\"crate::cli\"#; use super::mesh; use super::super::half::cli;\n\
                other_crate::brep(); $crate::brep();";
    assert_eq!(
        forward_looks("src/chain/a.rs", "chain", 2, text),
        Vec::<String>::new()
    );
    let cli = forward_looks(
        "src/cli/mod.rs",
        "cli",
        1,
        "use crate::make; use super::brep;",
    );
    assert_eq!(cli, Vec::<String>::new());
}
