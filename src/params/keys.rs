//! Unknown and repeated keys.

use super::near::nearest;
use super::reader::{Entries, Reader, describe, shortened};
use super::record::Record;
use super::syntax::odd_blank_message;
use super::tree::{Kind, Node};
use super::written::{Blank, Cutter, Design, Fits, Joint, Pin, Point, Section, Shop, Stock};
use crate::diagnostic::Place;

/// Refuses keys that the record does not know, keys that stand twice, and keys that are no
/// text.
pub(super) fn check<R: Record>(entries: &Entries<'_>, reader: &mut Reader) {
    let mut known = Vec::new();
    R::keys(&mut known);
    let mut seen: Vec<(&str, &Node)> = Vec::new();
    for (key, _) in entries.all() {
        if reader.found.is_full() && !is_known(key, &known) {
            // Only counted from here on: looking for near misses would take its time.
            reader.found.count_error();
            continue;
        }
        let Kind::Text(name) = &key.kind else {
            let place = key.place(&entries.place);
            reader.error(
                &place,
                format!("{} as a key", describe(key)),
                "a name as a key",
                "write the key as text",
            );
            continue;
        };
        let place = key.place(&entries.place.key(&shortened(name)));
        if !known.contains(&&**name) {
            unknown(name, place, &known, reader);
        } else if let Some((_, first)) = seen.iter().find(|(earlier, _)| **earlier == **name) {
            reader.error(
                &place,
                format!(
                    "`{name}` a second time (first at line {}, column {})",
                    first.line, first.column
                ),
                "each key once",
                "remove one of them",
            );
        } else {
            seen.push((name, key));
        }
    }
}

fn is_known(key: &Node, known: &[&'static str]) -> bool {
    known.iter().any(|name| key.is_key(name))
}

fn unknown(name: &str, place: Place, known: &[&'static str], reader: &mut Reader) {
    if let Some(c) = name.chars().find(|c| c.is_whitespace() && *c != ' ') {
        reader.found.push(odd_blank_message(place, name, c));
        return;
    }
    let way_out = if name == "<<" {
        "use `defaults` or `like` instead of a merge key".to_owned()
    } else if let Some(near) = nearest(name, known.iter().copied()) {
        format!("did you mean `{near}`?")
    } else if let Some(home) = home_of(name) {
        format!("`{name}` is a key of {home}")
    } else {
        "remove it".to_owned()
    };
    reader.error(
        &place,
        format!("the unknown key `{}`", shortened(name)),
        format!("the keys {}", known.join(", ")),
        way_out,
    );
}

/// The record that knows a key.
fn home_of(key: &str) -> Option<&'static str> {
    fn has<R: Record>(key: &str) -> bool {
        let mut keys = Vec::new();
        R::keys(&mut keys);
        keys.contains(&key)
    }
    let homes: [(bool, &str); 10] = [
        (has::<Joint>(key), "`joint` or of an entry of `joints`"),
        (has::<Section>(key), "a section or of `defaults`"),
        (has::<Point>(key), "a point of an `outline`"),
        (has::<Pin>(key), "an entry of `pins`"),
        (has::<Design>(key), "the design file itself"),
        (has::<Cutter>(key), "a cutter in the shop file"),
        (has::<Stock>(key), "a piece of stock in the shop file"),
        (has::<Fits>(key), "`fits` in the shop file"),
        (has::<Blank>(key), "`blank` in the shop file"),
        (has::<Shop>(key), "the shop file"),
    ];
    homes
        .into_iter()
        .find(|(has, _)| *has)
        .map(|(_, home)| home)
}
