//! How dark the modules of a grid look.

use super::grid::Grid;
use super::modules::{ACROSS, fixed};
use super::picture::Picture;
use super::words::Darkness;

/// Modules of the quiet zone looked at on every side.
pub(super) const MARGIN: i32 = 2;
/// Modules looked at along a side.
pub(super) const WIDE: usize = (ACROSS + 2 * MARGIN) as usize;
/// Modules each way over which the light is taken to be even.
const REACH: usize = 4;
/// A place as much lighter than paper (or darker than ink) as this share of their difference is
/// glare (or dirt): it tells nothing.
const BEYOND: f32 = 0.75;

/// One value for each module looked at, rows of [`WIDE`].
pub(super) type Values = [f32; WIDE * WIDE];

/// What is half dark around each module, and how far ink and paper are from that.
#[derive(Debug, Clone)]
pub(super) struct Limits {
    half: Values,
    reach: Values,
}

/// Column and row of each module looked at, in the order of [`Values`].
pub(super) fn places() -> impl Iterator<Item = (i32, i32)> {
    (-MARGIN..ACROSS + MARGIN)
        .flat_map(|row| (-MARGIN..ACROSS + MARGIN).map(move |column| (column, row)))
}

/// The grey in the middle of each module, the mean of nine places around it.
pub(super) fn greys(picture: &Picture<'_>, grid: &Grid) -> Values {
    let mut values = [0.0; WIDE * WIDE];
    for (value, (column, row)) in values.iter_mut().zip(places()) {
        let mut sum = 0.0;
        for dy in [0.28, 0.5, 0.72] {
            for dx in [0.28, 0.5, 0.72] {
                let (x, y) = grid.pixel((f64::from(column) + dx, f64::from(row) + dy));
                sum += picture.between(near(x), near(y));
            }
        }
        *value = sum / 9.0;
    }
    values
}

/// The pixel in the middle of each module.
pub(super) fn quick_greys(picture: &Picture<'_>, grid: &Grid) -> Values {
    let mut values = [0.0; WIDE * WIDE];
    for (value, (column, row)) in values.iter_mut().zip(places()) {
        *value = quick_grey(picture, grid, column, row);
    }
    values
}

/// The pixel in the middle of a module.
pub(super) fn quick_grey(picture: &Picture<'_>, grid: &Grid, column: i32, row: i32) -> f32 {
    let (x, y) = grid.pixel((f64::from(column) + 0.5, f64::from(row) + 0.5));
    picture.at(near(x), near(y))
}

#[allow(clippy::cast_possible_truncation)] // Pixels of a picture.
fn near(place: f64) -> f32 {
    place as f32
}

impl Limits {
    /// From the lightest and darkest fifth of the modules around each.
    pub(super) fn of(greys: &Values) -> Self {
        let mut half = [0.0; WIDE * WIDE];
        let mut reach = [0.0; WIDE * WIDE];
        let mut around = Vec::with_capacity((2 * REACH + 1) * (2 * REACH + 1));
        for y in 0..WIDE {
            for x in 0..WIDE {
                around.clear();
                for row in y.saturating_sub(REACH)..(y + REACH + 1).min(WIDE) {
                    let first = row * WIDE + x.saturating_sub(REACH);
                    let last = row * WIDE + (x + REACH + 1).min(WIDE);
                    around.extend_from_slice(&greys[first..last]);
                }
                around.sort_unstable_by(f32::total_cmp);
                let dark = around[around.len() / 6];
                let light = around[around.len() - 1 - around.len() / 6];
                half[y * WIDE + x] = f32::midpoint(dark, light);
                reach[y * WIDE + x] = (light - dark) / 2.0;
            }
        }
        // Where all is alike there is nothing to see: it must not look like contrast.
        let mut sorted = reach;
        sorted.sort_unstable_by(f32::total_cmp);
        let least = (sorted[WIDE * WIDE / 2] * 0.4).max(0.5);
        for reach in &mut reach {
            *reach = reach.max(least);
        }
        Self { half, reach }
    }

    /// How dark each looks: about 1 for ink and −1 for paper, and beyond.
    pub(super) fn darkness(&self, greys: &Values) -> Values {
        let mut values = *greys;
        let limits = self.half.iter().zip(&self.reach);
        for (value, (half, reach)) in values.iter_mut().zip(limits) {
            *value = (half - *value) / reach;
        }
        values
    }

    /// How dark the `n`th module looks with that grey.
    pub(super) fn darkness_of(&self, n: usize, grey: f32) -> f32 {
        (self.half[n] - grey) / self.reach[n]
    }
}

/// How sure it is that a module is dark (above 0) or light: least where it looks like neither.
fn certainty(dark: f32) -> f32 {
    let size = dark.abs();
    let sure = if size > 1.0 + BEYOND {
        (1.0 - (size - 1.0 - BEYOND) / BEYOND).max(0.0)
    } else {
        size.min(1.0)
    };
    sure.copysign(dark)
}

/// The modules of the symbol itself, as sure as they look.
pub(super) fn inside(darkness: &Values) -> Darkness {
    let mut inside = [0.0; (ACROSS * ACROSS) as usize];
    let within = 0..ACROSS;
    let seen = darkness
        .iter()
        .zip(places())
        .filter(|(_, (column, row))| within.contains(column) && within.contains(row));
    for (module, (dark, _)) in inside.iter_mut().zip(seen) {
        *module = certainty(*dark);
    }
    inside
}

/// How well a grid fits.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Fit {
    /// How much the modules that all labels have alike look as they must: 1 at best, 0 by chance.
    pub(super) fixed: f32,
    /// How far all others are from half dark, 1 at best.
    pub(super) open: f32,
}

impl Fit {
    pub(super) fn of(darkness: &Values, fixed: &[i8; WIDE * WIDE]) -> Self {
        let (mut as_it_must, mut known, mut open, mut others) = (0.0, 0.0, 0.0, 0.0);
        for (&dark, &must) in darkness.iter().zip(fixed) {
            let dark = dark.clamp(-1.0, 1.0);
            if must == 0 {
                open += dark.abs();
                others += 1.0;
            } else {
                as_it_must += dark * f32::from(must);
                known += 1.0;
            }
        }
        Self {
            fixed: as_it_must / known,
            open: open / others,
        }
    }

    pub(super) fn sum(self) -> f32 {
        self.fixed + self.open
    }
}

/// How well the greys under a grid agree with the modules that all labels have alike, 1 at best, by
/// their correlation: a quick look that takes the light to be even.
pub(super) fn alike(picture: &Picture<'_>, grid: &Grid, must: &[i8; WIDE * WIDE]) -> f32 {
    let (mut count, mut of_must, mut of_grey) = (0.0, 0.0, 0.0);
    let (mut must_squares, mut grey_squares, mut products) = (0.0, 0.0, 0.0);
    for (&must, (column, row)) in must.iter().zip(places()) {
        if must != 0 {
            let must = f32::from(must);
            let grey = -quick_grey(picture, grid, column, row);
            count += 1.0;
            of_must += must;
            of_grey += grey;
            must_squares += must * must;
            grey_squares += grey * grey;
            products += must * grey;
        }
    }
    let spread: f32 = grey_squares - of_grey * of_grey / count;
    let must_spread: f32 = must_squares - of_must * of_must / count;
    if spread < count {
        return 0.0;
    }
    (products - of_must * of_grey / count) / (spread * must_spread).sqrt()
}

/// What each module looked at must be: 1 dark, −1 light, 0 either or not counted: of the quiet
/// zone, which gets torn and covered, only the innermost ring counts.
pub(super) fn must() -> [i8; WIDE * WIDE] {
    let mut must = [0; WIDE * WIDE];
    for (value, (column, row)) in must.iter_mut().zip(places()) {
        let far = |along: i32| !(-1..=ACROSS).contains(&along);
        *value = match fixed(column, row) {
            _ if far(column) || far(row) => 0,
            Some(true) => 1,
            Some(false) => -1,
            None => 0,
        };
    }
    must
}
