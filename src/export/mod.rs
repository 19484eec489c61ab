//! Finished data in, bytes out: STEP, STL and the manifest; [`folder`] alone writes files.
//!
//! Guaranteed: same data, same bytes. No clock, no locale, no order of a hash map reaches a
//! file. Not guaranteed: that the data is right; halves and meshes are checked before they
//! come here.

pub mod archive;
pub mod blanks;
pub mod drawing;
pub mod folder;

pub mod leaflet;
pub mod manifest;
pub mod names;
pub mod step;
pub mod stl;
pub mod threemf;
pub mod trial;
pub mod words;
pub mod xml;
