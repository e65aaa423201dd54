//! The sizes in which a picture is looked at, and how.

use super::dark::Dark;
use super::grid::Grid;
use super::picture::Picture;

/// The longer side of the first picture looked at, at most.
const FIRST: usize = 1_024;
/// The longer side of the smallest picture looked at, at least.
const SMALLEST: usize = 160;
/// Pixels of a picture that is looked at in the usual way only: it would take long.
const LARGE: usize = 4_000_000;
/// Pixels in a module that suit fitting.
const MODULE: f64 = 5.0;

/// A picture and its halves, each made when it is first needed.
pub(super) struct Sizes<'a> {
    whole: &'a Picture<'a>,
    halves: Vec<Picture<'static>>,
}

impl<'a> Sizes<'a> {
    pub(super) fn new(whole: &'a Picture<'a>) -> Self {
        let mut halves: Vec<Picture<'static>> = Vec::new();
        loop {
            let last = halves.last().unwrap_or(whole);
            if last.width().max(last.height()) < 2 * SMALLEST || last.width().min(last.height()) < 2
            {
                break;
            }
            let half = last.half();
            halves.push(half);
        }
        Self { whole, halves }
    }

    /// The picture halved so many times, or as often as it can be.
    pub(super) fn level(&self, level: usize) -> &Picture<'_> {
        match level.min(self.halves.len()).checked_sub(1) {
            Some(at) => &self.halves[at],
            None => self.whole,
        }
    }

    /// Which sizes to look at and how to look, the quickest and likeliest first.
    pub(super) fn plan(&self) -> Vec<(usize, Way)> {
        let longer = |level: usize| {
            let picture = self.level(level);
            picture.width().max(picture.height())
        };
        let last = self.halves.len();
        let first = (0..=last)
            .find(|&level| longer(level) <= FIRST)
            .unwrap_or(last);
        let ways = |level: usize| {
            let picture = self.level(level);
            let large = picture.width() * picture.height() > LARGE;
            [Dark::Usual, Dark::Near(9), Dark::Near(4)]
                .into_iter()
                .take(if large { 1 } else { 3 })
                .map(move |way| (level, Way::Dark(way)))
        };
        let mut plan: Vec<_> = ways(first).collect();
        plan.extend((first + 1..=last).map(|level| (level, Way::Rings)));
        for away in 1..=last.max(1) {
            let finer = first.checked_sub(away);
            let coarser = Some(first + away).filter(|&level| level <= last);
            plan.extend([finer, coarser].into_iter().flatten().flat_map(ways));
        }
        plan.push((first, Way::Rings));
        plan
    }

    /// The size in which a grid's modules have about as many pixels as suit fitting, and the grid
    /// there.
    pub(super) fn suited(&self, level: usize, grid: &Grid) -> (usize, Grid) {
        let mut level = level;
        let mut grid = grid.clone();
        while grid.module() > MODULE * 1.5 && level < self.halves.len() {
            grid = grid.scaled(0.5);
            level += 1;
        }
        while grid.module() < MODULE * 0.7 && level > 0 {
            grid = grid.scaled(2.0);
            level -= 1;
        }
        (level, grid)
    }
}

/// A way to look for corner squares.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Way {
    /// The library's, once dark and light are told apart.
    Dark(Dark),
    /// By their rings of grey.
    Rings,
}

/// How many pixels of the whole picture one of a level is wide.
pub(super) fn factor(level: usize) -> f64 {
    f64::from(1_u32 << level.min(31))
}
