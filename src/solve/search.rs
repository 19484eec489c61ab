//! The walk through a table of candidates to the best that passes its checks.
//!
//! The swing that closed forms allow has one hill over the ball's diameter: the mouth's hold on the
//! ball limits small balls, the wood round the flare large ones as far as is known. So
//! the walk begins on the top and goes down both sides, the better side first; between the first
//! that passes and the last that does not it halves.

use super::group::Group;
use super::judge::{Judged, Kind, World};
use super::table::{Candidate, Table};

/// Widest step down the hill, in hundredths of the ball's diameter.
const WIDEST: usize = 64;

/// What the walk found.
#[derive(Debug, Clone)]
pub(super) struct Found {
    pub one: Candidate,
    pub judged: Judged,
    /// What a little beyond it, towards the better, would break; nothing on the top of the hill.
    pub beyond: Option<Judged>,
}

/// A candidate that does not pass.
#[derive(Debug, Clone)]
pub(super) struct Failed {
    pub one: Candidate,
    pub judged: Judged,
}

/// The walk over one table.
pub(super) struct Walk<'w> {
    world: &'w World<'w>,
    group: &'w Group<'w>,
    table: &'w Table,
    failed: Vec<Failed>,
}

/// One side of the hill.
struct Side {
    up: bool,
    /// The last that failed.
    last: (usize, Judged),
    step: usize,
    over: bool,
}

impl<'w> Walk<'w> {
    pub fn new(world: &'w World<'w>, group: &'w Group<'w>, table: &'w Table) -> Self {
        Walk {
            world,
            group,
            table,
            failed: Vec::new(),
        }
    }

    /// The best that passes.
    ///
    /// # Errors
    /// All that were tried.
    pub fn run(mut self) -> Result<Found, Vec<Failed>> {
        let Some(top) = self.table.best() else {
            return Err(Vec::new());
        };
        let judged = match self.judge(top) {
            Ok(found) => return Ok(self.found(top, found, None)),
            Err(judged) => judged,
        };
        let side = |up| Side {
            up,
            last: (top, judged.clone()),
            step: 4,
            over: false,
        };
        let mut sides = [side(false), side(true)];
        let mut best: Option<(usize, Found)> = None;
        while let Some((k, row)) = self.next(&sides, best.as_ref().map(|b| b.0)) {
            let last = &mut sides[k];
            match self.judge(row) {
                Err(judged) => {
                    last.over = last.up && grows(&judged);
                    last.last = (row, judged);
                    last.step = (last.step * 2).min(WIDEST);
                }
                Ok(judged) => {
                    last.over = true;
                    let (row, found) = self.refine((row, judged), last.last.clone());
                    best = Some((row, found));
                }
            }
        }
        match best {
            Some((_, found)) => Ok(found),
            None => Err(self.failed),
        }
    }

    /// The next row of the better side, if it is better than what is found.
    fn next(&self, sides: &[Side; 2], best: Option<usize>) -> Option<(usize, usize)> {
        let ahead = sides.iter().enumerate().filter_map(|(k, side)| {
            let row = self.ahead(side)?;
            Some((k, row, self.table.swing(row)?))
        });
        // Of equal swings the smaller ball, that is the lower side, has more wood.
        let (k, row, _) = ahead.reduce(|a, b| if b.2 > a.2 { b } else { a })?;
        let better = best.is_none_or(|best| self.better(row, best));
        better.then_some((k, row))
    }

    fn better(&self, a: usize, b: usize) -> bool {
        let (sa, sb) = (self.table.swing(a), self.table.swing(b));
        sa > sb || (sa == sb && a < b)
    }

    /// The next candidate of a side; rows that closed forms forbid are passed over.
    fn ahead(&self, side: &Side) -> Option<usize> {
        if side.over {
            return None;
        }
        let last = side.last.0;
        if side.up {
            let far = (last + side.step).min(self.table.rows.len() - 1);
            let beyond = (far..self.table.rows.len()).find(|&r| self.table.get(r).is_some());
            let within = (last + 1..far).rev().find(|&r| self.table.get(r).is_some());
            beyond.filter(|&r| r > last).or(within)
        } else {
            let far = last.saturating_sub(side.step);
            let beyond = (0..=far).rev().find(|&r| self.table.get(r).is_some());
            let within = (far..last).find(|&r| self.table.get(r).is_some());
            beyond.filter(|&r| r < last).or(within)
        }
    }

    /// Halves between one that passes and one that does not.
    fn refine(
        &mut self,
        (mut good, mut judged): (usize, Judged),
        bad: (usize, Judged),
    ) -> (usize, Found) {
        let (mut bad, mut why) = bad;
        while good.abs_diff(bad) > 1 {
            let middle = usize::midpoint(good, bad);
            if self.table.get(middle).is_none() {
                bad = middle;
                continue;
            }
            match self.judge(middle) {
                Ok(found) => (good, judged) = (middle, found),
                Err(found) => (bad, why) = (middle, found),
            }
        }
        let found = self.found(good, judged, Some(why));
        (good, found)
    }

    fn found(&self, row: usize, judged: Judged, beyond: Option<Judged>) -> Found {
        Found {
            // A row that was judged has its candidate.
            one: self.table.rows[row].unwrap_or(Candidate::NONE),
            judged,
            beyond,
        }
    }

    /// Judges a row; failures are kept.
    fn judge(&mut self, row: usize) -> Result<Judged, Judged> {
        let one = self.table.rows[row].unwrap_or(Candidate::NONE);
        let judged = self.world.judge(self.group, &one);
        if judged.blocks.is_empty() {
            return Ok(judged);
        }
        self.failed.push(Failed {
            one,
            judged: judged.clone(),
        });
        Err(judged)
    }
}

/// Whether all that is broken breaks the more, the larger the ball is.
fn grows(judged: &Judged) -> bool {
    let kinds = |k: Kind| matches!(k, Kind::Wall | Kind::Stock);
    judged.blocks.iter().all(|b| kinds(b.kind))
}
