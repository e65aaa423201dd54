//! A label read with all that is known of it beforehand: its size, most of its look, how it begins.

use rxing::common::BitMatrix;

use super::super::LabelCode;
use super::finders::{Square, Three};
use super::grid::{Grid, Place};
use super::look::{Fit, Limits, Values, WIDE, alike, greys, inside, must, quick_greys};
use super::modules::ALIGNMENT;
use super::picture::Picture;
use super::settle::{Bend, settle};
use super::sharpen::sharpened;
use super::words::Words;

/// How a grid is bent in turn; one that then fits less than this is on no label.
const STAGES: [(Bend, f32); 5] = [
    (Bend::Corners, 0.42),
    (Bend::Sheet, 0.52),
    (Bend::Net, 0.6),
    (Bend::Knots, 0.6),
    (Bend::Knots, 0.6),
];

/// How far the lower right corner may be from where the other three put it, in modules: tried in
/// turn, each way.
const STEPS: [f64; 7] = [0.0, -1.3, 1.3, -2.6, 2.6, -4.0, 4.0];

/// Three squares that look as much like a label's as this are the right way round.
const PLAIN: f32 = 0.5;

/// Where a square's middle and the corners of its ring lie, from the symbol's corner.
const SQUARES: [Place; 3] = [(3.5, 3.5), (25.5, 3.5), (3.5, 25.5)];

/// Reads symbols of labels from three of their squares.
pub(super) struct Known {
    words: Words,
    must: [i8; WIDE * WIDE],
}

/// How reading went.
#[derive(Debug, Clone)]
pub(super) struct Try {
    pub(super) code: Option<LabelCode>,
    pub(super) grid: Grid,
    pub(super) fit: Fit,
}

impl Known {
    pub(super) fn new() -> Self {
        Self {
            words: Words::new(),
            must: must(),
        }
    }

    /// The grid of a symbol of which three squares were found, before anything is fitted: `None`
    /// when they cannot belong to one.
    pub(super) fn grid(
        &self,
        picture: &Picture<'_>,
        three: &Three,
        dark: Option<&BitMatrix>,
    ) -> Option<Grid> {
        let mut squares = match dark {
            Some(dark) => three.squares(dark),
            None => three.middles().map(Square::bare),
        };
        let mut best: Option<(f32, Grid)> = None;
        // Seen from the side the diagonal need not be the longest: the upper left may be any.
        for _ in 0..3 {
            let (alike, grid) = self.grid_of(picture, &squares)?;
            if best.as_ref().is_none_or(|&(so_far, _)| alike > so_far) {
                best = Some((alike, grid));
            }
            if alike > PLAIN {
                break;
            }
            squares.rotate_left(1);
        }
        best.map(|(_, grid)| grid)
    }

    /// The likeliest grid of squares at the upper left, the upper right and the lower left, and how
    /// likely it looks.
    fn grid_of(&self, picture: &Picture<'_>, squares: &[Square; 3]) -> Option<(f32, Grid)> {
        let middles = squares.map(|square| square.middle);
        let plain = plain(middles);
        let mut grids = vec![Grid::through(&with_fourth(&middles, plain((25.5, 25.5))))?];
        let mut pairs: Vec<_> = SQUARES.into_iter().zip(middles).collect();
        for (square, middle) in squares.iter().zip(SQUARES) {
            pairs.extend(corners(square, middle, &plain));
        }
        grids.extend(Grid::through(&pairs));
        let mut best: Option<(f32, Grid)> = None;
        for grid in grids {
            for (dx, dy) in STEPS.iter().flat_map(|&x| STEPS.map(|y| (x, y))) {
                let pixel = grid.pixel((ALIGNMENT + dx, ALIGNMENT + dy));
                let mut pairs: Vec<_> = SQUARES.into_iter().zip(middles).collect();
                pairs.push(((ALIGNMENT, ALIGNMENT), pixel));
                if let Some(moved) = Grid::through(&pairs) {
                    let alike = self.alike(picture, &moved);
                    if best.as_ref().is_none_or(|&(so_far, _)| alike > so_far) {
                        best = Some((alike, moved));
                    }
                }
            }
        }
        best
    }

    /// How much a grid looks to be on a label, at a quick look: 1 at best.
    pub(super) fn alike(&self, picture: &Picture<'_>, grid: &Grid) -> f32 {
        alike(picture, grid, &self.must)
    }

    pub(super) fn fit(&self, picture: &Picture<'_>, grid: &Grid) -> Fit {
        let seen = quick_greys(picture, grid);
        Fit::of(&Limits::of(&seen).darkness(&seen), &self.must)
    }

    /// Reads the symbol under a grid, fitting the grid ever more closely.
    pub(super) fn read(&self, picture: &Picture<'_>, mut grid: Grid) -> Try {
        let mut fit = Fit::default();
        for (bend, least) in STAGES {
            fit = settle(picture, &mut grid, bend, &self.must);
            if fit.fixed < least {
                break;
            }
            if let Some(code) = self.code(picture, &grid) {
                return Try {
                    code: Some(code),
                    grid,
                    fit,
                };
            }
        }
        Try {
            code: None,
            grid,
            fit,
        }
    }

    /// The code under a grid as it is, plainly seen or sharpened.
    fn code(&self, picture: &Picture<'_>, grid: &Grid) -> Option<LabelCode> {
        let seen = greys(picture, grid);
        let darkness = Limits::of(&seen).darkness(&seen);
        let read = |values: &Values| self.words.code(&inside(values));
        read(&darkness).or_else(|| {
            [1, 2]
                .into_iter()
                .find_map(|reach| read(&sharpened(&darkness, &self.must, reach)?))
        })
    }
}

/// The grid of three squares alone, as of a flat label seen from afar.
pub(super) fn plain_grid(three: &Three) -> Option<Grid> {
    let middles = three.middles();
    Grid::through(&with_fourth(&middles, plain(middles)((25.5, 25.5))))
}

/// Where a place in modules is when the three middles are those of a flat label seen from afar.
fn plain(middles: [Place; 3]) -> impl Fn(Place) -> Place {
    let [(x, y), right, down] = middles;
    move |(column, row)| {
        let (across, along) = ((column - 3.5) / 22.0, (row - 3.5) / 22.0);
        (
            x + (right.0 - x) * across + (down.0 - x) * along,
            y + (right.1 - y) * across + (down.1 - y) * along,
        )
    }
}

fn with_fourth(middles: &[Place; 3], fourth: Place) -> Vec<(Place, Place)> {
    let mut pairs: Vec<_> = SQUARES.into_iter().zip(*middles).collect();
    pairs.push(((25.5, 25.5), fourth));
    pairs
}

/// The corners of a square's ring with their places in modules, when each is plainly another.
fn corners(square: &Square, middle: Place, plain: &impl Fn(Place) -> Place) -> Vec<(Place, Place)> {
    let Some(corners) = square.corners else {
        return Vec::new();
    };
    let mut pairs = Vec::with_capacity(4);
    for (dx, dy) in [(-3.0, -3.0), (3.0, -3.0), (3.0, 3.0), (-3.0, 3.0)] {
        let modules = (middle.0 + dx, middle.1 + dy);
        let (here, there) = (plain(middle), plain(modules));
        let expected = (
            there.0 - here.0 + square.middle.0,
            there.1 - here.1 + square.middle.1,
        );
        let away = |place: &Place| (place.0 - expected.0).hypot(place.1 - expected.1);
        let nearest = corners
            .iter()
            .min_by(|a, b| away(a).total_cmp(&away(b)))
            .copied();
        pairs.extend(nearest.map(|nearest| (modules, nearest)));
    }
    let twice = pairs
        .iter()
        .enumerate()
        .any(|(n, (_, place))| pairs[..n].iter().any(|(_, other)| other == place));
    if twice { Vec::new() } else { pairs }
}
