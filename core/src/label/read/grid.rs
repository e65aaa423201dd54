//! Where each module of a symbol lies in a picture.

use super::modules::ACROSS;

/// Knots along a side of the net that bends a grid.
pub(super) const KNOTS: usize = 9;
/// The last module's far edge.
const SIDE: f64 = ACROSS as f64;

/// A place in modules, from the outer edge of the symbol's upper left module, or in pixels.
pub(super) type Place = (f64, f64);

/// From modules to pixels: a plane seen from anywhere, bent by a net of knots.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Grid {
    /// The plane: rows of a homography.
    plane: [f64; 9],
    /// How far each knot is moved, in modules; rows of [`KNOTS`].
    pub(super) moved: [[Place; KNOTS]; KNOTS],
}

impl Grid {
    /// The plane that comes nearest to these pairs of a place in modules and one in pixels, by least
    /// squares; `None` with fewer than four or when they lie on a line.
    pub(super) fn through(pairs: &[(Place, Place)]) -> Option<Self> {
        if pairs.len() < 4 {
            return None;
        }
        // In units of about 1, or the equations are badly scaled.
        let (mut middle, count) = ((0.0, 0.0), f64::from(u32::try_from(pairs.len()).ok()?));
        for &(_, (x, y)) in pairs {
            middle = (middle.0 + x / count, middle.1 + y / count);
        }
        let spread = pairs
            .iter()
            .map(|&(_, (x, y))| (x - middle.0).abs().max((y - middle.1).abs()))
            .fold(1e-6, f64::max);
        let mut sums = [[0.0; 9]; 8];
        for &((u, v), (x, y)) in pairs {
            let (u, v) = (u / SIDE - 0.5, v / SIDE - 0.5);
            let (x, y) = ((x - middle.0) / spread, (y - middle.1) / spread);
            for row in [
                [u, v, 1.0, 0.0, 0.0, 0.0, -u * x, -v * x, x],
                [0.0, 0.0, 0.0, u, v, 1.0, -u * y, -v * y, y],
            ] {
                for (sums, a) in sums.iter_mut().zip(row) {
                    for (sum, b) in sums.iter_mut().zip(row) {
                        *sum += a * b;
                    }
                }
            }
        }
        let [a, b, c, d, e, f, g, h] = solved(sums)?;
        // Back to pixels.
        let plane = [
            spread * a + middle.0 * g,
            spread * b + middle.0 * h,
            spread * c + middle.0,
            spread * d + middle.1 * g,
            spread * e + middle.1 * h,
            spread * f + middle.1,
            g,
            h,
            1.0,
        ];
        plane.iter().all(|part| part.is_finite()).then_some(Self {
            plane,
            moved: [[(0.0, 0.0); KNOTS]; KNOTS],
        })
    }

    /// The pixel at a place in modules; far outside any picture when it lies behind the camera.
    pub(super) fn pixel(&self, (column, row): Place) -> Place {
        let (u, v) = self.bent(column, row);
        let (u, v) = (u / SIDE - 0.5, v / SIDE - 0.5);
        let [a, b, c, d, e, f, g, h, i] = self.plane;
        let under = g * u + h * v + i;
        if under < 1e-3 {
            return (-1e6, -1e6);
        }
        ((a * u + b * v + c) / under, (d * u + e * v + f) / under)
    }

    /// How many pixels wide a module is in the middle of the symbol, by its area.
    pub(super) fn module(&self) -> f64 {
        let middle = SIDE / 2.0;
        let at = |x: f64, y: f64| self.pixel((middle + x, middle + y));
        let (left, right, top, bottom) = (at(-1.0, 0.0), at(1.0, 0.0), at(0.0, -1.0), at(0.0, 1.0));
        let across = (right.0 - left.0, right.1 - left.1);
        let down = (bottom.0 - top.0, bottom.1 - top.1);
        ((across.0 * down.1 - across.1 * down.0).abs() / 4.0).sqrt()
    }

    /// The same in a picture that is `factor` times as large.
    pub(super) fn scaled(&self, factor: f64) -> Self {
        let mut grid = self.clone();
        for part in &mut grid.plane[..6] {
            *part *= factor;
        }
        grid
    }

    /// Where a column or row lies among the knots.
    pub(super) fn knots(place: f64) -> f64 {
        const LAST: f64 = (KNOTS - 1) as f64;
        (place / SIDE * LAST).clamp(0.0, LAST)
    }

    fn bent(&self, column: f64, row: f64) -> Place {
        let (left, across) = knot(column);
        let (top, down) = knot(row);
        let mut by = (0.0, 0.0);
        for (y, part_y) in [(top, 1.0 - down), (top + 1, down)] {
            for (x, part_x) in [(left, 1.0 - across), (left + 1, across)] {
                let (dx, dy) = self.moved[y][x];
                by = (by.0 + dx * part_x * part_y, by.1 + dy * part_x * part_y);
            }
        }
        (column + by.0, row + by.1)
    }
}

/// The knot before a place and how far it is to the next: beyond the symbol as at its edge.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // Clamped to a few knots.
fn knot(place: f64) -> (usize, f64) {
    const LAST: f64 = (KNOTS - 1) as f64;
    let along = Grid::knots(place);
    let before = along.floor().min(LAST - 1.0);
    (before as usize, along - before)
}

/// Solves eight equations, each with its right side last, by elimination with pivots.
fn solved(mut rows: [[f64; 9]; 8]) -> Option<[f64; 8]> {
    for n in 0..8 {
        let pivot = (n..8).max_by(|&a, &b| rows[a][n].abs().total_cmp(&rows[b][n].abs()))?;
        rows.swap(n, pivot);
        let by = rows[n][n];
        if by.abs() < 1e-12 {
            return None;
        }
        for value in &mut rows[n] {
            *value /= by;
        }
        let row = rows[n];
        for (other, values) in rows.iter_mut().enumerate() {
            if other != n {
                let times = values[n];
                for (value, part) in values.iter_mut().zip(row) {
                    *value -= times * part;
                }
            }
        }
    }
    Some(rows.map(|row| row[8]))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(a: Place, b: Place) -> bool {
        (a.0 - b.0).abs() < 1e-6 && (a.1 - b.1).abs() < 1e-6
    }

    #[test]
    fn four_pairs_are_met_exactly() {
        let pairs = [
            ((3.5, 3.5), (110.0, 95.0)),
            ((25.5, 3.5), (300.0, 120.0)),
            ((3.5, 25.5), (90.0, 310.0)),
            ((22.5, 22.5), (260.0, 255.0)),
        ];
        let grid = Grid::through(&pairs).unwrap();
        for (modules, pixels) in pairs {
            assert!(near(grid.pixel(modules), pixels), "{modules:?}");
        }
        let half = grid.scaled(0.5);
        assert!(near(half.pixel((3.5, 3.5)), (55.0, 47.5)));
        assert!((half.module() * 2.0 - grid.module()).abs() < 1e-9);
        assert!((8.0..9.0).contains(&grid.module()), "{}", grid.module());
    }

    #[test]
    fn places_on_a_line_make_no_plane() {
        let pairs: Vec<(Place, Place)> = (0..6)
            .map(|n| ((f64::from(n), f64::from(n)), (f64::from(n), 2.0)))
            .collect();
        assert_eq!(Grid::through(&pairs), None);
        assert_eq!(Grid::through(&pairs[..3]), None);
    }

    #[test]
    fn knots_bend_what_is_around_them() {
        let flat = [(0.0, 0.0), (29.0, 0.0), (0.0, 29.0), (29.0, 29.0)];
        let mut grid = Grid::through(&flat.map(|place| (place, place))).unwrap();
        grid.moved[4][4] = (1.0, -0.5);
        assert!(near(grid.pixel((14.5, 14.5)), (15.5, 14.0)));
        // Half way to the next knot.
        assert!(near(grid.pixel((14.5 + 1.8125, 14.5)), (16.8125, 14.25)));
        assert!(near(grid.pixel((2.0, 2.0)), (2.0, 2.0)));
    }
}
