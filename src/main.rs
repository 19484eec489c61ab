//! The `limberwood` command.

fn main() {}
