//! Triangles by their place in plan: what lies over and near a place.

/// Square cells over the plan of a set of triangles, each with the triangles whose bounds meet it.
#[derive(Debug, Clone)]
pub(super) struct Plan {
    corner: [f64; 2],
    side: f64,
    columns: usize,
    rows: usize,
    /// Where each cell's run of `members` begins; one more at the end.
    starts: Vec<u32>,
    members: Vec<u32>,
}

/// Cells at most along a side: the side of a cell grows with the body.
const MOST: f64 = 256.0;

impl Plan {
    /// Cells of side `side` (mm) over boxes in plan (least and greatest x, y).
    pub fn new(boxes: &[([f64; 2], [f64; 2])], side: f64) -> Plan {
        let (mut lo, mut hi) = ([0.0f64; 2], [0.0f64; 2]);
        if !boxes.is_empty() {
            (lo, hi) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
        }
        for (low, high) in boxes {
            for k in 0..2 {
                lo[k] = lo[k].min(low[k]);
                hi[k] = hi[k].max(high[k]);
            }
        }
        let side = (0..2).fold(side, |s, k| s.max((hi[k] - lo[k]) / MOST));
        let count = |k: usize| ((hi[k] - lo[k]) / side) as usize + 1;
        let mut plan = Plan {
            corner: lo,
            side,
            columns: count(0),
            rows: count(1),
            starts: Vec::new(),
            members: Vec::new(),
        };
        let mut counts = vec![0u32; plan.columns * plan.rows + 1];
        for (low, high) in boxes {
            plan.each(*low, *high, |cell| counts[cell + 1] += 1);
        }
        for k in 1..counts.len() {
            counts[k] += counts[k - 1];
        }
        let mut next = counts.clone();
        let mut members = vec![0; counts[counts.len() - 1] as usize];
        for (n, (low, high)) in boxes.iter().enumerate() {
            plan.each(*low, *high, |cell| {
                members[next[cell] as usize] = n as u32;
                next[cell] += 1;
            });
        }
        plan.starts = counts;
        plan.members = members;
        plan
    }

    fn cell(&self, k: usize, at: f64) -> usize {
        let most = [self.columns, self.rows][k] - 1;
        // A negative number becomes 0.
        (((at - self.corner[k]) / self.side) as usize).min(most)
    }

    fn each(&self, low: [f64; 2], high: [f64; 2], mut f: impl FnMut(usize)) {
        for row in self.cell(1, low[1])..=self.cell(1, high[1]) {
            for column in self.cell(0, low[0])..=self.cell(0, high[0]) {
                f(row * self.columns + column);
            }
        }
    }

    /// Members whose cells meet a box, some of them more than once, and others near it.
    pub fn near(&self, low: [f64; 2], high: [f64; 2], mut f: impl FnMut(usize)) {
        self.each(low, high, |cell| {
            for &n in self.members(cell) {
                f(n as usize);
            }
        });
    }

    /// How many cells there are.
    pub fn cells(&self) -> usize {
        self.columns * self.rows
    }

    /// The members whose boxes meet a cell.
    pub fn members(&self, cell: usize) -> &[u32] {
        &self.members[self.starts[cell] as usize..self.starts[cell + 1] as usize]
    }

    /// The cell over a place, or the one next to it when it lies beside all of them.
    pub fn over(&self, [x, y]: [f64; 2]) -> usize {
        self.cell(1, y) * self.columns + self.cell(0, x)
    }

    /// Cells that meet the box of a circle, with how far they are from its middle.
    pub fn round(&self, [x, y]: [f64; 2], radius: f64, mut f: impl FnMut(usize, f64)) {
        let away = |k: usize, n: usize, at: f64| {
            let from = self.corner[k] + n as f64 * self.side;
            (from - at).max(at - from - self.side).max(0.0)
        };
        for row in self.cell(1, y - radius)..=self.cell(1, y + radius) {
            let across = away(1, row, y);
            for column in self.cell(0, x - radius)..=self.cell(0, x + radius) {
                let along = away(0, column, x);
                let far = (along * along + across * across).sqrt();
                f(row * self.columns + column, far);
            }
        }
    }
}

/// Least and greatest x, y of three points.
pub(super) fn plan_box(corners: &[[f64; 3]; 3]) -> ([f64; 2], [f64; 2]) {
    let [a, b, c] = corners;
    (
        std::array::from_fn(|k| a[k].min(b[k]).min(c[k])),
        std::array::from_fn(|k| a[k].max(b[k]).max(c[k])),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_box_finds_what_meets_it() {
        // A row of unit boxes; the query meets the third to the fifth.
        let boxes: Vec<_> = (0..50)
            .map(|k| ([f64::from(k), 0.0], [f64::from(k) + 1.0, 1.0]))
            .collect();
        let plan = Plan::new(&boxes, 0.7);
        let mut found = Vec::new();
        plan.near([2.5, 0.2], [4.5, 0.3], |n| found.push(n));
        for wanted in [2, 3, 4] {
            assert!(found.contains(&wanted), "{found:?}");
        }
        assert!(found.iter().all(|&n| n < 8), "{found:?}");
    }

    #[test]
    fn nothing_and_far_away() {
        let mut found = 0;
        Plan::new(&[], 1.0).near([-5.0, -5.0], [5.0, 5.0], |_| found += 1);
        assert_eq!(found, 0);
    }
}
