//! A grid moved until the modules look as a label's must.

use super::grid::{Grid, KNOTS};
use super::look::{Fit, Limits, WIDE, greys};
use super::picture::Picture;

/// How much of a grid is moved at once.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Bend {
    /// The four corners: a plane.
    Corners,
    /// A curved sheet, by nine points.
    Sheet,
    /// Every knot by itself: wrinkles.
    Knots,
}

/// Steps in modules, from the first tried to the last.
const STEPS: [f64; 3] = [0.7, 0.35, 0.15];

/// The shares of each knot in one movement.
type Share = [[f64; KNOTS]; KNOTS];

/// Moves `grid` a little and keeps what makes it fit better, until nothing does.
pub(super) fn settle(
    picture: &Picture<'_>,
    grid: &mut Grid,
    bend: Bend,
    must: &[i8; WIDE * WIDE],
) -> Fit {
    let shares = shares(bend);
    let mut best = Fit::default();
    for step in STEPS {
        if bend == Bend::Knots && step > 0.5 {
            continue;
        }
        let seen = greys(picture, grid, false);
        let limits = Limits::of(&seen);
        best = Fit::of(&limits.darkness(&seen), must);
        let fit = |grid: &Grid| Fit::of(&limits.darkness(&greys(picture, grid, false)), must);
        for _ in 0..2 {
            let mut better = false;
            for share in &shares {
                for way in [(step, 0.0), (-step, 0.0), (0.0, step), (0.0, -step)] {
                    let moved = moved(grid, share, way);
                    let now = fit(&moved);
                    if now.sum() > best.sum() {
                        best = now;
                        *grid = moved;
                        better = true;
                    }
                }
            }
            if !better {
                break;
            }
        }
    }
    best
}

fn moved(grid: &Grid, share: &Share, way: (f64, f64)) -> Grid {
    let mut moved = grid.clone();
    for (knots, shares) in moved.moved.iter_mut().zip(share) {
        for (knot, share) in knots.iter_mut().zip(shares) {
            *knot = (knot.0 + way.0 * share, knot.1 + way.1 * share);
        }
    }
    moved
}

fn shares(bend: Bend) -> Vec<Share> {
    let along: Vec<[f64; KNOTS]> = match bend {
        Bend::Corners => vec![[1.0, 0.75, 0.5, 0.25, 0.0], [0.0, 0.25, 0.5, 0.75, 1.0]],
        // Lagrange's polynomials through both ends and the middle.
        Bend::Sheet => vec![
            [1.0, 0.375, 0.0, -0.125, 0.0],
            [0.0, 0.75, 1.0, 0.75, 0.0],
            [0.0, -0.125, 0.0, 0.375, 1.0],
        ],
        Bend::Knots => (0..KNOTS)
            .map(|n| std::array::from_fn(|at| if at == n { 1.0 } else { 0.0 }))
            .collect(),
    };
    along
        .iter()
        .flat_map(|down| {
            along
                .iter()
                .map(|across| std::array::from_fn(|y| std::array::from_fn(|x| down[y] * across[x])))
        })
        .collect()
}
