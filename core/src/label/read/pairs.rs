//! Grids through two corner squares, when the third is torn off, covered or lost in glare.

use rxing::common::cpp_essentials::ConcentricPattern;

use super::grid::{Grid, Place};

/// Squares whose pairs are looked at, at most.
const MOST: usize = 16;
/// How long the way between two squares at one side is, over the width of one: 22 modules over 7,
/// more or less as the label is tilted.
const SIDE: std::ops::Range<f64> = 2.2..4.3;
/// The same from corner to corner.
const DIAGONAL: std::ops::Range<f64> = 3.3..5.9;

/// Every grid that two of these squares may belong to, of a flat label seen from the front, with
/// the middles of the two.
pub(super) fn grids(squares: &[ConcentricPattern]) -> Vec<(Grid, [Place; 2])> {
    let squares = &squares[..squares.len().min(MOST)];
    let mut grids = Vec::new();
    for first in squares {
        for second in squares {
            let wide = f64::from(first.size.max(second.size));
            if first.p == second.p || wide > 1.6 * f64::from(first.size.min(second.size)) {
                continue;
            }
            let from = (f64::from(first.p.x), f64::from(first.p.y));
            let way = (
                f64::from(second.p.x) - from.0,
                f64::from(second.p.y) - from.1,
            );
            let ratio = way.0.hypot(way.1) / wide;
            let mut add = |start: Place, modules: Place| {
                let both = [from, (from.0 + way.0, from.1 + way.1)];
                grids.extend(along(start, modules, from, way).map(|grid| (grid, both)));
            };
            if SIDE.contains(&ratio) {
                add((3.5, 3.5), (22.0, 0.0));
                add((3.5, 3.5), (0.0, 22.0));
            }
            if DIAGONAL.contains(&ratio) {
                add((3.5, 25.5), (22.0, -22.0));
            }
        }
    }
    grids
}

/// The grid, turned and enlarged but not tilted, that takes a place and a way in modules to those in
/// pixels.
fn along(start: Place, modules: Place, from: Place, pixels: Place) -> Option<Grid> {
    // The quotient of the two ways as complex numbers.
    let square = modules.0 * modules.0 + modules.1 * modules.1;
    let turn = (
        (pixels.0 * modules.0 + pixels.1 * modules.1) / square,
        (pixels.1 * modules.0 - pixels.0 * modules.1) / square,
    );
    let at = |place: Place| {
        let (x, y) = (place.0 - start.0, place.1 - start.1);
        (
            from.0 + x * turn.0 - y * turn.1,
            from.1 + x * turn.1 + y * turn.0,
        )
    };
    let corners = [(0.0, 0.0), (29.0, 0.0), (0.0, 29.0), (29.0, 29.0)];
    Grid::through(&corners.map(|corner| (corner, at(corner))))
}

#[cfg(test)]
mod tests {
    use rxing::point;

    use super::*;

    #[test]
    fn one_of_the_grids_of_any_two_squares_is_the_right_one() {
        // Four pixels a module, turned by 90 degrees: the upper right square is below the upper left.
        let pixel = |column: f64, row: f64| (200.0 - 4.0 * row, 50.0 + 4.0 * column);
        let middles = [(3.5, 3.5), (25.5, 3.5), (3.5, 25.5)];
        for (a, b) in [(0, 1), (0, 2), (1, 2)] {
            let squares = [a, b].map(|n: usize| {
                let (x, y) = pixel(middles[n].0, middles[n].1);
                #[allow(clippy::cast_possible_truncation)]
                ConcentricPattern {
                    p: point(x as f32, y as f32),
                    size: 28,
                }
            });
            let right = grids(&squares).iter().any(|(grid, _)| {
                [(0.0, 0.0), (29.0, 29.0)].iter().all(|&(column, row)| {
                    let (is, must) = (grid.pixel((column, row)), pixel(column, row));
                    (is.0 - must.0).hypot(is.1 - must.1) < 1e-3
                })
            });
            assert!(right, "{a} {b}");
        }
    }
}
