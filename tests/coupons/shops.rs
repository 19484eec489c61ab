//! Records in shop files of all ways of writing: nothing but the values changes.

use limberwood::chain::Measured;
use limberwood::params::{Change, Step, changed};
use proptest::prelude::*;
use proptest::test_runner::{Config, TestRunner};

use super::*;

fn key(name: &str) -> Step {
    Step::Key(name.to_owned())
}

fn set(path: &[Step], value: &str) -> Change {
    Change {
        path: path.to_vec(),
        value: value.to_owned(),
    }
}

/// The changes that a record makes.
fn changes() -> Vec<Change> {
    vec![
        set(&[key("measured"), key("ball")], "0.06 mm"),
        set(&[key("measured"), key("socket")], "-0.04 mm"),
        set(&[key("measured"), key("easy")], "0.38 mm"),
        set(&[key("cutters"), Step::Item(1), key("measured")], "3.15 mm"),
    ]
}

/// What is left of the new text when the old one's bytes are taken out in order; nothing when a byte
/// of the old text is missing.
fn added(old: &str, new: &str) -> Option<String> {
    let mut rest = old.chars().peekable();
    let more: String = new
        .chars()
        .filter(|c| {
            let own = rest.peek() == Some(c);
            if own {
                rest.next();
            }
            !own
        })
        .collect();
    rest.peek().is_none().then_some(more)
}

fn is_recorded(text: &str) {
    let (own, _) = read_shop_str(text, "shop.yaml").unwrap_or_else(|e| panic!("{e}\n{text}"));
    let measured = Measured::of(&own);
    assert_eq!(
        (measured.ball, measured.socket),
        (Some(0.06), Some(-0.04)),
        "{text}"
    );
    assert_eq!(measured.usual_gap(), Some(0.38), "{text}");
    let cutter = own.cutters.value[1].value.measured.as_ref().unwrap();
    assert!((cutter.value.mm() - 3.15).abs() < 1e-12, "{text}");
}

const BLOCK: &str = "\
# mine
limberwood_shop: 1
name: Shed   # by the river
units: in

cutters:
  # the large one
  - name: large   # quarter
    jobs: [rough]
    kind: flat
    diameter: 1/4 in
  - name: \"small: one\"   # eighth
    jobs:
      - holes
      - finish
    kind: flat
    diameter: '1/8 in'
stock:
  - {name: board, thickness: 3/4 in} # { not a mapping }
fits:
  # fits of last year
  clearance: 0.4 mm

# the end
";

#[test]
fn comments_and_everything_else_stay() {
    let flow = "{limberwood_shop: 1, name: a, units: mm, cutters: [{name: x, jobs: [rough], kind: flat, diameter: 6}, \
                {name: y, jobs: [finish], kind: flat, diameter: 3}], stock: [{name: b, thickness: 19}]} # all in one\n";
    let metric = include_str!("../../params/shop-metric.yaml");
    let texts = [
        BUILT_IN_SHOP.to_owned(),
        metric.to_owned(),
        BLOCK.to_owned(),
        BLOCK.replace('\n', "\r\n"),
        format!("\u{feff}{BLOCK}"),
        BLOCK.trim_end().to_owned(),
        flow.to_owned(),
        format!("---\n{BLOCK}"),
        format!("{BLOCK}measured: {{}}\n"),
        format!("{BLOCK}measured:\n  # kept\n  height: 0.01 mm # small\n"),
    ];
    for old in texts {
        let new = changed(&old, "shop.yaml", &changes()).unwrap_or_else(|e| panic!("{e}\n{old}"));
        is_recorded(&new);
        // A value that stood there already would be replaced; these four are new but in the metric shop.
        match old == metric {
            true => {
                let old: Vec<&str> = old.lines().collect();
                let more = new.lines().filter(|l| !old.contains(l));
                // The cutter's line, `measured:` and three values.
                assert_eq!(more.count(), 5, "{new}");
            }
            false => assert!(added(&old, &new).is_some(), "{old}\n{new}"),
        }
        let ends = |text: &str| text.matches('\n').count() - text.matches("\r\n").count();
        assert!(!old.contains("\r\n") || ends(&new) == 0, "line ends differ");
        let again = changed(&new, "shop.yaml", &changes()).unwrap();
        assert_eq!(again, new);
    }
}

#[test]
fn values_are_replaced_where_they_stand() {
    let old = format!(
        "{BLOCK}measured: {{ball: 0.1, socket: '-0.02 mm', easy: \"1/64 in\"}} # of spring\n"
    );
    let new = changed(&old, "shop.yaml", &changes()).unwrap();
    is_recorded(&new);
    assert!(new.contains("# of spring\n"));
    let block = format!(
        "{BLOCK}measured:\n  ball: 0.1   # of spring\n  socket: -0.02 mm\n  easy: 0.4 mm\n"
    );
    let new = changed(&block, "shop.yaml", &changes()).unwrap();
    is_recorded(&new);
    assert!(
        new.contains("  ball: 0.06 mm   # of spring\n  socket: -0.04 mm\n"),
        "{new}"
    );
}

#[test]
fn what_cannot_be_changed_by_itself_is_refused() {
    for old in [
        format!("{BLOCK}measured: 3\n"),
        format!("{BLOCK}measured: [1]\n"),
        format!("{BLOCK}measured:\n"),
        "a: [".to_owned(),
        String::new(),
    ] {
        let refused = changed(&old, "shop.yaml", &changes());
        assert!(refused.is_err(), "{old}");
    }
    let path = [key("cutters"), Step::Item(9), key("measured")];
    assert!(changed(BLOCK, "shop.yaml", &[set(&path, "3 mm")]).is_err());
    // A value that would be more than one scalar.
    for value in ["1 mm\nname: x", "{a: 1}", "a: b", "1 mm # c"] {
        let own = changed(BLOCK, "shop.yaml", &[set(&[key("name")], value)]);
        let kept = own
            .as_ref()
            .is_ok_and(|text| shop(text).cutters.value.len() == 2);
        assert!(own.is_err() || kept, "{value}");
    }
}

/// A shop file of random layout: order of keys, flow or block, comments, blank lines, quotes.
fn random_shop() -> impl Strategy<Value = String> {
    let comment = prop_oneof![Just(""), Just(" # c: {x"), Just("   # 'quoted\"")];
    let blank = prop_oneof![
        Just(""),
        Just("\n"),
        Just("# between\n"),
        Just("  # indented\n")
    ];
    let value = prop_oneof![
        Just("0.4"),
        Just("0.4 mm"),
        Just("'0.4 mm'"),
        Just("\"0.4 mm\"")
    ];
    let fits = (any::<bool>(), value.clone()).prop_map(|(flow, v)| match flow {
        true => format!("fits: {{clearance: {v}, slip: 0.2}}"),
        false => format!("fits:\n    clearance: {v}\n    slip: 0.2"),
    });
    let measured = (0..4usize, value).prop_map(|(kind, v)| match kind {
        0 => String::new(),
        1 => format!("measured: {{easy: {v}}}"),
        2 => format!("measured:\n   easy: {v}\n   height: 0.01"),
        _ => "measured: {height: 0.02}".to_owned(),
    });
    let cutters = any::<bool>().prop_map(|flow| match flow {
        true => "cutters: [{name: x, jobs: [rough], kind: flat, diameter: 6}, {name: y, jobs: [finish], kind: flat, diameter: 3}]",
        false => "cutters:\n- name: x\n  jobs: [rough]\n  kind: flat\n  diameter: 6\n- {name: y, jobs: [finish],\n   kind: flat, diameter: 3}",
    });
    let ends = (any::<bool>(), any::<bool>());
    let parts = (
        fits,
        measured,
        cutters,
        prop::collection::vec((comment, blank), 6),
        any::<u8>(),
        ends,
    );
    parts.prop_map(|(fits, measured, cutters, between, turn, (crlf, last))| {
        let mut keys = vec![
            "limberwood_shop: 1".to_owned(),
            "name: Some Shop".to_owned(),
            "units: mm".to_owned(),
            "stock: [{name: b, thickness: 19}]".to_owned(),
            cutters.to_owned(),
            fits,
        ];
        if !measured.is_empty() {
            keys.push(measured);
        }
        let count = keys.len();
        keys.rotate_left(usize::from(turn) % count);
        let mut text = String::new();
        for (k, own) in keys.iter().enumerate() {
            let (comment, blank) = between[k % between.len()];
            text += &format!("{own}{comment}\n{blank}");
        }
        if !last {
            text = text.trim_end().to_owned();
        }
        if crlf {
            text.replace('\n', "\r\n")
        } else {
            text
        }
    })
}

#[test]
fn random_layouts_keep_every_other_byte() {
    let config = Config {
        cases: cases(40) as u32,
        failure_persistence: None,
        ..Config::default()
    };
    let mut runner = TestRunner::new_with_rng(
        config,
        proptest::test_runner::TestRng::deterministic_rng(
            proptest::test_runner::RngAlgorithm::ChaCha,
        ),
    );
    let tried = runner.run(&random_shop(), |old| {
        prop_assert!(read_shop_str(&old, "shop.yaml").is_ok(), "{old}");
        let new = changed(&old, "shop.yaml", &changes());
        prop_assert!(new.is_ok(), "{old}");
        let new = new.unwrap();
        is_recorded(&new);
        // An easy gap that stood there is replaced; every other byte is there still, in its order.
        let mut kept = old.clone();
        for value in ["0.4 mm", "'0.4 mm'", "\"0.4 mm\"", "0.4"] {
            kept = kept.replace(&format!("easy: {value}"), "easy: 0.38 mm");
        }
        let kept = kept.replace("0.38 mm mm", "0.38 mm");
        prop_assert!(added(&kept, &new).is_some(), "{old}\n{new}");
        Ok(())
    });
    tried.unwrap_or_else(|e| panic!("{e}"));
}
