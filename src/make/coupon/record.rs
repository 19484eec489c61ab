//! From what calipers and hand say of a coupon to what the shop file shall say.

use serde::Serialize;

use crate::chain::{Measured, Trial, TrialSocket};
use crate::params::written::Shop;
use crate::params::{Change, Step, did_you_mean};
use crate::units::short;

/// Sizes are recorded to 0.001 mm.
const PLACES: usize = 3;
/// A size that differs more from the designed one was misread, or cut with a wrong cutter, mm (habit).
const MISREAD: f64 = 0.5;
/// Offsets of one kind that differ more than this do not have one cause, mm (habit).
const SCATTER: f64 = 0.1;

/// How sockets move, from the tightest.
const FEELS: [&str; 3] = ["stiff", "easy", "loose"];

/// What was measured and tried; diameters and heights in mm, sockets and holes by their numbers.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Readings {
    /// Diameter of the ball along its seam.
    pub ball: Option<f64>,
    /// Diameters of sockets.
    pub sockets: Vec<(usize, f64)>,
    /// Diameters of pin holes.
    pub holes: Vec<(usize, f64)>,
    /// Height from a split face to the flat.
    pub height: Option<f64>,
    /// The pin hole that takes the dowel by hand.
    pub pin: Option<usize>,
    /// Sockets that move stiffly, easily, loosely.
    pub feels: [Option<usize>; 3],
    /// Cutters by name, and their diameters at the end.
    pub cutters: Vec<(String, f64)>,
}

/// One value for the shop file.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Entry {
    /// The key, as messages have it.
    pub key: String,
    /// What stood there.
    pub old: Option<String>,
    /// What is to stand there.
    pub new: String,
    /// What follows from it.
    pub follows: String,
    #[serde(skip)]
    path: Vec<Step>,
}

impl Entry {
    /// Whether it differs from what stood there.
    #[must_use]
    pub fn differs(&self) -> bool {
        self.old.as_deref() != Some(&*self.new)
    }

    /// As a change of the file.
    #[must_use]
    pub fn change(&self) -> Change {
        Change {
            path: self.path.clone(),
            value: self.new.clone(),
        }
    }
}

/// What a shop file shall say of a coupon, in the order of its keys.
///
/// # Errors
/// Everything that cannot be: unknown numbers and cutters, sizes too far from the designed ones, gaps
/// out of order; nothing read at all.
pub fn entries(trial: &Trial, shop: &Shop, read: &Readings) -> Result<Vec<Entry>, Vec<String>> {
    let mut work = Work {
        trial,
        old: Measured::of(shop),
        faults: Vec::new(),
        entries: Vec::new(),
    };
    if *read == Readings::default() {
        return Err(vec!["nothing was measured or tried".to_owned()]);
    }
    let ball = work.ball(read);
    let sockets = work.sockets(read);
    let hole = work.holes(read);
    work.height(read);
    work.slip(read, hole);
    work.gaps(read, ball, &sockets);
    work.outdated(read);
    work.cutters(shop, read);
    if work.faults.is_empty() {
        Ok(work.entries)
    } else {
        Err(work.faults)
    }
}

struct Work<'a> {
    trial: &'a Trial,
    old: Measured,
    faults: Vec<String>,
    entries: Vec<Entry>,
}

fn text(mm: f64) -> String {
    format!("{} mm", short(mm, PLACES))
}

fn mean(offs: &[f64]) -> Option<f64> {
    (!offs.is_empty()).then(|| offs.iter().sum::<f64>() / offs.len() as f64)
}

/// How far a coupon's sizes are off by what the shop file has of them from an earlier run: the whole
/// offset less what the solids had taken off.
fn known(whole: Option<f64>, drawn: f64) -> f64 {
    whole.map_or(0.0, |whole| whole - drawn)
}

impl Work<'_> {
    /// How far a size lies off the designed one.
    fn off(&mut self, what: &str, measured: f64, designed: f64) -> Option<f64> {
        let off = measured - designed;
        if off.abs() <= MISREAD {
            return Some(off);
        }
        self.faults.push(format!(
            "{what} of {}, designed {}: allowed within {} of it (habit); measure again",
            text(measured),
            text(designed),
            text(MISREAD)
        ));
        None
    }

    /// What is to stand under `measured`.
    fn put(&mut self, key: &str, new: f64, old: Option<f64>, follows: String) {
        self.entries.push(Entry {
            key: format!("measured.{key}"),
            old: old.map(text),
            new: text(new),
            follows,
            path: vec![Step::Key("measured".to_owned()), Step::Key(key.to_owned())],
        });
    }

    /// A mean offset with what the solids had taken off already.
    fn offset(&mut self, key: &str, things: &str, (off, drawn): (f64, f64), old: Option<f64>) {
        let new = off + drawn;
        let follows = match new {
            0.0 => format!("{things} are drawn as designed"),
            _ => {
                let word = if new < 0.0 { "larger" } else { "smaller" };
                format!(
                    "{things} are drawn {} {word} on the diameter",
                    text(new.abs())
                )
            }
        };
        if self.credible(things, new) {
            self.put(key, new, old, follows);
        }
    }

    /// Whether a shop can be off by so much.
    fn credible(&mut self, things: &str, off: f64) -> bool {
        let credible = off.abs() <= MISREAD;
        if !credible {
            let word = if off < 0.0 { "smaller" } else { "larger" };
            self.faults.push(format!(
                "{things} that come out {word} by {}: allowed up to {} (habit); look for the cause at \
                 the machine",
                text(off.abs()),
                text(MISREAD)
            ));
        }
        credible
    }

    fn ball(&mut self, read: &Readings) -> f64 {
        let own = read.ball;
        let off = own.and_then(|m| self.off("a ball", m, self.trial.ball));
        if let Some(off) = off {
            let drawn = self.trial.drawn_with.ball;
            self.offset("ball", "balls", (off, drawn), self.old.ball);
        }
        off.unwrap_or_else(|| known(self.old.ball, self.trial.drawn_with.ball))
    }

    /// Offsets by number, of those that were measured.
    fn sockets(&mut self, read: &Readings) -> Vec<(usize, f64)> {
        let mut offs = Vec::new();
        for &(number, measured) in &read.sockets {
            let Some(socket) = self.socket(number) else {
                continue;
            };
            let off = self.off(&format!("socket {number}"), measured, socket.diameter);
            offs.extend(off.map(|off| (number, off)));
        }
        let drawn = self.trial.drawn_with.socket;
        self.scattered("sockets", "socket", &offs, drawn, self.old.socket);
        offs
    }

    fn holes(&mut self, read: &Readings) -> f64 {
        let mut offs = Vec::new();
        for &(number, measured) in &read.holes {
            let Some(designed) = self.hole(number) else {
                continue;
            };
            let off = self.off(&format!("pin hole {number}"), measured, designed);
            offs.extend(off.map(|off| (number, off)));
        }
        let drawn = self.trial.drawn_with.hole;
        self.scattered("pin holes", "hole", &offs, drawn, self.old.hole)
    }

    /// The mean of offsets that have one cause; what is known of them when there are none.
    fn scattered(
        &mut self,
        things: &str,
        key: &str,
        offs: &[(usize, f64)],
        drawn: f64,
        old: Option<f64>,
    ) -> f64 {
        let offs: Vec<f64> = offs.iter().map(|o| o.1).collect();
        let most = offs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let least = offs.iter().copied().fold(f64::INFINITY, f64::min);
        if most - least > SCATTER {
            self.faults.push(format!(
                "{things} off by {} to {}: allowed within {} of each other (habit); measure again",
                text(least),
                text(most),
                text(SCATTER)
            ));
        }
        let Some(off) = mean(&offs) else {
            return known(old, drawn);
        };
        self.offset(key, things, (off, drawn), old);
        off
    }

    fn height(&mut self, read: &Readings) {
        let Some(measured) = read.height else { return };
        if let Some(off) = self.off("a height", measured, self.trial.height) {
            let follows =
                "solids stay as they are: the shop sheet says by how much to correct the zero \
                           of set-up 2"
                    .to_owned();
            // The sheet had the zero corrected by what was known already.
            let whole = off + self.trial.drawn_with.height;
            if self.credible("heights", whole) {
                self.put("height", whole, self.old.height, follows);
            }
        }
    }

    /// Holes come out as designed from now on, so the slip is that of the hole as it came out.
    fn slip(&mut self, read: &Readings, hole: f64) {
        let Some(designed) = read.pin.and_then(|number| self.hole(number)) else {
            return;
        };
        let slip = designed + hole - self.trial.dowel;
        if slip < 0.0 {
            self.faults.push(format!(
                "a dowel called {} goes into a hole of {}: it is thinner than it is called; measure \
                 it and write `dowel` under `fits`",
                text(self.trial.dowel),
                text(designed + hole)
            ));
            return;
        }
        let follows = format!("pin holes are {} wide", text(self.trial.dowel + slip));
        self.put("slip", slip, self.old.slip, follows);
    }

    /// The gap as it came out: ball and socket come out as designed from now on.
    fn gaps(&mut self, read: &Readings, ball: f64, sockets: &[(usize, f64)]) {
        let all: Vec<f64> = sockets.iter().map(|s| s.1).collect();
        let mut before: Option<(&str, f64)> = None;
        for (k, word) in FEELS.into_iter().enumerate() {
            let Some(socket) = read.feels[k].and_then(|number| self.socket(number)) else {
                continue;
            };
            let own = sockets.iter().find(|s| s.0 == socket.number).map(|s| s.1);
            let off = own
                .or(mean(&all))
                .unwrap_or_else(|| known(self.old.socket, self.trial.drawn_with.socket));
            let gap = socket.clearance + 0.5 * (off - ball);
            if gap < 0.05 {
                self.faults.push(format!(
                    "socket {} has a gap of {} as measured: allowed at least 0.05 mm; measure ball \
                     and socket again",
                    socket.number,
                    text(gap)
                ));
                continue;
            }
            if let Some((tighter, less)) = before.filter(|(_, less)| gap <= *less) {
                self.faults.push(format!(
                    "{word} at a gap of {}, no wider than {tighter} at {}: look at the numbers again",
                    text(gap),
                    text(less)
                ));
            }
            before = Some((word, gap));
            let follows = match word {
                "easy" => {
                    "joints with `feel: easy`, and those that say neither clearance nor feel, have it"
                }
                "stiff" => "joints with `feel: stiff` have it",
                _ => "joints with `feel: loose` have it",
            };
            self.put(word, gap, self.old.gaps[k], follows.to_owned());
        }
    }

    /// Gaps and a slip of an earlier run were worked out with the offsets of then: with others they
    /// are not what the hand felt.
    fn outdated(&mut self, read: &Readings) {
        let changed = |key: &str| {
            let key = format!("measured.{key}");
            self.entries.iter().any(|e| e.key == key && e.differs())
        };
        let gaps = changed("ball") || changed("socket");
        let gaps = FEELS
            .iter()
            .enumerate()
            .filter(|(k, _)| gaps && read.feels[*k].is_none() && self.old.gaps[*k].is_some());
        let slip = changed("hole") && read.pin.is_none() && self.old.slip.is_some();
        let faults = gaps
            .map(|(_, word)| (*word, format!("the socket that is {word}")))
            .chain(slip.then(|| ("slip", "the hole that takes the dowel".to_owned())))
            .map(|(key, what)| {
                format!(
                    "sizes come out otherwise than recorded, and `measured.{key}` was worked out with \
                     those: say {what} too, or take the key out of the shop file"
                )
            });
        self.faults.extend(faults.collect::<Vec<_>>());
    }

    fn cutters(&mut self, shop: &Shop, read: &Readings) {
        let own = &shop.cutters.value;
        for (name, measured) in &read.cutters {
            let same = |c: &str| c.to_lowercase() == name.to_lowercase();
            let found = own.iter().position(|c| same(&c.value.name.value.0));
            let Some(k) = found else {
                let names = own.iter().map(|c| c.value.name.value.0.as_str());
                let known: Vec<String> = names.clone().map(|n| format!("`{n}`")).collect();
                let known = format!("the shop file has {}", known.join(", "));
                let way_out = did_you_mean(name, names, &known);
                self.faults
                    .push(format!("the unknown cutter `{name}`; {way_out}"));
                continue;
            };
            let cutter = &own[k].value;
            let sold = cutter.tip_diameter.as_ref().or(cutter.diameter.as_ref());
            let sold = sold.map_or(*measured, |d| d.value.mm());
            if self
                .off(&format!("the cutter `{name}`"), *measured, sold)
                .is_none()
            {
                continue;
            }
            self.entries.push(Entry {
                key: format!("cutters[{k}].measured"),
                old: cutter.measured.as_ref().map(|m| text(m.value.mm())),
                new: text(*measured),
                follows: format!(
                    "`{}` counts as {} thick",
                    cutter.name.value.0,
                    text(*measured)
                ),
                path: vec![
                    Step::Key("cutters".to_owned()),
                    Step::Item(k),
                    Step::Key("measured".to_owned()),
                ],
            });
        }
    }

    fn socket(&mut self, number: usize) -> Option<TrialSocket> {
        let own = self.trial.sockets.iter().find(|s| s.number == number);
        if own.is_none() {
            let numbers = self.trial.sockets.iter().map(|s| s.number.to_string());
            let numbers: Vec<String> = numbers.collect();
            let words = format!("no socket {number}: there are {}", numbers.join(", "));
            self.faults.push(words);
        }
        own.copied()
    }

    /// Diameter of the hole of a number.
    fn hole(&mut self, number: usize) -> Option<f64> {
        let own = self.trial.holes.iter().find(|h| h.number == number);
        if own.is_none() {
            let numbers = self.trial.holes.iter().map(|h| h.number.to_string());
            let numbers: Vec<String> = numbers.collect();
            let words = format!("no pin hole {number}: there are {}", numbers.join(", "));
            self.faults.push(words);
        }
        own.map(|h| h.diameter)
    }
}
