//! The written files, design and shop, one to one: nothing resolved, no default filled in.
//!
//! A file becomes a tree of nodes with their places, and the tree becomes records
//! ([`written`]) in one walk that gathers every independent fault. Each record is declared
//! once; the declaration gives the type, the reader, the keys for near misses, the ranges and
//! the JSON Schema. Rules between keys follow.
//!
//! What holds after a successful reading: every value lies in its range; names are unique
//! whatever the letter case; `like` leads to a section and ends; an outline runs from 0 to
//! 100 % in order and every point has its heights; species are in the table. What does not:
//! nothing is said about the shape; the next stage fills in and checks that.
//!
//! A design may be based on another file (`based`): both trees are put together (`merge`) before
//! any key has a meaning, and every node keeps the place where it was written.
//!
//! Limits come first: 4 MB, 120,000 nodes, 16 levels, no anchors, 1,000 sections.

mod based;
mod edit;
mod keys;
mod limits;
mod load;
mod located;
mod merge;
mod near;
mod quote;
mod read;
mod reader;
mod record;
mod rules;
mod scalar;
mod scaled;
mod schema;
mod species;
mod syntax;
mod tag;
mod tree;
pub mod value;
pub mod written;

pub use based::{DesignFile, design_files};
pub use edit::{Change, Step, changed};
pub use load::{read_raw, read_text};
pub use located::Located;
pub use near::did_you_mean;
pub use quote::{yaml_quoted, yaml_text};
pub use read::{
    BUILT_IN_SHOP, BUILT_IN_SHOP_NAME, RawFile, built_in_shop, is_plan, read_design,
    read_design_str, read_files, read_plan, read_shop, read_shop_str, read_snapshot, shop_beside,
};
pub use scaled::scale_design;
pub use schema::{
    DESIGN_SCHEMA_NAME, PLAN_SCHEMA_NAME, SHOP_SCHEMA_NAME, schema_design, schema_plan, schema_shop,
};
pub use species::{SPECIES, Species, species};
