//! Heads and tails with closed ends and tabs written by chance: what the checks of forms take is laid out.

use limberwood::chain::Resolved;
use limberwood::diagnostic::Severity;
use limberwood::make::{formed, lay_out};

use super::cases;
use super::designs::{Shop, resolved, settings};
use super::draw::Draw;
use super::random::look;

/// A tab or a pair of them anywhere.
fn tab(draw: &mut Draw) -> String {
    let side = ["both", "left", "right"][draw.pick(3)];
    let (at, width) = (draw.between(8.0, 92.0), draw.between(4.0, 8.0));
    format!("  - {{side: {side}, at: {at:.0}%, width: {width:.1}}}\n")
}

/// Some tabs; one pair at least, by which the part is held on both sides.
fn tabs(draw: &mut Draw) -> String {
    let more: String = (0..draw.pick(3)).map(|_| tab(draw)).collect();
    let at = draw.between(8.0, 92.0);
    format!("  tabs:\n  - {{side: both, at: {at:.0}%}}\n{more}")
}

/// Wide feelers, or ears, which push the long sides of a window out.
fn plates(draw: &mut Draw) -> String {
    if draw.chance(0.5) {
        return String::new();
    }
    let (at, out) = (draw.between(30.0, 45.0), draw.between(6.0, 14.0));
    format!(
        "  plates:\n  - side: both\n    thickness: 7\n    outline:\n    \
         - {{at: {at:.0}%, out: {out:.1}, round: 2.5}}\n    \
         - {{at: {:.0}%, out: {:.1}, round: 2.5}}\n",
        at + draw.between(22.0, 30.0),
        0.6 * out
    )
}

/// A head and a tail: closed ends narrow or blunt, a body long or short.
fn design(draw: &mut Draw) -> String {
    let mut text = "limberwood: 1\nname: Ends\nunits: mm\nspecies: hard maple\n\
        joint: {ball: 17, clearance: 0.4, neck: 8.5, swing: 20 deg, land: 3.6, gap: 4}\nsections:\n"
        .to_owned();
    for name in ["head", "tail"] {
        let tip = draw.between(4.0, 12.0);
        let (closed, open) = (
            format!("half_width: {tip:.1}, height: 6"),
            "half_width: 11.8, height: 11.8, squareness: 2",
        );
        let (front, rear) = match name {
            "head" => (closed.as_str(), open),
            _ => (open, closed.as_str()),
        };
        text += &format!(
            "- name: {name}\n  length: {:.0}\n  tip_width: {:.1}\n  rim: 5\n{}{}  outline:\n  \
             - {{at: 0%, {front}}}\n  - {{at: {:.0}%, half_width: {:.1}, height: 14}}\n  \
             - {{at: 100%, {rear}}}\n",
            draw.between(50.0, 80.0),
            2.0 * tip,
            plates(draw),
            tabs(draw),
            draw.between(35.0, 60.0),
            draw.between(14.0, 20.0),
        );
    }
    text
}

/// Whether no check of forms refuses it.
fn passes(resolved: &Resolved) -> bool {
    let all: Vec<usize> = (0..resolved.creature.sections.len()).collect();
    let parts = formed(resolved, &settings(resolved), &all);
    parts.iter().all(|part| {
        let thin = part.thin.iter().map(|r| r.severity);
        let found = part.findings.iter().map(|f| f.message.severity);
        thin.chain(found).all(|s| s != Severity::Error)
    })
}

#[test]
fn tabs_by_chance_on_closed_ends() {
    let (mut done, wanted) = (0, cases(12));
    for case in 0..wanted {
        let mut draw = Draw::of(1000 + case);
        let shop = Shop {
            stock: "thickness: 20, length: 600, width: 300",
            ..Shop::default()
        };
        // What is refused before is drawn again.
        let sound = (0..200).find_map(|_| {
            let text = design(&mut draw);
            let sound = resolved(&text, &shop.text()).ok();
            sound.filter(passes).map(|sound| (text, sound))
        });
        let Some((text, sound)) = sound else {
            panic!("{case}: none is sound");
        };
        match lay_out(&sound, &settings(&sound), 1) {
            Ok(laid) => look(&sound, &laid, 1),
            Err(e) => panic!("{case}: {e}\n{text}"),
        }
        done += 1;
    }
    assert_eq!(done, wanted);
}
