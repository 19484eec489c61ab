//! Fits of a small design, each checked again as the file that was written.

use std::path::Path;

use limberwood::chain::{Resolved, resolve};
use limberwood::params::written::{Design, Shop};
use limberwood::params::{built_in_shop, read_design};
use limberwood::refit::{Bench, Change, Fit, Fitted, Refused, Target, Wish, refit};

use crate::bases::{PAIR, folder};

/// Fits the design at `path`; the new file is `new` beside it, and written when it was fitted.
pub fn fit(path: &Path, new: &str, wish: &Wish, shop: &Shop) -> Result<Fitted, Refused> {
    let (design, warnings) = read_design(path).map_err(Refused::Faults)?;
    let file = path.with_file_name(new);
    let target = Target {
        file: &file.display().to_string(),
        base: &path.file_name().unwrap().to_string_lossy(),
        name: "Fitted",
        step: &|_, _| {},
    };
    let mut bench = Bench::new((&design, &warnings), (shop, shop), wish, target.step)?;
    let fitted = refit(&mut bench, wish, &target)?;
    std::fs::write(&file, &fitted.text).unwrap();
    Ok(fitted)
}

pub fn thickness(mm: f64) -> Wish {
    Wish {
        thickness: Some(mm),
        ..Wish::default()
    }
}

fn resolved(path: &Path) -> (Design, Resolved) {
    let (design, _) = read_design(path).unwrap();
    let resolved = resolve(&design, &built_in_shop()).unwrap();
    (design, resolved)
}

/// The largest difference of lengths in two forms of a creature, mm.
fn apart(a: &Resolved, b: &Resolved) -> f64 {
    let numbers = |r: &Resolved| {
        let text = format!(
            "{:?}",
            r.creature
                .sections
                .iter()
                .map(|s| &s.form)
                .collect::<Vec<_>>()
        );
        let split = text.split(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '-' | 'e')));
        split
            .filter_map(|t| t.parse::<f64>().ok())
            .collect::<Vec<f64>>()
    };
    let (a, b) = (numbers(a), numbers(b));
    assert_eq!(a.len(), b.len());
    a.iter()
        .zip(&b)
        .map(|(a, b)| (a - b).abs())
        .fold(0.0, f64::max)
}

#[test]
fn joints_that_say_auto_are_checked_as_they_are_found() {
    let base = PAIR.replace("ball: 20", "ball: auto");
    assert_ne!(base, PAIR);
    let folder = folder(&[("pair.yaml", &base)]);
    let path = folder.path().join("pair.yaml");
    let (design, warnings) = read_design(&path).unwrap();
    let (shop, wish) = (built_in_shop(), thickness(18.6));
    let bench = Bench::new((&design, &warnings), (&shop, &shop), &wish, &|_, _| {}).unwrap();
    let (_, found) = limberwood::solve::resolved(&design, &shop).unwrap();
    assert_eq!(bench.resolved.joints[0].joint, found.joints[0].joint);
    // Without a search it would be the usual ball of 20.
    assert!((found.joints[0].joint.ball - 10.0).abs() > 0.01);
    let fitted = fit(&path, "new.yaml", &wish, &shop).unwrap();
    assert_eq!(fitted.fit, Fit::Nothing);
}

#[test]
fn stock_a_little_off_changes_nothing_or_heights() {
    let folder = folder(&[("pair.yaml", PAIR)]);
    let path = folder.path().join("pair.yaml");
    let shop = built_in_shop();
    // 16 high, 0.4 of sanding and skin.
    let nothing = fit(&path, "a.yaml", &thickness(18.6), &shop).unwrap();
    assert_eq!(nothing.fit, Fit::Nothing);
    assert!(nothing.changes.is_empty());
    let drawn = PAIR.replace("units: mm\n", "units: mm\ndrawn_for: 16.5 mm\n");
    std::fs::write(&path, drawn).unwrap();
    let lower = fit(&path, "b.yaml", &thickness(16.2), &shop).unwrap();
    assert_eq!(lower.fit, Fit::Heights);
    assert!(
        lower
            .said
            .contains(&"nothing but heights had to change".to_owned())
    );
    let (_, new) = resolved(&folder.path().join("b.yaml"));
    let (_, old) = resolved(&path);
    for (old, new) in old.creature.sections.iter().zip(&new.creature.sections) {
        for (old, new) in old.form.outline.iter().zip(&new.form.outline) {
            assert_eq!((new.x, new.half_width), (old.x, old.half_width));
            assert_eq!(
                (new.above, new.below),
                (old.above.min(15.8), old.below.min(15.8))
            );
        }
    }
    assert_eq!(old.joints[0].joint, new.joints[0].joint);
}

#[test]
fn there_and_back_is_the_same_creature() {
    let drawn = PAIR.replace("units: mm\n", "units: mm\ndrawn_for: 19.05 mm\n");
    let folder = folder(&[("pair.yaml", &drawn)]);
    let path = folder.path().join("pair.yaml");
    let shop = built_in_shop();
    let there = fit(&path, "there.yaml", &thickness(24.0), &shop).unwrap();
    assert!(
        matches!(there.fit, Fit::Scaled(s) if (s - 23.6 / 18.65).abs() < 1e-9),
        "{:?}",
        there.fit
    );
    let wish = thickness(19.05);
    let back = match fit(&folder.path().join("there.yaml"), "back.yaml", &wish, &shop) {
        Ok(back) => back,
        Err(refused) => panic!("{refused:?}"),
    };
    assert!(
        matches!(back.fit, Fit::Scaled(_)),
        "{:?} {:?}",
        back.fit,
        back.changes
    );
    let (_, old) = resolved(&path);
    let (_, new) = resolved(&folder.path().join("back.yaml"));
    let off = apart(&old, &new);
    assert!(off < limberwood::skin::MODEL_TOLERANCE, "{off}");
    let (_, middle) = resolved(&folder.path().join("there.yaml"));
    let length = |r: &Resolved| r.creature.sections[0].form.length;
    assert!((length(&middle) / length(&old) - 23.6 / 18.65).abs() < 1e-9);
}

/// What grows again was given up on the way: the design below has it still.
#[test]
fn a_refit_that_grows_names_the_design_below() {
    let drawn = PAIR.replace("units: mm\n", "units: mm\ndrawn_for: 19.05 mm\n");
    let folder = folder(&[("pair.yaml", &drawn)]);
    let [path, small] = ["pair.yaml", "small.yaml"].map(|name| folder.path().join(name));
    let shop = built_in_shop();
    let based = |fitted: &Fitted| {
        let said = |words: &String| words.contains("based on pair.yaml");
        fitted.said.iter().any(said)
    };
    let down = fit(&path, "small.yaml", &thickness(16.5), &shop).unwrap();
    let up = fit(&small, "up.yaml", &thickness(19.05), &shop).unwrap();
    assert!(matches!(up.fit, Fit::Scaled(s) if s > 1.0), "{:?}", up.fit);
    assert!(based(&up) && !based(&down), "{:?} {:?}", up.said, down.said);
}

#[test]
fn inches_lengths_and_dowels_as_asked() {
    let inch = PAIR.replace("units: mm\n", "units: mm\ndrawn_for: 3/4 in\n");
    let folder = folder(&[("pair.yaml", &inch)]);
    let path = folder.path().join("pair.yaml");
    let shop = built_in_shop();
    let long = fit(
        &path,
        "long.yaml",
        &Wish {
            length: Some(150.0),
            ..Wish::default()
        },
        &shop,
    )
    .unwrap();
    let (_, new) = resolved(&folder.path().join("long.yaml"));
    let sections: f64 = new.creature.sections.iter().map(|s| s.form.length).sum();
    let length = sections + new.joints[0].joint.gap;
    assert!((length - 150.0).abs() < 1e-6, "{length} {:?}", long.changes);
    let pins = fit(
        &path,
        "pins.yaml",
        &Wish {
            pin: Some(5.0),
            ..Wish::default()
        },
        &shop,
    )
    .unwrap();
    assert_eq!(pins.fit, Fit::Solved);
    let named = |c: &Change| c.what.contains("dowel");
    assert!(pins.changes.iter().any(named), "{:?}", pins.changes);
    let (_, new) = resolved(&folder.path().join("pins.yaml"));
    assert_eq!(new.fits.dowel, 5.0);
    assert!(
        new.creature
            .sections
            .iter()
            .flat_map(|s| &s.form.pins)
            .all(|p| (p.radius - 2.575).abs() < 1e-9)
    );
    let thick = fit(&path, "thick.yaml", &thickness(1.0 * 25.4), &shop).unwrap();
    assert!(matches!(thick.fit, Fit::Scaled(s) if (s - 25.0 / 18.65).abs() < 1e-9));
    let text = std::fs::read_to_string(folder.path().join("thick.yaml")).unwrap();
    assert!(
        text.contains("based_on: pair.yaml\nname: Fitted\ndrawn_for: 25.4 mm\n"),
        "{text}"
    );
}

#[test]
fn wishes_that_make_no_sense() {
    let folder = folder(&[("pair.yaml", PAIR)]);
    let path = folder.path().join("pair.yaml");
    let shop = built_in_shop();
    let wood = fit(
        &path,
        "a.yaml",
        &Wish {
            species: Some("hard mapel".to_owned()),
            ..Wish::default()
        },
        &shop,
    );
    assert!(
        matches!(wood, Err(Refused::Wish(words)) if words.contains("did you mean `hard maple`"))
    );
    let short = fit(
        &path,
        "b.yaml",
        &Wish {
            length: Some(2.0),
            ..Wish::default()
        },
        &shop,
    );
    assert!(matches!(short, Err(Refused::Wish(words)) if words.contains("gaps")));
    let faulty = PAIR.replace("height: 16}", "height: 60}");
    std::fs::write(&path, faulty).unwrap();
    let base = fit(&path, "c.yaml", &thickness(18.0), &shop);
    assert!(
        matches!(base, Err(Refused::Base(found)) if found.iter().any(|f| f.message.rule == "stock"))
    );
}

/// Boards of 3 mm: nothing can be drawn, so nothing is checked, and a bound is named at which something
/// can be.
#[test]
fn what_cannot_be_drawn_is_refused_without_a_search() {
    let folder = folder(&[("pair.yaml", PAIR)]);
    let path = folder.path().join("pair.yaml");
    let shop = built_in_shop();
    let refused = fit(&path, "a.yaml", &thickness(3.0), &shop);
    let Err(Refused::Binds(words, tried)) = refused else {
        panic!("{refused:?}")
    };
    // The design's own size is the first; all others are as small as the boards ask, or smaller.
    let scale = tried.iter().map(|t| t.scale).filter(|s| *s < 1.0);
    let scale = scale.fold(0.0, f64::max);
    assert!(scale < 0.2, "{tried:?}");
    assert!(
        tried.iter().all(|t| !t.built || t.scale >= 1.0),
        "{tried:?}"
    );
    let way_out = &words[words.len() - 1].way_out;
    assert!(way_out.contains("was not tried"), "{way_out}");
    let named = way_out.strip_prefix("boards of ").unwrap();
    let named: f64 = named.split(' ').next().unwrap().parse().unwrap();
    assert!((3.0..18.0).contains(&named), "{way_out}");
    let tried = match fit(&path, "b.yaml", &thickness(named), &shop) {
        Ok(fitted) => fitted.tried,
        Err(Refused::Binds(_, tried)) => tried,
        Err(other) => panic!("{other:?}"),
    };
    assert!(tried.iter().any(|t| t.built && t.scale < 1.0), "{tried:?}");
}

/// Boards of 8 mm: no scale with any ball, neck and swing of a grid passes either.
#[test]
fn a_refusal_names_what_binds_and_no_other_scale_does() {
    let folder = folder(&[("pair.yaml", PAIR)]);
    let path = folder.path().join("pair.yaml");
    let shop = built_in_shop();
    let refused = fit(&path, "a.yaml", &thickness(8.0), &shop);
    let Err(Refused::Binds(words, tried)) = refused else {
        panic!("{refused:?}")
    };
    assert!(
        words.len() > 1 && !words[0].found.is_empty() && !words[0].allowed.is_empty(),
        "{words:?}"
    );
    assert!(
        !tried.is_empty()
            && tried
                .iter()
                .all(|t| !t.bars.is_empty() || t.scale > 7.6 / 18.65 + 1e-9)
    );
    let mut fits = Vec::new();
    for step in 2..=20 {
        let scale = f64::from(step) * 0.05;
        for (ball, neck, swing) in [10.0, 12.0, 14.0].iter().flat_map(|b| {
            [6.35, 7.0]
                .iter()
                .flat_map(move |n| [8, 16, 24].map(|s| (*b, *n, s)))
        }) {
            let text = format!(
                "limberwood: 1\nbased_on: pair.yaml\ndefaults: {{scale: {scale}}}\njoint: {{ball: {ball}, neck: {neck}, swing: {swing} deg, land: 3}}\n"
            );
            std::fs::write(folder.path().join("b.yaml"), text).unwrap();
            let (design, _) = read_design(&folder.path().join("b.yaml")).unwrap();
            let Ok(resolved) = resolve(&design, &shop) else {
                continue;
            };
            if resolved.warnings.is_empty() && resolved.sources.iter().all(|s| s.stock <= 8.0) {
                fits.push((scale, ball, neck, swing));
            }
        }
    }
    assert_eq!(fits, []);
}

/// Half-inch boards for a creature drawn for three quarters: balls that keep all of their swing would
/// leave the tail's glue lines too little, so the joints give some.
#[test]
fn the_newt_comes_out_of_12_mm_boards() {
    let newt =
        std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("params/newt.yaml"));
    let folder = folder(&[("newt.yaml", &newt.unwrap())]);
    let path = folder.path().join("newt.yaml");
    let fitted = match fit(&path, "new.yaml", &thickness(12.0), &built_in_shop()) {
        Ok(fitted) => fitted,
        Err(refused) => panic!("{refused:?}"),
    };
    let (_, old) = resolved(&path);
    let (_, new) = resolved(&folder.path().join("new.yaml"));
    // What is made of both lies apart.
    assert_eq!(
        (&*old.creature.name, &*new.creature.name),
        ("Newt", "Fitted")
    );
    let boards = |said: &String| said.contains("write one of 12 mm into its `stock`");
    assert!(fitted.said.iter().any(boards), "{:?}", fitted.said);
    assert!(new.sources.iter().all(|s| s.stock <= 24.0 + 1e-9));
    let halves = new.sources.iter().zip(&new.creature.sections);
    assert!(
        halves
            .filter(|(_, s)| !s.form.whole)
            .all(|(s, _)| s.stock <= 12.0 + 1e-9)
    );
    for (old, new) in old.joints.iter().zip(&new.joints) {
        let (old, new) = (&old.joint, &new.joint);
        assert_eq!(old.clearance, new.clearance);
        assert!(
            new.swing <= old.swing && new.swing > 0.6 * old.swing,
            "{new:?}"
        );
    }
    let swing = fitted.changes.iter().find(|c| c.what.starts_with("swing"));
    let why = &swing.unwrap().why;
    assert!(
        why.contains("no joint that was tried passes the checks"),
        "{why}"
    );
}
