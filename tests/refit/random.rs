//! The demos fitted to boards at random; few of them unless `LIMBERWOOD_CASES` says how many.

use std::path::Path;

use limberwood::chain::resolve;
use limberwood::check::finding::Verdict;
use limberwood::diagnostic::Severity;
use limberwood::make::{Settings, check};
use limberwood::params::{built_in_shop, read_design};
use limberwood::refit::{Fit, Refused};

use crate::fits::{fit, thickness};

/// Numbers from 0 to 1, the same in each run (a linear congruence of Knuth's MMIX).
fn random(state: &mut u64) -> f64 {
    *state = state
        .wrapping_mul(6_364_136_223_846_793_005)
        .wrapping_add(1_442_695_040_888_963_407);
    (*state >> 11) as f64 / (1u64 << 53) as f64
}

#[test]
fn demos_pass_every_check_again_or_are_refused_with_numbers() {
    let cases = std::env::var("LIMBERWOOD_CASES")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(1);
    let names = ["caterpillar", "newt", "otter", "pike", "whale"];
    let mut state = 7;
    for case in 0..cases {
        let name = names[case % names.len()];
        let mm = (110.0 + 170.0 * random(&mut state)).round() / 10.0;
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("demo.yaml");
        let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("params/{name}.yaml"));
        std::fs::copy(demo, &path).unwrap();
        let mut shop = built_in_shop();
        match fit(&path, "new.yaml", &thickness(mm), &shop) {
            Ok(fitted) => {
                let ratio = mm / 19.05;
                for board in &mut shop.stock.value {
                    let thickness = &mut board.value.thickness.value;
                    *thickness = limberwood::units::Length::from_mm(thickness.mm() * ratio);
                }
                let file = if fitted.fit == Fit::Nothing {
                    "demo.yaml"
                } else {
                    "new.yaml"
                };
                let (design, warnings) = read_design(&folder.path().join(file)).unwrap();
                let resolved = resolve(&design, &shop).unwrap();
                let settings = Settings::of(&resolved, design.units.value.0);
                let findings = check(&resolved, &settings, &warnings, &|_, _| {});
                assert_ne!(
                    Verdict::of(&findings),
                    Verdict::FixFirst,
                    "{name} {mm}: {}",
                    fitted.text
                );
                assert!(resolved.sources.iter().all(|s| s.stock <= 2.0 * mm + 1e-9));
            }
            Err(Refused::Binds(words, tried)) => {
                assert!(words.iter().all(|w| w.severity <= Severity::Warning));
                assert!(
                    words.iter().any(|w| !w.allowed.is_empty()),
                    "{name} {mm}: {words:?}"
                );
                assert!(tried.iter().any(|t| !t.bars.is_empty()));
            }
            Err(other) => panic!("{name} {mm}: {other:?}"),
        }
    }
}
