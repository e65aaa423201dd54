//! A grid moved until the modules look as a label's must.

use super::grid::{Grid, KNOTS};
use super::look::{Fit, Limits, WIDE, places, quick_grey, quick_greys};
use super::picture::Picture;

/// How much of a grid is moved at once.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Bend {
    /// The four corners: a plane.
    Corners,
    /// A curved sheet, by nine points.
    Sheet,
    /// Five points each way: wrinkles.
    Net,
    /// Every knot by itself: sharper wrinkles.
    Knots,
}

/// Steps in modules, from the first tried to the last.
const STEPS: [f64; 3] = [0.7, 0.35, 0.15];

/// How much more a module counts that all labels have alike: there are about half as many.
const FIXED: f32 = 2.0;

/// The shares of each knot in one movement.
type Share = [[f64; KNOTS]; KNOTS];

/// Moves `grid` a little and keeps what makes it fit better, until nothing does.
pub(super) fn settle(
    picture: &Picture<'_>,
    grid: &mut Grid,
    bend: Bend,
    must: &[i8; WIDE * WIDE],
) -> Fit {
    let shares: Vec<(Share, Vec<usize>)> = shares_of(bend)
        .into_iter()
        .map(|share| (share, touched(&share)))
        .collect();
    let places: Vec<(i32, i32)> = places().collect();
    let mut best = Fit::default();
    for step in STEPS {
        if matches!(bend, Bend::Net | Bend::Knots) && step > 0.5 {
            continue;
        }
        let seen = quick_greys(picture, grid);
        let limits = Limits::of(&seen);
        let mut darkness = limits.darkness(&seen);
        for _ in 0..2 {
            let mut better = false;
            for (share, touched) in &shares {
                for way in [(step, 0.0), (-step, 0.0), (0.0, step), (0.0, -step)] {
                    let moved = moved(grid, share, way);
                    let now: Vec<f32> = touched
                        .iter()
                        .map(|&n| {
                            let (column, row) = places[n];
                            limits.darkness_of(n, quick_grey(picture, &moved, column, row))
                        })
                        .collect();
                    let gain: f32 = touched
                        .iter()
                        .zip(&now)
                        .map(|(&n, &now)| worth(now, must[n]) - worth(darkness[n], must[n]))
                        .sum();
                    if gain > 0.0 {
                        for (&n, &now) in touched.iter().zip(&now) {
                            darkness[n] = now;
                        }
                        *grid = moved;
                        better = true;
                    }
                }
            }
            if !better {
                break;
            }
        }
        best = Fit::of(&darkness, must);
    }
    best
}

/// What a module's look adds to how well a grid fits: one that must be so counts as much as two
/// that may be either.
fn worth(dark: f32, must: i8) -> f32 {
    let dark = dark.clamp(-1.0, 1.0);
    if must == 0 {
        dark.abs()
    } else {
        FIXED * dark * f32::from(must)
    }
}

/// The modules looked at that a movement moves.
fn touched(share: &Share) -> Vec<usize> {
    let moves = |x: usize, y: usize| share[y][x].abs() > 0.0;
    let (mut left, mut top, mut right, mut bottom) = (KNOTS, KNOTS, 0, 0);
    for y in 0..KNOTS {
        for x in (0..KNOTS).filter(|&x| moves(x, y)) {
            (left, right) = (left.min(x), right.max(x));
            (top, bottom) = (top.min(y), bottom.max(y));
        }
    }
    let between = |place: i32, first: usize, last: usize| {
        let at = Grid::knots(f64::from(place) + 0.5);
        at > real(first) - 1.0 && at < real(last) + 1.0
    };
    places()
        .enumerate()
        .filter(|&(_, (column, row))| between(column, left, right) && between(row, top, bottom))
        .map(|(n, _)| n)
        .collect()
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

fn shares_of(bend: Bend) -> Vec<Share> {
    // How much each of some points along a side moves a place from 0 to 1 on it.
    let part = |point: usize, at: f64| match bend {
        Bend::Corners => hat(point, 2, at),
        // Lagrange's polynomials through both ends and the middle.
        Bend::Sheet => match point {
            0 => (1.0 - at) * (1.0 - 2.0 * at),
            1 => 4.0 * at * (1.0 - at),
            _ => at * (2.0 * at - 1.0),
        },
        Bend::Net => hat(point, 5, at),
        Bend::Knots => hat(point, KNOTS, at),
    };
    let points = match bend {
        Bend::Corners => 2,
        Bend::Sheet => 3,
        Bend::Net => 5,
        Bend::Knots => KNOTS,
    };
    let along: Vec<[f64; KNOTS]> = (0..points)
        .map(|point| std::array::from_fn(|knot| part(point, real(knot) / real(KNOTS - 1))))
        .collect();
    along
        .iter()
        .flat_map(|down| {
            along
                .iter()
                .map(|across| std::array::from_fn(|y| std::array::from_fn(|x| down[y] * across[x])))
        })
        .collect()
}

/// 1 at one of some evenly spaced points from 0 to 1, falling to 0 at those beside it.
fn hat(point: usize, points: usize, at: f64) -> f64 {
    (1.0 - (at * real(points - 1) - real(point)).abs()).max(0.0)
}

#[allow(clippy::cast_precision_loss)] // A few.
fn real(number: usize) -> f64 {
    number as f64
}
