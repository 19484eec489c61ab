//! Maps of heights.

use rayon::prelude::*;

/// Rows that one task fills.
const BAND: usize = 64;

/// Greatest heights of a mesh at the middles of square cells.
#[derive(Debug, Clone, PartialEq)]
pub struct HeightMap {
    /// Outer corner of cell (0, 0), mm.
    pub corner: [f64; 2],
    /// Side of a cell, mm.
    pub pitch: f64,
    /// Cells along x.
    pub columns: usize,
    /// Heights, row after row along y, mm.
    pub heights: Vec<f32>,
}

impl HeightMap {
    /// A map of constant height.
    pub fn flat(
        corner: [f64; 2],
        pitch: f64,
        (columns, rows): (usize, usize),
        height: f64,
    ) -> Self {
        HeightMap {
            corner,
            pitch,
            columns,
            heights: vec![height as f32; columns * rows],
        }
    }

    /// Cells along y.
    pub fn rows(&self) -> usize {
        self.heights.len().checked_div(self.columns).unwrap_or(0)
    }

    /// Middle of a cell.
    pub fn middle(&self, column: usize, row: usize) -> [f64; 2] {
        let at = |corner: f64, k: usize| corner + (k as f64 + 0.5) * self.pitch;
        [at(self.corner[0], column), at(self.corner[1], row)]
    }

    /// Raises the map to a mesh's triangles that look up; upright ones and those that look down
    /// add nothing to the greatest heights of a closed mesh. Corners on cell middles count.
    pub fn raise(&mut self, positions: &[[f64; 3]], triangles: &[[u32; 3]]) {
        let rows = self.rows();
        let (columns, pitch, corner) = (self.columns, self.pitch, self.corner);
        let up: Vec<([[f64; 3]; 3], f64, usize, usize)> = triangles
            .iter()
            .filter_map(|t| {
                let p = t.map(|i| positions[i as usize]);
                let area = cross(p[0], p[1], [p[2][0], p[2][1]]);
                let (low, high) = range(p.map(|q| q[1]), corner[1], pitch, rows)?;
                (area > 0.0).then_some((p, area, low, high))
            })
            .collect();
        let bands = self.heights.par_chunks_mut(BAND * columns.max(1));
        bands.enumerate().for_each(|(band, heights)| {
            let first = band * BAND;
            let last = first + heights.len() / columns - 1;
            for (p, area, low, high) in &up {
                if *low > last || *high < first {
                    continue;
                }
                let Some((left, right)) = range(p.map(|q| q[0]), corner[0], pitch, columns) else {
                    continue;
                };
                for row in (*low).max(first)..=(*high).min(last) {
                    let y = corner[1] + (row as f64 + 0.5) * pitch;
                    let line = &mut heights[(row - first) * columns..][..columns];
                    for (column, height) in line.iter_mut().enumerate().take(right + 1).skip(left) {
                        let x = corner[0] + (column as f64 + 0.5) * pitch;
                        if let Some(z) = height_in(p, *area, [x, y]) {
                            *height = height.max(z as f32);
                        }
                    }
                }
            }
        });
    }

    /// For each cell the triangle whose height it has, within `tolerance` (mm), if there is one.
    pub(super) fn owners(
        &self,
        positions: &[[f64; 3]],
        triangles: &[[u32; 3]],
        tolerance: f64,
    ) -> Vec<Option<u32>> {
        let mut owners = vec![None; self.heights.len()];
        for (number, t) in triangles.iter().enumerate() {
            let p = t.map(|i| positions[i as usize]);
            let area = cross(p[0], p[1], [p[2][0], p[2][1]]);
            let span = |k: usize, count| range(p.map(|q| q[k]), self.corner[k], self.pitch, count);
            let (Some((left, right)), Some((low, high)), true) =
                (span(0, self.columns), span(1, self.rows()), area > 0.0)
            else {
                continue;
            };
            for row in low..=high {
                for column in left..=right {
                    let cell = row * self.columns + column;
                    let z = height_in(&p, area, self.middle(column, row));
                    if z.is_some_and(|z| z >= f64::from(self.heights[cell]) - tolerance) {
                        owners[cell] = Some(number as u32);
                    }
                }
            }
        }
        owners
    }
}

/// Cells whose middles lie between the least and the greatest of three places.
fn range(p: [f64; 3], corner: f64, pitch: f64, count: usize) -> Option<(usize, usize)> {
    let cell = |x: f64| (x - corner) / pitch - 0.5;
    let low = cell(p[0].min(p[1]).min(p[2])).ceil().max(0.0);
    let high = cell(p[0].max(p[1]).max(p[2])).floor();
    (high >= low && low < count as f64).then(|| (low as usize, (high as usize).min(count - 1)))
}

/// Twice the signed area of a, b, c in plan.
fn cross(a: [f64; 3], b: [f64; 3], c: [f64; 2]) -> f64 {
    (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
}

/// Height of a triangle at a place within it.
fn height_in(p: &[[f64; 3]; 3], area: f64, at: [f64; 2]) -> Option<f64> {
    /// A place on a shared edge counts for both triangles.
    const EDGE: f64 = -1e-9;
    let u = cross(p[1], p[2], at) / area;
    let v = cross(p[2], p[0], at) / area;
    let w = 1.0 - u - v;
    (u >= EDGE && v >= EDGE && w >= EDGE).then(|| u * p[0][2] + v * p[1][2] + w * p[2][2])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slope_has_its_heights() {
        let positions = [
            [0.0, 0.0, 0.0],
            [10.0, 0.0, 5.0],
            [10.0, 10.0, 5.0],
            [0.0, 10.0, 0.0],
        ];
        let mut map = HeightMap::flat([-1.0, -1.0], 0.25, (48, 48), -2.0);
        map.raise(&positions, &[[0, 1, 2], [0, 2, 3]]);
        for row in 0..48 {
            for column in 0..48 {
                let [x, y] = map.middle(column, row);
                let inside = (0.0..=10.0).contains(&x) && (0.0..=10.0).contains(&y);
                let wanted = if inside { 0.5 * x } else { -2.0 };
                let found = f64::from(map.heights[row * 48 + column]);
                assert!((found - wanted).abs() < 1e-6, "{x} {y}: {found}");
            }
        }
    }

    #[test]
    fn what_looks_down_adds_nothing() {
        let positions = [[0.0, 0.0, 5.0], [10.0, 0.0, 5.0], [10.0, 10.0, 5.0]];
        let mut map = HeightMap::flat([0.0, 0.0], 0.5, (20, 20), 1.0);
        map.raise(&positions, &[[0, 2, 1]]);
        assert!(map.heights.iter().all(|&h| h == 1.0));
    }
}
