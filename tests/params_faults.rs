//! One fault a row: the message stands at the right line and column, names the key path and
//! says what to do.

use limberwood::diagnostic::{Diagnostic, Diagnostics};
use limberwood::params::{read_design_str, read_shop_str};

const DESIGN: &str = "\
limberwood: 1
name: Newt
units: mm
species: hard maple
split: level
joint:
  ball: 20
  swing: 25 deg
defaults:
  length: 40
  outline:
    - {at: 0%, half_width: 12, height: 12}
    - {at: 50%, half_width: 16, above: 15, below: 13}
    - {at: 100%, half_width: 12, height: 12}
sections:
  - name: head
  - name: body
    repeat: 4
    taper: 0.97
    steps: 2
    pins: auto
  - name: tail
    like: head
    length: 50
joints:
  - after: body-2
    ball: 18
";

const SHOP: &str = "\
limberwood_shop: 1
name: Back room
units: in
cutters:
  - {name: quarter, jobs: [rough, holes], kind: flat, diameter: 1/4 in}
  - name: ball
    jobs: [finish]
    kind: ball
    tip_diameter: 1/8 in
    taper: 3 deg per side
stock:
  - {name: board, thickness: 0.75}
fits:
  dowel: 1/4 in
";

/// A fault: the text to replace, its replacement with `§` where the message must point, key
/// path, words of what was found, words of the way out.
type Fault = (
    &'static str,
    &'static str,
    &'static str,
    &'static str,
    &'static str,
);

fn errors<T>(result: Result<T, Diagnostics>) -> Vec<Diagnostic> {
    result.err().map(|all| all.sorted()).unwrap_or_default()
}

fn check(base: &str, faults: &[Fault], read: impl Fn(&str) -> Vec<Diagnostic>) {
    assert_eq!(read(base), [], "the base is sound");
    let wrong: Vec<String> = faults
        .iter()
        .filter_map(|fault| mismatch(base, *fault, &read))
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// What is wrong with the answer to a fault.
fn mismatch(base: &str, fault: Fault, read: impl Fn(&str) -> Vec<Diagnostic>) -> Option<String> {
    let (old, new, path, found, way_out) = fault;
    assert!(base.contains(old), "{old} is in the base");
    let marked = base.replacen(old, new, 1);
    let before = marked.split('§').next().unwrap_or_default();
    let line = before.matches('\n').count() + 1;
    let column = before
        .rsplit('\n')
        .next()
        .unwrap_or_default()
        .chars()
        .count()
        + 1;
    let all = read(&marked.replace('§', ""));
    let [message] = all.as_slice() else {
        let shown: Vec<String> = all.iter().map(ToString::to_string).collect();
        return Some(format!("{new}: not one message: {shown:#?}"));
    };
    let placed = !marked.contains('§')
        || (message.place.line as usize, message.place.column as usize) == (line, column);
    let good = placed
        && message.place.path == path
        && message.found.contains(found)
        && message.way_out.contains(way_out)
        && !message.to_string().contains('\n');
    (!good).then(|| format!("{new} (expected {line}:{column} {path}): {message}"))
}

#[test]
fn quantities_and_scalars() {
    #[rustfmt::skip] // One fault a row.
    let faults: &[Fault] = &[
        ("ball: 20", "ball: §3/4", "joint.ball", "`3/4`, a fraction", "write `3/4 in` (= 19.05 mm)"),
        ("ball: 20", "ball: §20,5", "joint.ball", "`20,5` with a decimal comma", "write `20.5`"),
        ("ball: 20", "ball: §\"20\"", "joint.ball", "quotes without a unit", "remove the quotes, or add a unit: `20 mm`"),
        ("ball: 20", "ball: §20 inch", "joint.ball", "`inch` is no unit", "write `20 in`"),
        ("ball: 20", "ball: §.nan", "joint.ball", "`.nan`, not a number", "write a number"),
        ("ball: 20", "ball: §-.inf", "joint.ball", "`-.inf`, an infinite", "write a smaller number"),
        ("ball: 20", "ball: §1e400", "joint.ball", "`1e400`, an infinite", "write a smaller number"),
        ("ball: 20", "ball: §-20", "joint.ball", "`-20`", "write a larger value"),
        ("ball: 20", "ball: §0", "joint.ball", "`0`", "write a larger value"),
        ("ball: 20", "ball: §20 cm 3", "joint.ball", "`cm 3` is no unit", "write mm, cm or in"),
        ("ball: 20", "ball: §50 cm", "joint.ball", "`50 cm`", "write a smaller value"),
        ("ball: 20", "ball: §0x14", "joint.ball", "`0x14`, a number in another base", "write `20`"),
        ("ball: 20", "ball: §1_000", "joint.ball", "`_` between digits", "write `1000`"),
        ("ball: 20", "ball: §−20 mm", "joint.ball", "true minus", "write `-20 mm`"),
        ("ball: 20", "ball: §２０ mm", "joint.ball", "full-width", "write `20 mm`"),
        ("ball: 20", "ball: §20\u{a0}mm", "joint.ball", "no-break space", "write `20 mm`"),
        ("ball: 20", "ball: §true", "joint.ball", "`true`", "write a number"),
        ("ball: 20", "ball: §[20]", "joint.ball", "a list", "write a number"),
        ("ball: 20", "ball: §12:30:45", "joint.ball", "`12:30:45`", "mm, cm or in"),
        ("ball: 20", "ball: !!int §\"20\"", "joint.ball", "a tag", "remove the tag"),
        ("  swing: 25 deg", "  swing: §25 degrees", "joint.swing", "no unit of angle", "write `25 deg`"),
        ("  swing: 25 deg", "  swing: §0.25", "joint.swing", "`0.25`", "write a larger value"),
        ("  swing: 25 deg", "  swing: §2 rad", "joint.swing", "`2 rad`", "write a smaller value"),
        ("repeat: 4", "repeat: §4.5", "sections[1].repeat", "`4.5`", "whole number from 1 to 1000"),
        ("repeat: 4", "repeat: §1001", "sections[1].repeat", "`1001`", "smaller value"),
        ("repeat: 4", "repeat: §four", "sections[1].repeat", "`four`", "whole number"),
        ("taper: 0.97", "taper: §0.2", "sections[1].taper", "`0.2`", "larger value"),
        ("taper: 0.97", "taper: {to: §0.7}", "sections[1].taper.to", "`0.7`", "`70%`"),
        ("taper: 0.97", "taper: §on", "sections[1].taper", "the text `on`", "a plain number or a percentage"),
        ("at: 50%", "at: §0.5%%", "defaults.outline[1].at", "not a percentage", "`50%`"),
        ("at: 50%", "at: §150%", "defaults.outline[1].at", "`150%`", "smaller value"),
        ("pins: auto", "pins: §3", "sections[1].pins", "`3`", "as a list"),
        ("pins: auto", "pins: §some", "sections[1].pins", "`some`", "one of these"),
        ("split: level", "split: §flat", "split", "`flat`", "one of these words"),
        ("split: level", "split: §Level", "split", "`Level`", "did you mean `level`?"),
        ("split: level", "split§:", "split", "nothing", "write a value, or remove the key"),
        ("split: level", "marks: §on", "marks", "`on`", "one of these words"),
        ("split: level", "marks: §Off", "marks", "`Off`", "did you mean `off`?"),
        ("pins: auto", "tabs: §5", "sections[1].tabs", "5", "write `none`, or tabs beyond 4"),
        ("pins: auto", "tabs: §some", "sections[1].tabs", "`some`", "write one of these"),
        ("pins: auto", "plates: [{side: §top, outline: [{at: 4, out: 5}, {at: 9, out: 5}]}]", "sections[1].plates[0].side", "`top`", "one of these words"),
        ("pins: auto", "plates: [{side: left, outline: §[{at: 4, out: 5}]}]", "sections[1].plates[0].outline", "a list of 1 entries", "add some"),
        ("pins: auto", "flats: [{width: 14, from: 60%, to: §20%}]", "sections[1].flats[0].to", "a flat from 60% to 20%", "make `to` larger"),
        ("pins: auto", "flats: [{width: 14, from: 20 mm, to: §20}]", "sections[1].flats[0].to", "from 20 mm to 20 mm", "make `to` larger"),
        ("pins: auto", "flats: [{width: §0.5, from: 20%, to: 60%}]", "sections[1].flats[0].width", "`0.5`", "write a larger value"),
        ("pins: auto", "flats: [{width: 14, from: 20%, to: 60%, side: §belly}]", "sections[1].flats[0].side", "`belly`", "write"),
        ("pins: auto", "eyes: [{at: 4, diameter: §0.1}]", "sections[1].eyes[0].diameter", "`0.1`", "write a larger value"),
        ("split: level", "marks: §false", "marks", "`false`", "one of these words"),
        ("split: level", "glue_groove: §0.8", "glue_groove", "`0.8`", "one of these words"),
        ("split: level", "bench_only: §yes", "bench_only", "`yes`", "write `true`"),
        ("split: level", "bench_only: §off", "bench_only", "`off`", "write `false`"),
        ("name: Newt", "name: §12", "name", "the number `12`", "put it in quotes: \"12\""),
        ("name: Newt", "name: §\"C:\\temp\"", "name", "control character", "single quotes or /"),
        ("name: Newt", "name: §\" Newt\"", "name", "a blank at the start", "remove the blank"),
        ("limberwood: 1", "limberwood: §2", "limberwood", "`2`", "newer"),
        ("limberwood: 1", "limberwood: §\"1\"", "limberwood", "the text `1`", "write 1"),
        ("units: mm", "units: §inches", "units", "`inches`", "did you mean `in`?"),
        ("units: mm", "units: §cm", "units", "`cm`", "every plain number in that unit"),
    ];
    check(DESIGN, faults, |text| {
        errors(read_design_str(text, "newt.yaml"))
    });
}

#[test]
fn keys_and_rules() {
    #[rustfmt::skip] // One fault a row.
    let faults: &[Fault] = &[
        ("  ball: 20", "  §bal: 20", "joint.bal", "unknown key `bal`", "did you mean `ball`?"),
        ("  ball: 20", "  §half-width: 20", "joint.half-width", "unknown key", "remove it"),
        ("  - name: head", "  - name: head\n    §swing: 20", "sections[0].swing", "unknown key", "a key of `joint`"),
        ("half_width: 16", "§width: 9, half_width: 16", "defaults.outline[1].width", "unknown key", "did you mean `half_width`?"),
        ("  swing: 25 deg", "  swing: 25 deg\n  §ball: 20", "joint.ball", "a second time (first at line 7, column 3)", "remove one"),
        ("  swing: 25 deg", "  §<<: {ball: 20}", "joint.<<", "unknown key `<<`", "`like`"),
        ("  swing: 25 deg", "  §1: 3", "joint", "the number `1` as a key", "write the key as text"),
        ("  ball: 20", "  §\u{a0}ball: 20", "joint.\u{a0}ball", "no-break space", "ordinary space"),
        ("split: level", "§mark: off", "mark", "unknown key `mark`", "did you mean `marks`?"),
        ("  - name: head", "  - name: head\n    §marks: off", "sections[0].marks", "unknown key", "a key of the design file itself"),
        ("name: Newt\n", "", "", "no `name`", "add `name`"),
        ("  - name: tail\n    like: head", "  - §like: head", "sections[2]", "without `name`", "add a name"),
        ("  - name: tail", "  - name: §BODY", "sections[2].name", "`BODY` a second time (first at line 17, column 11)", "another name"),
        ("  - name: tail", "  - name: §body-3", "sections[2].name", "`body-3` a second time", "another name"),
        ("like: head", "like: §haed", "sections[2].like", "no section named `haed`", "did you mean `head`?"),
        ("like: head", "like: §tail", "sections[2].like", "a circle: tail like tail", "its own keys"),
        ("  - name: head", "  - name: head\n    like: §tail", "sections[0].like", "a circle: head like tail like head", "its own keys"),
        ("  - name: head", "  - name: head\n    taper: §0.9", "sections[0].taper", "single section", "add `repeat`"),
        ("    taper: 0.97\n    steps: 2", "    steps: §2", "sections[1].steps", "without a `taper`", "add `taper`"),
        ("steps: 2", "steps: §5", "sections[1].steps", "5 steps for 4 sections", "raise `repeat`"),
        ("  length: 40", "  length: 40\n  repeat: §3", "defaults.repeat", "in `defaults`", "into a section"),
        ("at: 0%,", "at: §5%,", "defaults.outline[0].at", "not at the front", "add a point at 0%"),
        ("at: 100%,", "at: §99%,", "defaults.outline[2].at", "a last point at 99%", "add a point at 100%"),
        ("at: 100%,", "at: §39 mm,", "defaults.outline[2].at", "a last point at 39 mm", "add a point at 100%"),
        ("    - {at: 100%,", "    - {at: §20, half_width: 9, height: 9}\n    - {at: 100%,", "defaults.outline[2].at", "a point at 20 mm after one at 50%", "in order"),
        ("above: 15, below: 13", "height: §9, above: 15", "defaults.outline[1].height", "beside `above`", "for both halves"),
        ("above: 15, below: 13", "above: §15", "defaults.outline[1].above", "without `below`", "`above` and `below`"),
        ("{at: 50%, half_width: 16, above: 15, below: 13}", "§{at: 50%, half_width: 16}", "defaults.outline[1]", "without heights", "write `height`"),
        ("after: body-2", "after: §body", "joints[0].after", "a row of 4", "`body-1` to `body-4`"),
        ("after: body-2", "after: §body-5", "joints[0].after", "only 4 are repeated", "smaller number"),
        ("after: body-2", "after: §tail", "joints[0].after", "the last section", "remove the entry"),
        ("after: body-2", "after: §hed", "joints[0].after", "no section named", "did you mean `head`?"),
        ("    ball: 18", "    ball: 18\n  - after: §Body-2", "joints[1].after", "a second time", "into one entry"),
        ("species: hard maple", "species: §hard mapel", "species", "unknown species", "did you mean `hard maple`?"),
        ("pins: auto", "pins: [{at: 30%, depth: §8, depth_above: 8, depth_below: 8}]", "sections[1].pins[0].depth", "beside `depth_above`", "remove `depth`"),
        ("repeat: 4", "repeat: 999", "sections", "1001 sections", "lower the `repeat` counts"),
    ];
    check(DESIGN, faults, |text| {
        errors(read_design_str(text, "newt.yaml"))
    });
}

#[test]
fn shop_file() {
    #[rustfmt::skip] // One fault a row.
    let faults: &[Fault] = &[
        ("taper: 3 deg per side", "taper: §3 deg", "cutters[1].taper", "without `per side` or `included`", "write `3 deg per side` (6 deg included), or `3 deg included` (1.5 deg per side)"),
        ("taper: 3 deg per side", "taper: §3", "cutters[1].taper", "`3`, a taper without", "`3 deg per side` (6 deg included)"),
        ("taper: 3 deg per side", "taper: §3° per flank", "cutters[1].taper", "`3° per flank`", "`3 deg per side` or `6 deg included`"),
        ("taper: 3 deg per side", "taper: §3,5 deg per side", "cutters[1].taper", "decimal comma", "write `3.5 deg`"),
        ("tip_diameter: 1/8 in", "diameter: §1/8 in", "cutters[1].diameter", "`diameter` of a ball cutter", "`tip_diameter` for the ball"),
        ("kind: flat, diameter: 1/4 in", "kind: flat, tip_diameter: §1/4 in", "cutters[0].tip_diameter", "of a flat cutter", "`kind: ball`"),
        ("  - {name: quarter, jobs: [rough, holes], kind: flat, diameter: 1/4 in}", "  - §{name: quarter, jobs: [rough], kind: flat}", "cutters[0]", "without `diameter`", "add `diameter`"),
        ("jobs: [finish]", "jobs: §finish", "cutters[1].jobs", "the text `finish`", "write `[finish]`"),
        ("jobs: [finish]", "jobs: [rough]", "cutters", "no cutter with the job `finish`", "add `finish`"),
        ("jobs: [finish]", "jobs: [finish, §finish]", "cutters[1].jobs[1]", "a second time", "remove one"),
        ("jobs: [finish]", "jobs: [finish, §mark]", "cutters[1].jobs[1]", "`mark`", "did you mean `marks`?"),
        ("  dowel: 1/4 in", "  dowel: 1/4 in\n  chamfer: §4 mm", "fits.chamfer", "`4 mm`", "smaller value"),
        ("jobs: [finish]", "jobs: [finish, §drill]", "cutters[1].jobs[1]", "`drill`", "one of these words"),
        ("name: ball", "name: §Quarter", "cutters[1].name", "a second time", "another name"),
        ("thickness: 0.75", "thickness: §19.05", "stock[0].thickness", "`19.05`", "smaller value"),
        ("thickness: 0.75", "thickness: §0.05", "stock[0].thickness", "`0.05`", "larger value"),
        ("thickness: 0.75", "thickness: 0.75, species: §plywood", "stock[0].species", "`plywood`", "one of these"),
        ("thickness: 0.75", "thickness: 0.75, §thickness: 0.8", "stock[0].thickness", "a second time", "remove one"),
        ("jobs: [finish]", "jobs: [finish]\n    holder: §1 in", "cutters[1].holder", "without `stick_out`", "add `stick_out`"),
        ("jobs: [finish]", "jobs: [finish]\n    stick_out: §1 in", "cutters[1].stick_out", "without `holder`", "add `holder`"),
        ("jobs: [finish]", "jobs: [finish]\n    holder: 1\n    cutting_length: 1.5\n    stick_out: §1.25", "cutters[1].stick_out", "31.75 mm from the tip", "correct `cutting_length`"),
        ("  dowel: 1/4 in", "  dowel: §1/4", "fits.dowel", "without a unit", "`1/4 in` (= 6.35 mm)"),
        ("limberwood_shop: 1", "limberwood: 1", "", "a design file", "check which file"),
    ];
    check(SHOP, faults, |text| {
        errors(read_shop_str(text, "shop.yaml"))
    });
}

#[test]
fn text_that_is_no_yaml() {
    #[rustfmt::skip] // One fault a row.
    let faults: &[Fault] = &[
        ("  ball: 20", "§\tball: 20", "", "a tab used as indent in `ball: 20`", "two spaces"),
        ("  ball: 20\n", "§\tball: 20\n\t", "", "(and in 1 more lines)", "two spaces"),
        ("name: Newt", "name: §\"C:\\Users\\me\"", "", "backslash in double quotes", "use single quotes, or /"),
        ("units: mm", "units: mm\n---", "", "a second document", "remove the line"),
        ("units: mm", "units: §&u mm", "", "an anchor or alias", "use `defaults`"),
        ("units: mm", "units: *u", "", "alias", ""),
        ("units: mm", "units:§\u{a0}mm", "", "no-break space (U+00A0)", "ordinary space"),
        ("units: mm", "units mm", "", "without `key: value`", "add the colon"),
        ("units: mm", "units: mm: 3", "", "`:` where no key can stand", "line up"),
        ("{at: 50%,", "{at: [50%,", "", "", "close the bracket"),
        ("name: Newt", "name: §'Newt", "", "unclosed quote", "close the bracket, brace or quote"),
        ("name: Newt", "name: §@newt", "", "unexpected character", "in quotes"),
    ];
    check(DESIGN, faults, |text| {
        errors(read_design_str(text, "newt.yaml"))
    });
}

#[test]
fn whole_files_that_are_something_else() {
    for (text, found, way_out) in [
        ("", "an empty file", "begin with `limberwood: 1`"),
        (" \n\n", "an empty file", "begin with `limberwood: 1`"),
        (
            "# nothing\n",
            "a file without any key",
            "begin with `limberwood: 1`",
        ),
        ("- a\n", "a list", "begin with"),
        ("hello\n", "the text `hello`", "begin with"),
        ("limberwood:\u{a0}1\n", "no-break space", "ordinary space"),
        ("limberwood_shop: 1\n", "a shop file", "which file"),
    ] {
        let all = errors(read_design_str(text, "x.yaml"));
        assert_eq!(all.len(), 1, "{text:?} {all:?}");
        assert!(
            all[0].found.contains(found) && all[0].way_out.contains(way_out),
            "{}",
            all[0]
        );
    }
}

#[test]
fn byte_order_mark_and_windows_line_ends_are_read() {
    let text = format!("\u{feff}{}", DESIGN.replace('\n', "\r\n"));
    let (design, warnings) = read_design_str(&text, "newt.yaml").unwrap();
    assert_eq!(warnings, []);
    assert_eq!(design.sections.value.len(), 3);
    let all = errors(read_design_str(
        &text.replace("ball: 20", "ball: big"),
        "newt.yaml",
    ));
    assert_eq!((all[0].place.line, all[0].place.column), (7, 9));
}

#[test]
fn all_faults_of_a_file_come_in_one_run_in_order() {
    let text = DESIGN
        .replace("ball: 20", "ball: 3/4")
        .replace("split: level", "split: sideways")
        .replace("half_width: 16", "half_width: -1")
        .replace("steps: 2", "steps: 9")
        .replace("like: head", "like: nobody")
        .replace("after: body-2", "after: body-9")
        .replace("ball: 18", "bawl: 18");
    let all = errors(read_design_str(&text, "newt.yaml"));
    let paths: Vec<&str> = all
        .iter()
        .map(|message| message.place.path.as_str())
        .collect();
    assert_eq!(
        paths,
        [
            "split",
            "joint.ball",
            "defaults.outline[1].half_width",
            "sections[1].steps",
            "sections[2].like",
            "joints[0].after",
            "joints[0].bawl",
        ]
    );
}

#[test]
fn a_fault_of_one_cutter_hides_no_missing_job() {
    let text = SHOP
        .replace("jobs: [finish]", "jobs: [rough]")
        .replace("diameter: 1/4 in", "diameter: 1/4");
    let paths: Vec<String> = errors(read_shop_str(&text, "shop.yaml"))
        .into_iter()
        .map(|message| message.place.path)
        .collect();
    assert_eq!(paths, ["cutters", "cutters[0].diameter"]);
}

#[test]
fn an_unreadable_name_makes_no_second_fault() {
    let paths = |text: &str| -> Vec<String> {
        errors(read_design_str(text, "newt.yaml"))
            .into_iter()
            .map(|message| message.place.path)
            .collect()
    };
    assert_eq!(
        paths(&DESIGN.replace("- name: head", "- name: [head]")),
        ["sections[0].name"]
    );
    let both = DESIGN
        .replace("- name: head", "- length: 30")
        .replace("like: head", "like: nobody");
    assert_eq!(paths(&both), ["sections[0]", "sections[2].like"]);
}

#[test]
fn a_wrong_unit_hides_no_other_fault_and_makes_no_false_one() {
    let text = DESIGN
        .replace("units: mm", "units: ell")
        .replace("length: 50", "length: 5,0");
    let paths: Vec<String> = errors(read_design_str(&text, "newt.yaml"))
        .into_iter()
        .map(|message| message.place.path)
        .collect();
    assert_eq!(paths, ["units", "sections[2].length"]);
}

#[test]
fn ring_porous_wood_draws_a_warning_beside_the_design() {
    let (_, warnings) =
        read_design_str(&DESIGN.replace("hard maple", "white oak"), "newt.yaml").unwrap();
    assert_eq!(warnings.len(), 1);
    assert_eq!(warnings[0].place.path, "species");
}

#[test]
fn a_size_out_of_range_is_told_the_range() {
    let design = DESIGN.replacen("pins: auto", "eyes: [{at: 4, diameter: 0.1}]", 1);
    let all = errors(read_design_str(&design, "newt.yaml"));
    let shown: Vec<String> = all.iter().map(ToString::to_string).collect();
    assert_eq!(shown.len(), 1, "{shown:#?}");
    assert!(shown[0].contains("0.8 mm to 100 mm"), "{shown:#?}");
}
