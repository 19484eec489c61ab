//! Against closed forms on hand-built solids.

pub(crate) mod build;
mod prisms;
mod turned;

/// Within a relative 1e-9.
fn close(found: f64, wanted: f64) {
    assert!(
        (found - wanted).abs() <= 1e-9 * wanted.abs().max(1e-3),
        "{found} instead of {wanted}"
    );
}
