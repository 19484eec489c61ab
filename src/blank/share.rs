//! Sharing out the parts of some creatures among pieces of one stock: equal pieces first, then as few
//! as this method finds.

use super::place::{Room, Shapes, Spot};

/// Parts that lie on one piece: both halves of a section, or one section cut in one piece.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Group {
    /// Numbers of the shapes; a second one is turned half round against the first.
    pub shapes: Vec<usize>,
    /// How many such groups are wanted.
    pub count: usize,
}

/// A part of a group on a piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Put {
    /// Number of the group.
    pub group: usize,
    /// Which of the groups alike on this piece, from 0.
    pub copy: usize,
    /// Which of its parts.
    pub part: usize,
    /// Where it lies.
    pub spot: Spot,
}

/// A kind of piece.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece {
    /// What lies on it.
    pub puts: Vec<Put>,
    /// How many pieces of this kind.
    pub repeat: usize,
}

/// All pieces for some groups.
///
/// # Errors
/// The number of a group that does not fit on a piece by itself.
pub fn share(shapes: &mut Shapes, groups: &[Group], room: &Room) -> Result<Vec<Piece>, usize> {
    for group in 0..groups.len() {
        if groups[group].count > 0 && add(shapes, groups, group, &[], room).is_none() {
            return Err(group);
        }
    }
    // Per creature, if every group comes as often as there are creatures at least.
    let common = groups.iter().map(|g| g.count).fold(0, gcd).max(1);
    let one: Vec<usize> = groups.iter().map(|g| g.count / common).collect();
    let all: Vec<usize> = groups.iter().map(|g| g.count).collect();
    let mut repeated = pieces(shapes, groups, one, room);
    repeated.iter_mut().for_each(|p| p.repeat *= common);
    let mixed = pieces(shapes, groups, all, room);
    let count = |pieces: &[Piece]| pieces.iter().map(|p| p.repeat).sum::<usize>();
    Ok(if count(&mixed) < count(&repeated) {
        mixed
    } else {
        repeated
    })
}

fn gcd(a: usize, b: usize) -> usize {
    if b == 0 { a } else { gcd(b, a % b) }
}

/// Pieces filled one after the other, each as often as the parts left allow.
fn pieces(shapes: &mut Shapes, groups: &[Group], mut left: Vec<usize>, room: &Room) -> Vec<Piece> {
    let mut order: Vec<usize> = (0..groups.len()).collect();
    let area = |g: &usize| -> f64 {
        let own = groups[*g].shapes.iter();
        own.map(|&s| shapes.core(s, false).area_and_border().0)
            .sum()
    };
    order.sort_by(|a, b| area(b).total_cmp(&area(a)).then(a.cmp(b)));
    let mut all = Vec::new();
    while left.iter().any(|&n| n > 0) {
        let puts = fill(shapes, groups, &order, &left, room);
        let mut used = vec![0; groups.len()];
        for put in puts.iter().filter(|p| p.part == 0) {
            used[put.group] += 1;
        }
        let times = left.iter().zip(&used).filter(|(_, u)| **u > 0);
        let Some(repeat) = times.map(|(l, u)| l / u).min() else {
            // Every group fits by itself, so a piece is never empty.
            break;
        };
        for (l, u) in left.iter_mut().zip(&used) {
            *l -= u * repeat;
        }
        all.push(Piece { puts, repeat });
    }
    all
}

/// One piece: the largest groups first, as many as fit.
fn fill(
    shapes: &mut Shapes,
    groups: &[Group],
    order: &[usize],
    left: &[usize],
    room: &Room,
) -> Vec<Put> {
    let mut puts: Vec<Put> = Vec::new();
    for &group in order {
        for copy in 0..left[group] {
            let Some(own) = add(shapes, groups, group, &puts, room) else {
                break;
            };
            puts.extend(own.into_iter().enumerate().map(|(part, spot)| Put {
                group,
                copy,
                part,
                spot,
            }));
        }
    }
    puts
}

/// Spots for a group beside what lies on the piece: of both ways round the one that reaches less far.
fn add(
    shapes: &mut Shapes,
    groups: &[Group],
    group: usize,
    puts: &[Put],
    room: &Room,
) -> Option<Vec<Spot>> {
    let placed: Vec<Spot> = puts.iter().map(|p| p.spot).collect();
    let mut best: Option<(f64, Vec<Spot>)> = None;
    for turned in [false, true] {
        let mut all = placed.clone();
        let mut far = f64::NEG_INFINITY;
        for (k, &shape) in groups[group].shapes.iter().enumerate() {
            let way = (shape, turned != (k == 1));
            let Some(spot) = shapes.spot(way, &all, room) else {
                break;
            };
            far = far.max(spot.at[0] + shapes.core(way.0, way.1).bounds()[1][0]);
            all.push(spot);
        }
        let own = all.split_off(placed.len());
        let complete = own.len() == groups[group].shapes.len();
        if complete && best.as_ref().is_none_or(|b| far < b.0) {
            best = Some((far, own));
        }
    }
    best.map(|b| b.1)
}

/// Fewest pieces that can do: every core with half the distance round it takes its own area of the
/// room with half the distance round it (derived).
pub fn fewest(shapes: &Shapes, groups: &[Group], room: &Room) -> usize {
    let half = 0.5 * room.apart;
    let size = [0, 1].map(|k: usize| room.high[k] - room.low[k] + room.apart);
    let needed: f64 = groups
        .iter()
        .flat_map(|g| g.shapes.iter().map(|&s| (s, g.count)))
        .map(|(s, count)| count as f64 * shapes.core(s, false).area_within(half))
        .sum();
    (needed / (size[0] * size[1])).ceil() as usize
}
