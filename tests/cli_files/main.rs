//! The whole program with real files: exit status, bytes, folders, full disks, kills, names,
//! hostile input, several files at once.

// Helpers of the tests stand outside of test functions.
#![allow(clippy::unwrap_used, clippy::print_stderr)]

mod bench;
mod bytes;
mod disk;
mod exit;
mod folders;
mod hostile;
mod kill;
mod names;
mod pack;
mod several;
mod sizes;
