//! The build's own name: a hash of everything that the program is made from, so that work kept by
//! one build is never taken over by another.

use std::collections::hash_map::DefaultHasher;
use std::fs;
use std::hash::{Hash, Hasher};
use std::path::{Path, PathBuf};
use std::process::Command;

fn main() {
    let mut files = vec![PathBuf::from("Cargo.toml"), PathBuf::from("Cargo.lock")];
    gather(Path::new("src"), &mut files);
    files.sort();
    let mut hash = DefaultHasher::new();
    for file in &files {
        file.to_string_lossy().hash(&mut hash);
        fs::read(file).unwrap_or_default().hash(&mut hash);
    }
    // Another compiler, target or optimisation may round otherwise.
    for name in ["TARGET", "PROFILE", "OPT_LEVEL", "CARGO_ENCODED_RUSTFLAGS"] {
        std::env::var(name).unwrap_or_default().hash(&mut hash);
    }
    let compiler = std::env::var_os("RUSTC").unwrap_or_else(|| "rustc".into());
    let version = Command::new(compiler).arg("-vV").output();
    version
        .map(|o| o.stdout)
        .unwrap_or_default()
        .hash(&mut hash);
    println!("cargo:rustc-env=LIMBERWOOD_BUILD={:016x}", hash.finish());
    for watched in ["src", "Cargo.toml", "Cargo.lock", "build.rs"] {
        println!("cargo:rerun-if-changed={watched}");
    }
}

fn gather(folder: &Path, files: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        let path = entry.path();
        if path.is_dir() {
            gather(&path, files);
        } else {
            files.push(path);
        }
    }
}
