//! From a design that says `auto` to one that says values.

use super::group::{Group, stripped};
use super::judge::{Kind, World, judged};
use super::search::{Failed, Found, Walk};
use super::snippet::snippet;
use super::table::{Candidate, Table};
use super::unfit::unfit;
use crate::chain::joint::{Joint, JointKey, SocketFace, capture, usual_capture};
use crate::chain::{Resolved, Seat, resolve, seats};
use crate::clear::half::HABIT_SLACK;
use crate::diagnostic::{Diagnostic, Diagnostics, Place};
use crate::params::written::{Design, Shop};
use crate::units::{Angle, angle_text};

/// A joint that was found, with all that are equal to it.
#[derive(Debug, Clone, PartialEq)]
pub struct Solved {
    /// As written: of the first; the names of all.
    pub seat: Seat,
    /// Names of the sections in front of the joints.
    pub after: Vec<String>,
    /// The joint, mm and radians.
    pub joint: Joint,
    /// Least wood between its socket and the outer form, mm, as the exact distances have it.
    pub wall: f64,
    /// The limit that binds, in words.
    pub limit: String,
    /// Where `auto` stands.
    pub place: Place,
}

/// A design without `auto` at its joints.
#[derive(Debug, Clone, PartialEq)]
pub struct Filled {
    /// The design; joints that were found stand in entries of their own.
    pub design: Design,
    /// What was found, from front to rear.
    pub solved: Vec<Solved>,
}

/// What decides where ball, neck and mouth are written.
const USUAL: &str = "the usual clearance of the shop and land of the wood";
/// Rounds in which joints that share a section are looked at again.
const ROUNDS: usize = 3;

/// Puts values in place of `auto`. A design without any comes back as it is.
///
/// # Errors
/// For the first joint that nothing fits: by how much, and what would do.
pub fn fill(design: &Design, shop: &Shop) -> Result<Filled, Diagnostics> {
    let seats = seats(design, shop);
    let groups = Group::of(&seats);
    let mut run = Run::new(design, shop, &groups);
    for round in 0..ROUNDS {
        let mut still = true;
        for (k, group) in groups.iter().enumerate() {
            if round > 0 && run.holds(k) {
                continue;
            }
            if group.is_plain() {
                run.take_usual(k);
                continue;
            }
            still = false;
            // What would do is tried at length; equal joints of other sizes fail alike.
            run.solve(k)?;
        }
        // A lone group has nothing beside it that could have changed.
        if still || groups.len() == 1 {
            break;
        }
    }
    Ok(run.end())
}

/// A design with values for every `auto` of its joints, and what it resolves to.
///
/// # Errors
/// Those of [`fill`], and all faults of the design.
pub fn resolved(design: &Design, shop: &Shop) -> Result<(Filled, Resolved), Diagnostics> {
    let filled = fill(design, shop)?;
    let mut resolved = resolve(&filled.design, shop)?;
    let some = !filled.solved.is_empty();
    resolved.found = some.then(|| snippet(&filled, resolved.joints.len()));
    Ok((filled, resolved))
}

/// The best joint after one section, with the smallest that closed forms allow at all others.
pub(super) fn attempt(design: &Design, shop: &Shop, after: &str) -> Option<Candidate> {
    let seats = seats(design, shop);
    let groups = Group::of(&seats);
    let run = Run::new(design, shop, &groups);
    let own = |g: &Group<'_>| g.seats.iter().any(|s| s.after == after);
    let k = groups.iter().position(own)?;
    let (group, table) = run.settled(k);
    let found = Walk::new(&run.world, &group, &table).run();
    found.ok().map(|f| f.one)
}

/// How often the wood round a flat end's flare is looked at again, and what it then has to spare, mm.
const SETTLINGS: usize = 4;
const SETTLED: f64 = 5e-4;

struct Run<'a> {
    world: World<'a>,
    groups: &'a [Group<'a>],
    solved: Vec<Option<Solved>>,
    /// The design as written.
    written: &'a Design,
}

impl<'a> Run<'a> {
    /// Every joint begins with the smallest ball that closed forms allow.
    fn new(written: &'a Design, shop: &'a Shop, groups: &'a [Group<'a>]) -> Self {
        let mut design = stripped(written);
        for group in groups {
            if let Some(small) = Table::smallest(group) {
                group.write(&small, &mut design);
            }
        }
        Run {
            world: World { design, shop },
            groups,
            solved: vec![None; groups.len()],
            written,
        }
    }

    /// Whether a group still passes, now that others are solved.
    fn holds(&mut self, k: usize) -> bool {
        let judged = judged(&self.world.design, self.world.shop, &self.groups[k]);
        if let (true, Some(solved)) = (judged.blocks.is_empty(), &mut self.solved[k]) {
            solved.wall = judged.wall;
            return true;
        }
        false
    }

    /// Clearance and land alone have usual values, which the resolver has put in; ball, neck and mouth
    /// are written.
    fn take_usual(&mut self, k: usize) {
        let judged = judged(&self.world.design, self.world.shop, &self.groups[k]);
        let wall = judged.wall;
        let of = |joint| solved_as(&self.groups[k], joint, wall, USUAL.to_owned());
        self.solved[k] = judged.joint.map(of);
    }

    fn solve(&mut self, k: usize) -> Result<(), Diagnostics> {
        let (group, table) = &self.settled(k);
        match Walk::new(&self.world, group, table).run() {
            Ok(found) => {
                group.write(&found.one, &mut self.world.design);
                self.solved[k] = solved(group, table, &found);
                Ok(())
            }
            Err(failed) => {
                let beside = beside(&failed);
                if beside.is_empty() {
                    let shop = self.world.shop;
                    return Err(unfit((self.written, shop), group, &failed).into());
                }
                let mut faults = Diagnostics::new();
                faults.extend(beside);
                Err(faults)
            }
        }
    }

    /// A group and its table. The closed form of a flat end does not know how far rim and lean take
    /// its face in: the exact distance at the best joint says it.
    fn settled(&self, k: usize) -> (Group<'a>, Table) {
        let mut group = self.groups[k].clone();
        let mut table = Table::of(&group);
        let flat = group.seats.iter().any(|s| s.face == SocketFace::Flat);
        for _ in 0..if flat { SETTLINGS } else { 0 } {
            let Some(top) = table.best().and_then(|row| table.get(row)) else {
                break;
            };
            let Some(short) = self.world.judge(&group, &top).ring() else {
                break;
            };
            group.ring += short - HABIT_SLACK + SETTLED;
            table = Table::of(&group);
        }
        (group, table)
    }

    fn end(self) -> Filled {
        Filled {
            design: self.world.design,
            solved: self.solved.into_iter().flatten().collect(),
        }
    }
}

/// Faults of the design that every joint that was tried leaves as they are.
fn beside(failed: &[Failed]) -> Vec<Diagnostic> {
    let messages = |f: &Failed| -> Vec<Diagnostic> {
        let form = f.judged.blocks.iter().filter(|b| b.kind == Kind::Form);
        form.map(|b| b.message.clone()).collect()
    };
    let Some((first, rest)) = failed.split_first() else {
        return Vec::new();
    };
    let rest: Vec<Vec<Diagnostic>> = rest.iter().map(messages).collect();
    let everywhere = |m: &Diagnostic| {
        !m.found.contains("joint after") && rest.iter().all(|other| other.contains(m))
    };
    messages(first).into_iter().filter(everywhere).collect()
}

fn solved(group: &Group<'_>, table: &Table, found: &Found) -> Option<Solved> {
    let limit = limit(group, table, found);
    Some(solved_as(
        group,
        found.judged.joint?,
        found.judged.wall,
        limit,
    ))
}

fn solved_as(group: &Group<'_>, joint: Joint, wall: f64, limit: String) -> Solved {
    let seat = group.seats[0];
    Solved {
        seat: seat.clone(),
        after: group.seats.iter().map(|s| s.after.clone()).collect(),
        joint,
        wall,
        limit,
        place: seat.place.clone(),
    }
}

/// What keeps the joint from being better.
fn limit(group: &Group<'_>, table: &Table, found: &Found) -> String {
    let seat = group.seats[0];
    let beyond = found.beyond.as_ref().and_then(|b| b.blocks.first());
    if let Some(block) = beyond {
        let m = &block.message;
        return match m.allowed.is_empty() {
            true => m.found.clone(),
            false => format!("{}; allowed {}", m.found, m.allowed),
        };
    }
    let swing = |radians| angle_text(Angle::from_radians(radians));
    let one = &found.one;
    if one.swing >= table.target - crate::chain::joint::SWING_AGREEMENT {
        let kind = match seat.wish.swing.is_some() || seat.wish.flare.is_some() {
            true => "as written",
            false => "beyond which warnings begin (habit)",
        };
        return format!("the swing of {}, {kind}", swing(table.target));
    }
    if seat.wish.mouth.is_some() {
        return "the mouth as written".to_owned();
    }
    let held = capture(one.ball, one.mouth).0;
    let least = usual_capture(one.ball);
    let given = match seat.finds(JointKey::Ball) {
        true => "",
        false => " with the ball as written",
    };
    if held < least + 0.02 {
        return format!("the mouth's hold on the ball, at least {least:.2} mm (habit){given}");
    }
    let land = seat.walls.land;
    format!("the wood round the flare's edge, at least {land} mm (habit){given}")
}
