//! `limberwood new`: every kind passes every check, at the limits too; nothing is overwritten.

mod bench;
mod files;
mod laid;
mod random;
mod refusals;
mod sound;
mod stocks;
