//! Every kind at its usual length over stocks, units and woods: resolved, with exact distances and what
//! cutters do, without the solids.

use limberwood::chain::resolve;
use limberwood::diagnostic::Severity;
use limberwood::kinds::{Cutters, Frame, KINDS, clearance, shop_text};
use limberwood::make::{Settings, formed};
use limberwood::params::{SPECIES, read_design_str, read_shop_str};
use limberwood::units::Unit;

/// Thicknesses of stock, mm.
const STOCKS: std::ops::RangeInclusive<u32> = 14..=26;

/// What refuses the usual creature of a frame.
fn faults(frame: &Frame) -> Result<(), String> {
    let (_, length) = frame.lengths();
    let text = frame.design("Test", length).map_err(|e| e.words)?;
    let shop = shop_text(frame, &text, Cutters::Metric);
    let (design, _) = read_design_str(&text, "Test.yaml").map_err(|e| e.to_string())?;
    let (shop, _) = read_shop_str(&shop, "shop.yaml").map_err(|e| e.to_string())?;
    let resolved = resolve(&design, &shop).map_err(|e| e.to_string())?;
    let settings = Settings::of(&resolved, frame.unit);
    let all: Vec<usize> = (0..resolved.creature.sections.len()).collect();
    for part in formed(&resolved, &settings, &all) {
        let place = resolved.sources[part.section].place.clone();
        let thin = part
            .thin
            .iter()
            .map(|r| r.diagnostic(place.clone(), frame.unit));
        let found = part.findings.iter().map(|f| f.message.clone());
        let mut errors = thin.chain(found).filter(|m| m.severity == Severity::Error);
        if let Some(error) = errors.next() {
            return Err(error.to_string());
        }
    }
    Ok(())
}

/// All combinations by LIMBERWOOD_NEW_ALL; else each kind in a few, with the woods in turn.
#[test]
fn usual_creatures_are_sound_over_stocks_units_and_woods() {
    let all = std::env::var_os("LIMBERWOOD_NEW_ALL").is_some();
    let (mut tried, mut refused) = (0, Vec::new());
    for (k, kind) in KINDS.into_iter().enumerate() {
        for (w, wood) in SPECIES.iter().enumerate() {
            for (s, stock) in STOCKS.enumerate() {
                for (u, unit) in [Unit::Mm, Unit::Inch].into_iter().enumerate() {
                    let frame = Frame {
                        kind,
                        unit,
                        stock: f64::from(stock),
                        wood,
                        sections: kind.usual,
                        clearance: clearance(None),
                    };
                    let taken = all || (7 * k + 5 * w + 3 * s + u).is_multiple_of(97);
                    if !taken || !Frame::stocks(unit, wood, clearance(None)).contains(&frame.stock)
                    {
                        continue;
                    }
                    tried += 1;
                    if let Err(found) = faults(&frame) {
                        let name = format!("{} {} {stock} mm {unit:?}", kind.name, wood.name);
                        refused.push(format!("{name}: {found}"));
                    }
                }
            }
        }
        println!("{}: {tried} tried, refused {refused:?}", kind.name);
    }
    assert!(tried >= KINDS.len());
    assert!(
        refused.is_empty(),
        "{} of {tried}:\n{}",
        refused.len(),
        refused.join("\n")
    );
}

/// A steep forehead: the edge of an eye falls by over three quarters of its radius.
#[test]
fn eyes_are_deep_enough_for_a_steep_head() {
    let frame = Frame {
        kind: limberwood::kinds::kind("dachshund").unwrap(),
        unit: Unit::Mm,
        stock: 25.0,
        wood: limberwood::params::species("eastern white pine").unwrap(),
        sections: 7,
        clearance: clearance(None),
    };
    assert_eq!(faults(&frame), Ok(()));
}
