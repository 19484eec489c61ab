//! Every kind at its limits, laid out on its blanks: resolved, with exact distances, windows and tabs that
//! reach to them, without the checks.

use limberwood::chain::resolve;
use limberwood::kinds::{Cutters, Frame, KINDS, Kind, clearance, shop_text};
use limberwood::make::{Settings, lay_out};
use limberwood::params::{read_design_str, read_shop_str, species};
use limberwood::units::Unit;

/// Thicknesses of stock, mm.
const STOCKS: [f64; 4] = [14.5, 15.9, 19.05, 25.4];

/// Why the joints or the layout of a creature are refused.
fn refused(frame: &Frame, length: f64) -> Option<String> {
    let text = frame.design("Test", length).expect("a length in its range");
    let shop = shop_text(frame, &text, Cutters::Metric);
    let (design, _) = read_design_str(&text, "Test.yaml").expect("a design");
    let (shop, _) = read_shop_str(&shop, "shop.yaml").expect("a shop");
    let resolved = match resolve(&design, &shop) {
        Ok(resolved) => resolved,
        Err(found) => return Some(found.to_string()),
    };
    let settings = Settings::of(&resolved, frame.unit);
    lay_out(&resolved, &settings, 1)
        .err()
        .map(|e| e.to_string())
}

/// The frames of a kind, and three lengths of each: the least, the usual and the greatest.
fn choices(kind: &'static Kind) -> Vec<(Frame, f64)> {
    let mut all = Vec::new();
    for stock in STOCKS {
        for sections in [kind.least, kind.usual, kind.most] {
            for unit in [Unit::Mm, Unit::Inch] {
                let frame = Frame {
                    kind,
                    unit,
                    stock,
                    wood: species("hard maple").expect("a wood"),
                    sections,
                    clearance: clearance(None),
                };
                let (range, usual) = frame.lengths();
                let lengths = [*range.start(), usual, *range.end()];
                all.extend(lengths.map(|length| (frame, length)));
            }
        }
    }
    all
}

/// All by LIMBERWOOD_NEW_ALL; else one of each kind.
#[test]
fn creatures_at_their_limits_are_laid_out() {
    let all = std::env::var_os("LIMBERWOOD_NEW_ALL").is_some();
    let mut faults = Vec::new();
    for (k, kind) in KINDS.into_iter().enumerate() {
        for (n, (frame, length)) in choices(kind).into_iter().enumerate() {
            if !all && n != 7 * k {
                continue;
            }
            if let Some(found) = refused(&frame, length) {
                let (stock, sections) = (frame.stock, frame.sections);
                let name = format!("{} {stock} mm {:?}", kind.name, frame.unit);
                faults.push(format!("{name}, {sections} sections, {length} mm: {found}"));
            }
        }
        println!("{}: {} refused", kind.name, faults.len());
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}
